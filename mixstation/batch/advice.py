"""What to do next, how much, and what is wrong: worked out from a run, the moment, and the live reading.

`stand` is the part that changes only with the facts (kept by the caller between ticks); `advise` adds the clock and
the scale, and is cheap.
"""

from dataclasses import replace
from fractions import Fraction
from math import floor
from typing import Literal, assert_never

from mixstation.batch.consistency import sets
from mixstation.batch.dosing import Dosing, dosing
from mixstation.batch.events import WeighedApart, Weighing
from mixstation.batch.flag import Flag, in_order
from mixstation.batch.flag.weighing import (
    ScaleFault,
    ScaleOtherUnit,
    ScaleSilent,
    ScaleUnitChanged,
    ScaleUnreadable,
)
from mixstation.batch.flag.work import StiffAndWarm, TimeLate, TimeNear, TimePast
from mixstation.batch.flags import standing_flags
from mixstation.batch.moment import Live, Moment, celsius, chemical_s, too_long, worked_s
from mixstation.batch.phase import ASKS_FOR_MORE, POURING, Phase, phase
from mixstation.batch.placed import ended_at
from mixstation.batch.reconcile import pour_begins_mg
from mixstation.batch.run import Run, RunStep, TakeOutStep
from mixstation.batch.step import bounds_s, goes_on_alone
from mixstation.batch.targets import Projection, project, split_share, still_to_come
from mixstation.batch.work_flags import long_flag
from mixstation.frozen import Frozen
from mixstation.proportion.maturity import working_minutes_band
from mixstation.recipe import model
from mixstation.units.plausible import RANGES

Cue = Literal["", "pour", "slow", "stop", "over"]
NetPlace = Literal["under", "inside", "over"]

# Choice: the hand is warned this long before it must stop.
SLOW_S = 1.5
# Choice: mixes outside these are reckoned at the nearer bound, °C.
_MIX_C = RANGES["measured temperature"]
# Choice: the last twentieth of a dose is poured slowly however slowly it runs.
SLOW_SHARE = 0.05


class Standing(Frozen):
    """What the facts alone say.

    Attributes:
        division_mg: Of the main scale, which targets are rounded to.
        apart: The other scale that what is to be weighed now is rounded to and weighed on, or None.
        if_sets: What is so instead once the mix sets or is past its time: no water is asked for any more. None where
            none is asked for anyway, or nobody has found the mix stiff.
    """

    run: Run
    phase: Phase
    step: RunStep | None
    projection: Projection
    dosing: Dosing | None
    coming: tuple[tuple[RunStep, Fraction], ...]
    flags: tuple[Flag, ...]
    division_mg: int
    apart: WeighedApart | None = None
    if_sets: "Standing | None" = None


class Working(Frozen):
    """Working time.

    Attributes:
        since_s: Seconds since the first water, or None before it.
        low_s: Earlier end of the band, seconds from first water.
        high_s: Later end.
        place: "before", "good", "near" (four fifths of the earlier end gone), "past".
    """

    since_s: float | None
    low_s: float
    high_s: float
    place: Literal["before", "good", "near", "past"]


class RunningTimer(Frozen):
    """A mixing or resting timer that runs."""

    elapsed_s: float
    min_s: int
    max_s: int


class Net(Frozen):
    """A dose on its way in (or a portion on its way out)."""

    net_mg: int
    place: NetPlace
    cue: Cue
    steady: bool


class Advice(Frozen):
    """All a screen needs to be told.

    Attributes:
        sets: The mix stiffens for good: nothing more may go in.
        net: A dose on its way, or None without a live reading and a reference.
    """

    standing: Standing
    sets: bool
    working: Working
    timing: RunningTimer | None
    net: Net | None
    flags: tuple[Flag, ...]


def is_put_away(run: Run, flag: Flag) -> bool:
    """Whether a flag was read and put away, and is no worse since."""
    away = run.put_away.get((flag.code, flag.about))
    return away is not None and not flag.is_worse_than(away.gravity, away.figure)


def stand(run: Run, division_mg: int) -> Standing:
    """What the facts alone say; `division_mg` is of the main scale, above 0."""
    projection = project(run, division_mg)
    step = run.step
    weigh = dosing(run, projection, step, division_mg) if step is not None else None
    standing = Standing(
        run=run,
        phase=phase(run),
        step=step,
        projection=projection,
        dosing=weigh,
        coming=still_to_come(run, projection),
        flags=standing_flags(run, projection, weigh, division_mg),
        division_mg=division_mg,
        apart=None if weigh is None else run.apart(weigh.material, division_mg),
    )
    if standing.phase == "release-rest" and weigh is not None and weigh.exact_mg and step is not None:
        return _rest_left_out(standing, step)
    asks = standing.phase in ASKS_FOR_MORE and step is not None and _brings_water(run, step)
    return (
        replace(standing, if_sets=_without_water(standing))
        if asks and sets(run, past_time=True)
        else standing
    )


def _brings_water(run: Run, step: RunStep) -> bool:
    return isinstance(step, model.AddStep | model.ReleaseStep) and step.material == run.recipe.water_key


def _rest_left_out(standing: Standing, step: RunStep) -> Standing:
    """The standing once the step at hand is left out, which is what is asked: where the batch then ends."""
    run = replace(standing.run, finished=standing.run.finished | {step.key}, forward="")
    projection = project(run, standing.division_mg)
    coming = ((step, Fraction(0)), *still_to_come(run, projection))
    return replace(standing, projection=projection, coming=coming)


def _without_water(standing: Standing) -> Standing:
    """The standing with every step that brings water left out."""
    run, division_mg = standing.run, standing.division_mg
    left_out = {step.key for step in run.steps if _brings_water(run, step)}
    dry = replace(run, finished=run.finished | left_out, forward="")
    projection = project(dry, division_mg)
    now = () if standing.step is None else ((standing.step, Fraction(0)),)
    return replace(
        standing,
        phase="setting",
        projection=projection,
        dosing=None,
        apart=None,
        coming=(*now, *still_to_come(dry, projection)),
        flags=standing_flags(dry, projection, None, division_mg),
    )


def advise(
    standing: Standing, moment: Moment, live: Live | None, preact_s: float = 0.5, *, slowed: bool = False
) -> Advice:
    """Advice at a moment.

    Args:
        preact_s: How long the pour runs on after the hand is told to stop, 0 to 3 s.
        slowed: Whether the hand was already told to slow in this pour; it is not told to hurry again.
    """
    run = standing.run
    working = _working(run, moment)
    past = working.place == "past"
    stiff = sets(run, past_time=past)
    standing = standing.if_sets if stiff and standing.if_sets is not None else standing
    timing = _timing(standing, moment)
    net = _net(standing, live, preact_s, slowed=slowed)
    stood = [_too_late(flag) for flag in standing.flags] if stiff or past else standing.flags
    flags = [*stood, *_clock_flags(standing, working, timing), *_scale_flags(standing, live)]
    return Advice(
        standing=standing,
        sets=stiff,
        working=working,
        timing=timing,
        net=net,
        flags=in_order(flags),
    )


def take_out_mg(standing: Standing) -> int | None:
    """What to take out at a split or where a way asks for it, in whole divisions; None at other steps."""
    step, run, division_mg = standing.step, standing.run, standing.division_mg
    match step:
        case model.SplitStep():
            out_mg = run.in_bucket_mg * split_share(run, step, run.in_bucket_mg)
            return round(out_mg / division_mg) * division_mg
        case TakeOutStep():
            # Less may be in by now than the way was worked out for; all of a mix never comes out.
            inside = run.content[step.material] if step.material else run.in_bucket_mg - Fraction(1, 2)
            return min(step.mass_mg, max(0, floor(inside / division_mg) * division_mg))
        case None | model.AddStep() | model.ReleaseStep():
            return None
        case model.MixStep() | model.ScrapeStep() | model.RestStep():
            return None
        case model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
            return None
        case _ as forgotten:
            assert_never(forgotten)


def signed_net_mg(weighing: Weighing, takes_out: bool, gross_mg: int, reference_mg: int) -> int:
    """How much has gone in (or come out) since the reference, mg; negative when it went the wrong way.

    Args:
        weighing: What stands on the scale. For taking out, "tub" means the vessel the portion goes into.

    Example:
        >>> signed_net_mg("supply", False, 7000, 10000)
        3000
    """
    falls = weighing == "supply" or (takes_out and weighing == "bucket")
    return reference_mg - gross_mg if falls else gross_mg - reference_mg


def _net(standing: Standing, live: Live | None, preact_s: float, *, slowed: bool) -> Net | None:
    step, run = standing.step, standing.run
    if live is None or live.mass_mg is None or live.state in ("stale", "fault", "none") or step is None:
        return None
    if standing.phase not in (*POURING, "take-out", "setting"):
        return None
    reference = run.references.get(step.key)
    out_mg = take_out_mg(standing)
    if reference is None:
        return None
    begins_mg = pour_begins_mg(run, reference, live.mass_mg, standing.division_mg)
    net_mg = signed_net_mg(reference.weighing, out_mg is not None, live.mass_mg, begins_mg)
    if standing.dosing is not None:
        target, low, high = standing.dosing.target_mg, standing.dosing.low_mg, standing.dosing.high_mg
    elif out_mg is not None:
        slack = max(standing.division_mg, out_mg // 50)
        target, low, high = out_mg, out_mg - slack, out_mg + slack
    elif standing.phase == "setting" and reference.weighing != "tub":
        # What was poured before the time was up is in all the same.
        return Net(net_mg=net_mg, place="over", cue="", steady=live.state == "steady")
    else:
        return None
    place: NetPlace = "under" if net_mg < low else "over" if net_mg > high else "inside"
    steady = live.state == "steady"
    cue = _cue(target - net_mg, target, place, abs(live.flow_mg_s), preact_s, slowed=slowed)
    return Net(net_mg=net_mg, place=place, cue="stop" if place == "inside" and steady else cue, steady=steady)


def _cue(
    to_go_mg: int, target_mg: int, place: NetPlace, flow_mg_s: float, preact_s: float, *, slowed: bool
) -> Cue:
    """The aim is the target, not the near end of the tolerance."""
    if place == "over":
        return "over"
    if to_go_mg <= flow_mg_s * preact_s:
        return "stop"
    if slowed or to_go_mg <= max(flow_mg_s * (preact_s + SLOW_S), target_mg * SLOW_SHARE):
        return "slow"
    return "pour"


def _working(run: Run, moment: Moment) -> Working:
    """The recipe's working time at 20 °C, moved to the mix's own temperature."""
    mix_c = celsius(run.mix_milli_c) if run.mix_milli_c is not None else run.start.shop_c
    mix_c = 20.0 if mix_c is None else min(max(mix_c, float(_MIX_C.least)), float(_MIX_C.most))
    low, high = working_minutes_band(run.recipe.working_min, 20.0, mix_c)
    low_s, high_s = low * 60, high * 60
    if run.first_water is None:
        return Working(since_s=None, low_s=low_s, high_s=high_s, place="before")
    # What has ended ages no more for the mixer, however long it is looked at and whoever sets a clock meanwhile.
    since_s = chemical_s(run.first_water, ended_at(run) or moment)
    place: Literal["good", "near", "past"] = "good"
    if since_s >= low_s:
        place = "past"
    elif since_s >= 0.8 * low_s:
        place = "near"
    return Working(since_s=since_s, low_s=low_s, high_s=high_s, place=place)


def _timing(standing: Standing, moment: Moment) -> RunningTimer | None:
    step, run = standing.step, standing.run
    if step is None or step.key not in run.timers:
        return None
    began, bounds = run.timers[step.key], bounds_s(step)
    if bounds is None or (isinstance(step, model.ReleaseStep) and standing.phase != "release-mixing"):
        return None
    alone = goes_on_alone(step)
    elapsed_s = chemical_s(began, moment) if alone else worked_s(began, run.paused_at or moment)
    return RunningTimer(elapsed_s=elapsed_s, min_s=bounds[0], max_s=bounds[1])


def _too_late(flag: Flag) -> Flag:
    """A flag that would have something added, told that nothing may be."""
    return replace(flag, too_late=True) if flag.asks_to_add else flag


def _clock_flags(standing: Standing, working: Working, timing: RunningTimer | None) -> list[Flag]:
    flags: list[Flag] = []
    if working.since_s is not None and standing.phase != "ended":
        since_s = working.since_s
        kind: type[TimePast | TimeLate | TimeNear] | None = (
            TimeNear if working.place in ("near", "past") else None
        )
        if since_s >= working.high_s:
            kind = TimePast
        elif too_long(since_s, working.low_s):
            kind = TimeLate
        if kind is not None:
            flags.append(kind(since_s=int(since_s), low_s=int(working.low_s), high_s=int(working.high_s)))
    if timing is not None and too_long(timing.elapsed_s, timing.max_s) and standing.step is not None:
        took_s, bounds = timing.elapsed_s, (timing.min_s, timing.max_s)
        flags.append(long_flag(standing.run, standing.step, took_s, *bounds, ended=False))
    judged = standing.run.judged
    if judged is not None and judged.verdict == "stiff-and-warm":
        flags.append(StiffAndWarm())
    return flags


def _counts_in(division_mg: int, last_digit_mg: int) -> bool:
    """Whether a scale of that division, perhaps in twos or fives of its last digit, shows such digits."""
    count, rest = divmod(division_mg, last_digit_mg)
    return rest == 0 and 1 <= count < 10


def _scale_flags(standing: Standing, live: Live | None) -> list[Flag]:
    if live is None or standing.phase not in ("pour", "tub-fill", "tub-tip", "take-out"):
        return []
    if live.state == "stale":
        if live.other_unit:
            return [ScaleOtherUnit()]
        return [ScaleUnreadable(shown=live.unread) if live.unread else ScaleSilent()]
    if live.state == "fault":
        return [ScaleFault(shown=live.shown)]
    reference = standing.run.references.get(standing.step.key) if standing.step is not None else None
    if reference is not None and live.division_mg and not _counts_in(reference.division_mg, live.division_mg):
        return [ScaleUnitChanged(shown=live.shown)]
    return []
