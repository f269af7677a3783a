"""The one word for what is asked now, at every point of a batch."""

from mixstation.batch.commands import (
    AcknowledgeSafety,
    Book,
    BookExtra,
    BringForward,
    ChangeWeighing,
    Discard,
    FillTub,
    Finish,
    Judge,
    Pause,
    SkipStep,
    StartTimer,
    TakeUp,
)
from mixstation.batch.events import ProgramResumed, WayTaken
from tests.batch.making import Bench, blend, raw, weight
from tests.batch.recipes import BLEND, BLEND_POWDERS, g, kg


def phase(bench: Bench) -> str:
    return bench.standing.phase


def test_safety_before_anything() -> None:
    bench = Bench.begin(BLEND, BLEND_POWDERS, acknowledged=False)
    assert phase(bench) == "safety"
    bench.does(AcknowledgeSafety())
    assert phase(bench) == "pour"


def test_a_whole_batch_in_words() -> None:
    bench = raw()
    words = []
    while bench.step:
        words.append((bench.step, phase(bench)))
        bench.goes_on()
    assert dict(words) == {
        "water-1": "pour",
        "emulsion": "pour",
        "ochre": "pour",
        "cement-1": "pour",
        "metakaolin-1": "pour",
        "sand-1": "pour",
        "mix-1": "start-mixing",
        "scrape-1": "scrape",
        "plasticiser": "pour",
        "cream": "start-mixing",
        "cement-2": "pour",
        "metakaolin-2": "pour",
        "sand-2": "pour",
        "mix-2": "start-mixing",
        "scrape-2": "scrape",
        "rest": "resting",
        "remix": "start-mixing",
        "spread": "judge",
        "release": "release-rest",
        "temperature": "temperature",
        "face": "take-out",
        # The face coat is placed before the rest goes on.
        "way53.place": "note",
        "scrape-3": "scrape",
        "fibre": "pour",
        "fold": "start-mixing",
        "backing": "note",
    }
    assert phase(bench) == "finish"
    bench.does(Finish())
    assert phase(bench) == "ended"


def test_mixing_from_the_first_turn_of_the_paddle() -> None:
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    assert phase(bench) == "mixing"


def test_a_tub_is_filled_then_tipped() -> None:
    bench = blend(weighing="tub")
    assert phase(bench) == "tub-fill"
    bench.does(FillTub(weight=weight(kg("1.9"))))
    assert phase(bench) == "tub-tip"
    bench.does(Book(weight=weight(kg("1.9"), weighing="tub", residue_mg=0)))
    assert bench.step == "blend-1"
    assert phase(bench) == "tub-fill"


def test_changing_what_stands_on_the_scale_empties_the_tub() -> None:
    bench = blend(weighing="tub")
    bench.does(FillTub(weight=weight(kg("1.9"))))
    bench.does(ChangeWeighing(weighing="bucket"))
    assert phase(bench) == "pour"
    bench.does(ChangeWeighing(weighing="tub"))
    assert phase(bench) == "tub-fill"


def test_a_release_goes_round_until_the_mix_moves_right() -> None:
    bench = blend().goes_to("judge")
    bench.does(SkipStep(reason="judged in the release"))
    assert phase(bench) == "release-judge"
    bench.does(Judge(verdict="too-stiff"))
    assert phase(bench) == "pour"
    bench.does(Book(weight=weight(g(100))))
    assert phase(bench) == "release-start-mixing"
    bench.does(StartTimer())
    assert phase(bench) == "release-mixing"
    for _ in range(2):
        bench.does(Judge(verdict="too-stiff"))
        assert phase(bench) == "pour"
        bench.pours()
        bench.does(StartTimer())
    # 18 kg of blend; 1.901 + 0.100 + 0.119 + 0.119 kg of water are 0.1244 of it, the band begins at 0.124.
    bench.does(Judge(verdict="right"))
    assert bench.step == "scrape-3"


def test_a_mix_just_found_too_stiff_is_not_judged_again_before_water() -> None:
    bench = blend().goes_to("judge")
    bench.does(Judge(verdict="too-stiff"))
    assert (bench.step, phase(bench)) == ("release", "pour")


def test_a_mix_just_found_right_is_not_judged_again() -> None:
    bench = blend().goes_to("judge")
    bench.does(Judge(verdict="right"))
    assert (bench.step, phase(bench)) == ("release", "release-rest")
    # Looking closer, it is not.
    bench.does(Judge(verdict="too-stiff"))
    assert phase(bench) == "pour"


def test_what_changed_the_mix_since_has_it_judged_again() -> None:
    poured, mixed, loose = (blend().goes_to("release") for _ in range(3))
    poured.does(BookExtra(material="water", weight=weight(g(20)), reason="splashed in"))
    mixed.does(StartTimer())
    loose.does(Judge(verdict="too-loose"))
    assert phase(poured) == "release-judge"
    assert phase(mixed) == "release-mixing"
    # Too loose with far too little water in: the rest is held back, or what is off is found.
    assert (loose.step, phase(loose)) == ("release", "release-rest")


def test_a_right_mix_that_was_rested_before_the_release_is_judged_again() -> None:
    bench = blend().goes_to("rest")
    bench.does(Judge(verdict="right"))
    bench.does(BringForward(step="release"))
    assert phase(bench) == "release-rest"
    bench = blend().goes_to("rest")
    bench.does(Judge(verdict="right"))
    bench.rests()
    bench.does(BringForward(step="release"))
    assert phase(bench) == "release-judge"


def test_paused_and_back() -> None:
    bench = blend().goes_to("rest")
    bench.does(Pause(reason="door"))
    assert phase(bench) == "paused"
    bench.does(TakeUp())
    assert phase(bench) == "resting"


def test_take_outs_of_a_way() -> None:
    bench = blend().goes_to("mix-1")
    bench.tell(
        WayTaken(
            way="scoop-and-grow",
            aim=bench.run.aim,
            pour_back_mg=0,
            scoop_mg=kg(1),
            make_up=("blend",),
            mix_s=30,
            gives_up=(),
            said="so",
        )
    )
    assert phase(bench) == "take-out"
    bench.goes_on()
    assert phase(bench) == "pour"


def test_discarded_is_over() -> None:
    bench = blend()
    bench.does(Discard(reason="wrong bag"))
    assert phase(bench) == "ended"


def test_mixing_cut_off_by_a_restart_of_the_machine_is_started_anew() -> None:
    """A restart of the program alone changes nothing: the clocks go on."""
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    bench.tell(ProgramResumed(program="0.1.0"))
    assert phase(bench) == "mixing"
    bench.hands.restart(90)
    bench.tell(ProgramResumed(program="0.1.0"))
    assert phase(bench) == "start-mixing"
    bench.mixes()
    assert bench.codes == set()


def test_a_release_cut_off_by_a_restart_is_mixed_anew() -> None:
    bench = blend().goes_to("release")
    bench.releases(times=1)
    bench.does(StartTimer())
    bench.hands.restart(60)
    bench.tell(ProgramResumed(program="0.1.0"))
    assert phase(bench) == "release-start-mixing"
