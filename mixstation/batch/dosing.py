"""What to weigh in for the step at hand: its share of a total less what is in, in whole divisions of its scale.

Rules: a later share mends an earlier one. What a dose calls right raises no flag by itself.
"""

from fractions import Fraction
from math import ceil, floor

from mixstation.batch.run import Run, RunStep, TakeOutStep
from mixstation.batch.step import material_of
from mixstation.batch.targets import Projection, dose_band
from mixstation.frozen import Frozen
from mixstation.recipe.model import AddStep, Basis, Material, ReleaseStep
from mixstation.recipe.proportions import basis_mass, free_water

# Choice: an early share is mended by the later one, so it may miss by this much of its own target.
SHARE_TOLERANCE = Fraction(3, 100)
# Choice: a rest that the scale cannot show, and less than this of the total, is not worth a finer scale.
NOTHING_LEFT = Fraction(1, 100)


class Dosing(Frozen):
    """What to weigh in now, milligrams.

    Attributes:
        exact_mg: Still to add, before rounding; 0 where enough is in: then nothing is asked for but `EnoughIn`.
        target_mg: Still to add in whole divisions of the scale; 0 besides where the scale cannot show so little.
        low_mg: Least that is right; 0 only where enough is in.
    """

    material: str
    exact_mg: Fraction
    target_mg: int
    low_mg: int
    high_mg: int


def dosing(run: Run, projection: Projection, step: RunStep, division_mg: int) -> Dosing | None:
    """What to weigh for a step; None for one that adds nothing.

    Args:
        division_mg: Of the main scale, above 0; what is weighed apart comes in the steps of its own.
    """
    if not isinstance(step, AddStep | ReleaseStep):
        return None
    division_mg = run.division_of(step.material, division_mg)
    if isinstance(step, ReleaseStep):
        return _released(run, projection, step, division_mg)
    total = projection.totals[step.material]
    share = run.brings_to(step)
    rest = share * total - run.content[step.material]
    if share == 1:
        low, high = _right_totals(run, projection, run.recipe.material(step.material))
        under, over = total - low, high - total
        nothing = max(under, NOTHING_LEFT * total)
    else:
        under = over = max(SHARE_TOLERANCE * rest, Fraction(division_mg))
        nothing = SHARE_TOLERANCE * share * total
    return _rounded(step.material, rest, under, over, nothing, division_mg)


def to_division(mass_mg: Fraction, division_mg: int) -> int:
    """The one rounding of a dose wherever it is told: whole divisions; one below half a division as it is."""
    return round(mass_mg / division_mg) * division_mg or round(mass_mg)


def asked_for(
    run: Run, coming: tuple[tuple[RunStep, Fraction], ...], at_hand: Dosing | None, division_mg: int
) -> tuple[tuple[RunStep, Fraction], ...]:
    """What each step will ask for, in whole divisions of the scale that weighs it, as the question then says it.

    Shares of one material are rounded by their running sum, as the bucket will be when each was weighed as asked.
    """
    exact, given = dict.fromkeys(run.content, Fraction(0)), dict.fromkeys(run.content, 0)
    asked: list[tuple[RunStep, Fraction]] = []
    for step, mass_mg in coming:
        key = material_of(step)
        if not mass_mg or isinstance(step, TakeOutStep):
            asked.append((step, mass_mg))
        elif not key:
            asked.append((step, Fraction(to_division(mass_mg, division_mg))))
        elif step == run.step and isinstance(step, AddStep) and at_hand is not None:
            exact[key] += mass_mg
            given[key] += at_hand.target_mg
            asked.append((step, Fraction(at_hand.target_mg)))
        else:
            its_mg = run.division_of(key, division_mg)
            exact[key] += mass_mg
            more_mg = max(0, round((exact[key] - given[key]) / its_mg) * its_mg)
            given[key] += more_mg
            asked.append((step, Fraction(more_mg)))
    return tuple(asked)


def _right_totals(run: Run, projection: Projection, material: Material) -> tuple[Fraction, Fraction]:
    """Least and most of a material that is right at the end: its tolerance, inside its own band and cap."""
    recipe, total, tolerance = run.recipe, projection.totals[material.key], material.tolerance
    low, high = total * (1 - tolerance.under), total * (1 + tolerance.over)
    if material.key == recipe.water_key:
        # Past this the scale cannot tell any more that the ratio is inside.
        surely = recipe.water.most - Fraction(projection.expanded)
        least, most = (_mass_of_ratio(run, projection, end) for end in (recipe.water.least, surely))
    elif material.dose is not None:
        least, most = (_mass_of_dose(run, projection, material, fraction) for fraction in dose_band(material))
    else:
        return low, high
    return min(max(low, least), total), max(min(high, most), total)


def _mass_of_ratio(run: Run, projection: Projection, ratio: Fraction) -> Fraction:
    """The plain water that makes a ratio with the water that everything else carries."""
    recipe, finals = run.recipe, projection.finals
    return ratio * basis_mass(recipe, finals, recipe.water.of) - free_water(
        recipe, {**finals, recipe.water_key: Fraction(0)}
    )


def _mass_of_dose(run: Run, projection: Projection, material: Material, fraction: Fraction) -> Fraction:
    """The weighed mass that makes a fraction of its own basis."""
    assert material.dose is not None
    if material.dose.of is Basis.TOTAL:
        rest = sum(projection.finals.values(), Fraction(0)) - projection.finals[material.key]
        return fraction / (1 - fraction) * rest
    return fraction * basis_mass(run.recipe, projection.finals, material.dose.of) / material.counted_share


def _released(run: Run, projection: Projection, step: ReleaseStep, division_mg: int) -> Dosing:
    """One increment, never less than the scale shows; a rest within the tolerance goes in with the last."""
    total = projection.totals[step.material]
    low, high = _right_totals(run, projection, run.recipe.material(step.material))
    rest = total - run.content[step.material]
    nothing = max(total - low, Fraction(division_mg, 2))
    exact = max(step.increment * total, Fraction(division_mg))
    if rest <= nothing:
        exact = Fraction(0)
    elif rest - exact <= nothing + Fraction(division_mg, 2):
        # Rounded up, this increment could leave what is too little to be asked for.
        exact = rest
    return _rounded(step.material, exact, exact / 2, high - total, nothing, division_mg)


def _rounded(
    material: str, rest: Fraction, under: Fraction, over: Fraction, nothing: Fraction, division_mg: int
) -> Dosing:
    """A dose in whole divisions, inside what is right wherever a division falls there.

    Args:
        rest: Still to add; 0 or less where more is in already.
        under: How far below `rest` is right.
        over: How far above.
        nothing: A rest up to this is let go where the scale cannot show it.
    """
    least, most = rest - under, rest + over
    count = round(max(rest, Fraction(0)) / division_mg)
    if count * division_mg < least and (count + 1) * division_mg <= most:
        count += 1
    elif count * division_mg > most and (count - 1) * division_mg >= max(least, Fraction(0)):
        count -= 1
    target = count * division_mg
    if not target and rest <= nothing:
        return Dosing(
            material=material,
            exact_mg=Fraction(0),
            target_mg=0,
            low_mg=0,
            high_mg=max(division_mg, floor(most)),
        )
    low = ceil(least) if least > 0 else min(division_mg, ceil(rest))
    return Dosing(
        material=material,
        exact_mg=rest,
        target_mg=target,
        low_mg=min(low, target) if target else low,
        high_mg=max(low, target, floor(most)),
    )
