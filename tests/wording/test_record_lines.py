"""Every kind of fact has its line in the record."""

from fractions import Fraction
from typing import get_args

import pytest

from mixstation.batch.events import (
    BatchDiscarded,
    BatchFinished,
    BatchPaused,
    BatchTakenUp,
    ClockStepped,
    ConsistencyJudged,
    DensityMeasured,
    Entry,
    EntryTakenBack,
    Fact,
    FlagPutAway,
    FlagRaised,
    KeyPressed,
    LotOpened,
    MaterialRemoved,
    NoteWritten,
    PortionTaken,
    ProgramResumed,
    ReferenceTaken,
    ReleaseGoesOn,
    RemedyTaken,
    SafetyAcknowledged,
    SandFound,
    ScaleChanged,
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
from mixstation.units.show import DisplayUnits
from mixstation.wording.entry_lines import FLAG_OUTCOMES, PLACE_WORDS, fact_line, outcome_said, water_said
from mixstation.wording.words import Speech
from tests.batch.making import blend

BENCH = blend(piece="sill cap")
RUN = BENCH.run
SPEECH = Speech(units=DisplayUnits.METRIC, division_mg=1_000)
WEIGHED = {"mass_mg": 119_000, "source": "scale", "shown": "0.119 kg", "division_mg": 1_000}

LINES: list[tuple[Fact, str]] = [
    (RUN.start, "batch begun: sill cap"),
    (SafetyAcknowledged(), "gear on and text read"),
    (
        ReferenceTaken(step="water-1", weighing="tub", gross_mg=412_000, division_mg=1_000),
        "the empty tub on the scale: 412 g",
    ),
    (TubFilled(step="water-1", **WEIGHED), "tub filled, 119 g"),  # type: ignore[arg-type]
    (
        WeightRecorded(step="water-1", material="water", residue_mg=4_000, **WEIGHED),  # type: ignore[arg-type]
        "119 g Water in (scale), tub weighed back with 4 g stuck to it",
    ),
    (
        MaterialRemoved(step=None, material="water", reason="poured back", **WEIGHED),  # type: ignore[arg-type]
        "119 g Water out (scale)",
    ),
    (PortionTaken(step=None, layer="face coat", **WEIGHED), "119 g of the mix for the face coat (scale)"),  # type: ignore[arg-type]
    (TimerStarted(step="mix-1"), "paddle begins: mix fast, 1 min or more"),
    (TimerStarted(step="rest"), "rest begins: rest 3 min"),
    (StepDone(step="scrape-1"), "done: scrape sides and bottom"),
    (StepSkipped(step="scrape-1", reason="no time"), "left out: scrape sides and bottom (no time)"),
    (StepBroughtForward(step="scrape-1"), "brought forward: scrape sides and bottom"),
    (EntryTakenBack(seqs=(7,), reason="slip"), "taken back: entry 7 (slip)"),
    (EntryTakenBack(seqs=(7, 8), reason="slip"), "taken back: entries 7, 8 (slip)"),
    (ConsistencyJudged(step=None, verdict="too-loose"), "consistency too loose"),
    (TemperatureTaken(step=None, mix_milli_c=21_500, shown="21.5"), "mix at 21.5 °C"),
    (
        DensityMeasured(mass_mg=1_021_000, cup_ul=500_000, source="typed", shown="1021 g", division_mg=1000),
        "1.021 kg of mix fills the cup of 500 mL",
    ),
    (BatchPaused(reason="phone"), "paused (phone)"),
    (BatchPaused(reason=""), "paused"),
    (BatchTakenUp(), "taken up again"),
    (WeighingChanged(weighing="bucket"), "from here on the bucket stands on the scale"),
    (SupplyRanOut(material="blend"), "Blend ran out"),
    (
        WayTaken(
            way="leave",
            aim=RUN.aim,
            pour_back_mg=0,
            scoop_mg=0,
            make_up=(),
            mix_s=0,
            gives_up=(),
            said="leave it",
        ),
        "way out: leave it",
    ),
    (
        RemedyTaken(material="water", aimed=Fraction(1, 3), rest_s=0, mix_s=30, said="Add 10 g Water."),
        "remedy: Add 10 g Water.",
    ),
    (FlagRaised(code="water-over", about="water", gravity="stop", said="Too much."), "STOP: Too much."),
    (
        FlagPutAway(
            code="mix-long", about="mix-1", gravity="warn", figure=Fraction(95), said="CHECK: Too long."
        ),
        "read and put away: CHECK: Too long.",
    ),
    (ReleaseGoesOn(step="release"), "held-back water let in, in steps, though the mix was right"),
    (ScaleChanged(state="lost", detail="unplugged"), "scale lost: unplugged"),
    (
        KeyPressed(step="water-1", key="tare", by_mg=-2_240_000, counted_mg=1_000_000),
        "tare key pressed; 1.000 kg counted before",
    ),
    (KeyPressed(step=None, key="gross", by_mg=1_240_000, counted_mg=0), "tare taken off the scale"),
    (ScaleChanged(state="sound", detail=""), "scale sound"),
    (SandFound(material="blend", moisture=Fraction(3, 100)), "Blend holds 3 % water"),
    (LotOpened(material="blend", lot="A7"), "Blend out of lot A7"),
    (LotOpened(material="blend", lot=""), "Blend: lot not known"),
    (NoteWritten(text="bag torn"), "note: bag torn"),
    (ProgramResumed(program="0.2.0"), "program started again, version 0.2.0"),
    (ClockStepped(by_ms=-90_000), "the computer's clock was set back by 1 min 30 s"),
    (ClockStepped(by_ms=90_000), "the computer's clock was set on by 1 min 30 s"),
    (BatchFinished(accepted=(), concession=""), "batch closed"),
    (BatchFinished(accepted=("mix-short",), concession="test piece"), "batch closed (test piece)"),
    (BatchDiscarded(reason="stiff"), "batch discarded (stiff)"),
]


def test_all_kinds_are_here() -> None:
    assert {type(fact) for fact, _ in LINES} == set(get_args(Fact))


@pytest.mark.parametrize(("fact", "line"), LINES)
def test_line(fact: Fact, line: str) -> None:
    entry = Entry(seq=9, stamp=BENCH.hands.stamp(), fact=fact)
    assert fact_line(RUN, entry, SPEECH) == line


def test_how_a_batch_and_its_water_stand() -> None:
    assert outcome_said("open", "") == "not closed yet"
    assert outcome_said("discarded", "stiff") == "discarded: stiff"
    assert water_said("inside", ended=True) == "inside its band"
    assert water_said("over", ended=False) == "by plan over its band"
    for place in PLACE_WORDS:
        assert water_said(place, ended=True)
    assert set(FLAG_OUTCOMES) == {"passed", "stands", "accepted", "given up"}
