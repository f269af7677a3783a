"""Whole batches by following the view: on an emulated scale, and typed."""

from fractions import Fraction

import pytest

from mixstation.batch.events import BatchFinished
from mixstation.batch.run import Run
from mixstation.scale.emulator import EmulatedScale
from tests.station.mixer import Hand, mix
from tests.station.recipes import quick, split
from tests.station.yard import BUCKET_MG, QUIET, Yard

GRAM = 1_000
# What the noise of the quiet scale adds to a division.
NOISE_MG = 100


def on_scale(yard: Yard, verdict: str = "too stiff") -> Hand:
    """Mix to the end with the bucket on the scale."""
    assert yard.scale is not None
    yard.scale.put_mg(BUCKET_MG)
    hand = Hand(yard.scale)
    mix(yard, hand=hand, verdict=verdict)
    return hand


def ratio(run: Run) -> Fraction:
    return Fraction(run.content["water"], run.content["blend"])


@pytest.mark.parametrize("seed", range(3))
def test_the_record_is_what_was_poured_to_the_division(seed: int) -> None:
    yard = Yard(quick(), scale=EmulatedScale(QUIET, seed=seed))
    hand = on_scale(yard)
    assert isinstance(yard.facts[-1], BatchFinished)
    for material in yard.run.recipe.materials:
        weighings = [weight for weight in yard.weights if weight.material == material.key]
        assert weighings
        off_mg = abs(yard.run.content[material.key] - hand.poured_mg(material.name))
        assert off_mg <= len(weighings) * (GRAM + NOISE_MG), material.key
    assert all(weight.source == "scale" for weight in yard.weights)
    assert yard.stored() == yard.run


def test_a_batch_by_the_view_alone_ends_in_its_bands_without_a_flag() -> None:
    yard = Yard(quick(), scale=EmulatedScale(QUIET, seed=7))
    on_scale(yard)
    assert yard.flags == set()
    rule = yard.run.recipe.water
    assert rule.least <= ratio(yard.run) <= rule.most
    last = yard.facts[-1]
    assert isinstance(last, BatchFinished)
    assert last.accepted == ()


def test_cues_come_in_their_order() -> None:
    yard = Yard(quick(), "8 kg", scale=EmulatedScale(QUIET, seed=1))
    assert yard.scale is not None
    yard.scale.put_mg(BUCKET_MG)
    hand = Hand(yard.scale)
    mix(yard, hand=hand, until=lambda view: bool(view.went_in))
    # Before the reference, then the pour; it may be topped up slowly once it has come to rest, never hurried.
    assert hand.cues[:4] == ["", "pour", "slow", "stop"]
    assert "pour" not in hand.cues[3:]


def test_typed_without_a_scale() -> None:
    yard = Yard(quick())
    mix(yard, verdict="too stiff")
    assert yard.run.ended == "finished"
    assert all(weight.source == "typed" and weight.gross_mg is None for weight in yard.weights)
    assert yard.flags == set()
    assert yard.stored() == yard.run


def test_typed_and_weighed_steer_to_the_same_totals() -> None:
    typed = Yard(quick())
    mix(typed, verdict="too stiff")
    weighed = Yard(quick(), scale=EmulatedScale(QUIET, seed=2))
    on_scale(weighed)
    for material in typed.run.recipe.materials:
        # The hand pours to within its tolerance, the typed one to the gram.
        within = typed.run.content[material.key] * Fraction(3, 100) + 2 * GRAM
        assert abs(typed.run.content[material.key] - weighed.run.content[material.key]) <= within


def test_what_a_scale_showed_typed_in_gives_the_same_record() -> None:
    weighed = Yard(quick(), scale=EmulatedScale(QUIET, seed=4))
    on_scale(weighed)
    typed = Yard(quick())
    doses = iter(weighed.weights)
    while not typed.view.ended:
        view = typed.view
        if view.pour is not None and not view.question.grave:
            dose = next(doses)
            # The same is asked for: what the scale showed lies in the band, three per cent but for held-back water.
            poured_fraction = dose.mass_mg / _mg(view.pour.target)
            assert view.pour.low_fraction <= poured_fraction <= view.pour.high_fraction
            assert abs(poured_fraction - 1) <= 0.031 or dose.material == "water"
            typed.press(typed=f"{dose.mass_mg // 1000} g")
        else:
            mix(
                typed,
                verdict="too stiff",
                until=lambda view: view.ended or (view.pour is not None and not view.question.grave),
            )
    assert next(doses, None) is None
    assert typed.run.content == weighed.run.content
    assert typed.run.finished == weighed.run.finished
    assert typed.run.aim == weighed.run.aim


def _mg(text: str) -> int:
    from mixstation.units.parse import parse_mass_mg

    return parse_mass_mg(text)


def test_a_face_coat_is_taken_out_of_the_bucket_on_the_scale() -> None:
    yard = Yard(split(), scale=EmulatedScale(QUIET, seed=5))
    hand = on_scale(yard)
    out = [line for line in yard.view.went_in if line.mark == "out"]
    assert [line.name for line in out] == ["face coat"]
    taken_mg = _mg(out[0].amount)
    assert abs(taken_mg + hand.poured_mg("face coat")) <= GRAM + NOISE_MG
    # A quarter of what was in before.
    before_mg = sum(weight.mass_mg for weight in yard.weights if weight.material != "fibre")
    assert abs(taken_mg - before_mg / 4) <= before_mg / 4 * 0.03
    assert yard.run.ended == "finished"


@pytest.mark.parametrize("recipe", ["hearth_plate", "planter_wall", "bench_top"])
def test_every_recipe_on_the_shelf_can_be_typed_to_its_end(recipe: str) -> None:
    yard = Yard(recipe, "8 kg")
    mix(yard, verdict="too stiff", tick_s=1.0)
    assert yard.run.ended == "finished"
    assert yard.stored() == yard.run
    assert not {flag for flag in yard.flags if flag.startswith(("water", "dose-over", "dose-under"))}
