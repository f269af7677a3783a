"""Targets that follow the readings: what each total should be, what is still to add, and where the ratio will end.

Rules: powders are aimed at by mass; every other dose follows the powders as they are (actual where no step is left
to change them); the water is the balance of everything that carries water.
"""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import assert_never

from mixstation.batch.events import Aim, Amount, DoseAim
from mixstation.batch.run import Run, RunStep, TakeOutStep
from mixstation.batch.uncertainty import ratio_uncertainty
from mixstation.frozen import Frozen
from mixstation.recipe import model
from mixstation.recipe.proportions import basis_mass, free_water


class Projection(Frozen):
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


def water_ratio(recipe: model.Recipe, masses: Mapping[str, Fraction]) -> Fraction | None:
    """Free water over the recipe's own basis, or None while there is no basis."""
    basis = basis_mass(recipe, masses, recipe.water.of)
    return free_water(recipe, masses) / basis if basis else None


def dose_now(
    recipe: model.Recipe, material: model.Material, masses: Mapping[str, Fraction]
) -> Fraction | None:
    """A dose as the recipe counts it (its solids or its mass, on its own basis), or None while there is no basis."""
    if material.dose is None:
        return None
    basis = basis_mass(recipe, masses, material.dose.of)
    return masses[material.key] * material.counted_share / basis if basis else None


def aim_of(recipe: model.Recipe, powders: Mapping[str, int]) -> Aim:
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


def dose_band(material: model.Material) -> tuple[Fraction, Fraction]:
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
        division_mg: Of the main scale, taken for what is still to be weighed on it.

    Returns:
        Totals and finals for the bucket as it is now (before any portion still to be split off, but after what a way
        out still asks to take out: its aim is for the bucket then).
    """
    recipe, content = run.recipe, after_take_outs(run)
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
        elif material.role is model.Role.ICE:
            settle(material.key, content[material.key])
    of_total: dict[str, Fraction] = {}
    for material in recipe.materials:
        if material.dose is None:
            continue
        fraction = doses.get(material.key, Fraction(0))
        if material.dose.of is model.Basis.TOTAL:
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
        expanded=2
        * ratio_uncertainty(run, finals, {key: run.division_of(key, division_mg) for key in finals}),
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


def still_to_come(run: Run, projection: Projection) -> tuple[tuple[RunStep, Fraction], ...]:
    """Every step not yet done, one brought forward first, with the mass it will ask for or take out, milligrams.

    Returns:
        With 0 for one that moves nothing, or takes out a fraction of what is in.
    """
    content = after_take_outs(run)
    left = Fraction(1)
    coming: list[tuple[RunStep, Fraction]] = []
    for step in _in_order(run):
        mass, after = Fraction(0), left
        match step:
            case model.AddStep() | model.ReleaseStep():
                if step.material not in run.ran_out:
                    share = run.brings_to(step) if isinstance(step, model.AddStep) else Fraction(1)
                    mass = max(Fraction(0), share * projection.totals[step.material] - content[step.material])
                    content[step.material] += mass
            case TakeOutStep():
                mass = Fraction(step.mass_mg)
            case model.SplitStep():
                whole = sum(content.values(), Fraction(0))
                share = split_share(run, step, whole * left)
                # A fraction is no mass; the layer of a planned piece is.
                mass = share * whole if run.start.needed_l else mass
                after = left * (1 - share)
            case model.MixStep() | model.ScrapeStep() | model.RestStep():
                pass
            case model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
                pass
            case _ as forgotten:
                assert_never(forgotten)
        coming.append((step, mass * left))
        left = after
    return tuple(coming)


def _in_order(run: Run) -> tuple[RunStep, ...]:
    """The steps not yet done as they will be done: one brought forward is done before a layer is taken out."""
    to_come = (step for step in run.steps if step.key not in run.finished)
    return tuple(sorted(to_come, key=lambda step: step.key != run.forward))


def split_share(run: Run, step: model.SplitStep, whole_mg: Fraction) -> Fraction:
    """Share of what is in the bucket, `whole_mg`, that a split takes out.

    The layer of a planned piece is a mass: `fraction` of what the plan has in then. It is less only where the batch is
    steered to less; one that grew has it too, for the mould's face did not grow.
    """
    if not run.start.needed_l or not whole_mg:
        return step.fraction
    planned_mg = sum(_planned_at(run, step).values(), Fraction(0))
    powders = [sum(each.mass_mg for each in aim.powders) for aim in (run.start.aim, run.aim)]
    size = min(Fraction(1), run.kept * Fraction(powders[1], powders[0])) if powders[0] else Fraction(1)
    return min(Fraction(1), step.fraction * planned_mg * size / whole_mg)


def _planned_at(run: Run, split: model.SplitStep) -> dict[str, Fraction]:
    """What is in the bucket at a split by the plan, milligrams."""
    start = replace(
        run,
        content=dict.fromkeys(run.content, Fraction(0)),
        steps=run.recipe.steps,
        aim=run.start.aim,
        kept=Fraction(1),
        finished=frozenset(),
        ran_out=frozenset(),
        overdrawn=frozenset(),
    )
    shares = dict.fromkeys(run.content, Fraction(0))
    for step in run.recipe.steps:
        if step.key == split.key:
            break
        if isinstance(step, model.AddStep):
            shares[step.material] = step.cumulative
        elif isinstance(step, model.ReleaseStep):
            shares[step.material] = Fraction(1)
    return {key: total * shares[key] for key, total in project(start).totals.items()}


def after_take_outs(run: Run) -> dict[str, Fraction]:
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
