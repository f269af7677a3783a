"""Taking back: the entry and what hangs on it do not count, everything else stays, and the record keeps it all."""

import pytest

from mixstation.batch.commands import (
    AcknowledgeSafety,
    Book,
    BookExtra,
    BookPortion,
    BookRemoved,
    BringForward,
    Discard,
    DoneStep,
    FillTub,
    Judge,
    NoteTemperature,
    Pause,
    RunOut,
    SkipStep,
    StartTimer,
    TakeBack,
    WriteNote,
)
from mixstation.batch.events import (
    ConsistencyJudged,
    EntryTakenBack,
    StepBroughtForward,
    StepDone,
    StepSkipped,
    SupplyRanOut,
    TubFilled,
    WayTaken,
    WeightRecorded,
)
from tests.batch.every_flag import last
from tests.batch.making import blend, values_of, way, weight
from tests.batch.recipes import g, kg


def test_a_weighing_takes_its_step_back_with_it() -> None:
    bench = blend()
    seq = bench.pours()
    bench.goes_to("mix-1")
    (fact,) = bench.does(TakeBack(seq=seq, reason=" misread "))
    assert fact == EntryTakenBack(seqs=(seq, seq + 1), reason="misread")
    assert (bench.step, bench.run.content["water"]) == ("water-1", 0)
    bench.pours()
    assert bench.step == "mix-1"


def test_a_part_of_a_dose_alone() -> None:
    bench = blend()
    first = len(bench.run.entries) + 1
    bench.does(Book(weight=weight(kg(1))))
    bench.pours()
    bench.takes_back(first)
    assert bench.step == "water-1"
    assert bench.dosing.target_mg == kg(1)


def test_an_extra_alone() -> None:
    bench = blend()
    bench.pours()
    bench.does(BookExtra(material="water", weight=weight(g(90)), reason="rinse"))
    bench.takes_back(len(bench.run.entries))
    assert (bench.run.content["water"], bench.step) == (kg("1.901"), "blend-1")


def test_something_removed() -> None:
    bench = blend()
    bench.pours()
    bench.does(BookRemoved(material="water", weight=weight(g(90)), reason="spilt"))
    bench.takes_back(len(bench.run.entries))
    assert bench.run.content["water"] == kg("1.901")


def test_taking_back_the_taking_back() -> None:
    bench = blend()
    seq = bench.pours()
    bench.takes_back(seq)
    bench.takes_back(len(bench.run.entries))
    assert (bench.run.content["water"], bench.step) == (kg("1.901"), "blend-1")
    bench.takes_back(len(bench.run.entries))
    assert (bench.run.content["water"], bench.step) == (0, "water-1")


def test_once_back_it_is_not_there_to_be_taken_back() -> None:
    bench = blend()
    seq = bench.pours()
    bench.takes_back(seq)
    assert bench.refuses(TakeBack(seq=seq, reason="x")).code == "cannot-take-back"


@pytest.mark.parametrize("seq", [1, 2, 3, 0, -1, 99])
def test_what_cannot_be_taken_back(seq: int) -> None:
    """The start, the safety text, a pause, and what is not there."""
    bench = blend()
    bench.does(Pause(reason="door"))
    refused = bench.refuses(TakeBack(seq=seq, reason="x"))
    assert (refused.code, values_of(refused)) == ("cannot-take-back", {"seq": seq})


def test_a_reason_is_needed() -> None:
    bench = blend()
    assert bench.refuses(TakeBack(seq=bench.pours(), reason=" ")).code == "no-reason"


def test_the_way_goes_with_its_steps() -> None:
    bench = blend().goes_to("mix-1")
    bench.tell(way(bench, make_up=("blend",), mix_s=30))
    seq = last(bench, WayTaken)
    bench.goes_on()
    assert bench.run.finished >= {f"way{seq}.1"}
    bench.does(StartTimer())
    bench.takes_back(seq)
    assert bench.step == "mix-1"
    assert all(not step.key.startswith("way") for step in bench.run.steps)


def test_a_way_whose_additions_are_in_is_not_taken_back_before_they_are() -> None:
    bench = blend().goes_to("mix-1")
    bench.tell(way(bench, make_up=("blend",), mix_s=30))
    grown = last(bench, WayTaken)
    bench.does(Book(weight=weight(g(5), "scale")))
    weighed = last(bench, WeightRecorded)
    assert bench.refuses(TakeBack(seq=grown, reason="x")).code == "way-begun"
    bench.takes_back(weighed)
    bench.takes_back(grown)
    assert bench.step == "mix-1"


def test_running_out_comes_back_with_all_it_left_out() -> None:
    """Found another bag: whichever of its entries is named."""
    for kind in (SupplyRanOut, StepSkipped):
        bench = blend().goes_to("blend-1")
        bench.does(RunOut(material="blend"))
        bench.takes_back(last(bench, kind))
        assert (bench.step, bench.run.ran_out, bench.run.skipped) == ("blend-1", frozenset(), {})


def test_a_share_left_out_by_hand_before_the_material_ran_out_comes_back_itself() -> None:
    """Whatever reason was typed, it is the entry that is named that does not count any more."""
    bench = blend().goes_to("blend-1")
    bench.does(SkipStep(reason="ran out"))
    left_out = last(bench, StepSkipped)
    bench.does(RunOut(material="blend"))
    bench.takes_back(left_out)
    assert bench.step == "blend-1"


def test_a_rest_that_began_by_itself_begins_anew() -> None:
    bench = blend().goes_to("rest")
    scraped = last(bench, StepDone)
    bench.hands.go(100)
    bench.takes_back(scraped)
    assert (bench.step, bench.run.timers.get("rest")) == ("scrape-2", None)
    bench.does(DoneStep())
    bench.hands.go(30)
    timing = bench.advice.timing
    assert timing is not None
    assert timing.elapsed_s == 30


def test_a_rest_already_done_keeps_its_time() -> None:
    bench = blend().goes_to("scrape-2")
    bench.does(DoneStep())
    scraped = last(bench, StepDone)
    bench.rests()
    bench.takes_back(scraped)
    assert "rest" in bench.run.timers
    bench.does(DoneStep())
    assert bench.step == "remix"


def test_done_pressed_too_early_lets_the_timer_run_on() -> None:
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    bench.hands.go(10)
    bench.does(DoneStep(confirmed=True))
    bench.takes_back(last(bench, StepDone))
    bench.hands.go(50)
    bench.does(DoneStep())
    assert "mix-short" not in bench.codes


def test_a_tub_once_tipped_is_taken_back_after_its_weight() -> None:
    bench = blend(weighing="tub")
    bench.does(FillTub(weight=weight(kg(19))))
    filled = last(bench, TubFilled)
    bench.does(Book(weight=weight(kg("1.9"), weighing="tub", residue_mg=0)))
    assert bench.refuses(TakeBack(seq=filled, reason="x")).code == "cannot-take-back"
    bench.takes_back(last(bench, WeightRecorded))
    assert bench.standing.phase == "tub-tip"
    bench.takes_back(filled)
    assert bench.standing.phase == "tub-fill"


def test_a_step_brought_forward_and_done_stays_done() -> None:
    bench = blend()
    bench.does(BringForward(step="scrape-1"))
    brought = last(bench, StepBroughtForward)
    bench.does(DoneStep())
    bench.takes_back(brought)
    assert "scrape-1" in bench.run.finished
    assert "out-of-order" not in bench.codes


def test_what_would_name_a_step_that_is_gone_stays_taken_back() -> None:
    """A way's step was brought forward, that taken back, then the way: the first cannot come back alone."""
    bench = blend().goes_to("mix-1")
    bench.tell(way(bench, make_up=("blend",), mix_s=30))
    grown = last(bench, WayTaken)
    bench.does(BringForward(step=f"way{grown}.2"))
    bench.takes_back(last(bench, StepBroughtForward))
    back = last(bench, EntryTakenBack)
    bench.takes_back(grown)
    assert bench.refuses(TakeBack(seq=back, reason="x")).code == "cannot-take-back"


def test_a_weighing_of_which_more_has_come_out_since_is_not_taken_back_before_that() -> None:
    bench = blend()
    seq = bench.pours(kg("1.4"), confirmed=True)
    bench.does(BookRemoved(material="water", weight=weight(kg(1)), reason="too much"))
    out = len(bench.run.entries)
    assert bench.refuses(TakeBack(seq=seq, reason="slip")).code == "came-out-since"
    bench.takes_back(out)
    bench.takes_back(seq)
    assert bench.run.content["water"] == 0


def test_a_weighing_is_not_taken_back_where_more_of_the_mix_has_come_out_since() -> None:
    bench = blend().goes_to("mix-1")
    seq = last(bench, WeightRecorded)
    in_mg = int(bench.run.in_bucket_mg)
    bench.does(BookPortion(weight=weight(in_mg // 2), reason="spilt"))
    bench.does(BookPortion(weight=weight(in_mg // 3), reason="spilt"))
    assert bench.refuses(TakeBack(seq=seq, reason="slip")).code == "came-out-since"


def test_a_later_share_that_was_left_out_is_asked_for_with_the_earlier_one() -> None:
    """The first share taken back, the second left out before: both make the total again."""
    bench = blend().goes_to("blend-2")
    bench.does(SkipStep(reason="no more"))
    first = next(
        entry.seq
        for entry in bench.run.live
        if isinstance(entry.fact, WeightRecorded) and entry.fact.step == "blend-1"
    )
    bench.takes_back(first)
    assert bench.step == "blend-1"
    assert "blend-2" not in bench.run.finished
    assert not {"water-over", "water-over-ceiling"} & bench.codes


def test_a_later_share_left_out_comes_back_too_where_the_earlier_one_was_left_out() -> None:
    bench = blend().goes_to("blend-1")
    bench.does(SkipStep(reason="no more"))
    first = last(bench, StepSkipped)
    bench.goes_to("blend-2")
    bench.does(SkipStep(reason="no more"))
    bench.takes_back(first)
    assert bench.step == "blend-1"
    assert "blend-2" not in bench.run.finished


def test_a_judgement_at_a_release_is_asked_for_again() -> None:
    bench = blend().goes_to("judge")
    bench.does(SkipStep(reason="judged in the release"))
    bench.does(Judge(verdict="right"))
    bench.takes_back(last(bench, ConsistencyJudged))
    assert (bench.step, bench.standing.phase) == ("release", "release-judge")


def test_a_temperature_before_stands_again() -> None:
    bench = blend().goes_to("temperature")
    bench.does(NoteTemperature(mix_milli_c=19_000, shown=""))
    bench.does(NoteTemperature(mix_milli_c=29_000, shown=""))
    bench.takes_back(len(bench.run.entries))
    assert bench.run.mix_milli_c == 19_000


def test_a_closed_batch_keeps_what_it_has() -> None:
    bench = blend()
    seq = bench.pours()
    bench.does(Discard(reason="stiff"))
    assert bench.refuses(TakeBack(seq=seq, reason="x")).code == "batch-over"
    bench.does(WriteNote(text="was the old bag"))


def test_the_safety_text_is_acknowledged_once() -> None:
    bench = blend()
    bench.does(AcknowledgeSafety())
    assert bench.refuses(TakeBack(seq=2, reason="x")).code == "cannot-take-back"


def test_a_first_share_that_did_not_go_in_is_made_up_by_its_own_step() -> None:
    """The second share was poured on top of a first that was not: the step now open again brings all of it."""
    bench = blend().goes_to("blend-1")
    first = bench.pours()
    bench.goes_to("blend-2")
    second = bench.pours()
    bench.takes_back(first)
    assert bench.step == "blend-1"
    (missing,) = (kg(18) - entry.fact.mass_mg for entry in bench.run.entries if entry.seq == second)
    assert bench.dosing.target_mg == missing
    assert "powder-under" not in bench.codes


def test_a_later_share_that_ran_out_stays_left_out_when_an_earlier_one_is_taken_back() -> None:
    """The first share was booked by mistake; there is still no more of it for the second."""
    bench = blend().goes_to("blend-1")
    first = bench.pours()
    bench.goes_to("blend-2")
    bench.does(RunOut(material="blend"))
    bench.takes_back(first)
    assert bench.step == "blend-1"
    assert "blend-2" in bench.run.finished
    assert bench.run.ran_out == {"blend"}


def test_a_way_not_begun_goes_with_the_weighing_it_was_worked_out_with() -> None:
    """It would mend a bucket that is not as it was thought to be."""
    bench = blend().goes_to("mix-1")
    weighed = last(bench, WeightRecorded)
    bench.tell(way(bench, make_up=("blend",), mix_s=30))
    grown = last(bench, WayTaken)
    (fact,) = bench.does(TakeBack(seq=weighed, reason="misread"))
    assert isinstance(fact, EntryTakenBack)
    assert grown in fact.seqs
    assert bench.step == "blend-1"
    assert all(not step.key.startswith("way") for step in bench.run.steps)
