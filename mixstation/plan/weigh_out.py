"""What is weighed into each bucket, step by step, in whole divisions of the scale that weighs it."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.plan.buckets import in_divisions
from mixstation.plan.diluted import dilution_ratio, with_dilution
from mixstation.plan.dosing import DoseWeighing
from mixstation.plan.faults import Plain, refused
from mixstation.plan.layering import totals_at_split
from mixstation.recipe.model import AddStep, Basis, Recipe, ReleaseStep, Role, SplitStep
from mixstation.recipe.proportions import Masses, needed_shares, whole_totals_of


class WeighOut(Frozen):
    """One thing to weigh.

    Attributes:
        step: Key of the recipe's step; "" for what no step adds.
        held_back: Water kept out until the consistency is judged.
        diluted: Weighed as its dilution; `mass_mg` is then of the dilution.
    """

    step: str
    material: str
    mass_mg: int
    division_mg: int
    held_back: bool = False
    diluted: bool = False


class TakeOut(Frozen):
    """A portion to take out of the mixed bucket for another layer."""

    layer: str
    mass_mg: int


class BucketPlan(Frozen):
    """One bucket, with the weighed mass of every material; the water of dilutions counts with the water."""

    number: int
    recipe: Recipe
    powders: tuple[tuple[str, int], ...]
    amounts: tuple[tuple[str, int], ...]
    weigh_outs: tuple[WeighOut, ...]
    take_outs: tuple[TakeOut, ...]
    mass_mg: int
    volume_l: float
    needed_l: float


def amounts_by_bucket(
    recipes: Sequence[Recipe],
    exact: Sequence[Masses],
    weighings: Mapping[str, DoseWeighing],
    *,
    never_over: frozenset[str] = frozenset(),
) -> list[dict[str, int]]:
    """Round every material of every bucket to what its scale shows, by material; a dilution is what its portion holds.

    Powders are shared out so that their sums hold; all else follows the powders of its bucket, as it will when that
    bucket is mixed.

    Args:
        never_over: Materials whose total must not be more than the exact one (all that there is of them).

    Raises:
        PlanRefused: "under-a-division": a bucket would be without any powder.
    """
    rounded: list[dict[str, int]] = [{} for _ in exact]
    for key in exact[0]:
        weighing = weighings.get(key)
        if weighing is None:
            shares = [0] * len(exact)
        elif weighing.dilution is not None:
            portion = weighing.dilution
            shares = [portion.portion_mg - portion.portion_water_mg] * len(exact)
        else:
            masses = [bucket[key] for bucket in exact]
            shares = list(in_divisions(masses, weighing.division_mg, down=key in never_over))
        for bucket, share in zip(rounded, shares, strict=True):
            bucket[key] = share
    for recipe, bucket in zip(recipes, rounded, strict=True):
        if not any(bucket[material.key] for material in recipe.materials if material.is_powder):
            raise refused(Plain.UNDER_A_DIVISION)
        for of_total in (False, True):
            for key, mass_mg in asked_for(recipe, bucket, of_total=of_total).items():
                weighing = weighings.get(key)
                if weighing is not None and weighing.dilution is None and key not in never_over:
                    bucket[key] = round(mass_mg / weighing.division_mg) * weighing.division_mg
    return rounded


def asked_for(recipe: Recipe, amounts_mg: Mapping[str, int], *, of_total: bool) -> Masses:
    """What a bucket asks for of what follows its powders, before rounding.

    Args:
        of_total: What is dosed on the whole mix, which follows all else as it was weighed; else what follows the
            powders alone.
    """
    shares = needed_shares(recipe)
    doses = {m.key: m.dose.fraction for m in recipe.materials if m.dose and m.dose.of is Basis.TOTAL}
    if of_total:
        rest_mg = sum(mass_mg / shares[key] for key, mass_mg in amounts_mg.items() if key not in doses)
        whole_mg = rest_mg / (1 - sum(doses.values(), Fraction(0)))
        return {key: fraction * whole_mg * shares[key] for key, fraction in doses.items()}
    powders = {m.key: amounts_mg[m.key] / shares[m.key] for m in recipe.materials if m.is_powder}
    return {
        key: mass * shares[key]
        for key, mass in whole_totals_of(recipe, powders).items()
        if key not in powders and key not in doses
    }


def weigh_outs(
    recipe: Recipe, amounts_mg: Mapping[str, int], weighings: Mapping[str, DoseWeighing]
) -> tuple[WeighOut, ...]:
    """The weigh-out list of one bucket.

    Returns:
        One line for each addition, and one for water that is held back; their sums are the amounts, the water less
        what dilutions bring, to within a division.
    """
    mixed = recipe
    for key, each in weighings.items():
        if each.dilution is not None and amounts_mg.get(key, 0):
            mixed = with_dilution(mixed, key, dilution_ratio(each.dilution), key)
    # The bucket is mixed by the recipe with its dilutions: they bring their water, and what is poured is less by it.
    asked = asked_for(mixed, amounts_mg, of_total=False)
    lines: list[WeighOut] = []
    places: list[int] = []
    for key, amount_mg in amounts_mg.items():
        weighing = weighings.get(key)
        if weighing is None or not amount_mg:
            continue
        total_mg, exact_mg, diluted = amount_mg, asked.get(key, Fraction(amount_mg)), False
        if weighing.dilution is not None:
            total_mg, exact_mg, diluted = (
                weighing.dilution.portion_mg,
                Fraction(weighing.dilution.portion_mg),
                True,
            )
        elif recipe.material(key).role is Role.WATER:
            (total_mg,) = in_divisions([exact_mg], weighing.division_mg)
        steps = [
            (at, step)
            for at, step in enumerate(recipe.steps)
            if isinstance(step, AddStep | ReleaseStep) and step.material == key
        ]
        added = [step.share for _, step in steps if isinstance(step, AddStep)]
        rest = 1 - sum(added, Fraction(0))
        shares = [*added, *([rest] if rest > 0 else [])]
        # An early share is of what the bucket asks for, the last is what is left of the rounded whole.
        early = in_divisions([share * exact_mg for share in shares[:-1]], weighing.division_mg)
        masses = (*early, total_mg - sum(early))
        for number, mass_mg in enumerate(masses):
            at, step = steps[number] if number < len(steps) else (len(recipe.steps), None)
            held_back = number >= len(added)
            lines.append(
                WeighOut(
                    step="" if step is None else step.key,
                    material=key,
                    mass_mg=mass_mg,
                    division_mg=weighing.division_mg,
                    held_back=held_back,
                    diluted=diluted,
                )
            )
            places.append(at)
    order = sorted(range(len(lines)), key=lambda index: places[index])
    return tuple(lines[index] for index in order if lines[index].mass_mg)


def take_outs(recipe: Recipe, powder_dry_mg: Fraction, layers: Mapping[str, float]) -> tuple[TakeOut, ...]:
    """What is taken out of one bucket for the layers in front, whole grams; nothing without a split.

    Args:
        layers: Volume each layer in front takes, litres, by name; only their proportion counts.
    """
    split = next((step for step in recipe.steps if isinstance(step, SplitStep)), None)
    if split is None:
        return ()
    mass_mg = split.fraction * sum(totals_at_split(recipe, powder_dry_mg).values(), Fraction(0))
    parts = dict(layers) or {split.layer: 1.0}
    whole = sum(parts.values())
    shares = in_divisions([mass_mg * Fraction(part / whole) for part in parts.values()], 1000)
    return tuple(TakeOut(layer=name, mass_mg=share) for name, share in zip(parts, shares, strict=True))
