"""What to do about how the mix moves, in the trade's order, one thing at a time.

Too stiff: finish mixing, rest, mix again; a plasticiser the recipe still wants; held-back water to the target, as the
recipe's own step lets it in; more plasticiser in steps to its limit; water to the upper end of the band; then no more.
Stiff and warm, or past its time: discard. Never powder alone, never water into a mix that sets.
"""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from mixstation.batch.events import ConsistencyJudged, Stamp, StepDone, TimerStarted, Verdict, WeightRecorded
from mixstation.batch.moment import too_short, worked_s
from mixstation.batch.run import Run
from mixstation.batch.targets import Projection, dose_band, project
from mixstation.frozen import Frozen
from mixstation.recipe.model import Material, MixStep, ReleaseStep, RestStep, Role
from mixstation.recipe.proportions import basis_mass, free_water

RemedyCode = Literal[
    "mix-first",
    "rest-first",
    "remix-first",
    "go-on",
    "plasticiser",
    "held-back-water",
    "water-to-limit",
    "stop",
    "hold-water",
    "wait",
    "ways-out",
    "discard",
]

# What these say is weighed in, rested, mixed and judged in steps of its own.
DONE_IN_STEPS = frozenset({"mix-first", "remix-first", "plasticiser", "water-to-limit", "wait"})

# Choice: a tenth of the dose shows its effect and leaves room for more.
PLASTICISER_STEP = Fraction(1, 10)
# Common practice: held-back water in steps of a twentieth of the total.
WATER_STEP = Fraction(1, 20)
# Common practice: a plasticiser takes 10 to 15 s to act.
PLASTICISER_MIX_S = 15
# Common practice: each step of water is mixed 20 to 30 s.
WATER_MIX_S = 30
# Common practice: a rest of 2 to 5 minutes wets the powder through.
REST_S = 120


class Remedy(Frozen):
    """The next thing to do.

    Attributes:
        mass_mg: How much, in whole divisions; 0 where nothing is added.
        room_mg: How much more could follow before its limit.
    """

    code: RemedyCode
    material: str = ""
    mass_mg: int = 0
    room_mg: int = 0
    mix_s: int = 0
    rest_s: int = 0


def sets(run: Run, *, past_time: bool) -> bool:
    """Whether the mix, judged so or too stiff past its time, stiffens for good: nothing may go in, least of all water.

    Source: Common practice, no source.
    """
    return run.judged is not None and _sets(run.judged.verdict, past_time)


def _sets(verdict: Verdict | None, past_time: bool) -> bool:
    return verdict == "stiff-and-warm" or (verdict == "too-stiff" and past_time)


def short_of_water(run: Run, projection: Projection, verdict: Verdict) -> bool:
    """Whether a mix found right, or too loose, surely has less water in than its band begins at, with some held back.

    A weight or the scale is off then, or the recipe's water: powder short, water over, or sand damper than said.

    Source: Common practice, no source.
    """
    now, water = projection.ratio_now, run.recipe.water_key
    return (
        verdict in ("right", "too-loose")
        and now is not None
        and now + Fraction(projection.expanded) < run.recipe.water.least
        and run.content[water] < projection.totals[water]
    )


def remedy(run: Run, verdict: Verdict, divisions_mg: Mapping[str, int], *, past_time: bool = False) -> Remedy:
    """The next thing to do about how the mix moves; each division is of the scale that would weigh the material.

    Source: Common practice, no source.
    """
    if _sets(verdict, past_time):
        return Remedy(code="discard")
    too_soon = _short_mixing(run) or _short_release(run) or _too_soon(run)
    if too_soon is not None:
        return too_soon
    if verdict == "right":
        return Remedy(code="go-on")
    projection = project(run, divisions_mg[run.recipe.water_key])
    if verdict == "too-loose":
        return _too_loose(run, projection)
    return (
        _plasticiser(run, projection, divisions_mg, wanted_only=True)
        or _held_back(run, projection, divisions_mg)
        or _plasticiser(run, projection, divisions_mg)
        or _to_limit(run, projection, divisions_mg)
        or Remedy(code="stop")
    )


def _short_mixing(run: Run) -> Remedy | None:
    """A mix that got less than its least mixing looks stiff: it is mixed on before anything is added."""
    last = next(
        (step for step in reversed(run.steps) if isinstance(step, MixStep) and step.key in run.finished), None
    )
    if last is None or last.key not in run.timers or last.key not in run.done_at:
        return None
    return _mix_on(worked_s(run.timers[last.key], run.done_at[last.key]), last.min_s)


def _mix_on(took_s: float, min_s: int) -> Remedy | None:
    return Remedy(code="mix-first", mix_s=round(min_s - took_s)) if too_short(took_s, min_s) else None


def _short_release(run: Run) -> Remedy | None:
    """Held-back water that was judged before it had its mixing is mixed on too."""
    began: Stamp | None = None
    short: Remedy | None = None
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded):
            began, short = None, None
        elif isinstance(fact, TimerStarted):
            began, short = run.timers.get(fact.step), None
        elif isinstance(fact, ConsistencyJudged) and fact.step is not None and began is not None:
            step = run.step_of(fact.step)
            if isinstance(step, ReleaseStep):
                short = _mix_on(worked_s(began, entry.stamp), step.mix_s)
    return short


def _too_soon(run: Run) -> Remedy | None:
    """A judgement holds only once everything is mixed in, rested and mixed again."""
    kinds = {step.key: type(step) for step in run.steps}
    added = mixed = rested = 0
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded):
            added = entry.seq
        elif isinstance(fact, StepDone | TimerStarted):
            kind = kinds[fact.step]
            if kind is RestStep and isinstance(fact, StepDone):
                rested = entry.seq
            elif kind is ReleaseStep or (kind is MixStep and isinstance(fact, StepDone)):
                mixed = entry.seq
    if added > mixed:
        return Remedy(code="mix-first", mix_s=WATER_MIX_S)
    if rested > mixed:
        return Remedy(code="remix-first", mix_s=WATER_MIX_S)
    coming = _rest_at_hand(run)
    return Remedy(code="rest-first", rest_s=coming.min_s, mix_s=WATER_MIX_S) if coming is not None else None


def _rest_at_hand(run: Run) -> RestStep | None:
    """A rest the recipe still wants before anything more goes in."""
    for step in run.steps:
        if step.key in run.finished:
            continue
        if isinstance(step, RestStep):
            return step
        if hasattr(step, "material"):
            return None
    return None


def _too_loose(run: Run, projection: Projection) -> Remedy:
    water = run.recipe.water_key
    if projection.ratio is not None and projection.ratio > run.recipe.water.most:
        return Remedy(code="ways-out")
    if run.pending(water) and projection.finals[water] > run.content[water]:
        return Remedy(code="hold-water", material=water)
    return Remedy(code="wait", rest_s=REST_S, mix_s=WATER_MIX_S)


def _plasticiser(
    run: Run, projection: Projection, divisions_mg: Mapping[str, int], *, wanted_only: bool = False
) -> Remedy | None:
    """Plasticiser, in steps; with `wanted_only` just what a step of the recipe still to come brings."""
    for material in run.recipe.materials:
        if wanted_only and not run.pending(material.key):
            continue
        if material.role is Role.PLASTICISER and material.key not in run.ran_out:
            room = min(
                _dose_room(run, material, projection),
                _water_room(run, material, projection, divisions_mg[material.key]),
            )
            step = PLASTICISER_STEP * projection.totals[material.key]
            if run.pending(material.key):
                step = max(step, projection.totals[material.key] - run.content[material.key])
            found = _dosed("plasticiser", material.key, step, room, divisions_mg, PLASTICISER_MIX_S)
            if found is not None:
                return found
    return None


def _held_back(run: Run, projection: Projection, divisions_mg: Mapping[str, int]) -> Remedy | None:
    key = run.recipe.water_key
    if not run.pending(key):
        return None
    total = projection.totals[key]
    room = min(
        total - run.content[key], _water_room(run, run.recipe.material(key), projection, divisions_mg[key])
    )
    return _dosed("held-back-water", key, WATER_STEP * total, room, divisions_mg, WATER_MIX_S)


def _to_limit(run: Run, projection: Projection, divisions_mg: Mapping[str, int]) -> Remedy | None:
    key = run.recipe.water_key
    if key in run.ran_out:
        return None
    room = _water_room(run, run.recipe.material(key), projection, divisions_mg[key])
    step = WATER_STEP * projection.totals[key]
    return _dosed("water-to-limit", key, step, room, divisions_mg, WATER_MIX_S)


def _dosed(
    code: RemedyCode,
    key: str,
    step: Fraction,
    room: Fraction,
    divisions_mg: Mapping[str, int],
    mix_s: int,
) -> Remedy | None:
    """A step in whole divisions, at least one, never past the room there is; a rest below half a step goes with it."""
    division = divisions_mg[key]
    most = int(room // division) * division
    if most <= 0:
        return None
    mass = min(most, max(division, round(step / division) * division))
    if most - mass < step / 2:
        mass = most
    return Remedy(code=code, material=key, mass_mg=mass, room_mg=most - mass, mix_s=mix_s)


def _dose_room(run: Run, material: Material, projection: Projection) -> Fraction:
    """What may still go in before the recipe's band, the tolerance or the cap is reached."""
    if material.dose is None:
        return Fraction(0)
    ends = [dose_band(material)[1] * basis_mass(run.recipe, projection.finals, material.dose.of)]
    if material.cap is not None:
        ends.append(material.cap.fraction * basis_mass(run.recipe, projection.finals, material.cap.of))
    return min(ends) / material.counted_share - run.content[material.key]


def _water_room(run: Run, material: Material, projection: Projection, division_mg: int) -> Fraction:
    """What may still go in before it cannot be told any more that the ratio is inside the upper end of the band.

    Counted on what is in now with all powders as they will be: held-back water is not in yet. The weighings so far
    leave the ratio unsure by `expanded`, this one by less than a division of its mass.
    """
    share = material.water_share
    rule = run.recipe.water
    masses = {
        key: max(run.content[key], final) if run.recipe.material(key).is_powder else run.content[key]
        for key, final in projection.finals.items()
    }
    if share <= 0:
        return sum(masses.values(), Fraction(0))
    surely = rule.most - Fraction(projection.expanded)
    limit = surely * basis_mass(run.recipe, masses, rule.of) - free_water(run.recipe, masses)
    return limit / share - division_mg
