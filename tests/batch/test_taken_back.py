"""Every kind that can be taken back: the state is then as if it had never been."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from mixstation.batch.commands import (
    BringForward,
    ChangeWeighing,
    FillTub,
    Judge,
    LetWaterIn,
    MeasureDensity,
    RunOut,
    SkipStep,
    StartTimer,
    TakeReference,
    TakeRemedy,
)
from mixstation.batch.consistency import Remedy
from mixstation.batch.decide_back import TAKES_BACK
from mixstation.batch.events import (
    ConsistencyJudged,
    DensityMeasured,
    EntryTakenBack,
    PortionTaken,
    ReferenceTaken,
    ReleaseGoesOn,
    RemedyTaken,
    StepBroughtForward,
    StepDone,
    StepSkipped,
    SupplyRanOut,
    TemperatureTaken,
    TimerStarted,
    TubFilled,
    WayTaken,
    WeighingChanged,
    WeightRecorded,
)
from mixstation.batch.run import Run, fold
from tests.batch.every_flag import last
from tests.batch.making import Bench, blend, raw, way, weight
from tests.batch.recipes import kg


def apart_from_the_record(run: Run) -> Run:
    return replace(run, entries=(), void=frozenset())


def taken_out_of_the_record(bench: Bench) -> Run:
    """The batch as if the void entries and the taking back had never been stored."""
    kept = [
        entry
        for entry in bench.run.entries
        if entry.seq not in bench.run.void and not isinstance(entry.fact, EntryTakenBack)
    ]
    renumbered = [replace(entry, seq=seq) for seq, entry in enumerate(kept, start=1)]
    return fold(renumbered)


SLIPS: dict[type, Callable[[], Bench]] = {}


def slip(kind: type) -> Callable[[Callable[[], Bench]], Callable[[], Bench]]:
    def keep(make: Callable[[], Bench]) -> Callable[[], Bench]:
        SLIPS[kind] = make
        return make

    return keep


@slip(WeightRecorded)
def _poured() -> Bench:
    return blend().goes_to("blend-1")


@slip(ReferenceTaken)
def _start_reading() -> Bench:
    bench = blend()
    bench.does(TakeReference(gross_mg=kg(1), division_mg=1000))
    return bench


@slip(PortionTaken)
def _split() -> Bench:
    return raw().goes_to("scrape-3")


@slip(TubFilled)
def _tub() -> Bench:
    bench = blend(weighing="tub")
    bench.does(FillTub(weight=weight(kg(19))))
    return bench


@slip(StepDone)
def _done() -> Bench:
    return blend().goes_to("blend-2")


@slip(StepSkipped)
def _skipped() -> Bench:
    bench = blend().goes_to("mix-1")
    bench.does(SkipStep(reason="x"))
    return bench


@slip(StepBroughtForward)
def _forward() -> Bench:
    bench = blend()
    bench.does(BringForward(step="fibre"))
    return bench


@slip(ConsistencyJudged)
def _judged() -> Bench:
    return blend().goes_to("release")


@slip(ReleaseGoesOn)
def _let_in() -> Bench:
    bench = blend().goes_to("release")
    bench.does(Judge(verdict="right"))
    bench.does(LetWaterIn())
    return bench


@slip(TemperatureTaken)
def _temperature() -> Bench:
    return blend().goes_to("cover")


@slip(DensityMeasured)
def _density() -> Bench:
    bench = blend().goes_to("cover")
    bench.does(MeasureDensity(cup_ul=500_000, weight=weight(1_000_000)))
    return bench


@slip(SupplyRanOut)
def _ran_out() -> Bench:
    bench = blend().goes_to("blend-2")
    bench.does(RunOut(material="blend"))
    return bench


@slip(WayTaken)
def _way() -> Bench:
    bench = blend().goes_to("mix-1")
    bench.tell(way(bench, make_up=("blend",), mix_s=30))
    return bench


@slip(RemedyTaken)
def _remedy() -> Bench:
    bench = blend().goes_through()
    bench.does(Judge(verdict="too-loose"))
    bench.does(TakeRemedy(remedy=Remedy(code="wait", rest_s=120, mix_s=30), said="let it stand"))
    return bench


@slip(WeighingChanged)
def _weighing() -> Bench:
    bench = blend()
    bench.does(ChangeWeighing(weighing="supply"))
    return bench


@slip(TimerStarted)
def _timer() -> Bench:
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    return bench


@pytest.mark.parametrize("kind", SLIPS, ids=lambda kind: kind.__name__)
def test_the_state_is_as_if_it_had_never_been(kind: type) -> None:
    bench = SLIPS[kind]()
    seq = last(bench, kind)
    bench.takes_back(seq)
    assert seq in bench.run.void
    assert apart_from_the_record(bench.run) == apart_from_the_record(taken_out_of_the_record(bench))


def test_every_kind_offered_for_taking_back_is_tried_above() -> None:
    """`MaterialRemoved` goes the way of the portion; see below."""
    assert {kind.__name__ for kind in TAKES_BACK} - {kind.__name__ for kind in SLIPS} == {"MaterialRemoved"}
