"""Fibres are rained in while the paddle turns: they are weighed into a tub first, on whichever scale there is."""

import pytest

from mixstation.batch.events import ScaleOnFile, TubFilled, WeighedApart
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.view import View
from tests.station.mixer import Hand, at_step, mix
from tests.station.recipes import quick
from tests.station.yard import BUCKET_MG, QUIET, Yard

GRAM = 1_000
TUB_MG = 310_000


def at_fibre(view: View) -> bool:
    return at_step("AR glass fibre")(view) and not view.question.grave


def on_the_scale() -> tuple[Yard, EmulatedScale]:
    scale = EmulatedScale(QUIET, seed=3)
    yard = Yard(quick(), "8 kg", scale=scale, fibres_apart=True)
    scale.put_mg(BUCKET_MG)
    mix(yard, hand=Hand(scale), verdict="too stiff", until=at_fibre)
    yard.until(lambda view: view.scale.state == "steady")
    return yard, scale


def bucket_off_tub_on(yard: Yard, scale: EmulatedScale) -> None:
    off_mg = BUCKET_MG + sum(pour.mass_mg for pour in scale.poured)
    scale.put_mg(TUB_MG - off_mg)
    yard.wait(4.0)


def test_with_the_bucket_on_the_scale_the_fibres_are_weighed_into_a_tub_there() -> None:
    yard, scale = on_the_scale()
    assert yard.question.ask == "Put the empty tub for the AR glass fibre on the scale."
    bucket_off_tub_on(yard, scale)
    yard.press()
    assert yard.question.ask.startswith("Fill 2")
    assert yard.view.pour is not None
    target = yard.view.pour.target
    scale.pour(40_000, total_mg=260_000)
    yard.wait(10.0)
    yard.press()
    assert yard.question.ask.startswith("Paddle slow: rain the ")
    assert yard.run.content["fibre"] == 0
    # Cut off while it rains in.
    yard.come_back()
    yard.wait(2.0)
    assert yard.question.ask.startswith("Paddle slow: rain the ")
    scale.pour_at_once(-256_000)
    yard.wait(4.0)
    yard.press()
    (fibre,) = [weight for weight in yard.weights if weight.material == "fibre"]
    assert fibre.mass_mg == pytest.approx(256_000, abs=2 * GRAM)
    assert fibre.weighing == "tub"
    assert target.endswith(" g")
    assert not {flag for flag in yard.flags if flag.startswith("bucket-")}


def test_typed_it_is_told_to_be_rained_in() -> None:
    yard = Yard(quick(), "8 kg", fibres_apart=True)
    mix(yard, verdict="too stiff", until=at_fibre)
    assert "into a dry tub. Paddle slow: rain it in, type what went in." in yard.question.ask
    yard.press(typed="260")
    assert yard.run.content["fibre"] == 260_000
    assert "/start-mixing/" in yard.question.ident
    assert not any(isinstance(fact, TubFilled) for fact in yard.facts)
    assert "tub-not-weighed-back" not in yard.flags


def test_on_a_fine_scale_too() -> None:
    apart = (WeighedApart(material="fibre", scale="fine", division_mg=100),)
    on_file = ScaleOnFile(name="floor", capacity_mg=30_000_000, division_mg=5_000)
    yard = Yard(quick(), "8 kg", fibres_apart=True, weighed_apart=apart, on_file=on_file)
    mix(yard, verdict="too stiff", until=at_fibre)
    assert "on “fine” into a dry tub. Paddle slow: rain it in, type it." in yard.question.ask


def test_from_the_menu_they_can_still_be_poured_into_the_bucket_on_the_scale() -> None:
    yard, scale = on_the_scale()
    yard.press("menu")
    yard.pick("weigh another way")
    yard.pick("the bucket")
    yard.until(lambda view: "of AR glass fibre into the bucket" in view.question.ask)
    scale.pour(40_000, total_mg=260_000)
    yard.wait(10.0)
    yard.press()
    assert yard.run.content["fibre"] == pytest.approx(260_000, abs=2 * GRAM)


def test_a_batch_begun_before_that_goes_on_as_it_was() -> None:
    yard = Yard(quick(), "8 kg")
    mix(yard, verdict="too stiff", until=at_fibre)
    assert yard.question.ask.endswith("of AR glass fibre, add it, type what went in.")
