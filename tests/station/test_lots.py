"""Which bag a dose came out of: asked when several lots are on hand, said for a new bag, kept with each dose."""

from pathlib import Path

from mixstation.account.batch_record import batch_record
from mixstation.batch.events import Lot, LotOpened
from mixstation.batch.like import got
from mixstation.batch.lots import lots_used
from mixstation.record.stock_draws import draw_batch, used_by_lot_mg
from mixstation.record.stock_ledger import StockLedger
from mixstation.units.show import DisplayUnits
from mixstation.wording import menu_lines as words
from tests.station.mixer import mix
from tests.station.recipes import quick
from tests.station.view_checks import check
from tests.station.yard import BATCH, Yard

TWO = (Lot(material="blend", lot="A7"), Lot(material="blend", lot="B2"))
ONE = TWO[:1]


def _asked() -> Yard:
    yard = Yard(quick(), lots=TWO)
    yard.put_gear_on()
    return yard


def _half_way(yard: Yard) -> None:
    """The water, and half of the blend."""
    mix(yard, until=lambda view: "blend" in view.question.ask.lower())
    yard.press("add-else")
    yard.pick(yard.run.recipe.material("blend").name)
    yard.press(typed="1000 g")


def _new_bag(yard: Yard, lot: str) -> None:
    yard.press("menu")
    while words.LOT_LINE not in {choice.words for choice in yard.question.choices}:
        yard.pick(words.MORE_LINE)
    yard.pick(words.LOT_LINE)
    yard.pick(yard.run.recipe.material("blend").name)
    if lot in {choice.words for choice in yard.question.choices}:
        yard.pick(lot)
        return
    yard.pick(words.OTHER_LOT_LINE)
    yard.press(typed=lot)


def test_of_one_lot_or_none_nothing_is_asked() -> None:
    for lots in ((), ONE):
        yard = Yard(quick(), lots=lots)
        yard.put_gear_on()
        assert "/lot/" not in yard.question.ident


def test_of_several_it_is_asked_once_before_the_first_water() -> None:
    yard = _asked()
    check(yard.view)
    assert yard.question.ask.startswith("Which lot of ")
    assert [choice.words for choice in yard.question.choices] == ["A7", "B2", words.OTHER_LOT_LINE]
    yard.press(typed="7")
    assert "/lot/" in yard.question.ident, "no such line"
    yard.come_back()
    assert "/lot/" in yard.question.ident
    yard.press(typed="2")
    assert yard.facts[-1] == LotOpened(material="blend", lot="B2")
    mix(yard)
    assert [fact for fact in yard.facts if isinstance(fact, LotOpened)] == [
        LotOpened(material="blend", lot="B2")
    ]
    assert lots_used(yard.run) == (Lot(material="blend", lot="B2"),)


def test_enter_leaves_it_unknown() -> None:
    yard = _asked()
    yard.press()
    mix(yard)
    assert yard.run.ended == "finished"
    assert set(used_by_lot_mg(yard.run)["blend"]) == {""}


def test_a_lot_not_on_file_is_typed() -> None:
    yard = _asked()
    yard.press(typed="3")
    yard.press(typed="C 11")
    assert yard.facts[-1] == LotOpened(material="blend", lot="C 11")
    assert "/lot/" not in yard.question.ident


def test_each_dose_keeps_its_lot_on_the_record_and_in_the_stock(tmp_path: Path) -> None:
    """A kilogram out of A7, the rest of the two out of B2, the program started again between."""
    ledger = StockLedger.open(tmp_path)
    for lot in ("A7", "B2"):
        ledger.receive(lot, at_ms=1, who="Ida", material="blend", mass_mg=25_000_000, lot=lot)
    yard = _asked()
    yard.press(typed="1")
    _half_way(yard)
    _new_bag(yard, "B2")
    yard.come_back()
    mix(yard)
    assert yard.run == yard.stored()
    parts = used_by_lot_mg(yard.run)["blend"]
    assert parts["A7"] == 1_000_000
    assert sum(parts.values()) == yard.run.content["blend"]
    assert set(parts) == {"A7", "B2"}
    found = got(yard.run)
    assert found is not None
    assert found.lots == TWO
    record = batch_record(yard.run.entries, DisplayUnits.METRIC)
    blend = next(each for each in record["materials"] if each["key"] == "blend")
    assert blend["lots"] == ["A7", "B2"]
    doses = [each["said"] for each in record["entries"] if each["kind"] == "weight-recorded"]
    assert [said.rsplit(", ", 1)[1] for said in doses if "lot" in said] == ["lot A7", "lot B2"]
    assert draw_batch(yard.store, ledger, BATCH) is not None
    assert {line.lot: line.mass_mg for line in ledger.on_hand() if line.material == "blend"} == {
        lot: 25_000_000 - mass_mg for lot, mass_mg in parts.items()
    }
    ledger.close()


def test_a_bag_of_the_one_lot_on_hand_gives_way_to_a_new_one() -> None:
    yard = Yard(quick(), lots=ONE)
    yard.put_gear_on()
    _half_way(yard)
    _new_bag(yard, "D4")
    mix(yard)
    assert lots_used(yard.run) == (*ONE, Lot(material="blend", lot="D4"))
