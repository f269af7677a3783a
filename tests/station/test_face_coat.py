"""A face coat that was taken out is placed next, while it can be worked; then the rest of the bucket goes on."""

from dataclasses import replace

from mixstation.batch.events import PortionTaken
from mixstation.recipe.model import NoteStep, SplitStep
from mixstation.station.view import View
from mixstation.wording import asks
from tests.station.mixer import mix
from tests.station.yard import Yard


def _splits(view: View) -> bool:
    return "take-out" in view.question.ident


def taken_out() -> Yard:
    """The face coat of a planter wall is just out of the bucket."""
    yard = Yard("planter_wall")
    mix(yard, until=_splits)
    split = yard.run.step
    assert isinstance(split, SplitStep)
    shown = yard.view.pour
    assert shown is not None
    yard.press(typed=shown.target)
    assert any(isinstance(fact, PortionTaken) for fact in yard.facts)
    return yard


def test_it_is_placed_next_with_its_window_and_then_the_rest_goes_on() -> None:
    yard = taken_out()
    layer = next(fact.layer for fact in yard.facts if isinstance(fact, PortionTaken))
    steps = list(yard.run.recipe.steps)
    after = steps[next(at for at, step in enumerate(steps) if isinstance(step, SplitStep)) + 1]
    assert yard.question.ask == asks.PLACE_LAYER.format(layer=layer)
    working = yard.session._scene().advice.working
    low_min = int((working.low_s - (working.since_s or 0)) // 60)
    assert f"within {low_min} min" in yard.question.detail[0]
    assert yard.view.to_come[0].name == f"place the {layer}"
    yard.press()
    assert yard.run.step == after
    mix(yard)
    assert yard.run.ended == "finished"


def test_it_is_still_asked_after_a_cut_and_past_its_time_at_once() -> None:
    yard = taken_out()
    asked = yard.question.ask
    yard.come_back()
    assert yard.question.ask == asked
    yard.clock.suspend(3 * 3600)
    yard.wait(1)
    assert asks.PLACE_AT_ONCE in yard.question.detail


def test_taken_back_it_is_asked_no_more_and_comes_again_once() -> None:
    yard = taken_out()
    yard.press()
    yard.press("take-back")
    yard.pick("of the mix for the face coat")
    yard.press(typed="1")
    assert isinstance(yard.run.step, SplitStep)
    assert not [step for step in yard.run.steps if isinstance(step, NoteStep) and step.key.endswith(".place")]
    assert yard.view.pour is not None
    yard.press(typed=yard.view.pour.target)
    placed = [step for step in yard.run.steps if isinstance(step, NoteStep) and step.key.endswith(".place")]
    assert [step.key for step in placed] == [yard.run.step.key if yard.run.step else ""]


def test_a_record_from_before_has_no_such_step() -> None:
    yard = taken_out()
    fact = next(fact for fact in yard.facts if isinstance(fact, PortionTaken))
    assert replace(fact, place_next=False) == PortionTaken(
        step=fact.step,
        layer=fact.layer,
        mass_mg=fact.mass_mg,
        source=fact.source,
        shown=fact.shown,
        division_mg=fact.division_mg,
    )
