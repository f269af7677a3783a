"""How much powder a batch needs: for a volume, for bags or stock at hand, or for a mass of mix."""

from collections.abc import Callable, Mapping
from fractions import Fraction

from mixstation.frozen import dataclass
from mixstation.plan.faults import Fault, PlanRefused, Value, refused
from mixstation.plan.layering import split_step, totals_at_split, with_split
from mixstation.proportion.volume import Part, batch_volume_l
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import Masses, ScalingError, totals_for_powder, whole_totals

_MG_PER_KG = 1_000_000
# Powder of the trial batch that volumes are worked out from; large, so that nothing is lost in floats.
_TRIAL_MG = 100 * _MG_PER_KG

FULL_OF_FACE_FRACTION = 0.9
"""A bucket of which more than this is face coat leaves too little to make backing of.

Source: Choice.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSize:
    """A sized batch.

    Attributes:
        powder_dry_mg: All powders of all buckets together, dry.
        face_fractions: Part of each bucket that is taken out as face coat, one for each bucket; 0 for none.
        density_kg_m3: Density of the whole fresh mix.
    """

    powder_dry_mg: Fraction
    face_fractions: tuple[Fraction, ...]
    density_kg_m3: float


def volume_l(
    recipe: Recipe, masses_mg: Mapping[str, Fraction | int], density_kg_m3: float | None = None
) -> float:
    """Volume of masses by absolute volume with the recipe's air, or by a measured wet density.

    Args:
        recipe: Gives densities and air.
        masses_mg: Weighed mass by material key, milligrams.
        density_kg_m3: Measured density of the fresh mix; None to compute it.

    Returns:
        Litres.

    Source: ACI 211.1-91 section 6.3.7.2 and ASTM C138, yield, both from memory.
    """
    if density_kg_m3 is not None:
        return float(sum(masses_mg.values(), Fraction(0))) / _MG_PER_KG / density_kg_m3 * 1000
    return batch_volume_l(parts_of(recipe, masses_mg), air_fraction=float(recipe.air_fraction))


def parts_of(recipe: Recipe, masses_mg: Mapping[str, Fraction | int]) -> list[Part]:
    """Masses with their densities, damp sand taken apart into grains and water.

    Args:
        recipe: Gives densities and moisture.
        masses_mg: Weighed mass by material key, milligrams.

    Returns:
        Parts for the formulas of absolute volume, together as heavy as the masses: sand with its pores full, all free
        water as one. Where plain water is too little for thirsty sand, the other liquids give of theirs, and keep a
        density of their own; what still lacks leaves its pores empty, the grains no smaller.

    Source: ACI 211.1-91 section 6.3.8, from memory: volumes are of aggregate without its free water.
    """
    water = recipe.material(recipe.water_key)
    of = {material.key: material for material in recipe.materials}
    masses = {key: Fraction(mass_mg) for key, mass_mg in masses_mg.items()}
    free_mg = {key: masses[key] * of[key].water_share for key in masses if of[key].is_powder}
    grains_mg = {key: mass_mg - free_mg.get(key, 0) for key, mass_mg in masses.items()}
    water_mg = masses.get(water.key, Fraction(0)) + sum(free_mg.values())
    grains_mg[water.key] = max(Fraction(0), water_mg)
    volumes_ml = {key: float(mass_mg) / of[key].density_kg_m3 for key, mass_mg in grains_mg.items()}
    lacks_mg = max(Fraction(0), -water_mg)
    carried_mg = {
        key: masses[key] * of[key].water_fraction for key in masses.keys() - free_mg.keys() - {water.key}
    }
    for key, gives_mg in _shared(lacks_mg, carried_mg).items():
        grains_mg[key] -= gives_mg
        volumes_ml[key] -= float(gives_mg) / water.density_kg_m3
        lacks_mg -= gives_mg
    thirst_mg = {key: max(Fraction(0), -mass_mg) for key, mass_mg in free_mg.items()}
    for key, empty_mg in _shared(lacks_mg, thirst_mg).items():
        grains_mg[key] -= empty_mg
    return [
        Part(
            mass_kg=float(mass_mg) / _MG_PER_KG,
            density_kg_m3=float(mass_mg) / volumes_ml[key]
            if mass_mg > 0 and volumes_ml[key] > 0
            else of[key].density_kg_m3,
        )
        for key, mass_mg in grains_mg.items()
    ]


def _shared(wanted_mg: Fraction, there_mg: Mapping[str, Fraction]) -> Masses:
    """What each gives of what there is, in equal parts of its own, so that all that is wanted is met if it can be."""
    whole_mg = sum(there_mg.values(), Fraction(0))
    part = min(Fraction(1), wanted_mg / whole_mg) if whole_mg else Fraction(0)
    return {key: part * mass_mg for key, mass_mg in there_mg.items()}


def mix_density_kg_m3(recipe: Recipe) -> float:
    """Density of the whole fresh mix by absolute volume with the recipe's air.

    Args:
        recipe: The recipe.

    Returns:
        Density in kg/m³.

    Raises:
        PlanRefused: The recipe cannot be scaled.

    Source: ACI 211.1-91 section 6.3.7.2, from memory.
    """
    masses = scaled(recipe)
    return float(sum(masses.values(), Fraction(0))) / _MG_PER_KG / volume_l(recipe, masses) * 1000


def volume_for_powders_l(recipe: Recipe, powders_mg: Mapping[str, int]) -> float:
    """Volume of the whole mix that weighed powders make.

    Args:
        recipe: The recipe.
        powders_mg: Weighed mass of each powder, in the recipe's proportions, milligrams.

    Returns:
        Litres.

    Raises:
        PlanRefused: The recipe cannot be scaled.

    Source: ACI 211.1-91 section 6.3.7.2, from memory.
    """
    masses = scaled(recipe)
    whole = sum(masses.values(), Fraction(0)) / sum(masses[key] for key in powders_mg)
    mass_kg = float(whole * sum(powders_mg.values())) / _MG_PER_KG
    return mass_kg / mix_density_kg_m3(recipe) * 1000


def scaled(recipe: Recipe) -> Masses:
    """The recipe's whole mix for a trial amount of powder.

    Args:
        recipe: The recipe.

    Returns:
        Weighed masses, milligrams.

    Raises:
        PlanRefused: The recipe cannot be scaled: codes of `mixstation.recipe.proportions.ScalingError`.

    Source: Definition.
    """
    try:
        return whole_totals(recipe, _TRIAL_MG)
    except ScalingError as error:
        raise from_recipe(error) from None


def from_recipe(error: ScalingError) -> PlanRefused:
    """The refusal for a recipe that cannot be scaled."""
    values: dict[str, Value] = dict(error.values)
    return PlanRefused([Fault(code=error.code, values=values)])


def size_for_volume(
    recipe: Recipe,
    *,
    face_l: float,
    rest_l: float,
    bucket_count: int,
    density_kg_m3: float | None = None,
) -> BatchSize:
    """Powder for wanted volumes of face coat and of the rest, in buckets with equal powder.

    The face coat comes from the first bucket; where that would be all but face coat, from as few as can give it.

    Args:
        recipe: The recipe.
        face_l: Face coat wanted, waste counted, 0 or more.
        rest_l: All else wanted, waste and what stays in the buckets counted, 0 or more; not both 0.
        bucket_count: Buckets, at least 1.
        density_kg_m3: Measured density of the fresh mix; None to compute volumes.

    Returns:
        The size.

    Raises:
        PlanRefused: "nothing-to-mix", or the recipe cannot be scaled.

    Source: Definition.
    """
    if not face_l + rest_l > 0:
        raise refused("nothing-to-mix")
    whole = scaled(recipe)
    whole_l = volume_l(recipe, whole, density_kg_m3)
    density = float(sum(whole.values(), Fraction(0))) / _MG_PER_KG / whole_l * 1000
    if not face_l:
        powder_mg = Fraction(round(rest_l / whole_l * _TRIAL_MG))
        return BatchSize(
            powder_dry_mg=powder_mg, face_fractions=(Fraction(0),) * bucket_count, density_kg_m3=density
        )
    split = with_split(recipe, Fraction(1, 2), "")
    # A measured density is of the whole mix; the part without fibres is taken to be as much heavier or lighter.
    measured_over_computed = whole_l / volume_l(recipe, whole)
    at_split_l = volume_l(recipe, totals_at_split(split, _TRIAL_MG)) * measured_over_computed
    face_mg = face_l / at_split_l * _TRIAL_MG
    powder = face_mg + rest_l / whole_l * _TRIAL_MG
    face_buckets = face_mg / (powder / bucket_count)
    count = next(
        (at for at in range(1, bucket_count + 1) if face_buckets / at <= FULL_OF_FACE_FRACTION), bucket_count
    )
    fraction = Fraction(face_buckets / count).limit_denominator(10_000)
    if fraction >= 1:
        raise refused("face-coat-only", face_l=face_l, rest_l=rest_l)
    fractions = (fraction,) * count + (Fraction(0),) * (bucket_count - count)
    return BatchSize(powder_dry_mg=Fraction(round(powder)), face_fractions=fractions, density_kg_m3=density)


def powder_for_material(recipe: Recipe, key: str, mass_mg: Fraction | int) -> Fraction:
    """Powder of the batch that uses a given mass of one material ("I have one bag").

    Args:
        recipe: The recipe, with its own split if it has one.
        key: The material.
        mass_mg: What is to be used of it, above 0.

    Returns:
        Dry powder, milligrams, exact.

    Raises:
        PlanRefused: "unknown-material", or the recipe cannot be scaled by it.

    Source: Definition.
    """
    if all(material.key != key for material in recipe.materials):
        raise refused("unknown-material", key, known=", ".join(material.key for material in recipe.materials))
    return _powder_for(recipe, mass_mg, lambda masses: masses[key])


def powder_for_mass(recipe: Recipe, total_mg: Fraction | int) -> Fraction:
    """Powder of the batch in which all that is weighed adds up to a mass.

    Args:
        recipe: The recipe, with its own split if it has one.
        total_mg: Everything together, above 0.

    Returns:
        Dry powder, milligrams, exact.

    Raises:
        PlanRefused: The recipe cannot be scaled.

    Source: Definition.
    """
    return _powder_for(recipe, total_mg, lambda masses: sum(masses.values(), Fraction(0)))


def powder_for_stock(recipe: Recipe, on_hand_mg: Mapping[str, int]) -> tuple[Fraction, str]:
    """Powder of the largest batch that the stock allows.

    Args:
        recipe: The recipe, with its own split if it has one.
        on_hand_mg: What there is, by material key; a material not named (water) is not limited.

    Returns:
        Dry powder in milligrams, exact, and the key of the material that limits it.

    Raises:
        PlanRefused: "nothing-on-hand" for a material of which there is none, "stock-unknown" where no material of
            the recipe is named, or the recipe cannot be scaled.

    Source: Definition.
    """
    limits = []
    for material in recipe.materials:
        if material.key in on_hand_mg:
            if on_hand_mg[material.key] <= 0:
                raise refused("nothing-on-hand", material.key)
            limits.append((powder_for_material(recipe, material.key, on_hand_mg[material.key]), material.key))
    if not limits:
        raise refused("stock-unknown")
    return min(limits)


def _powder_for(recipe: Recipe, wanted_mg: Fraction | int, measure: Callable[[Masses], Fraction]) -> Fraction:
    if wanted_mg <= 0:
        raise refused("nothing-to-mix")
    try:
        measured = measure(totals_for_powder(recipe, 1))
    except ScalingError as error:
        raise from_recipe(error) from None
    if measured <= 0:
        raise refused("nothing-to-scale-by")
    return Fraction(wanted_mg) / measured


def face_fractions_of(recipe: Recipe, bucket_count: int) -> tuple[Fraction, ...]:
    """What the recipe's own split takes from each bucket where no pieces say otherwise."""
    own = split_step(recipe)
    return (Fraction(0) if own is None else own.fraction,) * bucket_count
