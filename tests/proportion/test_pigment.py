"""Pigment against its limits."""

from fractions import Fraction

import pytest

from mixstation.proportion.error import ProportionError
from mixstation.proportion.pigment import most_pigment_mg


def test_without_limits_of_their_own_pigments_share_a_tenth_of_the_cement() -> None:
    assert most_pigment_mg(7_000_000) == 700_000


def test_the_smallest_own_limit_rules_the_whole_blend() -> None:
    assert most_pigment_mg(10_000_000, [Fraction(800_000), Fraction(400_000)]) == 400_000


def test_an_own_limit_above_the_general_one_does_not_lift_it() -> None:
    assert most_pigment_mg(10_000_000, [Fraction(1_500_000)]) == 1_000_000


@pytest.mark.parametrize(("cement", "own"), [(-1, []), (1, [Fraction(-1)])])
def test_less_than_nothing_is_refused(cement: int, own: list[Fraction]) -> None:
    with pytest.raises(ProportionError) as caught:
        most_pigment_mg(cement, own)
    assert caught.value.why.code == "negative"
