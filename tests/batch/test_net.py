"""A dose on its way: nets of the three ways of weighing, where it stands, and when the hand must slow and stop."""

from dataclasses import replace

import pytest

from mixstation.batch.advice import Net, signed_net_mg, take_out_mg
from mixstation.batch.commands import Book, BookPortion, FillTub, Pause, TakeBack, TakeReference
from mixstation.batch.events import WeightRecorded
from tests.batch.making import Bench, blend, raw, weight
from tests.batch.recipes import g, kg


def pouring(weighing: str = "bucket", before: str = "1.2") -> Bench:
    """1.901 kg of water asked for."""
    bench = blend(weighing=weighing)
    bench.does(TakeReference(gross_mg=kg(before), division_mg=1000))
    return bench


def net(bench: Bench) -> Net:
    found = bench.advice.net
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("weighing", "before", "after"),
    [("bucket", "1.2", "2.0"), ("tub", "0.3", "1.1"), ("supply", "9.5", "8.7")],
)
def test_800_g_by_each_way_of_weighing(weighing: str, before: str, after: str) -> None:
    bench = pouring(weighing, before)
    bench.shows(kg(after))
    assert (net(bench).net_mg, net(bench).place) == (g(800), "under")


@pytest.mark.parametrize(
    ("weighing", "before", "after"),
    [("bucket", "9.5", "8.7"), ("tub", "0.3", "1.1"), ("supply", "9.5", "8.7")],
)
def test_800_g_out_of_the_bucket(weighing: str, before: str, after: str) -> None:
    """For taking out, the tub is the vessel the portion goes into."""
    assert signed_net_mg(weighing, True, kg(after), kg(before)) == g(800)  # type: ignore[arg-type]


def test_the_wrong_way_is_less_than_nothing() -> None:
    bench = pouring()
    bench.shows(kg("1.1"))
    assert (net(bench).net_mg, net(bench).place) == (-g(100), "under")


@pytest.mark.parametrize(
    ("net_g", "place"),
    [(1843, "under"), (1844, "inside"), (1901, "inside"), (1957, "inside"), (1958, "over")],
)
def test_places(net_g: int, place: str) -> None:
    """An early share may miss by 3 % of 1900.8 g: 1843.776 to 1957.824 g."""
    bench = pouring()
    bench.shows(kg("1.2") + g(net_g))
    assert net(bench).place == place


@pytest.mark.parametrize(
    ("net_g", "flow_g_s", "cue"),
    [
        (300, 200, "pour"),
        (1500, 200, "pour"),
        (1501, 200, "slow"),
        (1800, 200, "slow"),
        (1801, 200, "stop"),
        (1850, 20, "slow"),
        (1892, 20, "stop"),
        (1901, 0, "stop"),
        (1950, 50, "stop"),
        (1960, 50, "over"),
        (1700, 5, "pour"),
        (1806, 5, "slow"),
    ],
)
def test_cues_run_ahead_by_flow_and_delay(net_g: int, flow_g_s: float, cue: str) -> None:
    """Stop half a second of flow before 1901 g, slow a second and a half before that or in the last twentieth."""
    bench = pouring()
    bench.shows(kg("1.2") + g(net_g), "moving", flow_g_s)
    assert net(bench).cue == cue


def test_a_hand_at_rest_inside_the_tolerance_may_stop() -> None:
    bench = pouring()
    bench.shows(kg("1.2") + g(1850), "steady")
    assert (net(bench).cue, net(bench).steady) == ("stop", True)


def test_a_hand_at_rest_below_it_pours_on() -> None:
    bench = pouring()
    bench.shows(kg("1.2") + g(900), "steady")
    assert (net(bench).cue, net(bench).steady) == ("pour", True)


@pytest.mark.parametrize("state", ["stale", "fault", "none"])
def test_a_reading_that_is_not_live_is_no_net(state: str) -> None:
    bench = pouring()
    bench.shows(kg(2), state)
    assert bench.advice.net is None


def test_no_reading_no_reference_no_scale_no_net() -> None:
    bench = pouring()
    bench.shows(None)
    assert bench.advice.net is None
    bench.live = None
    assert bench.advice.net is None
    bench = blend()
    bench.shows(kg(2))
    assert bench.advice.net is None


def test_a_tub_full_and_not_yet_tipped_is_no_net() -> None:
    bench = pouring("tub", "0.3")
    bench.shows(kg("2.2"))
    bench.does(FillTub(weight=weight(kg("1.9"))))
    assert bench.advice.net is None


def test_while_the_mixer_is_away_nothing_is_on_its_way() -> None:
    bench = pouring()
    bench.shows(kg("1.2") + kg("1.9"))
    bench.does(Pause(reason="phone"))
    assert bench.advice.net is None


def test_after_the_pour_the_old_reading_counts_for_nothing() -> None:
    bench = pouring()
    bench.shows(kg("3.1"))
    bench.pours()
    assert bench.advice.net is None


def test_a_portion_on_its_way_out() -> None:
    """Within a fiftieth of what is asked."""
    bench = raw().goes_to("face")
    asked = take_out_mg(bench.standing)
    assert asked is not None
    bench.does(TakeReference(gross_mg=kg(20), division_mg=1000))
    for out_mg, place in (
        (asked - asked // 50 - 1, "under"),
        (asked - asked // 50, "inside"),
        (asked + asked // 50, "inside"),
        (asked + asked // 50 + 1, "over"),
    ):
        bench.shows(kg(20) - out_mg)
        assert (net(bench).net_mg, net(bench).place) == (out_mg, place)


def test_where_enough_is_in_the_first_gram_is_too_much() -> None:
    bench = blend().goes_to("blend-1")
    bench.pours(kg("18.3"), confirmed=True)
    bench.goes_to("blend-2")
    bench.does(TakeReference(gross_mg=kg(20), division_mg=1000))
    bench.shows(kg(20))
    assert (net(bench).place, net(bench).cue) == ("inside", "stop")
    bench.shows(kg(20) + g(5))
    assert net(bench).place == "over"


def test_scale_flags_only_where_something_is_weighed() -> None:
    bench = blend().goes_to("mix-1")
    bench.shows(None, "stale")
    assert bench.codes == set()


def second_pour(bench: Bench, *, ended_by_mg: int, division_mg: int = 1000, source: str = "scale") -> Bench:
    """The water is in; the start reading of the powder is so much above where that ended, at 3.101 kg."""
    given = weight(kg("1.901"), source, division_mg=division_mg)  # type: ignore[arg-type]
    given = replace(given, gross_mg=kg("3.101"), weighing="bucket") if source == "scale" else given
    bench.does(TakeReference(gross_mg=kg("1.2"), division_mg=1000))
    bench.does(Book(weight=given))
    bench.does(TakeReference(gross_mg=kg("3.101") + ended_by_mg, division_mg=bench.division_mg))
    bench.shows(kg("4.2"))
    return bench


@pytest.mark.parametrize(
    ("ended_by_mg", "net_mg"),
    [(0, g(1099)), (1000, g(1099)), (-1000, g(1099)), (1001, g(1099)), (1002, 1097_998), (-2000, g(1101))],
)
def test_a_last_digit_that_flickers_between_two_pours_is_no_mass(ended_by_mg: int, net_mg: int) -> None:
    """4.200 − 3.101 kg where the start is a division off (or, rounded, a milligram more), else from the start."""
    assert net(second_pour(blend(), ended_by_mg=ended_by_mg)).net_mg == net_mg


def test_roundings_do_not_add_up_from_pour_to_pour() -> None:
    """Each start reading flickers up; what is booked in all is one difference of two readings."""
    bench, gross_mg, booked_mg = blend(), kg("1.2"), 0
    bench.does(TakeReference(gross_mg=gross_mg, division_mg=1000))
    for poured_g in (500, 600, 700):
        gross_mg += g(poured_g)
        bench.shows(gross_mg)
        booked_mg += net(bench).net_mg
        bench.does(
            Book(weight=weight(net(bench).net_mg, gross_mg=gross_mg, weighing="bucket"), confirmed=True)
        )
        bench.does(TakeReference(gross_mg=gross_mg + 1000, division_mg=1000))
    assert booked_mg == gross_mg - kg("1.2")


def test_a_flicker_alone_is_never_a_dose() -> None:
    """A start a division above where the last pour ended, and nothing poured since: nothing is in."""
    bench = second_pour(blend(), ended_by_mg=1000)
    bench.shows(kg("3.102"))
    assert net(bench).net_mg == 0


@pytest.mark.parametrize(
    "bench",
    [
        second_pour(blend(), ended_by_mg=1000, source="typed"),
        second_pour(blend(), ended_by_mg=1000, division_mg=100),
        second_pour(blend(5000), ended_by_mg=1000),
    ],
    ids=["typed", "by a finer display before", "by a coarser display now"],
)
def test_what_was_not_weighed_by_the_same_display_does_not_tell_where_a_pour_begins(bench: Bench) -> None:
    assert net(bench).net_mg == g(1098)


def test_a_portion_out_since_or_a_weight_taken_back_leaves_the_start_reading() -> None:
    for undo in (
        BookPortion(weight=weight(g(1)), reason="on the paddle"),
        TakeBack(seq=4, reason="another bucket"),
    ):
        bench = second_pour(blend(), ended_by_mg=1000)
        assert isinstance(bench.run.entries[3].fact, WeightRecorded)
        bench.does(undo)
        bench.does(TakeReference(gross_mg=kg("3.102"), division_mg=1000, confirmed=True))
        bench.shows(kg("4.2"))
        assert net(bench).net_mg == g(1098)
