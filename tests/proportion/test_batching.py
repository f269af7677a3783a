"""The table of batching tolerances."""

from mixstation.proportion.batching import BATCHING_TOLERANCES, batching_tolerance


def test_each_standard_speaks_once_of_each_group() -> None:
    keys = [(row.standard, row.group) for row in BATCHING_TOLERANCES]
    assert len(keys) == len(set(keys))


def test_every_row_names_its_source() -> None:
    for row in BATCHING_TOLERANCES:
        assert row.standard.removeprefix("ASTM ") in row.source
        assert row.source.endswith(("from memory", "as announced in 2021"))


def test_a_group_the_standard_does_not_know() -> None:
    assert batching_tolerance("ASTM C94", "addition") is None
