"""Targets that follow the readings: what each total should be, what is still to add, and where the ratio will end.

Rules: powders are aimed at by mass; every other dose follows the powders as they are (actual where no step is left
to change them); the water is the balance of everything that carries water. A step's target is its cumulative share
of the total less what is in, so a later share mends an earlier one. What a dose calls right raises no flag by itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from mixstation.batch.events import Aim, Amount, DoseAim, MaterialRemoved, WeightRecorded
from mixstation.batch.run import Run, RunStep, TakeOutStep
from mixstation.recipe.model import (
    AddStep,
    Basis,
    Material,
    Recipe,
    ReleaseStep,
    Role,
    SplitStep,
)
from mixstation.recipe.proportions import basis_mass, free_water, litres_per_kg

# Choice: an early share is mended by the later one, so it may miss by this much of its own target.
SHARE_TOLERANCE = Fraction(3, 100)
# Choice: a rest that the scale cannot show, and less than this of the total, is not worth a finer scale.
NOTHING_LEFT = Fraction(1, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Projection:
    """Where the batch ends if the rest goes in as planned.

    Attributes:
        totals: Target total of each material in the bucket, milligrams.
        finals: What each will be: the total, or what is in where no step is left or it is already more.
        ratio: Water over its basis at the end, or None while there is no basis.
        ratio_now: The same of what is in the bucket now, or None.
        expanded: Its uncertainty from the scale's divisions, k = 2.
    """

    totals: Mapping[str, Fraction]
    finals: Mapping[str, Fraction]
    ratio: Fraction | None
    ratio_now: Fraction | None
    expanded: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Dosing:
    """What to weigh in now, milligrams.

    Attributes:
        material: Which.
        exact_mg: Still to add, before rounding; 0 where enough is in: then nothing is asked for but `EnoughIn`.
        target_mg: Still to add in whole divisions of the scale; 0 besides where the scale cannot show so little.
        low_mg: Least that is right; 0 only where enough is in.
        high_mg: Most that is right.
    """

    material: str
    exact_mg: Fraction
    target_mg: int
    low_mg: int
    high_mg: int


def water_ratio(recipe: Recipe, masses: Mapping[str, Fraction]) -> Fraction | None:
    """Free water over the recipe's own basis, or None while there is no basis."""
    basis = basis_mass(recipe, masses, recipe.water.of)
    return free_water(recipe, masses) / basis if basis else None


def dose_now(recipe: Recipe, material: Material, masses: Mapping[str, Fraction]) -> Fraction | None:
    """A dose as the recipe counts it (its solids or its mass, on its own basis), or None while there is no basis."""
    if material.dose is None:
        return None
    basis = basis_mass(recipe, masses, material.dose.of)
    return masses[material.key] * material.counted_share / basis if basis else None


def aim_of(recipe: Recipe, powders: Mapping[str, int]) -> Aim:
    """The recipe's own aim for the given weighed powder masses, milligrams."""
    return Aim(
        powders=tuple(Amount(material=key, mass_mg=mass) for key, mass in powders.items()),
        doses=tuple(
            DoseAim(material=material.key, fraction=material.dose.fraction)
            for material in recipe.materials
            if material.dose is not None
        ),
        water_ratio=recipe.water.target,
    )


def dose_band(material: Material) -> tuple[Fraction, Fraction]:
    """The band of a dose, on its own count and basis: the recipe's own, else the tolerance about its target.

    Raises:
        ValueError: The material has no dose.
    """
    dose = material.dose
    if dose is None:
        raise ValueError(material.key)
    least = dose.least if dose.least is not None else dose.fraction * (1 - material.tolerance.under)
    most = dose.most if dose.most is not None else dose.fraction * (1 + material.tolerance.over)
    if material.cap is not None and material.cap.of is dose.of:
        most = min(most, material.cap.fraction)
    return least, most


def project(run: Run, division_mg: int = 0) -> Projection:
    """Where the batch ends if the rest goes in as planned.

    Args:
        run: The batch.
        division_mg: Of the main scale, taken for what is still to be weighed on it.

    Returns:
        Totals and finals for the bucket as it is now (before any portion still to be split off, but after what a way
        out still asks to take out: its aim is for the bucket then).
    """
    recipe, content = run.recipe, _after_take_outs(run)
    totals: dict[str, Fraction] = {}
    finals: dict[str, Fraction] = {}

    def settle(key: str, total: Fraction) -> None:
        totals[key] = total
        finals[key] = max(content[key], total) if run.pending(key) else content[key]

    aimed = {amount.material: amount.mass_mg * run.kept for amount in run.aim.powders}
    doses = {dose.material: dose.fraction for dose in run.aim.doses}
    for material in recipe.materials:
        if material.is_powder:
            settle(material.key, aimed.get(material.key, content[material.key]))
        elif material.role is Role.ICE:
            settle(material.key, content[material.key])
    of_total: dict[str, Fraction] = {}
    for material in recipe.materials:
        if material.dose is None:
            continue
        fraction = doses.get(material.key, Fraction(0))
        if material.dose.of is Basis.TOTAL:
            of_total[material.key] = fraction
        else:
            basis = basis_mass(recipe, finals, material.dose.of)
            settle(material.key, fraction * basis / material.counted_share)
    basis = basis_mass(recipe, finals, recipe.water.of)
    settle(recipe.water_key, max(Fraction(0), run.aim.water_ratio * basis - free_water(recipe, finals)))
    finals |= _of_total_finals(run, content, of_total, sum(finals.values(), Fraction(0)))
    whole = sum(finals.values(), Fraction(0))
    for key, fraction in of_total.items():
        totals[key] = fraction / (1 - fraction) * (whole - finals[key])
    return Projection(
        totals=totals,
        finals=finals,
        ratio=water_ratio(recipe, finals),
        ratio_now=water_ratio(recipe, run.content),
        expanded=2 * _ratio_uncertainty(run, finals, division_mg),
    )


def _of_total_finals(
    run: Run, content: Mapping[str, Fraction], fractions: Mapping[str, Fraction], slurry: Fraction
) -> dict[str, Fraction]:
    """What fibres end at: each its fraction of the whole, all of them included, or what is in where that is settled."""
    to_come = {key for key in fractions if run.pending(key)}
    while True:
        settled = slurry + sum((content[key] for key in fractions if key not in to_come), Fraction(0))
        whole = settled / (1 - sum((fractions[key] for key in to_come), Fraction(0)))
        over = {key for key in to_come if content[key] > fractions[key] * whole}
        if not over:
            return {key: fractions[key] * whole if key in to_come else content[key] for key in fractions}
        to_come -= over


def dosing(run: Run, projection: Projection, step: RunStep, division_mg: int) -> Dosing | None:
    """What to weigh for a step.

    Args:
        run: The batch.
        projection: Of this run.
        step: The step at hand.
        division_mg: Of the main scale, above 0; what is weighed apart comes in the steps of its own.

    Returns:
        The dose, or None for a step that adds nothing.
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


def _right_totals(run: Run, projection: Projection, material: Material) -> tuple[Fraction, Fraction]:
    """Least and most of a material that is right at the end: its tolerance, inside its own band and cap."""
    recipe, total, tolerance = run.recipe, projection.totals[material.key], material.tolerance
    low, high = total * (1 - tolerance.under), total * (1 + tolerance.over)
    if material.key == recipe.water_key:
        least, most = (
            _mass_of_ratio(run, projection, end) for end in (recipe.water.least, recipe.water.most)
        )
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


def still_to_come(run: Run, projection: Projection) -> tuple[tuple[RunStep, Fraction], ...]:
    """Every step not yet done with the mass it will ask for, milligrams (0 for one that adds nothing)."""
    content = _after_take_outs(run)
    left = Fraction(1)
    coming: list[tuple[RunStep, Fraction]] = []
    for step in run.steps:
        if step.key in run.finished:
            continue
        mass = Fraction(0)
        if isinstance(step, AddStep | ReleaseStep) and step.material not in run.ran_out:
            share = run.brings_to(step) if isinstance(step, AddStep) else Fraction(1)
            mass = max(Fraction(0), share * projection.totals[step.material] - content[step.material])
            content[step.material] += mass
        elif isinstance(step, TakeOutStep):
            mass = Fraction(step.mass_mg)
        coming.append((step, mass * left))
        if isinstance(step, SplitStep):
            left *= 1 - step.fraction
    return tuple(coming)


def _after_take_outs(run: Run) -> dict[str, Fraction]:
    """What will be in the bucket once the take-outs a way asks for are done."""
    content = dict(run.content)
    for step in run.steps:
        if isinstance(step, TakeOutStep) and step.key not in run.finished:
            if step.material:
                content[step.material] = max(Fraction(0), content[step.material] - step.mass_mg)
            elif whole := sum(content.values(), Fraction(0)):
                left = 1 - min(Fraction(1), step.mass_mg / whole)
                content = {key: mass * left for key, mass in content.items()}
    return content


def volume_l(recipe: Recipe, masses_mg: Mapping[str, Fraction]) -> float:
    """Volume of a mix with its air, litres, by absolute volume. Source: ACI 211.1, from memory."""
    solid_l = sum(float(mass) * 1e-6 * litres_per_kg(recipe, key) for key, mass in masses_mg.items())
    return solid_l / (1 - float(recipe.air_fraction))


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
        material: Which.
        rest: Still to add; 0 or less where more is in already.
        under: How far below `rest` is right.
        over: How far above.
        nothing: A rest up to this is let go where the scale cannot show it.
        division_mg: Of the display.
    """
    least, most = rest - under, rest + over
    count = round(max(rest, Fraction(0)) / division_mg)
    if count * division_mg < least and (count + 1) * division_mg <= most:
        count += 1
    elif count * division_mg > most and (count - 1) * division_mg >= max(least, Fraction(0)):
        count -= 1
    target = count * division_mg
    if rest <= 0 or (not target and rest <= nothing):
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


def _ratio_uncertainty(run: Run, finals: Mapping[str, Fraction], division_mg: int) -> float:
    """Standard uncertainty of the final ratio from d/sqrt(6) for each net weighing.

    Source: JCGM 100, from memory (rectangular distribution of a rounded reading, two readings for a net).
    """
    recipe = run.recipe
    water = float(free_water(recipe, finals))
    basis = float(basis_mass(recipe, finals, recipe.water.of))
    if not basis:
        return 0.0
    divisions: dict[str, list[int]] = {key: [] for key in finals}
    for entry in run.live:
        if isinstance(entry.fact, WeightRecorded | MaterialRemoved):
            divisions[entry.fact.material].append(entry.fact.division_mg)
    square = 0.0
    for key, weighed in divisions.items():
        if finals[key] > run.content[key]:
            weighed.append(run.division_of(key, division_mg))
        material = recipe.material(key)
        slope = (
            float(material.water_share) * basis - water * float(material.basis_share(recipe.water.of))
        ) / basis**2
        square += slope**2 * sum(division**2 for division in weighed) / 6
    return float(square**0.5)
