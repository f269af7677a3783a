"""One dose, one figure: the question, the list of what is to come and the record tell it alike, in every unit."""

from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mixstation.batch.advice import stand
from mixstation.batch.dosing import asked_for
from mixstation.batch.ways import ways_out
from mixstation.recipe.model import AddStep
from mixstation.units.show import DisplayUnits
from mixstation.wording.asks import asked
from mixstation.wording.ways import to_add, way_line
from mixstation.wording.words import Speech, in_its_steps
from tests.batch.ways.bucket import BLEND, RAW, begin, limits, weighed, work
from tests.depth import examples

DIVISIONS_MG = st.sampled_from([1_000, 2_000, 5_000, 10_000, 20_000, 4_536, 14_175])
KG = st.integers(5_000, 16_000)


@settings(max_examples=examples(100), suppress_health_check=list(HealthCheck))
@given(st.booleans(), KG, DIVISIONS_MG, st.sampled_from(DisplayUnits))
def test_the_question_and_what_is_to_come_tell_one_figure(
    blend: bool, grams: int, division_mg: int, units: DisplayUnits
) -> None:
    """Step by step: what is asked now is what the list said before, and all of it is whole divisions."""
    recipe, powders = (BLEND, ["blend"]) if blend else (RAW, ["cement", "pozzolan", "sand"])
    kg = {"blend": 1, "cement": 1, "pozzolan": Fraction(1, 10), "sand": Fraction(102, 100)}
    run = begin(recipe, {key: Fraction(grams, 1000) * kg[key] for key in powders})
    divisions = dict.fromkeys(run.content, division_mg)
    speech = Speech(units=units, division_mg=division_mg)
    expected: dict[str, int] = {}
    while run.step is not None:
        standing = stand(run, division_mg)
        listed = {
            step.key: mass
            for step, mass in asked_for(run, standing.coming, standing.dosing, division_mg)
            if isinstance(step, AddStep)
        }
        assert all(mass % division_mg == 0 or mass < division_mg for mass in listed.values())
        step, dose = run.step, standing.dosing
        if isinstance(step, AddStep) and dose is not None and dose.target_mg:
            assert listed[step.key] == dose.target_mg
            shown = in_its_steps(run, step.material, speech).mass(listed[step.key])
            words = asked(standing, reference=True, has_scale=True, speech=speech).ask
            assert f" {shown} of " in words, (shown, words)
            if step.material in powders and step.key in expected:
                # What the list said when the batch began is what is asked now.
                assert dose.target_mg == expected[step.key]
        expected = expected or {key: int(mass) for key, mass in listed.items()}
        place = run.steps.index(step) + 1
        run = work(run, divisions, until=run.steps[place].key if place < len(run.steps) else "")


@settings(max_examples=examples(50), suppress_health_check=list(HealthCheck))
@given(KG, DIVISIONS_MG, st.sampled_from(DisplayUnits))
def test_a_way_tells_the_figure_that_the_bucket_then_asks_for(
    grams: int, division_mg: int, units: DisplayUnits
) -> None:
    run = begin(BLEND, {"blend": Fraction(grams, 1000)})
    water_mg = round(grams * 1000 * Fraction(18, 100) / division_mg) * division_mg
    run = weighed(run, "water", water_mg, "water-80", division_mg)
    speech = Speech(units=units, division_mg=division_mg)
    for way in ways_out(run, limits(run, divisions_mg=dict.fromkeys(run.content, division_mg))):
        told = f"{way_line(way, run, units)} {to_add(way, run, units)}"
        for amount in (*way.additions, *way.rest.added):
            assert amount.mass_mg % division_mg == 0
            assert speech.mass(amount.mass_mg) in told or amount not in way.rest.added


def test_where_nothing_may_go_in_leaving_it_adds_nothing() -> None:
    """A mix that sets before its fibre: its totals are what is in."""
    run = begin(BLEND, {"blend": 10})
    run = work(run, limits(run).divisions_mg, until="fibre-100")
    for found in ways_out(run, limits(run, stiffening=True)):
        assert found.rest.added == ()
        if found.kind == "leave":
            ends = {amount.material: amount.mass_mg for amount in found.totals}
            assert ends == {key: round(mass) for key, mass in run.content.items()}
            assert ends["fibre"] == 0
            assert "dose-missing" in found.gives_up
