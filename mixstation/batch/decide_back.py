"""Deciding what a taking-back voids."""

from mixstation.batch.commands import TakeBack
from mixstation.batch.decide_work import RAN_OUT
from mixstation.batch.events import (
    ConsistencyJudged,
    EntryTakenBack,
    Fact,
    MaterialRemoved,
    PortionTaken,
    StepBroughtForward,
    StepDone,
    StepSkipped,
    SupplyRanOut,
    TemperatureTaken,
    TubFilled,
    WayTaken,
    WeighingChanged,
    WeightRecorded,
)
from mixstation.batch.refusal import RefusedError, said
from mixstation.batch.run import Run


def taken_back(run: Run, command: TakeBack) -> EntryTakenBack:
    live = {entry.seq: entry.fact for entry in run.live}
    fact = live.get(command.seq)
    if fact is None or not isinstance(fact, TAKES_BACK):
        raise RefusedError("cannot-take-back", seq=command.seq)
    seqs = [command.seq]
    step = getattr(fact, "step", None)
    if step is not None and not isinstance(fact, StepDone | StepSkipped):
        seqs += [
            seq
            for seq, other in live.items()
            if seq > command.seq and isinstance(other, StepDone) and other.step == step
        ]
    if isinstance(fact, WayTaken):
        seqs += _hanging_on_way(live, command.seq)
    if isinstance(fact, SupplyRanOut):
        seqs += _skipped_with(run, live, command.seq, fact.material)
    return EntryTakenBack(seqs=tuple(seqs), reason=said(command.reason))


TAKES_BACK = (
    WeightRecorded,
    MaterialRemoved,
    PortionTaken,
    TubFilled,
    StepDone,
    StepSkipped,
    StepBroughtForward,
    ConsistencyJudged,
    TemperatureTaken,
    SupplyRanOut,
    WayTaken,
    WeighingChanged,
)


def _hanging_on_way(live: dict[int, Fact], seq: int) -> list[int]:
    """Work done on a way's own steps is not undone by taking the way back: it is refused until that is."""
    own = f"way{seq}."
    hanging = [other for other, fact in live.items() if (getattr(fact, "step", None) or "").startswith(own)]
    if any(isinstance(live[other], WeightRecorded | MaterialRemoved | PortionTaken) for other in hanging):
        raise RefusedError("way-begun")
    return hanging


def _skipped_with(run: Run, live: dict[int, Fact], seq: int, material: str) -> list[int]:
    """The steps left out because the material had run out."""
    return [
        other
        for other, fact in live.items()
        if other > seq
        and isinstance(fact, StepSkipped)
        and fact.reason == RAN_OUT
        and getattr(run.step_of(fact.step), "material", "") == material
    ]
