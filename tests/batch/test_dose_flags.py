"""What the batch will end at, against its bands, with the scale's own doubt; cap and ceiling to the letter."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.commands import (
    Book,
    BookExtra,
    BookPortion,
    BookRemoved,
    EnoughIn,
    Judge,
    RunOut,
    SkipStep,
    TakeReference,
)
from mixstation.batch.dose_flags import water_flags
from mixstation.batch.targets import project
from mixstation.recipe.proportions import volume_l
from tests.batch.making import Bench, blend, clouded, raw, stocked, values_of, weight
from tests.batch.recipes import BLEND, BLEND_POWDERS, CLOUDED, CLOUDED_POWDERS, f, g, kg


def watered(mass_g: int, division_mg: int = 1000) -> Bench:
    """18 kg of blend: target 2376, most 2484, ceiling 2628 g."""
    bench = blend(division_mg)
    bench.pours(g(mass_g), confirmed=True)
    return bench


@pytest.mark.parametrize(
    ("mass_g", "code"),
    [
        (2376, None),
        (2411, None),
        (2412, "water-high"),
        (2480, "water-high"),
        (2484, "water-unsure"),
        (2485, "water-over"),
        (2628, "water-over"),
        (2629, "water-over-ceiling"),
    ],
)
def test_water_step_by_step(mass_g: int, code: str | None) -> None:
    """1.5 % over target is 2411.6 g; on 1 g the doubt is ± 0.8 g."""
    assert watered(mass_g).codes == ({code} if code else set())


@pytest.mark.parametrize(
    ("mass_g", "code"),
    [(2470, "water-high"), (2480, "water-unsure"), (2490, "water-unsure"), (2500, "water-over")],
)
def test_on_a_coarser_scale_it_cannot_be_told(mass_g: int, code: str) -> None:
    """On 10 g the doubt is ± 8.4 g either side of 2484: d·√(1/6)·2 from the water alone is 8.2 g."""
    bench = watered(mass_g, g(10))
    assert bench.codes == {code}
    doubt_g = bench.projection.expanded * 18_000
    assert 8.2 < doubt_g < 8.6


def test_figures_of_the_water() -> None:
    values = values_of(watered(2600).flags["water-over"])
    assert values["ratio"] == Fraction(2600, 18_000)
    assert (values["least_ratio"], values["most_ratio"]) == (f("0.124"), f("0.138"))
    assert values["expanded_ratio"] == pytest.approx(2 * g(1) / kg(18) / 6**0.5, rel=0.05)


def test_too_little_water_is_said_only_when_no_more_is_to_come() -> None:
    bench = watered(500)
    bench.does(EnoughIn())
    assert bench.codes == set()
    bench.goes_to("release")
    bench.does(SkipStep(reason="tap is off"))
    assert bench.flags["water-under"].gravity == "warn", "judged right or not"
    bench.does(Judge(verdict="too-stiff"))
    assert bench.flags["water-under"].gravity == "warn"


@pytest.mark.parametrize(("off", "gravity"), [("0.002", "warn"), ("0.001", "note")])
def test_judged_right_it_may_be_under_by_what_the_scales_cannot_tell(off: str, gravity: str) -> None:
    bench = watered(500)
    bench.does(EnoughIn())
    bench.goes_to("release")
    bench.does(SkipStep(reason="right without it"))
    run = bench.run
    assert run.judged is not None
    assert run.judged.verdict == "right"
    projection = replace(project(run), ratio=run.recipe.water.least - f(off), expanded=0.0015)
    assert [(flag.code, flag.gravity) for flag in water_flags(run, projection)] == [("water-under", gravity)]


@pytest.mark.parametrize(
    ("mass_g", "code"), [(79, None), (80, "dose-over"), (105, "dose-over"), (106, "dose-over-cap")]
)
def test_plasticiser_against_its_band_and_its_cap(mass_g: int, code: str | None) -> None:
    """0.9 % of 8.8 kg is 79.2 g, and half a division is let be; the cap of 105.6 g is kept to the letter."""
    bench = raw().goes_to("plasticiser")
    bench.pours(g(mass_g), confirmed=True)
    assert bench.codes == ({code} if code else set())


def test_at_the_cap_is_not_over_it() -> None:
    bench = raw(100).goes_to("plasticiser")
    bench.pours(g("105.6"), confirmed=True)
    assert bench.codes == {"dose-over"}


@pytest.mark.parametrize(("tenths_g", "code"), [(836, "dose-under"), (837, None)])
def test_a_dose_may_lack_half_a_division_more(tenths_g: int, code: str | None) -> None:
    """Slate 1.6 % of 6 kg is 96 g, less 3 % is 93.12 g; weighed on 19 g, 9.5 g more are let be: 83.62 g."""
    bench = clouded().goes_to("slate")
    bench.does(Book(weight=weight(100 * tenths_g, division_mg=g(19))))
    bench.does(EnoughIn())
    assert bench.codes == ({code} if code else set())


def test_at_the_lower_end_is_not_under_it() -> None:
    """0.124 × 18 kg is 2.232 kg."""
    for mass, codes in (("2.232", set()), ("2.231", {"water-under"})):
        bench = watered(1900).goes_to("release")
        bench.does(BookExtra(material="water", weight=weight(kg(mass) - kg("1.9")), reason="x"))
        bench.does(SkipStep(reason="loose enough"))
        assert bench.codes == codes


def test_figures_of_a_dose() -> None:
    bench = raw().goes_to("plasticiser")
    bench.pours(g(90), confirmed=True)
    assert values_of(bench.flags["dose-over"]) == {
        "fraction": Fraction(g(90), kg("8.8")),
        "least_fraction": f("0.004"),
        "most_fraction": f("0.009"),
        "basis": "binder",
    }
    bench = raw().goes_to("plasticiser")
    bench.pours(g(120), confirmed=True)
    assert values_of(bench.flags["dose-over-cap"]) == {
        "fraction": Fraction(g(120), kg("8.8")),
        "cap_fraction": f("0.012"),
        "source": "its label",
    }


def test_a_dose_is_under_only_when_no_more_is_to_come() -> None:
    bench = blend().goes_to("fibre")
    bench.pours(g(300), confirmed=True)
    assert bench.codes == set()
    bench.does(EnoughIn())
    assert bench.flags["dose-under"].about == "fibre"
    bench.does(BookExtra(material="fibre", weight=weight(g(244)), reason="rest of it"))
    assert bench.codes == set()


def test_a_clump_picked_out_leaves_the_dose_under() -> None:
    bench = blend().goes_to("fold")
    bench.does(BookRemoved(material="fibre", weight=weight(g(150)), reason="balled"))
    assert bench.codes == {"dose-under"}


def test_powder_over_and_under_its_tolerance_and_half_a_division() -> None:
    """1 % of 18 kg is 180 g; on 5 g, 2.5 g more are let be."""
    for mass, code in (("18.180", None), ("18.185", "powder-over"), ("18.4", "powder-over")):
        bench = blend(g(5)).goes_to("blend-1")
        bench.pours(kg(mass), confirmed=True)
        assert bench.codes == ({code} if code else set())
    for mass, code in (("8.815", "powder-under"), ("8.820", None)):
        bench = blend(g(5)).goes_to("blend-2")
        bench.does(BookExtra(material="blend", weight=weight(kg(mass), division_mg=g(5)), reason="x"))
        bench.does(EnoughIn())
        assert bench.codes == ({code} if code else set())


def test_figures_of_a_powder() -> None:
    bench = blend().goes_to("blend-1")
    bench.pours(kg(19), confirmed=True)
    assert values_of(bench.flags["powder-over"]) == {"final_mg": kg(19), "total_mg": kg(18)}


def test_a_powder_left_out_is_missing() -> None:
    bench = clouded().goes_to("sand")
    bench.does(SkipStep(reason="wet"))
    assert bench.flags["dose-missing"].about == "sand"


def test_running_out_says_how_much_is_lacking() -> None:
    bench = clouded().goes_to("slate")
    bench.does(RunOut(material="slate"))
    assert values_of(bench.flags["ran-out"]) == {"short_mg": f("0.016") * kg(6)}
    assert "dose-missing" not in bench.codes


def test_running_out_with_enough_in_is_no_trouble() -> None:
    bench = clouded().goes_to("buff")
    bench.does(RunOut(material="slate"))
    assert bench.codes == set()


def test_stock_against_what_is_still_to_come() -> None:
    """17 kg of 18 there: 1 kg short, whether before or half-way; not once it is all in."""
    for key in ("water-1", "blend-2"):
        bench = blend(stock=stocked(blend=kg(17), fibre=kg(1))).goes_to(key)
        flag = bench.flags["stock-short"]
        assert (flag.about, values_of(flag)) == ("blend", {"short_mg": kg(1)})
    bench.goes_to("mix-2")
    assert bench.codes == set()


def test_a_bucket_is_full_where_it_is_fullest() -> None:
    """The planter wall is fullest before its face coat is split off; its fibre then goes into less."""
    bench = raw().goes_to("face")
    before_l = volume_l(bench.run.recipe, bench.run.content)
    whole_l = volume_l(bench.run.recipe, bench.projection.finals)
    assert before_l < whole_l
    limit_l = (before_l + whole_l) / 2
    assert raw(bucket_l=limit_l, fill_limit=1.0).codes == set()
    tight = raw(bucket_l=before_l - 0.05, fill_limit=1.0)
    values = values_of(tight.flags["bucket-full"])
    assert values["limit_l"] == before_l - 0.05
    assert values["volume_l"] == pytest.approx(before_l, rel=1e-3)


def test_room_made_by_taking_some_out() -> None:
    bench = blend(bucket_l=14.6)
    assert "bucket-full" in bench.codes
    bench.goes_to("mix-1")
    bench.does(BookPortion(weight=weight(kg(5)), reason="room"))
    assert "bucket-full" not in bench.codes


def test_a_heavy_bucket_counts_itself_once_it_was_weighed_until_some_is_out() -> None:
    """19.7 kg of blend with 0.132 of water and 2.6 % of fibre is 22.896 kg; the bucket is 1.2 kg."""
    bench = Bench.begin(BLEND, {"blend": kg("19.7")})
    assert "bucket-heavy" not in bench.codes
    bench.does(TakeReference(gross_mg=kg("1.2"), division_mg=1000))
    values = values_of(bench.flags["bucket-heavy"])
    assert float(values["mass_mg"]) == pytest.approx(kg("24.096"), abs=g(1))
    # NIOSH Publication 94-110: load constant 23 kg.
    assert values["limit_mg"] == kg(23)
    bench.goes_to("mix-1")
    assert "bucket-heavy" in bench.codes
    bench.does(BookPortion(weight=weight(kg(5)), reason="too heavy"))
    assert "bucket-heavy" not in bench.codes


def test_recipe_figures_are_as_they_read() -> None:
    """The figures above lean on these."""
    assert {"blend": kg(18)} == BLEND_POWDERS
    assert CLOUDED_POWDERS["cement"] == kg(6)
    assert CLOUDED.water.target == f("0.34")
