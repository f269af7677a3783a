"""What is just at an end of its band is inside, and a milligram more is past it by a milligram: by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch import way
from mixstation.batch.way import Hindrance
from mixstation.batch.ways.check import breaches
from mixstation.batch.ways.mend import as_planned
from mixstation.batch.ways.situation import Situation, situation
from mixstation.recipe.model import Basis, Cap, Recipe, Tolerance
from tests.batch.recipes import g, kg, with_material
from tests.batch.ways.bucket import RAW, RAW_KG, begin, limits
from tests.figures.mixes import exact

FIFTIETH = Tolerance(under=Fraction(1, 50), over=Fraction(1, 50))
# Solids of the polymer to 5.5 % of the cement, its label says 6 %: 660 g of it for 6 kg, and 720 g.
LABELLED = with_material(
    with_material(RAW, "polymer", cap=Cap(fraction=Fraction(6, 100), of=Basis.CEMENT, source="its label")),
    "polymer",
    tolerance=FIFTIETH,
)


def planned(recipe: Recipe, powders_kg: dict[str, int | Fraction], division_mg: int = 1) -> Situation:
    """A batch begun, nothing in."""
    run = begin(recipe, powders_kg)
    return situation(run, limits(run, divisions_mg=dict.fromkeys(run.content, division_mg)))


def past(stands: Situation, **totals_mg: int) -> list[Hindrance]:
    """What stops a mend that ends with these totals, the rest as planned; the moulds are of no concern here."""
    plan = as_planned(stands)
    added = {**plan.added, **{key: Fraction(mass) for key, mass in totals_mg.items()}}
    found = breaches(stands, replace(plan, added=added))
    return [each for each in found if not isinstance(each, way.MouldsShort)]


@pytest.mark.parametrize(
    ("key", "least_mg", "most_mg"), [("shade", g(194), g(206)), ("fibre", g(180), g(240))]
)
def test_a_dose_may_end_at_either_end_of_its_band(key: str, least_mg: int, most_mg: int) -> None:
    stands = planned(exact()[0], {"blend": 10})
    for total_mg, off_mg in ((least_mg - 1, -1), (least_mg, 0), (most_mg, 0), (most_mg + 1, 1)):
        expected = [way.DoseOff(material=key, off_mg=Fraction(off_mg))] if off_mg else []
        assert past(stands, **{key: total_mg}) == expected


def test_the_water_may_end_at_either_end_of_its_band() -> None:
    """1.3 to 1.5 kg on 10 kg: a gram more is a ten-thousandth of the ratio."""
    stands = planned(exact()[0], {"blend": 10})
    for total_mg, off in ((kg("1.299"), -1), (kg("1.3"), 0), (kg("1.5"), 0), (kg("1.501"), 1)):
        expected = [way.WaterOff(off_ratio=Fraction(off, 10_000))] if off else []
        assert past(stands, water=total_mg) == expected


def test_what_is_counted_by_its_solids_is_told_as_it_is_weighed() -> None:
    """660 g and a fiftieth to either side; the label's own limit is another 46.8 g on."""
    stands = planned(LABELLED, RAW_KG)
    assert past(stands, polymer=g("673.2")) == []
    assert past(stands, polymer=g("673.2") + 10) == [way.DoseOff(material="polymer", off_mg=Fraction(10))]
    over = way.DoseOff(material="polymer", off_mg=Fraction(g("46.8")))
    assert past(stands, polymer=g(720)) == [over]
    assert past(stands, polymer=g(720) + 1) == [
        way.CapOver(material="polymer", over_mg=Fraction(1)),
        replace(over, off_mg=over.off_mg + 1),
    ]


def test_powders_at_opposite_ends_of_their_bands_still_agree() -> None:
    """Cement 2 % over and sand 2 % under are of one size; a milligram less of sand is not."""
    even = RAW
    for key in ("cement", "pozzolan", "sand"):
        even = with_material(even, key, tolerance=FIFTIETH)
    stands = planned(even, RAW_KG)
    cement, sand = round(kg(6) * Fraction(102, 100)), round(kg("6.12") * Fraction(98, 100))
    off = [each for each in past(stands, cement=cement, sand=sand) if isinstance(each, way.DoseOff)]
    assert not [each for each in off if each.material == "sand"]
    off = [each for each in past(stands, cement=cement, sand=sand - 1) if isinstance(each, way.DoseOff)]
    assert [each.off_mg for each in off if each.material == "sand"] == [-1]


def test_on_a_coarse_scale_half_a_division_either_way_is_inside() -> None:
    """200 g on a scale of 20 g: 10 g either way, wider than its tolerance of 6 g."""
    stands = planned(exact()[0], {"blend": 10}, 20_000)
    for total_mg, off_mg in ((g(190) - 1, -1), (g(190), 0), (g(210), 0), (g(210) + 1, 1)):
        expected = [way.DoseOff(material="shade", off_mg=Fraction(off_mg))] if off_mg else []
        assert past(stands, shade=total_mg) == expected


def test_powders_half_a_coarse_division_apart_still_agree() -> None:
    """On a scale of 500 g, 6.25 kg of cement and 5.87 kg of sand are of one size: that of 6 and 6.12 kg."""
    stands = planned(RAW, RAW_KG, 500_000)
    for sand_mg, off in ((kg("5.87"), []), (kg("5.87") - 1, [-1])):
        found = past(stands, cement=kg("6.25"), sand=sand_mg)
        sand = [each for each in found if isinstance(each, way.DoseOff) and each.material == "sand"]
        assert [each.off_mg for each in sand] == off
