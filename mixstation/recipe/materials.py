"""From the written tables to materials: what goes with which role, and what contradicts what."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, Literal, cast

from mixstation.recipe.defaults import DENSITIES_KG_M3, default_tolerance
from mixstation.recipe.faults import Faults
from mixstation.recipe.model import POWDERS, Basis, Cap, Dose, Material, Role, WaterRule
from mixstation.toml_lines import KeyPath

if TYPE_CHECKING:
    from mixstation.recipe.written import MaterialTable

LIQUIDS: Final = frozenset({Role.POLYMER, Role.PLASTICISER, Role.RETARDER, Role.PIGMENT})
"""What may come dissolved or dispersed in water."""

DOSED: Final = LIQUIDS | {Role.FIBRE}
_ALL: Final = frozenset(Role)
ROLES_BY_KEY: Final[Mapping[str, frozenset[Role]]] = MappingProxyType(
    {
        "parts": POWDERS,
        "dose": DOSED | {Role.ICE},
        "of": DOSED | {Role.ICE},
        "least": DOSED | {Role.ICE},
        "most": DOSED | {Role.ICE},
        "cap": DOSED | {Role.ICE},
        "cap_of": DOSED | {Role.ICE},
        "cap_source": DOSED | {Role.ICE},
        "counts": LIQUIDS,
        "solids": LIQUIDS,
        "water": LIQUIDS,
        "moisture": frozenset({Role.SAND}),
        "free_moisture": frozenset({Role.SAND}),
        "absorption": frozenset({Role.SAND}),
        "cement_share": frozenset({Role.BLEND}),
        "binder_share": frozenset({Role.BLEND}),
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


def material_of(
    table: "MaterialTable", written: Mapping[str, Any], path: KeyPath, has_currency: bool, faults: Faults
) -> Material | None:
    """One material from its table.

    Args:
        table: Its keys, each readable by itself.
        written: The same as it stands in the file, to quote from.
        path: Where it stands.
        has_currency: Whether the recipe says in what its prices are.
        faults: Where to note what is wrong.

    Returns:
        The material, or None where anything was wrong.
    """
    fault_count = len(faults.found)
    role = Role(table.role)
    _check_keys(table, role, path, faults)
    bands = {"least": table.least, "dose": table.dose, "most": table.most}
    check_order(bands, written, path, faults)
    if table.counts == "solids" and table.solids is None and table.water is None:
        faults.add((*path, "counts"), "solids-unknown")
    for key, basis in (("of", table.of), ("cap_of", table.cap_of)):
        if basis == Basis.TOTAL and role is not Role.FIBRE:
            faults.add((*path, key), "of-total-not-fibre", role=str(role))
    if table.cement_share and table.binder_share and table.cement_share > table.binder_share:
        faults.add((*path, "binder_share"), "cement-over-binder")
    if table.price is not None and not has_currency:
        faults.add((*path, "price"), "currency-missing")
    if len(faults.found) > fault_count:
        return None

    water_fraction = Fraction(1) if role in (Role.WATER, Role.ICE) else table.water or Fraction(0)
    if table.solids is not None:
        water_fraction = 1 - table.solids
    moisture_fraction = table.moisture or Fraction(0)
    if table.free_moisture is not None:
        moisture_fraction = table.free_moisture + table.absorption
    return Material(
        key=table.key,
        name=table.name,
        role=role,
        tolerance=table.tolerance or default_tolerance(role),
        density_kg_m3=DENSITIES_KG_M3[role] if table.density is None else float(table.density),
        parts=table.parts,
        dose=_dose(table),
        cap=_cap(table),
        water_fraction=water_fraction,
        moisture_fraction=moisture_fraction,
        absorption_fraction=table.absorption,
        cement_fraction=_binding(role, table.cement_share, {Role.CEMENT}),
        binder_fraction=_binding(role, table.binder_share, {Role.CEMENT, Role.POZZOLAN}),
        pack_mg=None if table.pack is None else int(table.pack),
        price_cents=None if table.price is None else int(table.price),
        film_forming_c=None if table.film_forming is None else float(table.film_forming),
    )


def check_order(
    amounts: Mapping[str, Fraction | None], written: Mapping[str, Any], path: KeyPath, faults: Faults
) -> None:
    """Note each amount that is below the one stated before it."""
    stated = [(key, amount) for key, amount in amounts.items() if amount is not None]
    for (low_key, low), (high_key, high) in pairwise(stated):
        if low > high:
            faults.add(
                (*path, high_key),
                "band-order",
                low_key=low_key,
                low=str(written[low_key]),
                high=str(written[high_key]),
            )


def check_materials(
    materials: Sequence[tuple[KeyPath, Material]], water: WaterRule | None, is_whole: bool, faults: Faults
) -> None:
    """Note what is wrong between materials.

    Args:
        materials: Each with where it stands, in the order of the file.
        water: The water ratio, or None where it could not be read.
        is_whole: Whether every material of the file could be read; if not, nothing is said of what is missing.
        faults: Where to note it.
    """
    waters = [path for path, material in materials if material.role is Role.WATER]
    for path in waters[1:]:
        faults.add((*path, "role"), "water-twice", first_line=faults.line((*waters[0], "role")))
    if not is_whole:
        return
    if not waters:
        faults.add(("material",), "water-missing")
    powders = [(path, material) for path, material in materials if material.is_powder]
    if not powders:
        faults.add(("material",), "powder-missing")
        return
    if water is not None:
        _amount_of(water.of, ("water", "of"), powders, faults)
    for path, material in materials:
        dose, cap = material.dose, material.cap
        dose_of = _amount_of(dose.of, (*path, "of"), powders, faults) if dose else None
        # Where the cap's basis is the dose's own, one fault about it is enough.
        same = dose is not None and cap is not None and dose.of is cap.of
        cap_of = _amount_of(cap.of, (*path, "cap_of"), powders, faults) if cap and not same else dose_of
        if dose and cap and dose_of and cap_of and (dose.of is Basis.TOTAL) == (cap.of is Basis.TOTAL):
            for key, fraction in (("dose", dose.fraction), ("most", dose.most or dose.fraction)):
                if fraction * dose_of > cap.fraction * cap_of:
                    limit = cap.fraction * cap_of / dose_of
                    faults.add((*path, key), "over-cap", limit=percent(limit), source=cap.source)
                    break


def percent(fraction: Fraction) -> str:
    """A fraction as a person writes it, to four digits.

    Example:
        >>> percent(Fraction(1, 3))
        '33.33 %'
    """
    return f"{float(fraction) * 100:.4g} %"


def _amount_of(
    basis: Basis, path: KeyPath, powders: Sequence[tuple[KeyPath, Material]], faults: Faults
) -> Fraction | None:
    """Parts of the basis in the powders; None, with a fault noted, where it is unknown or nothing."""
    if basis is Basis.TOTAL:
        return Fraction(1)
    key = "cement_share" if basis is Basis.CEMENT else "binder_share"
    amount = Fraction(0)
    for _, material in powders:
        share = material.cement_fraction if basis is Basis.CEMENT else material.binder_fraction
        if basis is not Basis.POWDER and share is None:
            faults.add(path, "basis-unknown", basis=str(basis), material=material.key, missing=key)
            return None
        # Parts are by dry mass, so the moisture of sand does not come in here.
        amount += (material.parts or 0) * (Fraction(1) if basis is Basis.POWDER else share or Fraction(0))
    if not amount:
        faults.add(path, "basis-empty", basis=str(basis))
    return amount or None


def _check_keys(table: "MaterialTable", role: Role, path: KeyPath, faults: Faults) -> None:
    given = table.model_fields_set
    for key in sorted(given):
        roles = ROLES_BY_KEY.get(key, _ALL)
        if role not in roles:
            faults.add((*path, key), "key-not-for-role", role=str(role), roles=", ".join(sorted(roles)))
    required = {"parts"} if role in POWDERS else {"dose", "of"} if role in DOSED else set()
    if role is Role.ICE and "dose" in given:
        required.add("of")
    for key in sorted(required - given):
        faults.add((*path, key), "key-missing")
    for key, needed in _NEEDS:
        if key in given and needed not in given | required and role in ROLES_BY_KEY.get(key, _ALL):
            faults.add((*path, key), "needs-key", needed=needed)
    for first, second in _EITHER:
        if {first, second} <= given:
            faults.add((*path, second), "both-given", other=first)


def _binding(role: Role, stated: Fraction | None, whole: set[Role]) -> Fraction | None:
    if role is Role.BLEND or role not in POWDERS:
        return stated
    return Fraction(1 if role in whole else 0)


def _dose(table: "MaterialTable") -> Dose | None:
    if table.dose is None or table.of is None:
        return None
    counts = cast(Literal["mass", "solids"], table.counts)
    return Dose(fraction=table.dose, of=Basis(table.of), counts=counts, least=table.least, most=table.most)


def _cap(table: "MaterialTable") -> Cap | None:
    of = table.cap_of or table.of
    if table.cap is None or of is None:
        return None
    return Cap(fraction=table.cap, of=Basis(of), source=table.cap_source)
