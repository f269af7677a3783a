"""Cost by hand, and rounded only once."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.cost import cost_of
from tests.plan.recipes import blend_recipe, raw_recipe


def test_cost_by_hand() -> None:
    # 15 kg of a 24.80 bag of 20 kg is 18.60; 0.5 kg of a 19.00 packet of 2 kg is 4.75: 23.35 for 17.6 kg.
    cost = cost_of(blend_recipe(), {"water": 2_100_000, "blend": 15_000_000, "fibre": 500_000})
    assert [(line.material, line.cents) for line in cost.lines] == [("blend", 1860), ("fibre", 475)]
    assert (cost.currency, cost.total_cents, cost.per_kg_cents) == ("EUR", 2335, 133)
    assert cost.unpriced == ()


def test_what_has_no_price_is_named() -> None:
    cost = cost_of(raw_recipe(), {"water": 1_000_000, "ochre": 10_000, "cement": 0})
    assert (cost.total_cents, cost.unpriced, cost.lines) == (0, ("ochre",), ())
    assert cost_of(raw_recipe(), {}).per_kg_cents is None


@given(st.integers(1, 50_000_000), st.integers(1, 50_000_000), st.integers(1, 40))
def test_equal_pieces_share_the_cost_to_the_cent(blend_mg: int, fibre_mg: int, count: int) -> None:
    cost = cost_of(blend_recipe(), {"blend": blend_mg, "fibre": fibre_mg})
    each = cost.share_cents(Fraction(1, count))
    assert abs(each - cost.exact_cents / count) <= Fraction(1, 2)
    assert cost.total_cents == round(cost.exact_cents)
    assert cost.exact_cents == Fraction(blend_mg * 2480, 20_000_000) + Fraction(fibre_mg * 1900, 2_000_000)
