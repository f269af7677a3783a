"""Where a ratio stands against its band, told only as far as its uncertainty lets one tell."""

from fractions import Fraction

import pytest

from mixstation.batch.ratio_place import RatioPlace, place_of_ratio


@pytest.mark.parametrize(
    ("eighths", "place"),
    [
        ("0.9", "under"),
        ("1", "cannot-tell"),
        ("2.9", "cannot-tell"),
        ("3", "inside"),
        ("5", "inside"),
        ("5.1", "cannot-tell"),
        ("7", "cannot-tell"),
        ("7.1", "over"),
    ],
)
def test_told_apart_only_where_the_whole_uncertainty_is_on_one_side(eighths: str, place: RatioPlace) -> None:
    """A band of 2/8 to 6/8 and an uncertainty of 1/8; one that just touches an end from inside is inside."""
    ratio = Fraction(eighths) / 8
    assert place_of_ratio(ratio, 1 / 8, Fraction(2, 8), Fraction(6, 8)) == place
