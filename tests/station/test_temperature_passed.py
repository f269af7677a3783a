"""A step that wants the temperature of the mix has a way past it in sight, and the record says it was not taken."""

from mixstation.batch.events import StepSkipped
from mixstation.wording.menu_lines import NOT_TAKEN
from tests.station.mixer import mix
from tests.station.yard import Yard


def test_enter_alone_goes_past_a_temperature() -> None:
    yard = Yard("planter_wall")
    mix(yard, until=lambda view: "/temperature/" in view.question.ident)
    step = yard.run.step
    assert step is not None
    assert yard.question.enter == "not taken: go on"
    yard.come_back()
    yard.press()
    assert yard.facts[-1] == StepSkipped(step=step.key, reason=NOT_TAKEN)
    assert "/temperature/" not in yard.question.ident
    mix(yard)
    assert yard.run.ended == "finished"
