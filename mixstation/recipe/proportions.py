"""Exact masses of every material of a recipe, for a mass of powder, of mix, or of one material.

All masses are what is weighed: sand as damp as it is, liquids with their water. Nothing is rounded here.
"""

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import assert_never

from mixstation.coded import Coded, PlainCode
from mixstation.proportion.density import yield_l
from mixstation.proportion.volume import absolute_volume_l, volume_with_air_l
from mixstation.recipe.model import (
    AddStep,
    Basis,
    ConsistencyStep,
    MixStep,
    NoteStep,
    Recipe,
    ReleaseStep,
    RestStep,
    ScrapeStep,
    SplitStep,
    TemperatureStep,
)

_MG_PER_KG = 1_000_000

Masses = dict[str, Fraction]


class Unscalable(PlainCode):
    """Why a recipe cannot be scaled as asked, where it needs no more words."""

    POWDER_MISSING = "powder-missing"
    WATER_ALL_CARRIED = "water-all-carried"
    FIBRES_FILL_THE_MIX = "fibres-fill-the-mix"
    AMOUNT_NOT_POSITIVE = "amount-not-positive"
    NOTHING_TO_SCALE_BY = "nothing-to-scale-by"


class BasisEmpty(Coded, code="basis-empty"):
    """Nothing in the recipe counts to a basis."""

    basis: str


class NoSuchMaterial(Coded, code="unknown-material"):
    """The recipe does not have the material to scale by, but these."""

    asked: str
    known: str


ScalingTrouble = Unscalable | BasisEmpty | NoSuchMaterial


class ScalingError(ValueError):
    """A recipe cannot be scaled as asked; `why` says what is in the way."""

    def __init__(self, why: ScalingTrouble) -> None:
        """Keep what is in the way."""
        super().__init__(why.code)
        self.why = why


def whole_totals(recipe: Recipe, powder_dry_mg: Fraction | int) -> Masses:
    """Weighed masses as if nothing were split off for another layer: the composition of the final mix.

    Args:
        powder_dry_mg: All powders together, dry, milligrams, above 0.

    Returns:
        Mass in milligrams by material key, in the recipe's order. Ice without a dose is 0.

    Raises:
        ScalingError: All codes but "nothing-to-scale-by".

    Source: Water as the balance and damp sand: ACI 211.1, from memory. Fibre of the whole mix: m = p/(1 − p) ×
        the rest. Else Definition.
    """
    if powder_dry_mg <= 0:
        raise ScalingError(Unscalable.AMOUNT_NOT_POSITIVE)
    parts = sum((m.parts or Fraction(0) for m in recipe.materials if m.is_powder), Fraction(0))
    if parts <= 0:
        raise ScalingError(Unscalable.POWDER_MISSING)
    powders = {
        material.key: powder_dry_mg * (material.parts or 0) / parts / material.dry_fraction
        for material in recipe.materials
        if material.is_powder
    }
    return whole_totals_of(recipe, powders)


def whole_totals_of(recipe: Recipe, powders_mg: Mapping[str, Fraction | int]) -> Masses:
    """Weighed masses that go with powders as they are weighed, as if nothing were split off for another layer.

    Returns:
        Mass in milligrams by material key, in the recipe's order. Ice without a dose is 0.

    Raises:
        ScalingError: "basis-empty", "water-all-carried", "fibres-fill-the-mix".

    Source: See `whole_totals`.
    """
    masses: Masses = {m.key: Fraction(powders_mg.get(m.key, 0)) for m in recipe.materials}
    for material in recipe.materials:
        if material.dose is not None and material.dose.of is not Basis.TOTAL:
            basis_mg = _some_basis(recipe, masses, material.dose.of)
            masses[material.key] = material.dose.fraction * basis_mg / material.counted_share

    carried_mg = free_water(recipe, masses)
    water_mg = recipe.water.target * _some_basis(recipe, masses, recipe.water.of) - carried_mg
    if water_mg <= 0:
        raise ScalingError(Unscalable.WATER_ALL_CARRIED)
    masses[recipe.water_key] = water_mg

    of_total = {m.key: m.dose.fraction for m in recipe.materials if m.dose and m.dose.of is Basis.TOTAL}
    rest_fraction = 1 - sum(of_total.values(), Fraction(0))
    if rest_fraction <= 0:
        raise ScalingError(Unscalable.FIBRES_FILL_THE_MIX)
    rest_mg = sum(masses.values(), Fraction(0))
    masses.update({key: fraction / rest_fraction * rest_mg for key, fraction in of_total.items()})
    return masses


def needed_shares(recipe: Recipe) -> Masses:
    """Share of each material's whole total that has to be weighed, after what is split off on the way.

    What is added after a split goes only to the part left in the bucket. A share that no step adds counts whole.

    Returns:
        A share above 0, at most 1, by material key.

    Source: Definition.
    """
    needed: Masses = {material.key: Fraction(0) for material in recipe.materials}
    to_come: Masses = {material.key: Fraction(1) for material in recipe.materials}
    left = Fraction(1)
    for step in recipe.steps:
        match step:
            case SplitStep():
                left *= 1 - step.fraction
            case AddStep():
                needed[step.material] += step.share * left
                to_come[step.material] -= step.share
            case ReleaseStep():
                needed[step.material] += to_come[step.material] * left
                to_come[step.material] = Fraction(0)
            case MixStep() | ScrapeStep() | RestStep() | ConsistencyStep() | TemperatureStep() | NoteStep():
                pass
            case _ as forgotten:
                assert_never(forgotten)
    return {key: share + to_come[key] for key, share in needed.items()}


def totals_for_powder(recipe: Recipe, powder_dry_mg: Fraction | int) -> Masses:
    """Weighed mass of every material that goes into the bucket for a dry powder total.

    Args:
        powder_dry_mg: All powders together, dry, milligrams, above 0, as if all went in before any split.

    Returns:
        Mass in milligrams by material key, in the recipe's order.

    Raises:
        ScalingError: See `whole_totals`.

    Source: See `whole_totals` and `needed_shares`.
    """
    shares = needed_shares(recipe)
    return {key: mass * shares[key] for key, mass in whole_totals(recipe, powder_dry_mg).items()}


def scale_to_total(recipe: Recipe, total_mg: Fraction | int) -> Masses:
    """Weighed masses that add up to a total, all that ever goes into the bucket.

    Args:
        total_mg: Milligrams, above 0.

    Returns:
        Mass in milligrams by material key; their sum is exactly the total.

    Raises:
        ScalingError: See `whole_totals`.

    Source: Definition.
    """
    return _scaled(recipe, total_mg, lambda masses: sum(masses.values(), Fraction(0)))


def scale_to_material(recipe: Recipe, key: str, mass_mg: Fraction | int) -> Masses:
    """Weighed masses that use a given mass of one material ("I have one bag of cement").

    Args:
        mass_mg: What will be weighed of it, milligrams, above 0.

    Returns:
        Mass in milligrams by material key; that of `key` is exactly `mass_mg`.

    Raises:
        ScalingError: See `whole_totals`; "unknown-material"; "nothing-to-scale-by" for ice without a dose.

    Source: Definition.
    """
    keys = [material.key for material in recipe.materials]
    if key not in keys:
        raise ScalingError(NoSuchMaterial(asked=key, known=", ".join(keys)))
    return _scaled(recipe, mass_mg, lambda masses: masses[key])


def water_ratio(
    recipe: Recipe, masses_mg: Mapping[str, Fraction | int], of: Basis, *, added_only: bool = False
) -> Fraction:
    """Water ratio of masses that are in the bucket, or planned.

    Args:
        masses_mg: Weighed mass by material key; a key left out counts as none.
        of: The basis, not "total".
        added_only: Count only the plain water, not what the other materials bring.

    Returns:
        Water over basis.

    Raises:
        ScalingError: "basis-empty".

    Source: Definition; free water as in ACI 211.1, from memory.
    """
    masses = {material.key: Fraction(masses_mg.get(material.key, 0)) for material in recipe.materials}
    water_mg = masses[recipe.water_key] if added_only else free_water(recipe, masses)
    return water_mg / _some_basis(recipe, masses, of)


def basis_mass(recipe: Recipe, masses: Mapping[str, Fraction], basis: Basis) -> Fraction:
    """Mass of a basis among weighed masses.

    Args:
        masses: Weighed mass by material, any one unit.
        basis: The basis asked for.

    Returns:
        In the unit of `masses`.

    Source: Definition.
    """
    return sum((recipe.material(key).basis_share(basis) * mass for key, mass in masses.items()), Fraction(0))


def free_water(recipe: Recipe, masses: Mapping[str, Fraction]) -> Fraction:
    """All free mix water: plain water and ice, with what liquids and damp sand bring.

    Args:
        masses: Weighed mass by material, any one unit.

    Returns:
        In the unit of `masses`.

    Source: ACI 211.1, from memory, for sand; Definition for liquids.
    """
    return sum((recipe.material(key).water_share * mass for key, mass in masses.items()), Fraction(0))


def litres_per_kg(recipe: Recipe, key: str) -> float:
    """Volume that one kilogram weighed of a material takes up in the mix, its air not counted.

    Returns:
        Litres: of damp sand the grains and the free water apart, of thirsty sand the grains less what they drink.

    Source: ACI 211.1-91 section 6.3.8, from memory: volumes are of aggregate without its free water.
    """
    material = recipe.material(key)
    free = float(material.water_share) if material.is_powder else 0.0
    water_l_kg = absolute_volume_l(1, density_kg_m3=recipe.material(recipe.water_key).density_kg_m3)
    return (1 - free) * absolute_volume_l(1, density_kg_m3=material.density_kg_m3) + free * water_l_kg


def volume_l(
    recipe: Recipe, masses_mg: Mapping[str, Fraction | int], density_kg_m3: float | None = None
) -> float:
    """Volume of masses by absolute volume with the recipe's air, or by a measured wet density.

    Args:
        density_kg_m3: Measured density of the fresh mix; None to compute the volume.

    Returns:
        Litres. Sand that finds less water than it drinks keeps empty pores: its grains are no smaller for that.

    Source: ACI 211.1-91 section 6.3.7.2 and ASTM C138, yield, both from memory.
    """
    if density_kg_m3 is not None:
        return yield_l(float(sum(masses_mg.values(), Fraction(0))) / _MG_PER_KG, density_kg_m3=density_kg_m3)
    masses = {key: Fraction(mass_mg) for key, mass_mg in masses_mg.items()}
    lacking_kg = max(0.0, -float(free_water(recipe, masses))) / _MG_PER_KG
    solid_l = sum(float(mass) / _MG_PER_KG * litres_per_kg(recipe, key) for key, mass in masses.items())
    solid_l += lacking_kg * litres_per_kg(recipe, recipe.water_key)
    return volume_with_air_l(solid_l, air_fraction=float(recipe.air_fraction))


def _some_basis(recipe: Recipe, masses: Masses, basis: Basis) -> Fraction:
    """The mass of a basis of which there must be some."""
    basis_mg = basis_mass(recipe, masses, basis)
    if basis_mg <= 0:
        raise ScalingError(BasisEmpty(basis=str(basis)))
    return basis_mg


def _scaled(recipe: Recipe, wanted_mg: Fraction | int, measure: Callable[[Masses], Fraction]) -> Masses:
    if wanted_mg <= 0:
        raise ScalingError(Unscalable.AMOUNT_NOT_POSITIVE)
    one = totals_for_powder(recipe, 1)
    measured = measure(one)
    if measured <= 0:
        raise ScalingError(Unscalable.NOTHING_TO_SCALE_BY)
    return {key: mass * wanted_mg / measured for key, mass in one.items()}
