"""The end of placing: as it was said, else the last water; never by the clock of the closing alone."""

from dataclasses import replace

import pytest

from mixstation.batch.commands import BookExtra, Finish
from mixstation.batch.events import BatchFinished, ClockStepped, WeightRecorded
from mixstation.batch.placed import placed, placing_was_said
from mixstation.batch.refusal import PlacedBeforeWater
from mixstation.batch.run import fold
from tests.batch.making import Bench, blend, weight

MIN_MS = 60_000
A_COMMAND_S = 1
"""What goes by while a command is given at the bench."""


def ready() -> Bench:
    """All steps are through; the last water went in some minutes ago."""
    bench = blend()
    bench.goes_through()
    bench.hands.go(10 * 60)
    return bench


def last_water_ms(bench: Bench) -> int:
    return max(
        entry.stamp.utc_ms
        for entry in bench.run.live
        if isinstance(entry.fact, WeightRecorded) and entry.fact.material == "water"
    )


@pytest.mark.parametrize("minutes", [0, 3, 9])
def test_it_is_so_long_before_the_closing_as_was_said(minutes: int) -> None:
    bench = ready()
    bench.does(Finish(placed_before_s=60 * minutes, concession="as it is"))
    at = placed(bench.run)
    assert at is not None
    assert at.utc_ms == bench.hands.utc_ms - minutes * MIN_MS
    assert placing_was_said(bench.run)


def test_unsaid_it_is_the_last_water_and_not_the_closing() -> None:
    bench = ready()
    bench.hands.go(20 * 3600)
    bench.does(Finish(concession="as it is"))
    at = placed(bench.run)
    assert at is not None
    assert at.utc_ms == last_water_ms(bench) < bench.hands.utc_ms - 20 * 3_600_000
    assert not placing_was_said(bench.run)


def test_water_taken_back_is_no_last_water() -> None:
    bench = ready()
    before_ms = last_water_ms(bench)
    bench.does(BookExtra(material="water", weight=weight(5_000), reason="seen later", confirmed=True))
    bench.takes_back(len(bench.run.entries))
    bench.does(Finish(concession="as it is"))
    at = placed(bench.run)
    assert at is not None
    assert at.utc_ms == before_ms


@pytest.mark.parametrize("by_ms", [3_600_000, -3_600_000])
def test_a_clock_that_was_set_since_the_water_is_set_for_it_too(by_ms: int) -> None:
    bench = ready()
    water_ms = last_water_ms(bench)
    bench.hands.utc_ms += by_ms
    bench.tell(ClockStepped(by_ms=by_ms))
    bench.does(Finish(concession="as it is"))
    at = placed(bench.run)
    assert at is not None
    assert at.utc_ms == water_ms + by_ms


def test_it_was_not_placed_before_there_was_water() -> None:
    bench = ready()
    since_s = bench.advice.working.since_s
    assert since_s is not None
    said_s = int(since_s) + 60
    refused = bench.refuses(Finish(placed_before_s=said_s, concession="as it is"))
    assert refused == PlacedBeforeWater(placed_s=said_s, water_s=int(since_s) + A_COMMAND_S)
    assert not bench.run.ended


def test_said_before_the_last_water_it_is_the_last_water() -> None:
    bench = ready()
    bench.does(BookExtra(material="water", weight=weight(5_000), reason="seen later", confirmed=True))
    bench.hands.go(60)
    bench.does(Finish(placed_before_s=10 * 60, concession="as it is"))
    at = placed(bench.run)
    assert at is not None
    assert at.utc_ms == last_water_ms(bench) == bench.hands.utc_ms - MIN_MS - 1000 * A_COMMAND_S


def test_a_batch_stored_without_the_field_counts_from_its_last_water() -> None:
    bench = ready()
    bench.does(Finish(placed_before_s=0, concession="as it is"))
    *rest, end = bench.run.entries
    assert isinstance(end.fact, BatchFinished)
    old = fold((*rest, replace(end, fact=replace(end.fact, placed_before_s=None))))
    at = placed(old)
    assert at is not None
    assert at.utc_ms == last_water_ms(bench)


def test_what_is_open_was_not_placed() -> None:
    assert placed(ready().run) is None
