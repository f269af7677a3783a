"""From the written tables to materials: what goes with which role, and what contradicts what."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType
from typing import Any, Final

from mixstation.recipe import faults
from mixstation.recipe.defaults import DENSITIES_KG_M3, default_tolerance
from mixstation.recipe.model import POWDERS, Basis, Cap, Dose, Material, Role, Tolerance, WaterRule
from mixstation.recipe.proportions import BasisEmpty, Unscalable
from mixstation.toml.faults_of_files import Form
from mixstation.toml.table import Table
from mixstation.units.plausible import RANGES

LIQUIDS: Final = frozenset({Role.POLYMER, Role.PLASTICISER, Role.RETARDER, Role.PIGMENT})
"""What may come dissolved or dispersed in water."""

DOSED: Final = LIQUIDS | {Role.FIBRE}
_ALL: Final = frozenset(Role)
ROLES_BY_KEY: Final[Mapping[str, frozenset[Role]]] = MappingProxyType(
    {
        "parts": POWDERS,
        **dict.fromkeys(("dose", "of", "least", "most", "cap", "cap_of", "cap_source"), DOSED | {Role.ICE}),
        **dict.fromkeys(("counts", "solids", "water"), LIQUIDS),
        **dict.fromkeys(("moisture", "free_moisture", "absorption"), frozenset({Role.SAND})),
        **dict.fromkeys(("cement_share", "binder_share"), frozenset({Role.BLEND})),
        "film_forming": frozenset({Role.POLYMER}),
    }
)
"""Which roles a key is for; a key not listed is for all."""

_NEEDS: Final = (
    ("of", "dose"),
    ("least", "dose"),
    ("most", "dose"),
    ("cap", "cap_source"),
    ("cap_of", "cap"),
    ("cap_source", "cap"),
    ("price", "pack"),
)
_EITHER: Final = (("solids", "water"), ("moisture", "free_moisture"))


def material_of(table: Table, *, has_currency: bool) -> Material | None:
    """One material from its table.

    Args:
        table: As read; what is wrong with it is noted there.

    Returns:
        The material, or None where anything was wrong.
    """
    values = table.values
    if not table.is_sound:
        return None
    role = Role(values["role"])
    _check_keys(table, role)
    check_order(table, "least", "dose", "most")
    if values.get("counts") == "solids" and not values.keys() & {"solids", "water"}:
        table.fault("counts", faults.Plain.SOLIDS_UNKNOWN)
    for key in ("of", "cap_of"):
        if values.get(key) == Basis.TOTAL and role is not Role.FIBRE:
            table.fault(key, faults.OfTotalNotFibre(role=role))
    if values.get("cement_share", 0) > values.get("binder_share", 1):
        table.fault("binder_share", faults.Plain.CEMENT_OVER_BINDER)
    possible = RANGES[f"{role} density"]
    if "density" in values and not possible.holds(values["density"]):
        found = str(table.content["density"])
        table.fault("density", faults.DensityOfRole(role=role, found=found, bounds=possible.bounds))
    if "price" in values and not has_currency:
        table.fault("price", faults.Plain.CURRENCY_MISSING)
    if not table.is_sound:
        return None

    absorption_fraction = values.get("absorption", Fraction(0))
    if "free_moisture" in values:
        moisture_fraction = values["free_moisture"] + absorption_fraction
    else:
        moisture_fraction = values.get("moisture", Fraction(0))
    under_over = values.get("tolerance")
    return Material(
        key=values["key"],
        name=values["name"],
        role=role,
        tolerance=Tolerance(under=under_over[0], over=under_over[1])
        if under_over
        else default_tolerance(role),
        density_kg_m3=float(values.get("density", DENSITIES_KG_M3[role])),
        parts=values.get("parts"),
        dose=_dose(values),
        cap=_cap(values),
        water_fraction=_water_fraction(role, values),
        moisture_fraction=moisture_fraction,
        absorption_fraction=absorption_fraction,
        cement_fraction=_binding(role, values.get("cement_share"), {Role.CEMENT}),
        binder_fraction=_binding(role, values.get("binder_share"), {Role.CEMENT, Role.POZZOLAN}),
        pack_mg=round(values["pack"]) if "pack" in values else None,
        price_cents=round(values["price"]) if "price" in values else None,
        film_forming_c=float(values["film_forming"]) if "film_forming" in values else None,
    )


def check_order(table: Table, *keys: str) -> None:
    """Note each amount of a table that is below the one stated before it."""
    for low_key, high_key in pairwise(key for key in keys if key in table.values):
        if table.values[low_key] > table.values[high_key]:
            low, high = (str(table.content[key]) for key in (low_key, high_key))
            table.fault(high_key, faults.BandOrder(low_key=low_key, low=low, high=high))


def check_materials(
    materials: Sequence[tuple[Table, Material]], top: Table, water: WaterRule | None, *, is_whole: bool
) -> None:
    """Note what is wrong between materials.

    Args:
        water: The water ratio, or None where it could not be read.
        is_whole: Whether every material of the file could be read; if not, nothing is said of what is missing.
    """
    waters = [table for table, material in materials if material.role is Role.WATER]
    for table in waters[1:]:
        table.fault("role", faults.WaterTwice(first_line=waters[0].line("role")))
    if not is_whole:
        return
    if not waters:
        top.fault("material", faults.Plain.WATER_MISSING)
    powders = [material for _, material in materials if material.is_powder]
    if not powders:
        top.fault("material", Unscalable.POWDER_MISSING)
        return
    if water is not None:
        _amount_of(water.of, top.values["water"], "of", powders)
    for table, material in materials:
        dose, cap = material.dose, material.cap
        dose_of = _amount_of(dose.of, table, "of", powders) if dose else None
        # Where the cap's basis is the dose's own, one fault about it is enough.
        same = dose is not None and cap is not None and dose.of is cap.of
        cap_of = _amount_of(cap.of, table, "cap_of", powders) if cap and not same else dose_of
        if dose and cap and dose_of and cap_of and (dose.of is Basis.TOTAL) == (cap.of is Basis.TOTAL):
            for key, fraction in (("dose", dose.fraction), ("most", dose.most or dose.fraction)):
                if fraction * dose_of > cap.fraction * cap_of:
                    limit = percent(cap.fraction * cap_of / dose_of)
                    table.fault(key, faults.OverCap(limit=limit, source=cap.source))
                    break


def percent(fraction: Fraction) -> str:
    """A fraction as a person writes it, to four digits.

    Example:
        >>> percent(Fraction(1, 3))
        '33.33 %'
    """
    return f"{float(fraction) * 100:.4g} %"


def _amount_of(basis: Basis, table: Table, key: str, powders: Sequence[Material]) -> Fraction | None:
    """Parts of the basis in the powders; None, with a fault of the key noted, where it is unknown or nothing."""
    if basis is Basis.TOTAL:
        return Fraction(1)
    missing = "cement_share" if basis is Basis.CEMENT else "binder_share"
    amount = Fraction(0)
    for material in powders:
        share = material.cement_fraction if basis is Basis.CEMENT else material.binder_fraction
        if basis is not Basis.POWDER and share is None:
            table.fault(key, faults.BasisUnknown(material=material.key, basis=basis, missing=missing))
            return None
        # Parts are by dry mass, so the moisture of sand does not come in here.
        amount += (material.parts or 0) * (Fraction(1) if basis is Basis.POWDER else share or Fraction(0))
    if not amount:
        table.fault(key, BasisEmpty(basis=basis))
    return amount or None


def _check_keys(table: Table, role: Role) -> None:
    given = table.values.keys()
    for key in sorted(given):
        roles = ROLES_BY_KEY.get(key, _ALL)
        if role not in roles:
            table.fault(key, faults.KeyNotForRole(role=role, roles=", ".join(sorted(roles))))
    required = {"parts"} if role in POWDERS else {"dose", "of"} if role in DOSED else set()
    if role is Role.ICE and "dose" in given:
        required.add("of")
    for key in sorted(required - given):
        table.fault(key, Form.KEY_MISSING)
    for key, needed in _NEEDS:
        if key in given and needed not in given | required and role in ROLES_BY_KEY.get(key, _ALL):
            table.fault(key, faults.Beside(code="needs-key", other=needed))
    for first, second in _EITHER:
        if {first, second} <= given:
            table.fault(second, faults.Beside(code="both-given", other=first))


def _binding(role: Role, stated: Fraction | None, whole: set[Role]) -> Fraction | None:
    if role is Role.BLEND or role not in POWDERS:
        return stated
    return Fraction(1 if role in whole else 0)


def _water_fraction(role: Role, values: Mapping[str, Any]) -> Fraction:
    if role in (Role.WATER, Role.ICE):
        return Fraction(1)
    return Fraction(1 - values["solids"] if "solids" in values else values.get("water", 0))


def _dose(values: Mapping[str, Any]) -> Dose | None:
    if not {"dose", "of"} <= values.keys():
        return None
    return Dose(
        fraction=values["dose"],
        of=Basis(values["of"]),
        counts=values.get("counts", "mass"),
        least=values.get("least"),
        most=values.get("most"),
    )


def _cap(values: Mapping[str, Any]) -> Cap | None:
    of = values.get("cap_of", values.get("of"))
    if of is None or "cap" not in values:
        return None
    return Cap(fraction=values["cap"], of=Basis(of), source=values["cap_source"])
