"""With the bucket on the scale, its gross must be its tare and what was entered; what differs is named."""

from fractions import Fraction

import pytest

from mixstation.batch.commands import Book, BookExtra, BookPortion, BookRemoved, SwapMaterial, TakeReference
from mixstation.batch.events import WeightRecorded
from mixstation.batch.reconcile import allowed_mg, expected_gross_mg, reconciliation_flags, reconciliation_mg
from tests.batch.making import Bench, blend, raw, values_of, weight
from tests.batch.recipes import g, kg

TARE = kg("1.2")


def on_scale(bench: Bench, gross_mg: int) -> None:
    bench.does(TakeReference(gross_mg=gross_mg, division_mg=1000, confirmed=True))


def watered() -> Bench:
    """The bucket weighed empty, then 1.901 kg of water."""
    bench = blend()
    on_scale(bench, TARE)
    bench.pours()
    return bench


@pytest.mark.parametrize("by_g", [310, -310])
def test_a_difference_is_named_with_its_size(by_g: int) -> None:
    bench = watered()
    on_scale(bench, TARE + kg("1.901") + g(by_g))
    (flag,) = reconciliation_flags(bench.run)
    assert flag.code == ("bucket-heavier" if by_g > 0 else "bucket-lighter")
    assert values_of(flag) == {"by_mg": g(310)}
    assert reconciliation_mg(bench.run) == g(by_g)


@pytest.mark.parametrize(("by_mg", "named"), [(6802, False), (6803, True), (-6802, False), (-6803, True)])
def test_three_divisions_and_two_thousandths_are_let_be(by_mg: int, named: bool) -> None:
    """3 × 1 g + 1901 g/500 = 6.802 g."""
    bench = watered()
    on_scale(bench, TARE + kg("1.901") + by_mg)
    assert (reconciliation_mg(bench.run) is not None) == named
    assert allowed_mg(Fraction(kg("1.901")), 1000) == 6802


def test_the_first_time_on_the_scale_is_the_tare() -> None:
    """Water typed in before the bucket ever stood on the scale."""
    bench = blend()
    bench.pours()
    on_scale(bench, kg("3.2"))
    assert reconciliation_mg(bench.run) is None
    bench.goes_to("blend-2")
    on_scale(bench, kg("3.2") + kg(9))
    assert reconciliation_mg(bench.run) is None


def test_a_scale_set_to_zero_starts_anew() -> None:
    """The tare key with the full bucket on: the reading is nothing, not a bucket gone."""
    bench = watered()
    on_scale(bench, g(1))
    assert reconciliation_mg(bench.run) is None
    bench.goes_to("blend-2")
    on_scale(bench, kg(9) + g(400))
    assert reconciliation_mg(bench.run) == g(399)


def test_what_is_entered_afterwards_explains_it() -> None:
    bench = watered()
    on_scale(bench, TARE + kg("1.901") + g(310))
    bench.does(BookExtra(material="water", weight=weight(g(305)), reason="unrecorded"))
    assert reconciliation_mg(bench.run) is None
    bench = watered()
    on_scale(bench, TARE + kg("1.901") - g(310))
    bench.does(BookRemoved(material="water", weight=weight(g(310)), reason="splash"))
    assert reconciliation_mg(bench.run) is None


def test_what_has_nothing_to_do_with_it_does_not() -> None:
    bench = watered()
    on_scale(bench, TARE + kg("1.901") + g(310))
    bench.does(BookExtra(material="water", weight=weight(g(700)), reason="hose", confirmed=True))
    assert reconciliation_mg(bench.run) == g(310)
    bench.does(BookRemoved(material="water", weight=weight(g(5)), reason="splash"))
    assert reconciliation_mg(bench.run) == g(310)


def test_the_next_reading_tells() -> None:
    """Entered as an explanation and yet poured only then: the bucket is as much too heavy as before."""
    bench = watered()
    on_scale(bench, TARE + kg("1.901") + g(310))
    bench.does(BookExtra(material="water", weight=weight(g(310)), reason="unrecorded"))
    on_scale(bench, TARE + kg("1.901") + g(620))
    assert reconciliation_mg(bench.run) == g(310)


def test_a_portion_out_is_reckoned_with() -> None:
    bench = raw()
    on_scale(bench, TARE)
    bench.goes_to("scrape-3")
    bench.does(BookPortion(weight=weight(kg(1)), reason="trial cube"))
    bench.goes_to("fibre")
    on_scale(bench, TARE + round(bench.run.in_bucket_mg))
    assert reconciliation_mg(bench.run) is None


def test_what_the_bucket_should_weigh() -> None:
    bench = blend()
    assert expected_gross_mg(bench.run) is None
    on_scale(bench, TARE)
    bench.pours()
    assert expected_gross_mg(bench.run) == TARE + kg("1.901")


def test_other_vessels_on_the_scale_say_nothing_about_the_bucket() -> None:
    bench = blend(weighing="supply")
    on_scale(bench, kg(9))
    bench.pours()
    on_scale(bench, kg(20))
    assert reconciliation_mg(bench.run) is None
    assert expected_gross_mg(bench.run) is None


def _booked(bench: Bench, mass_mg: int, gross_mg: int) -> int:
    """The step's dose off the bucket on the scale; the entry's number."""
    on_scale(bench, gross_mg - mass_mg)
    bench.does(Book(weight=weight(mass_mg, gross_mg=gross_mg, weighing="bucket"), confirmed=True))
    return next(entry.seq for entry in reversed(bench.run.live) if isinstance(entry.fact, WeightRecorded))


@pytest.mark.parametrize("twice", [False, True])
@pytest.mark.parametrize("which", [0, 1])
def test_what_was_another_material_changes_nothing_of_what_the_bucket_should_weigh(
    which: int, twice: bool
) -> None:
    bench = blend()
    first = _booked(bench, kg("1.901"), TARE + kg("1.901"))
    second = _booked(bench, kg(9), TARE + kg("10.901"))
    assert expected_gross_mg(bench.run) == TARE + kg("10.901")
    for material in ("fibre", ("blend", "water")[which])[: 1 + twice]:
        seq = (first, second)[which]
        bench.does(SwapMaterial(seq=seq, material=material, reason="another material went in"))
        assert expected_gross_mg(bench.run) == TARE + kg("10.901")
        swapped = bench.run.entries[-1].seq
        first, second = (swapped, second) if which == 0 else (first, swapped)


def test_what_was_taken_back_and_never_went_in_is_not_looked_for() -> None:
    bench = blend()
    seq = _booked(bench, kg("1.901"), TARE + kg("1.901"))
    bench.takes_back(seq)
    assert expected_gross_mg(bench.run) == TARE
