"""Taking from stock: nothing is lost, open packs go first."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.plan.cautions import SeveralLots, Short
from mixstation.plan.stock import StockLine, on_hand_mg, stock_cautions, take, take_all
from tests.plan.recipes import raw_recipe

lines = st.lists(
    st.builds(
        StockLine,
        material=st.sampled_from(["cement", "sand"]),
        lot=st.text("AB12", max_size=3),
        mass_mg=st.integers(0, 80_000_000),
        pack_mg=st.sampled_from([0, 1_000_000, 25_000_000]),
    ),
    max_size=6,
)


@given(lines, st.integers(0, 200_000_000))
def test_what_is_taken_left_and_short_adds_up(stock: list[StockLine], need_mg: int) -> None:
    found = take("cement", need_mg, stock, pack_mg=25_000_000)
    there_mg = on_hand_mg(stock).get("cement", 0)
    taken_mg = sum(draw.mass_mg for draw in found.draws)
    assert taken_mg + found.short_mg == need_mg
    assert taken_mg + found.left_mg == there_mg
    assert found.short_mg == max(0, need_mg - there_mg)
    assert found.buy_count is not None
    assert 0 <= found.buy_count * 25_000_000 - found.short_mg < 25_000_000
    assert all(draw.mass_mg > 0 for draw in found.draws)


def test_open_packs_go_before_full_ones_by_hand() -> None:
    stock = [
        StockLine(material="cement", lot="old", mass_mg=50_000_000, pack_mg=25_000_000),
        StockLine(material="cement", lot="new", mass_mg=31_000_000, pack_mg=25_000_000),
    ]
    assert [(line.full_count, line.open_mg) for line in stock] == [(2, 0), (1, 6_000_000)]
    found = take("cement", 40_000_000, stock)
    # The 6 kg of the open new bag, then 34 kg of the old lot: two bags opened.
    assert [(draw.lot, draw.mass_mg, draw.opened_count) for draw in found.draws] == [
        ("old", 34_000_000, 2),
        ("new", 6_000_000, 0),
    ]
    assert found.left_mg == 41_000_000
    assert found.buy_count is None


def test_loose_material_has_no_packs() -> None:
    found = take("sand", 5_000_000, [StockLine(material="sand", lot="", mass_mg=3_000_000)])
    assert [(draw.mass_mg, draw.opened_count) for draw in found.draws] == [(3_000_000, 0)]
    assert found.short_mg == 2_000_000


def test_cautions_of_short_stock_and_mixed_lots() -> None:
    stock = [
        StockLine(material="cement", lot="7A", mass_mg=4_000_000, pack_mg=25_000_000),
        StockLine(material="cement", lot="", mass_mg=9_000_000, pack_mg=25_000_000),
        StockLine(material="sand", lot="x", mass_mg=4_000_000),
        StockLine(material="sand", lot="y", mass_mg=4_000_000),
    ]
    needs = {"water": 3_000_000, "cement": 10_000_000, "sand": 9_000_000, "fibre": 0}
    takes = take_all(raw_recipe(), needs, stock)
    assert [each.material for each in takes] == ["cement", "sand"]
    found = {(caution.code, caution.about): caution for caution in stock_cautions(raw_recipe(), takes)}
    assert set(found) == {("several-lots", "cement"), ("short", "sand")}
    assert found["several-lots", "cement"] == SeveralLots(material="cement", lots="7A, without a mark")
    assert found["short", "sand"] == Short(
        material="sand", short_mg=1_000_000, need_mg=9_000_000, buy_count=1
    )


@pytest.mark.parametrize("need_mg", [0, 25_000_000])
def test_exact_needs_leave_no_open_pack(need_mg: int) -> None:
    stock = [StockLine(material="cement", lot="", mass_mg=25_000_000, pack_mg=25_000_000)]
    found = take("cement", need_mg, stock)
    assert sum(draw.opened_count for draw in found.draws) == need_mg // 25_000_000
    assert found.left_mg == 25_000_000 - need_mg
