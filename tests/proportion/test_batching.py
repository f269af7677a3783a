"""The table of batching tolerances."""

import pytest

from mixstation.proportion.batching import BATCHING_TOLERANCES, batching_tolerance, widest_tolerance


def test_each_standard_speaks_once_of_each_group() -> None:
    keys = [(row.standard, row.group) for row in BATCHING_TOLERANCES]
    assert len(keys) == len(set(keys))


def test_every_row_names_its_source() -> None:
    for row in BATCHING_TOLERANCES:
        assert row.standard.removeprefix("ASTM ") in row.source
        assert row.source.endswith(("from memory", "as announced in 2021"))


def test_a_group_the_standard_does_not_know() -> None:
    with pytest.raises(KeyError):
        batching_tolerance("ASTM C94", "addition")


def test_each_side_is_as_wide_as_any_standard_allows_it() -> None:
    widest = widest_tolerance(["cement", "cement-small-batch"])
    assert (widest.under_percent, widest.over_percent) == (3, 4)
