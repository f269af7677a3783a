"""One bucket's batch as it stands: the facts folded, in order, with those taken back left out.

Rules: `fold` is total over stored batches: it gives a run or raises `FoldError`; it reads no clock and nothing
outside its arguments; the same entries give an equal run. `content` is exact (fractions of a milligram appear
only when a portion of the mixed bucket is taken out).
"""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import Literal, assert_never

from mixstation.batch import events
from mixstation.batch.bounds import MOST_MG, aim_fits, recipe_fits
from mixstation.batch.damp_sand import damped
from mixstation.batch.flag import KINDS
from mixstation.batch.moment import worked_s
from mixstation.batch.named import named
from mixstation.batch.state import Run as Run
from mixstation.batch.step import PLACE, goes_on_alone
from mixstation.batch.step import RunStep as RunStep
from mixstation.batch.step import TakeOutStep as TakeOutStep
from mixstation.batch.step import put_in_step as put_in_step
from mixstation.recipe.model import AddStep, ConsistencyStep, MixStep, NoteStep, RestStep, Role

# What was left standing past the outer limit may stand past the inner one, where more of the rest has gone in since.
_SAYS_LESS = {kind.code: kind.says_too for kind in KINDS if kind.says_too}


FoldCode = Literal[
    "no-start",
    "started-twice",
    "gap",
    "unknown-material",
    "unknown-step",
    "not-a-mass",
    "unfit-recipe",
    "unfit-aim",
]


class FoldError(ValueError):
    """Stored entries that cannot be a batch of ours; "unfit" where nothing could be reckoned from it."""

    def __init__(self, code: FoldCode, seq: int) -> None:
        """Keep the code and the entry."""
        super().__init__(f"{code} at entry {seq}")
        self.code: FoldCode = code
        self.seq = seq


def fold(entries: Iterable[events.Entry]) -> Run:
    """Replay a stored batch.

    Raises:
        FoldError: The entries cannot be a batch of ours.
    """
    stored = tuple(entries)
    if not stored or not isinstance(stored[0].fact, events.BatchStarted):
        raise FoldError("no-start", stored[0].seq if stored else 0)
    for place, entry in enumerate(stored, start=1):
        if entry.seq != place:
            raise FoldError("gap", entry.seq)
    if not recipe_fits(stored[0].fact.recipe):
        raise FoldError("unfit-recipe", 1)
    if not aim_fits(stored[0].fact.recipe, stored[0].fact.aim):
        raise FoldError("unfit-aim", 1)
    return _replay(stored)


def apply(run: Run, entry: events.Entry) -> Run:
    """The state after one more entry; equal to folding everything anew.

    Raises:
        FoldError: The entry cannot follow.
    """
    if entry.seq != len(run.entries) + 1:
        raise FoldError("gap", entry.seq)
    entries = (*run.entries, entry)
    if isinstance(entry.fact, events.EntryTakenBack):
        return _replay(entries)
    return _after(replace(run, entries=entries), entry)


def _voided(entries: tuple[events.Entry, ...]) -> frozenset[int]:
    """Entries no longer counted: read from the newest back, a void taking-back voids nothing."""
    void: set[int] = set()
    for entry in reversed(entries):
        if isinstance(entry.fact, events.EntryTakenBack) and entry.seq not in void:
            void.update(seq for seq in entry.fact.seqs if 1 < seq < entry.seq)
    return frozenset(void)


def _replay(entries: tuple[events.Entry, ...]) -> Run:
    start = entries[0].fact
    assert isinstance(start, events.BatchStarted)
    void = _voided(entries)
    run = Run(
        entries=entries,
        void=void,
        start=start,
        steps=start.recipe.steps,
        aim=start.aim,
        content={material.key: Fraction(0) for material in start.recipe.materials},
        weighing=start.weighing,
        settings=start.settings,
    )
    for entry in entries[1:]:
        if entry.seq not in void:
            run = _after(run, entry)
    return run


def _after(run: Run, entry: events.Entry) -> Run:
    """Fold in one entry that counts."""
    fact: events.Fact = entry.fact
    _refuse_strangers(run, entry)
    match fact:
        case events.BatchStarted():
            raise FoldError("started-twice", entry.seq)
        case events.SafetyAcknowledged():
            return replace(run, acknowledged=True)
        case events.ReferenceTaken():
            # Read with another vessel on the scale (a change of vessel taken back since), it is no start reading.
            fits = fact.weighing == run.stands
            return replace(run, references={**run.references, fact.step: fact}) if fits else run
        case events.KeyPressed():
            return _key_pressed(run, fact)
        case events.TubFilled():
            return replace(run, tubs={**run.tubs, fact.step: fact}) if run.stands == "tub" else run
        case events.WeightRecorded():
            return _weight_in(run, fact, entry.stamp)
        case events.MaterialRemoved():
            return _removed(run, fact)
        case events.PortionTaken():
            return _place_next(_portion_out(run, fact), fact, entry.seq)
        case events.TimerStarted():
            return replace(run, timers={**run.timers, fact.step: entry.stamp})
        case events.StepDone():
            done_at = {**run.done_at, fact.step: entry.stamp}
            return replace(_finish(run, fact.step), done_at=done_at)
        case events.StepSkipped():
            return replace(_finish(run, fact.step), skipped={**run.skipped, fact.step: fact.reason})
        case events.StepBroughtForward():
            return replace(run, forward=fact.step, references=_of_full_tubs(run))
        case events.ConsistencyJudged():
            return replace(run, judged=fact, judged_at=entry.seq)
        case events.TemperatureTaken():
            return replace(run, mix_milli_c=fact.mix_milli_c)
        case events.BatchPaused():
            return replace(run, paused=True, paused_at=run.paused_at or entry.stamp)
        case events.BatchTakenUp():
            return _taken_up(run, entry.stamp)
        case events.WeighingChanged():
            return replace(run, weighing=fact.weighing, weighing_told=True, references={}, tubs={})
        case events.SupplyRanOut():
            return replace(run, ran_out=run.ran_out | {fact.material})
        case events.WayTaken():
            return _way_in(run, fact, entry.seq)
        case events.RemedyTaken():
            return _remedy_in(run, fact, entry.seq)
        case events.FlagRaised():
            return replace(run, raised=run.raised | {(fact.code, fact.about)})
        case events.LotOpened():
            return replace(run, lots={**run.lots, fact.material: fact.lot})
        case events.SandFound():
            return damped(run, fact)
        case events.FlagPutAway():
            return replace(run, put_away={**run.put_away, (fact.code, fact.about): fact})
        case events.ProgramResumed():
            run = replace(run, settings=fact.settings or run.settings)
            return _resumed(run, entry.stamp, run.entries[entry.seq - 2].stamp)
        case events.ClockStepped():
            return _clock_set(run, fact.by_ms)
        case (
            events.EntryTakenBack()
            | events.ReleaseGoesOn()
            | events.ScaleChanged()
            | events.NoteWritten()
            | events.DensityMeasured()
        ):
            return run
        case events.BatchFinished():
            return replace(run, ended="finished")
        case events.BatchDiscarded():
            return replace(run, ended="discarded")
        case _ as forgotten:
            assert_never(forgotten)


def _refuse_strangers(run: Run, entry: events.Entry) -> None:
    fact = entry.fact
    names = named(fact)
    if any(material not in run.content for material in names.materials):
        raise FoldError("unknown-material", entry.seq)
    if names.step is not None and all(step.key != names.step for step in run.steps):
        raise FoldError("unknown-step", entry.seq)
    if names.mass_mg is not None and not 0 < names.mass_mg <= MOST_MG:
        raise FoldError("not-a-mass", entry.seq)
    if isinstance(fact, events.WayTaken) and not aim_fits(run.recipe, fact.aim):
        raise FoldError("unfit-aim", entry.seq)
    if isinstance(fact, events.RemedyTaken) and not aim_fits(run.recipe, remedied(run, fact)):
        raise FoldError("unfit-aim", entry.seq)


def _key_pressed(run: Run, fact: events.KeyPressed) -> Run:
    """What is being weighed goes on from where it was: its start reading moves with the display."""
    reference = None if fact.step is None else run.references.get(fact.step)
    if reference is None:
        return run
    moved = replace(reference, gross_mg=reference.gross_mg + fact.by_mg)
    return replace(run, references={**run.references, reference.step: moved})


def _finish(run: Run, key: str) -> Run:
    forward = "" if run.forward == key else run.forward
    references = {step: reference for step, reference in run.references.items() if step != key}
    tubs = {step: tub for step, tub in run.tubs.items() if step != key}
    return replace(run, finished=run.finished | {key}, forward=forward, references=references, tubs=tubs)


def _of_full_tubs(run: Run, emptied: str | None = None) -> dict[str, events.ReferenceTaken]:
    """The start readings that outlast all that moves mass: those of tubs still full, to be weighed back."""
    return {step: run.references[step] for step in run.tubs if step in run.references and step != emptied}


def _weight_in(run: Run, fact: events.WeightRecorded, stamp: events.Stamp) -> Run:
    content = {**run.content, fact.material: run.content[fact.material] + fact.mass_mg}
    is_water = fact.material == run.recipe.water_key
    first = run.first_water or (stamp if is_water else None)
    tubs = {step: tub for step, tub in run.tubs.items() if step != fact.step}
    references = _of_full_tubs(run, fact.step)
    run = replace(run, content=content, first_water=first, references=references, tubs=tubs)
    if fact.step is not None:
        return run
    # What was left standing of this material was less than what stands now.
    left = frozenset(pair for pair in run.given_up if pair[1] != fact.material)
    return replace(run, given_up=left)


def _removed(run: Run, fact: events.MaterialRemoved) -> Run:
    key, left = fact.material, run.content[fact.material] - fact.mass_mg
    overdrawn = run.overdrawn | {key} if left < 0 else run.overdrawn
    content = {**run.content, key: max(Fraction(0), left)}
    return replace(run, content=content, overdrawn=overdrawn, references=_of_full_tubs(run))


def _portion_out(run: Run, fact: events.PortionTaken) -> Run:
    whole = run.in_bucket_mg
    left = max(Fraction(0), 1 - fact.mass_mg / whole) if whole else Fraction(1)
    # With all of it gone (which a weighing taken back later can feign) the batch is aimed at anew.
    asked_by_way = fact.step is not None and isinstance(run.step_of(fact.step), TakeOutStep)
    return replace(
        run,
        content={key: mass * left for key, mass in run.content.items()},
        kept=run.kept if asked_by_way or not left else run.kept * left,
        overdrawn=run.overdrawn if left else run.overdrawn | set(run.content),
        references=_of_full_tubs(run),
    )


def _place_next(run: Run, fact: events.PortionTaken, seq: int) -> Run:
    """Put in, behind the step that took a layer out, that it is placed."""
    if not fact.place_next:
        return run
    place = next((at for at, step in enumerate(run.steps, start=1) if step.key == fact.step), 0)
    placed = NoteStep(key=put_in_step(seq, PLACE), say=fact.layer)
    return replace(run, steps=(*run.steps[:place], placed, *run.steps[place:]))


def _taken_up(run: Run, now: events.Stamp) -> Run:
    """The paddle stood still while the mixer was away; a rest went on."""
    if run.paused_at is None:
        return run
    away_ms = round(1000 * worked_s(run.paused_at, now))
    timers = {
        key: replace(began, mono_ms=began.mono_ms + away_ms) if _by_hand(run, key) else began
        for key, began in run.timers.items()
    }
    return replace(run, paused=False, paused_at=None, timers=timers)


def _resumed(run: Run, now: events.Stamp, last: events.Stamp) -> Run:
    """Nobody knows how long the paddle turned if the machine was started anew: that mixing begins again.

    A wall clock behind its last word and the time that has surely gone since was set back by so much.
    """
    ran_ms = now.boot_ms - last.boot_ms if now.boot_ms >= last.boot_ms else now.boot_ms
    behind_ms = last.utc_ms + ran_ms - now.utc_ms
    if last.boot_id != now.boot_id and behind_ms > 0:
        run = _clock_set(run, -behind_ms)
    timers = {
        key: began
        for key, began in run.timers.items()
        if began.boot_id == now.boot_id or not _by_hand(run, key)
    }
    return replace(run, timers=timers)


def _by_hand(run: Run, key: str) -> bool:
    """Whether a timer is of mixing not yet done."""
    return key not in run.finished and not goes_on_alone(run.step_of(key))


def _clock_set(run: Run, by_ms: int) -> Run:
    """What is reckoned from the wall clock, should the machine be started anew, moves with it."""
    timers = {
        key: began if key in run.finished else replace(began, utc_ms=began.utc_ms + by_ms)
        for key, began in run.timers.items()
    }
    first = run.first_water
    return replace(run, timers=timers, first_water=first and replace(first, utc_ms=first.utc_ms + by_ms))


def _way_in(run: Run, fact: events.WayTaken, seq: int) -> Run:
    """Put a way's own steps before all that is not yet done and steer to its aim."""
    put_in: list[RunStep] = []

    def key() -> str:
        return put_in_step(seq, len(put_in) + 1)

    if fact.pour_back_mg > 0:
        put_in.append(TakeOutStep(key=key(), material=run.recipe.water_key, mass_mg=fact.pour_back_mg))
    if fact.scoop_mg > 0:
        put_in.append(TakeOutStep(key=key(), material="", mass_mg=fact.scoop_mg))
    for material in fact.make_up:
        # What no later step brings is brought to its whole total.
        due = run.due(material) if run.pending(material) else Fraction(1)
        put_in.append(AddStep(key=key(), material=material, share=Fraction(0), cumulative=due))
    if fact.mix_s > 0:
        put_in.append(_mixing(run, key(), fact.mix_s, fact.make_up))
    given_up = _given_up(run, fact.gives_up)
    return replace(
        _before_the_rest(run, put_in),
        aim=fact.aim,
        kept=Fraction(1),
        gives_up=run.gives_up | {code for code, _ in given_up},
        given_up=run.given_up | given_up,
    )


def _remedy_in(run: Run, fact: events.RemedyTaken, seq: int) -> Run:
    """Put a remedy's own steps before all that is not yet done and steer to its aim."""
    put_in: list[RunStep] = []
    added = () if fact.material is None else (fact.material,)

    def key() -> str:
        return put_in_step(seq, len(put_in) + 1)

    for material in added:
        put_in.append(AddStep(key=key(), material=material, share=Fraction(0), cumulative=Fraction(1)))
    if fact.rest_s > 0:
        put_in.append(RestStep(key=key(), min_s=fact.rest_s, max_s=3 * fact.rest_s))
    if fact.mix_s > 0:
        put_in.append(_mixing(run, key(), fact.mix_s, added))
    put_in.append(_judging(run, key()))
    return replace(_before_the_rest(run, put_in), aim=remedied(run, fact))


def remedied(run: Run, fact: events.RemedyTaken) -> events.Aim:
    """The aim that stands, with the remedy's one dose, or the water ratio, as it is to be."""
    if fact.aimed is None:
        return run.aim
    if fact.material == run.recipe.water_key:
        return replace(run.aim, water_ratio=fact.aimed)
    doses = (
        replace(dose, fraction=fact.aimed) if dose.material == fact.material else dose
        for dose in run.aim.doses
    )
    return replace(run.aim, doses=tuple(doses))


def _before_the_rest(run: Run, put_in: list[RunStep]) -> Run:
    """With steps put in, the first of them at hand."""
    left = (place for place, step in enumerate(run.steps) if step.key not in run.finished)
    place = next(left, len(run.steps))
    steps = (*run.steps[:place], *put_in, *run.steps[place:])
    return replace(run, steps=steps, forward="", references=_of_full_tubs(run))


def _mixing(run: Run, key: str, mix_s: int, added: tuple[str, ...]) -> MixStep:
    """Mixing that was put in; slow once fibres are in the bucket."""
    fibres = run.fibres_in or any(run.recipe.material(each).role is Role.FIBRE for each in added)
    speed: Literal["slow", "fast"] = "slow" if fibres else "fast"
    return MixStep(key=key, min_s=mix_s, max_s=3 * mix_s, speed=speed)


def _judging(run: Run, key: str) -> ConsistencyStep:
    """A judgement by the same method as the one before it."""
    judged = run.judged.step if run.judged is not None else None
    before = run.step_of(judged) if judged is not None else None
    if isinstance(before, ConsistencyStep):
        return replace(before, key=key)
    return ConsistencyStep(key=key, method="trowel")


def _given_up(run: Run, codes: tuple[str, ...]) -> set[tuple[str, str]]:
    """Flags a way leaves standing, with those that say less of the same.

    Of water and bucket there is one each, of materials those put before the mixer.
    """
    put = {pair for pair in run.raised if pair[0] in codes}
    put |= {(code, about) for code in codes for about in ("", run.recipe.water_key)}
    return put | {(_SAYS_LESS[code], about) for code, about in put if code in _SAYS_LESS}
