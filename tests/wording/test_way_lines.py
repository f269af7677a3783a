"""Ways out in words: every kind, goal, code and limit has its own, and none is told like another."""

from dataclasses import replace
from fractions import Fraction
from itertools import islice, product
from typing import get_args

import pytest

from mixstation.batch.events import ReferenceTaken, SupplyRanOut
from mixstation.batch.flag.doses import DoseFlags
from mixstation.batch.flag.weighing import BucketFull
from mixstation.batch.reconcile import lifted_mg
from mixstation.batch.run import Run
from mixstation.batch.way import (
    BucketOver,
    CapOver,
    DoseOff,
    EndsLate,
    Hindrance,
    MouldsShort,
    PigmentBlendOver,
    StockLacks,
    WaterOff,
    Way,
)
from mixstation.batch.ways import ways_out
from mixstation.units.show import DisplayUnits
from mixstation.wording.ways import GIVES_UP, hindrance_line, to_add, way_detail, way_line
from tests.batch.ways.bucket import BLEND, BLEND_KG, RAW, RAW_KG, begin, limits, told, weighed, work
from tests.batch.ways.chance import batches

METRIC = DisplayUnits.METRIC


def wet(recipe: str = "raw", bucket_l: float = 30.0) -> Run:
    """All in but the fibre, with too much water."""
    run = begin(*((RAW, RAW_KG) if recipe == "raw" else (BLEND, BLEND_KG)), bucket_l=bucket_l)
    run = work(run, limits(run).divisions_mg, until="fibre-100")
    return weighed(run, "water", 250_000, None)


def first(run: Run, kind: str, **fields: object) -> Way:
    return next(way for way in ways_out(run, limits(run, **fields)) if way.kind == kind)


def test_lines_of_all_sorts_of_batches_are_whole_sentences() -> None:
    seen = set()
    for run, found in islice(batches(seed=3), 25):
        for way, units in product(ways_out(run, found), DisplayUnits):
            seen.add(way.kind)
            line = way_line(way, run, units)
            assert line[0].isupper()
            assert line.endswith(".")
            assert not {"  ", " ,", "None", "Fraction", "{"} & {line[i : i + 2] for i in range(len(line))}
            for more in way_detail(way, run, units):
                assert more
                assert "None" not in more
                assert "{" not in more
    assert {"leave", "discard", "grow", "hold-less", "pour-back"} <= seen


def test_no_code_of_a_way_is_shown_raw() -> None:
    for run, found in islice(batches(seed=8), 25):
        for stiffening in (False, True):
            for way in ways_out(run, replace(found, stiffening=stiffening, working_left_s=30)):
                for line in way_detail(way, run, METRIC):
                    assert line != f"gives up: {line.removeprefix('gives up: ').split()[0]}", line


def test_ways_of_one_batch_are_told_apart() -> None:
    run = begin(RAW, RAW_KG)
    run = work(run, limits(run).divisions_mg, until="mix-2", factors={"plasticiser-100": Fraction(3, 2)})
    lines = [way_line(way, run, METRIC) for way in ways_out(run, limits(run))]
    assert len(set(lines)) == len(lines)
    assert any("hold the rest of the water back" in line for line in lines)


def test_additions_are_named_with_their_masses() -> None:
    run = wet("blend")
    grow = first(run, "grow")
    (blend,) = grow.additions
    assert f"Add {blend.mass_mg / 1e6:g} kg Blend" in way_line(grow, run, METRIC)
    assert f"{blend.mass_mg / 1e6:g} kg Blend" in to_add(grow, run, METRIC)
    assert " lb Blend" in way_line(grow, run, DisplayUnits.US)


def test_taking_some_of_the_mix_out_asks_for_an_even_mix_first() -> None:
    run = wet("blend", bucket_l=11.4)
    line = way_line(first(run, "scoop-and-grow"), run, METRIC)
    assert line.startswith("Mix until even, take ")


def test_liquid_is_poured_back_stirred() -> None:
    run = begin(RAW, RAW_KG)
    run = work(run, limits(run).divisions_mg, until="pigment-100", factors={"water-80": Fraction(13, 10)})
    assert way_line(first(run, "pour-back"), run, METRIC).startswith("Stir, pour 570 g of the liquid back")


def test_a_recipe_without_plasticiser_does_not_speak_of_it() -> None:
    run = weighed(wet("blend"), "fibre", 395_000, None)
    for way in ways_out(run, limits(run)):
        assert "plasticiser" not in way_line(way, run, METRIC).lower()


def test_what_stops_a_way_is_said_with_its_size() -> None:
    run = told(wet("blend"), SupplyRanOut(material="blend"))
    stopped = next(way for way in ways_out(run, limits(run)) if way.hindrances)
    line = hindrance_line(stopped.hindrances[0], run, METRIC)
    (hindrance, *_) = stopped.hindrances
    assert isinstance(hindrance, StockLacks)
    assert f"{float(hindrance.short_mg) / 1000:g} g" in line
    assert "Blend" in line
    assert line in way_detail(stopped, run, METRIC)


@pytest.mark.parametrize(
    ("hindrance", "line"),
    [
        (StockLacks(material="cement", short_mg=Fraction(4_200_000)), "you have 4.2 kg too little Cement"),
        (BucketOver(over_l=0.000_1), "the bucket would be 10 mL too full"),
        (MouldsShort(short_l=1.5), "the moulds would be 1.5 L short"),
        (EndsLate(past_s=90), "it would end 1 min 30 s past the working time you told"),
        (WaterOff(off_ratio=Fraction(12, 1000)), "the water ratio would be 0.012 over its band"),
        (WaterOff(off_ratio=Fraction(-12, 1000)), "the water ratio would be 0.012 under its band"),
        (DoseOff(material="cement", off_mg=Fraction(4_200)), "Cement would be 4.2 g over its band"),
        (DoseOff(material="cement", off_mg=Fraction(-4_200)), "Cement would be 4.2 g under its band"),
        (CapOver(material="cement", over_mg=Fraction(4_200)), "Cement would be 4.2 g over its limit"),
        (
            PigmentBlendOver(over_mg=Fraction(4_200)),
            "all pigment together would be 4.2 g over its limit (ASTM C979)",
        ),
    ],
)
def test_every_limit_has_its_sentence(hindrance: Hindrance, line: str) -> None:
    assert hindrance_line(hindrance, wet(), METRIC) == f"Barred: {line}."


def test_all_that_can_be_given_up_has_its_words() -> None:
    """What can stand if nothing else is done, and what is no flag."""
    can_stand = {kind.code for kind in get_args(DoseFlags)} | {BucketFull.code}
    assert set(GIVES_UP) == can_stand | {"time", "volume", "stiffening"}


def test_no_limit_is_left_out_here() -> None:
    (marked,) = test_every_limit_has_its_sentence.pytestmark  # type: ignore[attr-defined]
    assert {type(hindrance) for hindrance, _ in marked.args[1]} == set(get_args(Hindrance))


def test_leaving_a_mix_that_sets_says_so_and_not_that_its_water_is_inside() -> None:
    run = wet()
    for way in ways_out(run, limits(run, stiffening=True)):
        line = way_line(way, run, METRIC)
        assert "inside" not in line
        assert "Water" not in line
        assert not [more for more in way_detail(way, run, METRIC) if more.startswith("strength")]
        if way.kind == "leave":
            assert line == "Leave it: it sets; placing it is against practice."


@pytest.mark.parametrize(
    ("factor", "standing"),
    [
        (Fraction(3), "Plasticiser stays over its limit (the label)"),
        (Fraction(7, 4), "Plasticiser stays over its band"),
    ],
)
def test_leaving_too_much_plasticiser_says_what_stays_over(factor: Fraction, standing: str) -> None:
    run = begin(RAW, RAW_KG)
    run = work(run, limits(run).divisions_mg, until="mix-2", factors={"plasticiser-100": factor})
    left = [way for way in ways_out(run, limits(run)) if way.kind == "leave"]
    assert len(left) == 2
    for way in left:
        assert f": {standing}. Water ends at " in way_line(way, run, METRIC)
        assert f"gives up: {standing}" in way_detail(way, run, METRIC)


def test_leaving_a_batch_that_is_right_says_nothing_against_it() -> None:
    run = begin(RAW, RAW_KG)
    run = work(run, limits(run).divisions_mg, until="mix-2")
    assert way_line(first(run, "leave"), run, METRIC).startswith("Leave it. Water ends at ")


def test_what_mends_it_is_named_in_the_line_itself_where_it_is_still_to_come() -> None:
    """Too much water after half the powders: only more cement and sand mend it, at the steps still to come."""
    run = begin(RAW, RAW_KG)
    run = work(run, limits(run).divisions_mg, until="plasticiser-100")
    run = weighed(run, "water", 900_000, None)
    grow = first(run, "grow")
    totals = {amount.material: amount.mass_mg for amount in grow.totals}
    assert {"cement", "sand"}.isdisjoint(amount.material for amount in grow.additions)
    assert grow.additions
    raised = f", and raise Cement to {totals['cement'] / 1e6:g} kg, Sand to {totals['sand'] / 1e6:g} kg. "
    assert raised in way_line(grow, run, METRIC)


def test_a_way_that_makes_the_bucket_too_heavy_for_one_says_so() -> None:
    """23 kg is the load limit of NIOSH Publication 94-110 [std]; here 24.1 kg and then 22.9 kg with the mix."""
    run = wet()
    way = first(run, "grow")
    heavy, light = (replace(way, lifted_mg=mass_mg) for mass_mg in (24_100_000, 22_900_000))
    said = [line for line in way_detail(heavy, run, METRIC) if line.startswith("lift with two")]
    assert said == ["lift with two: the bucket comes to 24.1 kg; one person lifts 23 kg at most"]
    assert not any("lift" in line for line in way_detail(light, run, METRIC))


def test_what_is_lifted_is_all_of_the_mix_with_the_bucket_where_it_was_weighed() -> None:
    run = wet()
    way = first(run, "grow")
    mix_mg = sum(amount.mass_mg for amount in way.totals)
    assert abs(way.lifted_mg - mix_mg) <= 10
    first_step = run.steps[0].key
    empty = begin(RAW, RAW_KG)
    weighed_in = told(
        empty, ReferenceTaken(step=first_step, weighing="bucket", gross_mg=1_200_000, division_mg=1000)
    )
    both = [lifted_mg(each, Fraction(10_000_000)) for each in (empty, weighed_in)]
    assert both == [10_000_000, 11_200_000]
