"""A warning is read whole and put away with one key, stays counted and on record, and comes back only when worse."""

from mixstation.batch.events import FlagPutAway, FlagRaised
from mixstation.station.view import FlagShown
from mixstation.wording import menu_lines as words
from tests.station.mixer import mix
from tests.station.recipes import quick
from tests.station.view_checks import check
from tests.station.yard import Yard


def _under_water() -> Yard:
    """Found right far under its band, and left so: that is a check, said in two sentences."""
    yard = Yard(quick())
    mix(yard, until=lambda view: "/judge/" in view.question.ident)
    yard.pick("right")
    yard.press(typed="2")
    return yard


def _shown(yard: Yard) -> list[FlagShown]:
    return [flag for flag in yard.view.flags if not flag.away]


def test_without_a_warning_no_key_reads_any() -> None:
    yard = Yard(quick())
    yard.put_gear_on()
    assert "flags" not in {act.name for act in yard.question.acts}


def test_a_warning_is_read_whole_and_put_away_and_stays_counted() -> None:
    yard = _under_water()
    (flag,) = _shown(yard)
    act = next(act for act in yard.question.acts if act.name == "flags")
    assert act.words == "warnings: 1"
    yard.press("flags")
    check(yard.view)
    assert yard.question.ask == f"CHECK: {flag.sentence}"
    assert yard.question.enter == "put it away"
    yard.press()
    assert _shown(yard) == []
    assert [away.sentence for away in yard.view.flags] == [flag.sentence]
    assert "warnings: 1" in {act.words for act in yard.question.acts}
    assert "fibre" in yard.question.ask
    away = yard.facts[-1]
    assert isinstance(away, FlagPutAway)
    assert (away.code, away.about, away.said) == ("water-under", "water", f"CHECK: {flag.sentence}")
    # It stands all the same: the batch is not closed without a word about it.
    mix(yard)
    assert yard.facts[-1].accepted == ("water-under",)
    assert [fact.code for fact in yard.facts if isinstance(fact, FlagRaised)] == ["water-under"]


def test_what_was_put_away_can_be_read_again() -> None:
    yard = _under_water()
    sentence = yard.view.flags[0].sentence
    yard.press("flags")
    yard.press()
    yard.press("flags")
    assert yard.question.ask == words.NOTHING_TO_PUT_AWAY
    assert yard.question.detail == (f"put away, in the record: CHECK: {sentence}",)
    yard.press()
    assert "fibre" in yard.question.ask


def test_it_comes_back_only_when_its_figure_is_worse() -> None:
    """208 g of water on 2 kg of blend are 0.104; 228 g are 0.114, 218 g 0.109, 198 g 0.099."""
    yard = _under_water()
    yard.press("flags")
    yard.press()
    yard.press("add-else")
    yard.pick("Water")
    yard.press(typed="20 g")
    assert _shown(yard) == [], "0.114 is nearer the band"
    yard.press("trouble")
    yard.pick(words.OUT_LINE)
    yard.pick("Water")
    yard.press(typed="10 g")
    assert _shown(yard) == [], "0.109 is no worse than the 0.104 that was put away"
    yard.press("trouble")
    yard.pick(words.OUT_LINE)
    yard.pick("Water")
    yard.press(typed="20 g")
    assert ["0.099" in flag.sentence for flag in _shown(yard)] == [True]


def test_what_was_put_away_is_so_after_a_kill() -> None:
    yard = _under_water()
    yard.press("flags")
    yard.press()
    yard.come_back()
    assert _shown(yard) == []


def test_a_stop_stays_until_it_is_mended() -> None:
    """310 g of water on 2 kg of blend would be 0.155, over the ceiling of 0.150."""
    yard = Yard(quick())
    yard.put_gear_on()
    yard.press(typed="310 g")
    if yard.question.ident.endswith("confirm"):
        yard.press()
    yard.press("back")
    assert {flag.gravity for flag in yard.view.flags} == {"stop"}
    yard.press("flags")
    assert yard.question.ask == words.NOTHING_TO_PUT_AWAY
    assert yard.question.detail[0].startswith("stays until mended: STOP")
    check(yard.view)
