"""Deciding what a taking-back voids."""

from dataclasses import replace
from typing import assert_never

from mixstation.batch import events
from mixstation.batch.commands import SwapMaterial, TakeBack
from mixstation.batch.decide_work import RAN_OUT
from mixstation.batch.named import named
from mixstation.batch.refusal import CannotTakeBack, Plain, RefusedError, UnknownMaterial, said
from mixstation.batch.run import FoldError, Run, apply, put_in_step
from mixstation.batch.step import material_of
from mixstation.recipe.model import RestStep

TAKES_BACK = (
    events.ReferenceTaken,
    events.WeightRecorded,
    events.MaterialRemoved,
    events.PortionTaken,
    events.TubFilled,
    events.StepDone,
    events.StepSkipped,
    events.StepBroughtForward,
    events.ConsistencyJudged,
    events.ReleaseGoesOn,
    events.TemperatureTaken,
    events.DensityMeasured,
    events.SupplyRanOut,
    events.WayTaken,
    events.RemedyTaken,
    events.WeighingChanged,
)
# Taken back like these, but of no use in a list of what went on at the bucket.
TAKES_BACK_BESIDES = (events.TimerStarted, events.EntryTakenBack)


def taken_back(run: Run, command: TakeBack) -> events.EntryTakenBack:
    """What a taking-back voids: the entry named and what hangs on it."""
    live = {entry.seq: entry.fact for entry in run.live}
    fact = live.get(command.seq)
    if not isinstance(fact, TAKES_BACK + TAKES_BACK_BESIDES):
        raise RefusedError(CannotTakeBack(seq=command.seq))
    if isinstance(fact, events.TubFilled) and fact not in run.tubs.values():
        raise RefusedError(CannotTakeBack(seq=command.seq))
    seqs = [command.seq]
    match fact:
        case events.StepSkipped(reason=reason, step=step) if reason == RAN_OUT:
            seqs = _ran_out_with(run, live, command.seq, material_of(run.step_of(step)))
        case events.SupplyRanOut(material=material):
            seqs = _ran_out_with(run, live, command.seq, material)
        case events.WayTaken() | events.RemedyTaken():
            seqs += _hanging_on_way(live, command.seq)
        case events.ReferenceTaken():
            seqs += _weighed_from(live, command.seq, fact)
        case events.StepDone() | events.StepSkipped() | events.StepBroughtForward():
            pass
        case events.EntryTakenBack() | events.WeighingChanged() | events.DensityMeasured():
            pass
        case events.ReleaseGoesOn():
            pass
        case events.TimerStarted(step=step):
            # How the mix was found to move rests on that mixing.
            seqs += [
                seq
                for seq, since in live.items()
                if seq > command.seq and isinstance(since, events.ConsistencyJudged) and since.step == step
            ]
            seqs += _done_since(live, command.seq, step)
        case events.WeightRecorded() | events.MaterialRemoved() | events.PortionTaken() | events.TubFilled():
            seqs += _done_since(live, command.seq, fact.step)
            if isinstance(fact, events.PortionTaken):
                seqs += _hanging_on_way(live, command.seq)
        case events.ConsistencyJudged() | events.TemperatureTaken():
            seqs += _done_since(live, command.seq, fact.step)
            seqs += _let_in_after(live, command.seq, fact)
        case _ as forgotten:
            assert_never(forgotten)
    moved = [seq for seq in seqs if isinstance(live[seq], events.MovedMass)]
    if moved:
        seqs += _ways_resting_on(live, min(moved))
    seqs += _left_out_with(run, live, seqs)
    seqs += _rests_begun(run, live, seqs)
    taken = events.EntryTakenBack(seqs=tuple(seqs), reason=said(command.reason))
    try:
        after = apply(run, events.Entry(seq=len(run.entries) + 1, stamp=run.entries[-1].stamp, fact=taken))
    except FoldError as error:
        raise RefusedError(CannotTakeBack(seq=command.seq)) from error
    if after.overdrawn - run.overdrawn:
        raise RefusedError(Plain.CAME_OUT_SINCE)
    return taken


def swapped(run: Run, command: SwapMaterial) -> tuple[events.Fact, ...]:
    """The entry is taken back and the same weight booked as the other material, outside the step at hand."""
    fact = next((entry.fact for entry in run.live if entry.seq == command.seq), None)
    if not isinstance(fact, events.WeightRecorded):
        raise RefusedError(CannotTakeBack(seq=command.seq))
    if command.material not in run.content or command.material == fact.material:
        raise RefusedError(UnknownMaterial(found=command.material))
    taken = taken_back(run, TakeBack(seq=command.seq, reason=command.reason))
    return taken, replace(fact, step=None, material=command.material, reason=said(command.reason))


def _weighed_from(live: dict[int, events.Fact], seq: int, began: events.ReferenceTaken) -> list[int]:
    """What was weighed from a start reading, up to the next one of its step, and the step's end."""
    resting: list[int] = []
    for other, fact in live.items():
        if other <= seq or named(fact).step != began.step:
            continue
        if isinstance(fact, events.ReferenceTaken):
            return resting
        if isinstance(fact, events.MovedMass | events.TubFilled) and fact.source == "scale":
            resting += [other, *_done_since(live, other, began.step)]
    return list(dict.fromkeys(resting))


def rests_on(run: Run) -> int:
    """Sequence number of the start reading that the newest weight from the scale was weighed from; 0 if none."""
    seq = 0
    for entry in run.live:
        if isinstance(entry.fact, events.MovedMass) and entry.fact.source == "scale" and entry.fact.step:
            seq = max(
                (
                    other.seq
                    for other in run.live
                    if other.seq < entry.seq
                    and isinstance(other.fact, events.ReferenceTaken)
                    and other.fact.step == entry.fact.step
                ),
                default=0,
            )
    return seq


def _done_since(live: dict[int, events.Fact], seq: int, step: str | None) -> list[int]:
    """Where the step an entry was for was done afterwards: it is at hand again."""
    return [
        other
        for other, fact in live.items()
        if step is not None and other > seq and isinstance(fact, events.StepDone) and fact.step == step
    ]


def _let_in_after(live: dict[int, events.Fact], seq: int, fact: events.Fact) -> list[int]:
    """Held-back water let in on a judgement that does not count, before another was made."""
    found: list[int] = []
    for other, since in live.items():
        if other <= seq or not isinstance(fact, events.ConsistencyJudged):
            continue
        if isinstance(since, events.ConsistencyJudged | events.WeightRecorded):
            break
        if isinstance(since, events.ReleaseGoesOn):
            found.append(other)
    return found


def _left_out_with(run: Run, live: dict[int, events.Fact], seqs: list[int]) -> list[int]:
    """A later share that was left out, where an earlier one is asked for again: they make one total."""
    places = {step.key: place for place, step in enumerate(run.steps)}
    asked_again: dict[str, int] = {}
    for seq in seqs:
        fact = live[seq]
        if isinstance(fact, events.StepDone | events.StepSkipped):
            material = material_of(run.step_of(fact.step))
            asked_again[material] = min(places[fact.step], asked_again.get(material, len(places)))
    return [
        other
        for other, fact in live.items()
        if isinstance(fact, events.StepSkipped)
        and fact.reason != RAN_OUT
        and other not in seqs
        and (material := material_of(run.step_of(fact.step)))
        and places[fact.step] > asked_again.get(material, len(places))
    ]


def _rests_begun(run: Run, live: dict[int, events.Fact], seqs: list[int]) -> list[int]:
    """The rest that began by itself when a step ended begins anew when that step ends again."""
    begun = []
    for seq in seqs:
        ended, fact = live[seq], live.get(seq + 1)
        if isinstance(ended, events.StepDone | events.StepSkipped) and isinstance(fact, events.TimerStarted):
            rests = isinstance(run.step_of(fact.step), RestStep)
            if rests and fact.step not in run.finished:
                begun.append(seq + 1)
    return begun


def _hanging_on_way(live: dict[int, events.Fact], seq: int) -> list[int]:
    """Work done on a way's own steps is not undone by taking the way back: it is refused until that is."""
    own = put_in_step(seq, "")
    hanging = [other for other, fact in live.items() if (named(fact).step or "").startswith(own)]
    if any(isinstance(live[other], events.MovedMass) for other in hanging):
        raise RefusedError(Plain.WAY_BEGUN)
    return hanging


def _ways_resting_on(live: dict[int, events.Fact], seq: int) -> list[int]:
    """Ways out worked out with what is taken back and not yet begun: nothing has gone in or out since."""
    moved = max(other for other, fact in live.items() if isinstance(fact, events.MovedMass) or other == seq)
    ways = [other for other, fact in live.items() if other > moved and _steers(fact)]
    return [hanging for way in ways for hanging in (way, *_hanging_on_way(live, way))]


def _steers(fact: events.Fact) -> bool:
    """Whether it was worked out with what was in: resting and mixing alone were not."""
    return isinstance(fact, events.WayTaken) or (
        isinstance(fact, events.RemedyTaken) and fact.material is not None
    )


def _ran_out_with(run: Run, live: dict[int, events.Fact], seq: int, material: str) -> list[int]:
    """The running out of a material at or before an entry, and the steps left out because of it."""
    out = max(
        (
            other
            for other, fact in live.items()
            if other <= seq and isinstance(fact, events.SupplyRanOut) and fact.material == material
        ),
        default=seq,
    )
    return [out] + [
        other
        for other, fact in live.items()
        if other > out
        and isinstance(fact, events.StepSkipped)
        and fact.reason == RAN_OUT
        and material_of(run.step_of(fact.step)) == material
    ]
