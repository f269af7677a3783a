"""What is weighed on another scale than the main one: doses of a bucket, and which of them the main scale is too coarse
for.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from mixstation.plan import dosing
from mixstation.plan.job_parts import Shop
from mixstation.recipe.model import Recipe, ReleaseStep
from mixstation.recipe.proportions import Masses, needed_shares, whole_totals_of


def doses_of(recipe: Recipe, buckets: Sequence[Masses]) -> list[dosing.DoseToWeigh]:
    """Every material that is weighed, in the recipe's order, as small as any bucket needs it."""
    doses = []
    for material in recipe.materials:
        mass_mg = min(masses[material.key] for masses in buckets)
        if mass_mg > 0:
            doses.append(
                dosing.DoseToWeigh(
                    material=material.key,
                    mass_mg=mass_mg,
                    shares=dosing.shares_of(recipe, material.key),
                    tolerance_fraction=dosing.tolerance_fraction(material.tolerance),
                    may_be_diluted=dosing.dilutable(recipe, material.key),
                )
            )
    return doses


def weighed_beside(
    recipe: Recipe, powders_mg: Mapping[str, int], main: dosing.Scale, shop: Shop
) -> tuple[dosing.DoseWeighing, ...]:
    """The doses of one bucket that the main scale cannot weigh within their tolerance and a finer one on file can.

    What goes in by shares has every share weighed so; what is held back is added by judgement and stays on the main
    scale.

    Returns:
        How each of them is weighed, in the recipe's order.
    """
    finer = [scale for scale in shop.scales if scale.division_mg < main.division_mg]
    masses = _masses_of(recipe, powders_mg)
    full_mg = round(sum(masses.values(), Fraction(0)))

    def way(dose: dosing.DoseToWeigh, scales: Sequence[dosing.Scale]) -> dosing.DoseWeighing | None:
        chosen = dosing.choose_weighing(
            dose,
            scales,
            bucket_tare_mg=shop.bucket.tare_mg,
            bucket_full_mg=full_mg,
            tub_tare_mg=shop.tub_tare_mg,
            bucket_count=1,
            bucket_water_mg=0,
        )
        return chosen if chosen.kind == "weigh" and chosen.fills_count == 1 else None

    held_back = {step.material for step in recipe.steps if isinstance(step, ReleaseStep)}
    beside = (
        way(dose, finer)
        for dose in doses_of(recipe, [masses])
        if dose.material not in held_back and way(dose, [main]) is None
    )
    return tuple(each for each in beside if each is not None)


def _masses_of(recipe: Recipe, powders_mg: Mapping[str, int]) -> Masses:
    """Weighed mass of everything that goes into a bucket with these powders."""
    shares = needed_shares(recipe)
    powders = {
        material.key: Fraction(powders_mg.get(material.key, 0)) / shares[material.key]
        for material in recipe.materials
        if material.is_powder
    }
    return {key: mass * shares[key] for key, mass in whole_totals_of(recipe, powders).items()}
