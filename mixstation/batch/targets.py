"""Targets that follow the readings: what each total should be, what is still to add, and where the ratio will end.

Rules: powders are aimed at by mass; every other dose follows the powders as they are (actual where no step is left
to change them); the water is the balance of everything that carries water. A step's target is its cumulative share
of the total less what is in, so a later share mends an earlier one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from mixstation.batch.events import Aim, Amount, DoseAim, WeightRecorded
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

# Choice: an early share is mended by the later one, so it may miss by this much of its own target.
SHARE_TOLERANCE = Fraction(3, 100)


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
        exact_mg: Still to add, before rounding; 0 where enough is in.
        target_mg: Still to add in whole divisions of the scale.
        low_mg: Least that is right.
        high_mg: Most that is right.
    """

    material: str
    exact_mg: Fraction
    target_mg: int
    low_mg: int
    high_mg: int


def basis_mass(recipe: Recipe, masses: Mapping[str, Fraction], basis: Basis) -> Fraction:
    """Mass of a basis among weighed masses.

    Args:
        recipe: Gives what each material counts for.
        masses: Weighed mass by material, any one unit.
        basis: The basis asked for.

    Returns:
        In the unit of `masses`.
    """
    return sum((recipe.material(key).basis_share(basis) * mass for key, mass in masses.items()), Fraction(0))


def free_water(recipe: Recipe, masses: Mapping[str, Fraction]) -> Fraction:
    """All free mix water: plain water and ice, with what liquids and damp sand bring.

    Source: ACI 211.1 method for sand; Definition for liquids.
    """
    return sum((recipe.material(key).water_share * mass for key, mass in masses.items()), Fraction(0))


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


def project(run: Run, division_mg: int = 0) -> Projection:
    """Where the batch ends if the rest goes in as planned.

    Args:
        run: The batch.
        division_mg: Display division taken for what is still to be weighed.

    Returns:
        Totals and finals for the bucket as it is now (before any portion still to be split off).
    """
    recipe = run.recipe
    totals: dict[str, Fraction] = {}
    finals: dict[str, Fraction] = {}

    def settle(key: str, total: Fraction) -> None:
        totals[key] = total
        finals[key] = max(run.content[key], total) if run.pending(key) else run.content[key]

    aimed = {amount.material: amount.mass_mg * run.kept for amount in run.aim.powders}
    doses = {dose.material: dose.fraction for dose in run.aim.doses}
    of_total: list[Material] = []
    for material in recipe.materials:
        if material.is_powder:
            settle(material.key, aimed.get(material.key, run.content[material.key]))
        elif material.role is Role.ICE:
            settle(material.key, run.content[material.key])
    for material in recipe.materials:
        if material.dose is None:
            continue
        if material.dose.of is Basis.TOTAL:
            of_total.append(material)
        else:
            basis = basis_mass(recipe, finals, material.dose.of)
            settle(material.key, doses.get(material.key, Fraction(0)) * basis / material.counted_share)
    water = recipe.water_key
    settle(
        water,
        max(
            Fraction(0),
            run.aim.water_ratio * basis_mass(recipe, finals, recipe.water.of) - free_water(recipe, finals),
        ),
    )
    slurry = sum(finals.values(), Fraction(0))
    composite = slurry / (
        1 - sum((doses.get(material.key, Fraction(0)) for material in of_total), Fraction(0))
    )
    for material in of_total:
        settle(material.key, doses.get(material.key, Fraction(0)) * composite)
    return Projection(
        totals=totals,
        finals=finals,
        ratio=water_ratio(recipe, finals),
        ratio_now=water_ratio(recipe, run.content),
        expanded=2 * _ratio_uncertainty(run, finals, division_mg),
    )


def dosing(run: Run, projection: Projection, step: RunStep, division_mg: int) -> Dosing | None:
    """What to weigh for a step.

    Args:
        run: The batch.
        projection: Of this run.
        step: The step at hand.
        division_mg: Of the scale that shows it, above 0.

    Returns:
        The dose, or None for a step that adds nothing.
    """
    if isinstance(step, ReleaseStep):
        return _released(run, projection, step, division_mg)
    if not isinstance(step, AddStep):
        return None
    total = projection.totals[step.material]
    exact = max(Fraction(0), step.cumulative * total - run.content[step.material])
    last = step.cumulative == 1
    tolerance = run.recipe.material(step.material).tolerance
    under = tolerance.under * total if last else SHARE_TOLERANCE * exact
    over = tolerance.over * total if last else SHARE_TOLERANCE * exact
    return _rounded(step.material, exact, under, over, division_mg)


def still_to_come(run: Run, projection: Projection) -> tuple[tuple[RunStep, Fraction], ...]:
    """Every step not yet done with the mass it will ask for, milligrams (0 for one that adds nothing)."""
    content = dict(run.content)
    left = Fraction(1)
    coming: list[tuple[RunStep, Fraction]] = []
    for step in run.steps:
        if step.key in run.finished:
            continue
        mass = Fraction(0)
        if isinstance(step, AddStep | ReleaseStep) and step.material not in run.ran_out:
            cumulative = step.cumulative if isinstance(step, AddStep) else Fraction(1)
            mass = max(Fraction(0), cumulative * projection.totals[step.material] - content[step.material])
            content[step.material] += mass
        elif isinstance(step, TakeOutStep):
            mass = Fraction(step.mass_mg)
        coming.append((step, mass * left))
        if isinstance(step, SplitStep):
            left *= 1 - step.fraction
    return tuple(coming)


def volume_l(recipe: Recipe, masses_mg: Mapping[str, Fraction]) -> float:
    """Volume of a mix with its air, litres, by absolute volume. Source: ACI 211.1."""
    solid_l = sum(float(mass) / recipe.material(key).density_kg_m3 * 1e-3 for key, mass in masses_mg.items())
    return solid_l / (1 - float(recipe.air_fraction))


def _released(run: Run, projection: Projection, step: ReleaseStep, division_mg: int) -> Dosing:
    total = projection.totals[step.material]
    left = max(Fraction(0), total - run.content[step.material])
    exact = min(left, step.increment * total)
    if left - exact < division_mg:
        exact = left
    over = run.recipe.material(step.material).tolerance.over * total
    return _rounded(step.material, exact, exact, over, division_mg)


def _rounded(material: str, exact: Fraction, under: Fraction, over: Fraction, division_mg: int) -> Dosing:
    """Whole divisions; the band is never narrower than one division either way."""
    target = round(exact / division_mg) * division_mg
    low = min(target - division_mg, int(exact - under))
    high = max(target + division_mg, int(exact + over))
    return Dosing(
        material=material, exact_mg=exact, target_mg=target, low_mg=max(division_mg, low), high_mg=high
    )


def _ratio_uncertainty(run: Run, finals: Mapping[str, Fraction], division_mg: int) -> float:
    """Standard uncertainty of the final ratio from d/sqrt(6) for each net weighing.

    Source: JCGM 100 (rectangular distribution of a rounded reading, two readings for a net).
    """
    recipe = run.recipe
    water = float(free_water(recipe, finals))
    basis = float(basis_mass(recipe, finals, recipe.water.of))
    if not basis:
        return 0.0
    divisions: dict[str, list[int]] = {key: [] for key in finals}
    for entry in run.live:
        if isinstance(entry.fact, WeightRecorded):
            divisions[entry.fact.material].append(entry.fact.division_mg)
    square = 0.0
    for key, weighed in divisions.items():
        if finals[key] > run.content[key]:
            weighed.append(division_mg)
        material = recipe.material(key)
        slope = (
            float(material.water_share) * basis - water * float(material.basis_share(recipe.water.of))
        ) / basis**2
        square += slope**2 * sum(division**2 for division in weighed) / 6
    return float(square**0.5)
