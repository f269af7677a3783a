"""What a batch leaves its ways out to do, and how a way is given: its limits, its order, its fact."""

from dataclasses import replace

import pytest

from mixstation.batch.events import Amount
from mixstation.batch.way import Way, way_taken
from mixstation.batch.ways import Limits, limits_of, ways_out
from tests.batch.ways.bucket import (
    BLEND,
    RAW,
    add,
    begin,
    limits,
    listed,
    mix,
    of_kind,
    scooped,
    weighed,
    with_steps,
    worked,
)


def test_answers_are_the_same_every_time() -> None:
    run = worked(RAW, "fibre-100", pigment_100="1.3")
    assert listed(run) == listed(run)


def test_limits_of_a_batch_count_what_was_used() -> None:
    run = worked(RAW, "fibre-100", needed_l=7.0)
    stocked = replace(run, start=replace(run.start, stock=(Amount(material="cement", mass_mg=6_500_000),)))
    found: Limits = limits_of(stocked, limits(run).divisions_mg, 900, stiffening=False)
    assert found.stock_mg == {"cement": 500_000}
    assert found.needed_l == 7.0
    split = scooped(stocked, round(run.in_bucket_mg / 4), layer="face coat")
    after = limits_of(split, limits(run).divisions_mg, 900, stiffening=False)
    assert after.needed_l == pytest.approx(7.0 - 0.25 * 7.24, abs=0.05)


def test_a_way_taken_is_a_fact() -> None:
    run = weighed(worked(BLEND, "fibre-100"), "water", 250_000, None)
    ways = listed(run, stock_mg={"blend": 0})
    assert next(way for way in ways if way.hindrances).kind == "grow"
    fact = way_taken(ways[0], "Leave it.")
    assert (fact.way, fact.said, fact.make_up) == ("leave", "Leave it.", ())
    assert fact.gives_up == ("water-over",)


def test_a_bucket_of_less_than_a_litre_is_filled_to_its_limit_too() -> None:
    """Six tenths of a cup of 0.8 L; one whose volume is not known has no limit."""
    of_nothing = limits_of(worked(BLEND, "blend-50"), {}, None, stiffening=False)
    assert replace(of_nothing, bucket_l=0.8, fill_limit=0.6).full_l == pytest.approx(0.48)
    assert replace(of_nothing, bucket_l=0.0).full_l is None


def test_with_no_batch_aimed_at_what_is_in_is_left_or_thrown_away() -> None:
    """No powder was planned and water went in: there is no size to mend it to."""
    run = weighed(begin(BLEND, {"blend": 0}), "water", 500_000, None)
    assert [way.kind for way in listed(run)] == ["leave", "discard"]


def spilt_into_fibres(spilt: str, mass_mg: int) -> tuple[Way, ...]:
    """A recipe that begins with its fibre and ends with its water, all in, and more of one thing."""
    turned = with_steps(BLEND, add("fibre"), add("blend"), mix("mix-1"), add("water"), mix("mix-2"))
    run = weighed(worked(turned, ""), spilt, mass_mg, None)
    return ways_out(run, limits(run))


def test_what_a_way_adds_goes_in_liquids_first_and_fibres_last() -> None:
    """Whatever order the recipe has."""
    way = of_kind(spilt_into_fibres("blend", 3_000_000), "grow")
    assert [amount.material for amount in way.additions] == ["water", "fibre"]


def test_no_dry_blend_goes_into_fibres_against_too_much_water() -> None:
    """Blend with its own share of water cannot bring 0.179 down to 0.150."""
    added = {amount.material for way in spilt_into_fibres("water", 400_000) for amount in way.additions}
    assert "blend" not in added
