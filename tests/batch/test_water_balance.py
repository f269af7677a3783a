"""The water to weigh is what the ratio allows less all that other materials carry: worked and printed cases."""

from fractions import Fraction

import pytest

from mixstation.batch.commands import BookExtra, SkipStep
from mixstation.recipe.model import Basis, Role
from mixstation.recipe.proportions import basis_mass, free_water
from tests.batch.making import Bench, raw, weight
from tests.batch.recipes import RAW, WATER, add, dose, f, g, kg, material, recipe, rule

CEMENT = material("cement", Role.CEMENT, parts=Fraction(1))
EMULSION = material(
    "emulsion", Role.POLYMER, dose=dose("0.06", Basis.CEMENT, solids=True), water_fraction=f("0.5")
)


def test_emulsion_carries_half_of_itself() -> None:
    """Cement 10 kg, 6 % solids from a 50 % emulsion, w/c 0.34: emulsion 1.200 kg, of it 0.600 water, 2.800 to add.

    Worked by hand: 0.6/0.5 = 1.2; 3.4 − 0.6 = 2.8.
    """
    of = recipe(
        "emulsion",
        rule(Basis.CEMENT, "0.34", "0.3", "0.38", "0.4"),
        (WATER, CEMENT, EMULSION),
        (add("emulsion", "emulsion"), add("cement", "cement"), add("water", "water")),
    )
    bench = Bench.begin(of, {"cement": kg(10)})
    assert bench.dosing.target_mg == kg("1.2")
    bench.goes_to("water")
    assert free_water(of, bench.run.content) == kg("0.6")
    assert bench.dosing.exact_mg == kg("2.8")
    bench.goes_through()
    assert bench.projection.ratio == f("0.34")


@pytest.mark.parametrize(
    ("basis", "carried", "printed"),
    [
        (Basis.BINDER, False, "0.277"),
        (Basis.BINDER, True, "0.330"),
        (Basis.CEMENT, False, "0.371"),
        (Basis.CEMENT, True, "0.443"),
    ],
)
def test_one_bucket_four_ratios(basis: Basis, carried: bool, printed: str) -> None:
    """Water 2.95, polymer liquid 1.13 at 50 % solids, binder 10.66 of which cement 7.94 kg: a printed recipe.

    The list it stands in cuts 0.3715 to 0.371; hence the tolerance of one unit in the last place.
    """
    of = recipe(
        "printed bucket",
        rule(basis, "0.33", "0.29", "0.45", "0.5"),
        (WATER, CEMENT, material("metakaolin", Role.POZZOLAN, parts=Fraction(1)), EMULSION),
        (
            add("water", "water"),
            add("emulsion", "emulsion"),
            add("cement", "cement"),
            add("metakaolin", "metakaolin"),
        ),
    )
    bench = Bench.begin(of, {"cement": kg("7.94"), "metakaolin": kg("2.72")}, division_mg=g(10))
    weighed = {"water": "2.95", "emulsion": "1.13", "cement": "7.94", "metakaolin": "2.72"}
    for key, mass in weighed.items():
        bench.does(BookExtra(material=key, weight=weight(kg(mass)), reason="as printed", confirmed=True))
    bench.goes_through()
    content = dict(bench.run.content)
    if not carried:
        content["emulsion"] = Fraction(0)
    ratio = free_water(of, content) / basis_mass(of, content, basis)
    assert float(ratio) == pytest.approx(float(printed), abs=0.001)
    if carried:
        assert bench.projection.ratio == ratio


def test_damp_sand_plasticiser_and_emulsion_together() -> None:
    """Balance by hand for the planter wall: binder 8.8 kg, ratio 0.33.

    Emulsion 0.055·8/0.48 = 0.916667 kg brings 0.476667; plasticiser 0.006·8.8 = 0.0528 kg brings 0.035904; sand of
    7.344 kg damp is 7.2 dry and brings 7.2·(0.020 − 0.006) = 0.1008. Left: 2.904 − 0.613371 = 2.290629 kg.
    """
    totals = raw().projection.totals
    assert float(totals["emulsion"]) / 1e6 == pytest.approx(0.916667, abs=1e-6)
    assert float(totals["plasticiser"]) / 1e6 == pytest.approx(0.0528)
    assert float(totals["water"]) / 1e6 == pytest.approx(2.290629, abs=1e-6)


def test_dry_sand_drinks() -> None:
    """10 kg dry sand that absorbs 0.7 % takes 0.070 kg: that much more water. Method of ACI 211.1."""
    of = recipe(
        "dry sand",
        rule(Basis.CEMENT, "0.4", "0.3", "0.5", "0.6"),
        (
            WATER,
            CEMENT,
            material("sand", Role.SAND, parts=Fraction(1), absorption_fraction=f("0.007")),
        ),
        (add("cement", "cement"), add("sand", "sand"), add("water", "water")),
    )
    bench = Bench.begin(of, {"cement": kg(10), "sand": kg(10)}).goes_to("water")
    assert bench.dosing.exact_mg == kg("4.07")


def test_sand_weighed_as_damp_as_it_is() -> None:
    """10 kg dry at MC 3 %, ABS 0.7 %: 10.300 kg weighed bring 0.230 kg. Method of ACI 211.1, from memory."""
    sand = material(
        "sand", Role.SAND, parts=Fraction(1), moisture_fraction=f("0.03"), absorption_fraction=f("0.007")
    )
    assert sand.water_share * kg("10.3") == kg("0.23")
    assert sand.dry_fraction * kg("10.3") == kg(10)


def test_ice_counts_as_water() -> None:
    of = recipe(
        "ice",
        rule(Basis.CEMENT, "0.35", "0.3", "0.4", "0.45"),
        (
            WATER,
            material("ice", Role.ICE, dose=dose("0.05", Basis.CEMENT)),
            CEMENT,
        ),
        (add("ice", "ice"), add("cement", "cement"), add("water", "water")),
    )
    bench = Bench.begin(of, {"cement": kg(10)}).goes_to("water")
    assert bench.run.content["ice"] == kg("0.5")
    assert bench.dosing.target_mg == kg(3)


def test_where_the_others_bring_it_all_no_water_is_asked_for() -> None:
    """An emulsion so thin that it alone passes the ratio: the water step asks for nothing, and the flag says why."""
    thin = material(
        "emulsion", Role.POLYMER, dose=dose("0.06", Basis.CEMENT, solids=True), water_fraction=f("0.9")
    )
    of = recipe(
        "thin emulsion",
        rule(Basis.CEMENT, "0.34", "0.3", "0.38", "0.4"),
        (WATER, CEMENT, thin),
        (add("emulsion", "emulsion"), add("cement", "cement"), add("water", "water")),
    )
    bench = Bench.begin(of, {"cement": kg(10)})
    bench.pours(confirmed=True)
    bench.goes_to("water")
    assert bench.projection.totals["water"] == 0
    assert (bench.dosing.exact_mg, bench.dosing.target_mg) == (0, 0)
    assert "water-over-ceiling" in bench.codes
    bench.goes_through()
    assert bench.run.content["water"] == 0


def test_skipped_emulsion_is_made_up_by_water() -> None:
    bench = raw().goes_to("emulsion")
    bench.does(SkipStep(reason="frozen in the shed"))
    bench.goes_to("release")
    plain = f("0.33") * f("8.8") - f("0.1008")
    plasticiser = bench.run.content["plasticiser"] * f("0.68")
    assert bench.projection.totals["water"] == plain * 1_000_000 - plasticiser
    assert bench.flags["dose-missing"].about == "emulsion"


def test_recipe_figures_are_as_they_read() -> None:
    """The other tests lean on it: 9 parts of dry sand to 10 of cement, weighed at 2 %."""
    sand = RAW.material("sand")
    assert sand.dry_fraction * kg("7.344") == kg("7.2")
