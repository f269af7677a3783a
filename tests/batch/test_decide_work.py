"""The steps themselves: done, left out, brought forward, judged, run out, finished; and ways taken."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.commands import (
    AcknowledgeSafety,
    Book,
    BringForward,
    Discard,
    DoneStep,
    EnoughIn,
    Finish,
    Judge,
    NoteTemperature,
    Pause,
    RunOut,
    SkipStep,
    StartTimer,
    TakeBack,
    TakeUp,
    TakeWay,
    WriteNote,
)
from mixstation.batch.events import (
    Amount,
    BatchDiscarded,
    BatchFinished,
    ConsistencyJudged,
    NoteWritten,
    StepBroughtForward,
    StepDone,
    StepSkipped,
    SupplyRanOut,
    TemperatureTaken,
    TimerStarted,
    Verdict,
    WayTaken,
)
from mixstation.batch.refusal import AskedOnce, FlagsStand, NothingIn, TooSoon
from mixstation.batch.way import StockLacks, Way
from tests.batch.making import Bench, blend, clouded, raw, values_of, weight
from tests.batch.recipes import BLEND, BLEND_POWDERS, g, kg


def a_way(bench: Bench, **fields: object) -> Way:
    values: dict[str, object] = {
        "kind": "grow",
        "goal": "nearest",
        "aim": bench.run.aim,
        "pour_back_mg": 0,
        "scoop_mg": 0,
        "additions": (),
        "totals": (),
        "mix_s": 30,
        "ratio": Fraction(1, 8),
        "expanded": 0.001,
        "volume_l": 10.0,
        "cost_cents": None,
        "wasted_mg": 0,
        "short_l": 0.0,
        "strength_percent": None,
        "colour_percent": (),
        "takes_s": 0,
        "working_left_s": None,
        "gives_up": (),
        "hindrances": (),
    }
    return Way(**values | fields)  # type: ignore[arg-type]


def test_nothing_before_the_safety_text() -> None:
    bench = Bench.begin(BLEND, BLEND_POWDERS, acknowledged=False)
    assert bench.refuses(Book(weight=weight(kg("1.9")))).code == "other-step"
    assert bench.refuses(SkipStep(reason="x")).code == "other-step"
    bench.does(WriteNote(text="cold shop"))
    bench.does(AcknowledgeSafety())
    bench.pours()


def test_a_discard_is_always_open() -> None:
    bench = Bench.begin(BLEND, BLEND_POWDERS, acknowledged=False)
    assert bench.does(Discard(reason=" wrong bag ")) == (BatchDiscarded(reason="wrong bag"),)


def test_mixing_done_too_soon_is_asked_about_once() -> None:
    bench = blend().goes_to("mix-1")
    assert bench.refuses(DoneStep()).code == "not-started"
    bench.does(StartTimer())
    bench.hands.go(30)
    refused = bench.refuses(DoneStep())
    assert (refused.code, isinstance(refused, AskedOnce)) == ("too-soon", True)
    assert values_of(refused) == {"took_s": 31, "min_s": 60}
    assert bench.does(DoneStep(confirmed=True)) == (StepDone(step="mix-1"),)


def test_a_running_timer_is_not_started_again() -> None:
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    bench.hands.go(40)
    assert bench.refuses(StartTimer()).code == "other-step"
    bench.hands.go(20)
    bench.does(DoneStep())
    assert bench.refuses(StartTimer()).code == "other-step"


def test_a_rest_begins_by_itself_and_ends_when_told() -> None:
    bench = blend().goes_to("scrape-2")
    assert bench.does(DoneStep()) == (StepDone(step="scrape-2"), TimerStarted(step="rest"))
    assert bench.refuses(StartTimer()).code == "other-step"
    refused = bench.refuses(DoneStep())
    assert (refused.code, isinstance(refused, AskedOnce)) == ("too-soon", True)
    bench.hands.go(180)
    bench.does(DoneStep())
    assert bench.step == "remix"


def test_a_rest_brought_forward_begins_at_once() -> None:
    bench = blend().goes_to("mix-1")
    assert bench.does(BringForward(step="rest")) == (
        StepBroughtForward(step="rest"),
        TimerStarted(step="rest"),
    )
    bench.hands.go(60)
    bench.does(BringForward(step="mix-1"))
    assert bench.does(BringForward(step="rest")) == (StepBroughtForward(step="rest"),)
    assert bench.refuses(DoneStep()).code == "too-soon"


@pytest.mark.parametrize("key", ["water-1", "judge", "release", "temperature"])
def test_steps_with_an_answer_are_not_merely_done(key: str) -> None:
    bench = blend().goes_to(key)
    assert bench.refuses(DoneStep()).code == "needs-answer"


def test_a_split_is_not_merely_done() -> None:
    assert raw().goes_to("face").refuses(DoneStep()).code == "needs-answer"


def test_enough_in_only_where_something_is_added_and_something_is_in() -> None:
    bench = blend()
    refused = bench.refuses(EnoughIn())
    assert refused == NothingIn(material="water")
    bench.does(Book(weight=weight(g(500))))
    assert bench.does(EnoughIn()) == (StepDone(step="water-1"),)
    bench.goes_to("mix-1")
    assert bench.refuses(EnoughIn()).code == "other-step"


def test_leaving_out_needs_a_reason_and_is_kept_with_it() -> None:
    bench = blend().goes_to("scrape-1")
    assert bench.refuses(SkipStep(reason=" \t")).code == "no-reason"
    assert bench.does(SkipStep(reason="bowl is clean")) == (
        StepSkipped(step="scrape-1", reason="bowl is clean"),
    )
    assert bench.run.skipped == {"scrape-1": "bowl is clean"}


def test_leaving_out_the_step_before_a_rest_begins_the_rest() -> None:
    bench = blend().goes_to("scrape-2")
    assert bench.does(SkipStep(reason="clean"))[-1] == TimerStarted(step="rest")


def test_bringing_forward() -> None:
    bench = blend().goes_to("mix-1")
    assert bench.refuses(BringForward(step="nowhere")).code == "no-such-step"
    assert bench.refuses(BringForward(step="water-1")).code == "no-such-step"
    assert bench.refuses(BringForward(step="mix-1")).code == "already-there"
    bench.does(BringForward(step="fibre"))
    assert (bench.step, bench.flags["out-of-order"].about) == ("fibre", "fibre")


def test_a_later_share_is_not_left_out_before_the_earlier_one() -> None:
    bench = blend().goes_to("blend-1")
    bench.does(BringForward(step="blend-2"))
    assert bench.refuses(SkipStep(reason="no more")).code == "earlier-share-first"
    bench.does(BringForward(step="blend-1"))
    bench.pours()
    bench.does(BringForward(step="blend-2"))
    bench.does(SkipStep(reason="no more"))


def test_nothing_goes_in_before_what_a_way_out_asks_to_take_out() -> None:
    """Its targets are for what is in the bucket then."""
    bench = blend().goes_to("scrape-1")
    bench.does(TakeWay(way=a_way(bench, scoop_mg=g(500)), said="take some out"))
    taking = bench.step
    assert bench.refuses(BringForward(step="fibre")).code == "take-out-first"
    bench.does(BringForward(step="scrape-1"))
    bench.does(DoneStep())
    assert bench.step == taking
    bench.pours()
    bench.does(BringForward(step="fibre"))


def test_a_verdict_by_trowel_is_needed_where_nothing_measures() -> None:
    bench = blend().goes_to("judge")
    assert bench.refuses(Judge(verdict=None)).code == "needs-answer"
    bench = blend().goes_to("release")
    assert bench.refuses(Judge(verdict=None, figure=210)).code == "needs-answer"


@pytest.mark.parametrize(
    ("figure", "verdict"), [(204, "too-stiff"), (205, "right"), (245, "right"), (246, "too-loose")]
)
def test_a_measured_consistency_judges_itself(figure: int, verdict: Verdict) -> None:
    bench = raw().goes_to("spread")
    facts = bench.does(Judge(verdict=None, figure=figure))
    assert facts == (
        ConsistencyJudged(step="spread", verdict=verdict, figure=figure),
        StepDone(step="spread"),
    )


def test_a_hand_that_knows_better_is_believed() -> None:
    bench = raw().goes_to("spread")
    (fact, _) = bench.does(Judge(verdict="stiff-and-warm", figure=225))
    assert fact == ConsistencyJudged(step="spread", verdict="stiff-and-warm", figure=225)


def test_consistency_may_be_judged_at_any_time() -> None:
    bench = blend().goes_to("mix-2")
    assert bench.does(Judge(verdict="too-loose")) == (ConsistencyJudged(step=None, verdict="too-loose"),)
    assert bench.step == "mix-2"


@pytest.mark.parametrize("verdict", ["right", "too-loose", "stiff-and-warm"])
def test_a_release_ends_with_any_verdict_but_too_stiff(verdict: Verdict) -> None:
    """Three of four steps of held-back water make 0.1254 of the powder; the band begins at 0.124."""
    bench = blend().goes_to("release")
    bench.releases(times=3)
    bench.does(Judge(verdict=verdict))
    assert bench.step == "scrape-3"


def test_a_release_ends_too_stiff_when_all_is_in() -> None:
    bench = blend().goes_to("release")
    bench.releases()
    assert bench.step == "scrape-3"
    assert bench.run.judged is not None
    assert bench.run.judged.verdict == "too-stiff"


@pytest.mark.parametrize("milli_c", [-5_001, 70_001, 10**40])
def test_no_such_temperature_of_a_mix(milli_c: int) -> None:
    assert blend().refuses(NoteTemperature(mix_milli_c=milli_c, shown="")).code == "no-mix-temperature"


def test_a_temperature_at_its_step_and_beside_it() -> None:
    bench = blend().goes_to("mix-1")
    assert bench.does(NoteTemperature(mix_milli_c=21_500, shown="21.5 °C")) == (
        TemperatureTaken(step=None, mix_milli_c=21_500, shown="21.5 °C"),
    )
    bench.goes_to("temperature")
    facts = bench.does(NoteTemperature(mix_milli_c=22_000, shown="22 °C"))
    assert facts[1:] == (StepDone(step="temperature"),)
    assert bench.run.mix_milli_c == 22_000


def test_what_ran_out_leaves_its_steps_out() -> None:
    bench = blend().goes_to("blend-1")
    bench.does(Book(weight=weight(kg(5))))
    assert bench.does(RunOut(material="blend")) == (
        SupplyRanOut(material="blend"),
        StepSkipped(step="blend-1", reason="ran out"),
        StepSkipped(step="blend-2", reason="ran out"),
    )
    assert bench.step == "mix-1"
    assert bench.refuses(RunOut(material="blend")).code == "already-there"
    assert bench.refuses(RunOut(material="gravel")).code == "unknown-material"


def test_finishing_with_steps_left_is_refused() -> None:
    assert blend().refuses(Finish()).code == "steps-left"


def test_finishing_clean() -> None:
    bench = blend().goes_through()
    assert bench.does(Finish()) == (BatchFinished(accepted=(), concession=""),)
    assert bench.refuses(StartTimer()).code == "batch-over"
    assert bench.does(WriteNote(text="pale corner")) == (NoteWritten(text="pale corner"),)


def test_finishing_with_flags_needs_a_concession_and_names_them() -> None:
    bench = blend().goes_to("fibre")
    bench.does(SkipStep(reason="none left"))
    bench.goes_through()
    refused = bench.refuses(Finish(concession="  "))
    assert refused == FlagsStand(open_count=1)
    assert bench.does(Finish(concession="unreinforced trial")) == (
        BatchFinished(accepted=("dose-missing",), concession="unreinforced trial"),
    )


def test_notes_do_not_stand_in_the_way_of_finishing() -> None:
    bench = blend()
    bench.does(BringForward(step="cover"))
    bench.goes_through()
    assert bench.codes == {"out-of-order"}
    bench.does(Finish())


def test_at_the_end_nothing_is_at_hand() -> None:
    bench = blend().goes_through()
    for command in (DoneStep(), SkipStep(reason="x"), EnoughIn(), StartTimer()):
        assert bench.refuses(command).code == "no-step"


def test_a_discarded_batch_is_over() -> None:
    bench = blend()
    assert bench.refuses(Discard(reason="")).code == "no-reason"
    bench.does(Discard(reason="stiff"))
    assert bench.run.ended == "discarded"
    assert bench.refuses(TakeUp()).code == "batch-over"


def test_pausing_is_open_at_any_step() -> None:
    bench = blend().goes_through()
    bench.does(Pause(reason="phone"))
    bench.does(TakeUp())


def test_a_way_taken_becomes_a_fact() -> None:
    bench = clouded().goes_to("mix")
    additions = (Amount(material="cement", mass_mg=kg(1)), Amount(material="sand", mass_mg=kg(1)))
    way = a_way(bench, additions=additions, scoop_mg=g(500), gives_up=("water-high",))
    (fact,) = bench.does(TakeWay(way=way, said="grow by 2 kg"))
    assert fact == WayTaken(
        way="grow",
        aim=bench.run.start.aim,
        pour_back_mg=0,
        scoop_mg=g(500),
        make_up=("cement", "sand"),
        mix_s=30,
        gives_up=("water-high",),
        said="grow by 2 kg",
    )


def test_a_barred_way_is_not_taken() -> None:
    bench = blend()
    barred = a_way(bench, hindrances=(StockLacks(material="blend", short_mg=Fraction(1)),))
    assert bench.refuses(TakeWay(way=barred, said="x")).code == "way-hindered"


@pytest.mark.parametrize(
    "fields",
    [
        {"pour_back_mg": kg(9)},
        {"pour_back_mg": -1},
        {"scoop_mg": kg(99)},
        {"scoop_mg": -1},
        {"mix_s": -1},
        {"additions": (Amount(material="gravel", mass_mg=1),)},
    ],
)
def test_a_way_that_no_longer_fits_is_not_taken(fields: dict[str, object]) -> None:
    bench = blend()
    bench.pours()
    assert bench.refuses(TakeWay(way=a_way(bench, **fields), said="x")).code == "way-hindered"


def test_an_aim_that_cannot_be_reckoned_is_not_taken() -> None:
    bench = blend()
    aim = replace(bench.run.aim, water_ratio=Fraction(10**9))
    assert bench.refuses(TakeWay(way=a_way(bench, aim=aim), said="x")).code == "way-hindered"


def test_the_way_to_discard_needs_its_words() -> None:
    bench = blend()
    way = a_way(bench, kind="discard")
    assert bench.refuses(TakeWay(way=way, said="")).code == "no-reason"
    assert bench.does(TakeWay(way=way, said="throw it away")) == (BatchDiscarded(reason="throw it away"),)


def test_what_runs_out_after_its_first_share_leaves_out_the_later_one_alone() -> None:
    bench = blend().goes_to("blend-2")
    facts = bench.does(RunOut(material="blend"))
    assert [fact.step for fact in facts if isinstance(fact, StepSkipped)] == ["blend-2"]
    assert set(bench.run.skipped) == {"blend-2"}


def test_a_rest_whose_beginning_was_taken_back_is_begun_by_hand() -> None:
    """It began by itself at the wrong moment; nothing else starts it again."""
    bench = blend().goes_to("rest")
    began = next(entry.seq for entry in reversed(bench.run.live) if isinstance(entry.fact, TimerStarted))
    bench.does(TakeBack(seq=began, reason="still scraping"))
    assert "rest" not in bench.run.timers
    assert bench.does(StartTimer()) == (TimerStarted(step="rest"),)
    bench.rests()
    assert bench.step == "remix"


def test_two_seconds_short_of_three_minutes_are_neither_asked_about_nor_flagged() -> None:
    bench = blend().goes_to("rest")
    bench.rests(178)
    assert (bench.step, bench.codes) == ("remix", set())


def test_a_quarter_minute_short_of_three_minutes_are_asked_about_and_flagged() -> None:
    bench = blend().goes_to("rest")
    bench.hands.go(160)
    assert isinstance(bench.refuses(DoneStep()), TooSoon)
    bench.does(DoneStep(confirmed=True))
    assert bench.codes == {"rest-short"}
