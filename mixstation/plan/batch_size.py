"""How much powder a batch needs: for a volume, for bags or stock at hand, or for a mass of mix."""

from collections.abc import Callable, Mapping
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.plan.faults import NothingOnHand, Plain, refused
from mixstation.plan.layering import split_step, totals_at_split, with_split
from mixstation.proportion.density import wet_density_kg_m3
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import (
    Masses,
    NoSuchMaterial,
    ScalingError,
    Unscalable,
    totals_for_powder,
    volume_l,
    whole_totals,
)

_MG_PER_KG = 1_000_000
# Powder of the trial batch that volumes are worked out from; large, so that nothing is lost in floats.
_TRIAL_MG = 100 * _MG_PER_KG

FULL_OF_FACE_FRACTION = 0.9
"""A bucket of which more than this is face coat leaves too little to make backing of.

Source: Choice.
"""


class BatchSize(Frozen):
    """A sized batch.

    Attributes:
        powder_dry_mg: All powders of all buckets together, dry.
        face_fractions: Part of each bucket that is taken out as face coat, one for each bucket; 0 for none.
    """

    powder_dry_mg: Fraction
    face_fractions: tuple[Fraction, ...]
    density_kg_m3: float


def mix_density_kg_m3(recipe: Recipe) -> float:
    """Density of the whole fresh mix by absolute volume with the recipe's air.

    Raises:
        PlanRefused: The recipe cannot be scaled.

    Source: ACI 211.1-91 section 6.3.7.2, from memory.
    """
    masses = scaled(recipe)
    return _density_kg_m3(masses, volume_l(recipe, masses))


def volume_for_powders_l(recipe: Recipe, powders_mg: Mapping[str, int]) -> float:
    """Volume of the whole mix that powders make, weighed in the recipe's proportions, milligrams.

    Raises:
        PlanRefused: The recipe cannot be scaled.

    Source: ACI 211.1-91 section 6.3.7.2, from memory.
    """
    masses = scaled(recipe)
    size = Fraction(sum(powders_mg.values())) / sum((masses[key] for key in powders_mg), Fraction(0))
    return volume_l(recipe, {key: mass * size for key, mass in masses.items()})


def _density_kg_m3(masses_mg: Masses, held_l: float) -> float:
    mass_mg = sum(masses_mg.values(), Fraction(0))
    return wet_density_kg_m3(float(mass_mg) / _MG_PER_KG, volume_l=held_l)


def scaled(recipe: Recipe) -> Masses:
    """The recipe's whole mix for a trial amount of powder.

    Raises:
        PlanRefused: The recipe cannot be scaled: see `mixstation.recipe.proportions.ScalingError`.
    """
    try:
        return whole_totals(recipe, _TRIAL_MG)
    except ScalingError as error:
        raise refused(error.why) from None


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
        face_l: Face coat wanted, waste counted, 0 or more.
        rest_l: All else wanted, waste and what stays in the buckets counted, 0 or more; not both 0.
        bucket_count: Buckets, at least 1.
        density_kg_m3: Measured density of the fresh mix; None to compute volumes.

    Raises:
        PlanRefused: "nothing-to-mix", or the recipe cannot be scaled.
    """
    if not face_l + rest_l > 0:
        raise refused(Plain.NOTHING_TO_MIX)
    whole = scaled(recipe)
    whole_l = volume_l(recipe, whole, density_kg_m3)
    density = _density_kg_m3(whole, whole_l)
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
        (at for at in range(1, bucket_count) if face_buckets / at <= FULL_OF_FACE_FRACTION), bucket_count
    )
    fraction = Fraction(face_buckets / count).limit_denominator(10_000)
    if fraction >= 1:
        raise refused(Plain.FACE_COAT_ONLY)
    fractions = (fraction,) * count + (Fraction(0),) * (bucket_count - count)
    return BatchSize(powder_dry_mg=Fraction(round(powder)), face_fractions=fractions, density_kg_m3=density)


def powder_for_material(recipe: Recipe, key: str, mass_mg: Fraction | int) -> Fraction:
    """Powder of the batch that uses a given mass of one material, above 0 ("I have one bag").

    Raises:
        PlanRefused: "unknown-material", or the recipe cannot be scaled by it.
    """
    if all(material.key != key for material in recipe.materials):
        known = ", ".join(material.key for material in recipe.materials)
        raise refused(NoSuchMaterial(asked=key, known=known))
    return _powder_for(recipe, mass_mg, lambda masses: masses[key])


def powder_for_mass(recipe: Recipe, total_mg: Fraction | int) -> Fraction:
    """Powder of the batch in which all that is weighed adds up to a mass above 0.

    Raises:
        PlanRefused: The recipe cannot be scaled.
    """
    return _powder_for(recipe, total_mg, lambda masses: sum(masses.values(), Fraction(0)))


def powder_for_stock(recipe: Recipe, on_hand_mg: Mapping[str, int]) -> tuple[Fraction, str]:
    """Powder of the largest batch that the stock allows, dry, mg, exact; and the material that limits it.

    Args:
        on_hand_mg: What there is, by material key; a material not named (water) is not limited.

    Raises:
        PlanRefused: "nothing-on-hand" for a material of which there is none, "stock-unknown" where no material of
            the recipe is named, or the recipe cannot be scaled.
    """
    limits = []
    for material in recipe.materials:
        if material.key in on_hand_mg:
            if on_hand_mg[material.key] <= 0:
                raise refused(NothingOnHand(material=material.key))
            limits.append((powder_for_material(recipe, material.key, on_hand_mg[material.key]), material.key))
    if not limits:
        raise refused(Plain.STOCK_UNKNOWN)
    return min(limits)


def _powder_for(recipe: Recipe, wanted_mg: Fraction | int, measure: Callable[[Masses], Fraction]) -> Fraction:
    if wanted_mg <= 0:
        raise refused(Plain.NOTHING_TO_MIX)
    try:
        measured = measure(totals_for_powder(recipe, 1))
    except ScalingError as error:
        raise refused(error.why) from None
    if measured <= 0:
        raise refused(Unscalable.NOTHING_TO_SCALE_BY)
    return Fraction(wanted_mg) / measured


def face_fractions_of(recipe: Recipe, bucket_count: int) -> tuple[Fraction, ...]:
    """What the recipe's own split takes from each bucket where no pieces say otherwise."""
    own = split_step(recipe)
    return (Fraction(0) if own is None else own.fraction,) * bucket_count
