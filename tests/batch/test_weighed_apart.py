"""Doses weighed on a finer scale than the main one: their steps, their flags, and the main scale all the same."""

from fractions import Fraction

import pytest

from mixstation.batch.advice import stand
from mixstation.batch.commands import Book, TakeBack, TakeReference
from mixstation.batch.events import ReferenceTaken, WeighedApart, WeightRecorded
from mixstation.batch.reconcile import expected_gross_mg
from mixstation.batch.refusal import AskedOnce
from mixstation.batch.targets import project
from mixstation.batch.ways import limits_of, ways_out
from tests.batch.making import Bench, clouded, values_of, weight
from tests.batch.recipes import g, kg

D, FINE = g(5), g("0.1")
SLATE = WeighedApart(material="slate", scale="fine", division_mg=FINE)


def at_slate(*apart: WeighedApart) -> Bench:
    return clouded(D, weighed_apart=apart).goes_to("slate")


def test_its_target_is_in_the_steps_of_its_own_scale() -> None:
    bench, plain = at_slate(SLATE), at_slate()
    assert plain.dosing.target_mg % D == 0
    assert "dose-small-for-scale" in plain.codes
    exact = bench.dosing.exact_mg
    assert exact == plain.dosing.exact_mg
    assert abs(bench.dosing.target_mg - exact) <= Fraction(FINE, 2)
    assert bench.dosing.target_mg % FINE == 0
    assert bench.dosing.target_mg % D
    assert bench.standing.apart == SLATE
    assert plain.standing.apart is None
    assert not {"dose-small-for-scale", "dose-below-division"} & bench.codes


def test_a_dose_too_small_for_its_own_scale_too_is_said_of_that_scale() -> None:
    bench = at_slate(WeighedApart(material="slate", scale="kitchen", division_mg=g(4)))
    assert values_of(bench.flags["dose-small-for-scale"])["division_mg"] == g(4)


@pytest.mark.parametrize("division_mg", [D, g(10), 0, -1])
def test_a_scale_that_is_no_finer_is_no_use(division_mg: int) -> None:
    bench = at_slate(WeighedApart(material="slate", scale="odd", division_mg=division_mg))
    assert bench.standing.apart is None
    assert bench.dosing.target_mg % D == 0


def test_a_main_scale_as_fine_needs_no_other() -> None:
    bench = at_slate(SLATE)
    assert stand(bench.run, FINE).apart is None
    assert stand(bench.run, FINE + 1).apart == SLATE


def test_other_materials_stay_on_the_main_scale() -> None:
    bench = clouded(D, weighed_apart=(SLATE,))
    while bench.step:
        if bench.standing.dosing is not None and bench.dosing.material != "slate":
            assert bench.dosing.target_mg % D == 0
            assert bench.standing.apart is None
        bench.goes_on()


def test_the_bucket_grows_by_what_was_typed() -> None:
    bench = at_slate(SLATE)
    bench.tell(ReferenceTaken(step="slate", weighing="bucket", gross_mg=kg(9), division_mg=D))
    before = expected_gross_mg(bench.run)
    assert before is not None
    typed = Book(weight=weight(g("98.3"), "typed", FINE), confirmed=True)
    bench.does(typed)
    assert expected_gross_mg(bench.run) == before + g("98.3")


def test_the_main_scale_is_not_begun_with_unless_it_is_said_so() -> None:
    bench = at_slate(SLATE)
    command = TakeReference(gross_mg=kg(9), division_mg=D)
    assert bench.refuses(command).code == "weighed-apart"
    assert not isinstance(bench.refuses(command), AskedOnce)
    bench.does(TakeReference(gross_mg=kg(9), division_mg=D, coarse=True))
    # Now it is poured by the bucket scale: its steps, and its flag.
    assert bench.standing.apart is None
    assert bench.dosing.target_mg % D == 0
    assert "dose-small-for-scale" in bench.codes
    # Anew it need not be said again.
    bench.does(TakeReference(gross_mg=kg(9), division_mg=D))


def test_a_part_poured_by_the_main_scale_leaves_the_rest_to_the_fine_one() -> None:
    bench = at_slate(SLATE)
    bench.does(TakeReference(gross_mg=kg(9), division_mg=D, coarse=True))
    exact = bench.dosing.exact_mg
    bench.does(
        Book(weight=weight(g(45), division_mg=D, gross_mg=kg("9.045"), weighing="bucket"), confirmed=True)
    )
    assert bench.step == "slate"
    assert bench.standing.apart == SLATE
    assert abs(bench.dosing.target_mg - (exact - g(45))) <= Fraction(FINE, 2)


def test_taken_back_it_is_asked_for_on_its_scale_again() -> None:
    bench = at_slate(SLATE)
    target = bench.dosing.target_mg
    seq = bench.pours()
    assert bench.step != "slate"
    bench.does(TakeBack(seq=seq, reason="slip"))
    assert (bench.step, bench.dosing.target_mg, bench.standing.apart) == ("slate", target, SLATE)


def test_the_ratio_is_known_by_each_scale() -> None:
    """Cement to 0.1 g is known better than to 5 g; with the weight recorded its own division counts."""
    apart = (WeighedApart(material="cement", scale="fine", division_mg=FINE),)
    coarse, fine = clouded(D), clouded(D, weighed_apart=apart)
    assert project(fine.run, D).expanded < project(coarse.run, D).expanded
    for bench in (coarse, fine):
        bench.goes_to("slate")
    assert project(fine.run, D).expanded < project(coarse.run, D).expanded
    divisions = {
        entry.fact.division_mg
        for entry in fine.run.live
        if isinstance(entry.fact, WeightRecorded) and entry.fact.material == "cement"
    }
    assert divisions == {FINE}


def test_a_way_out_adds_it_in_the_steps_of_its_scale() -> None:
    bench = at_slate(SLATE)
    bench.pours(bench.dosing.target_mg * 7 // 5, confirmed=True)
    run = bench.run
    divisions_mg = {key: run.division_of(key, D) for key in run.content}
    assert divisions_mg["slate"] == FINE
    assert set(divisions_mg.values()) == {FINE, D}
    ways = ways_out(run, limits_of(run, divisions_mg, None, stiffening=False))
    assert any(way.kind in ("grow", "scoop-and-grow") for way in ways)
