"""A whole batch by script, the same each time, with a mishap at its first share."""

from collections.abc import Callable
from typing import Final

from mixstation.record.stored import EventStore
from mixstation.station.bench import Settings
from mixstation.station.keeper import Keeper
from mixstation.station.order import Order, powders_for, start_fact
from mixstation.station.session import Session
from mixstation.station.view import Answer, View
from tests.station.clock import HandClock
from tests.station.mixer import answer_now
from tests.station.recipes import quick

BATCH: Final = "scripted"
# Two fifths over the first share of 2 kg of powder.
TOO_MUCH: Final = "0.291 kg"


def begun(store: EventStore, clock: HandClock) -> Session:
    """The batch, just begun."""
    loaded = quick()
    order = Order(loaded=loaded, powders=powders_for(loaded, powder_mg=2_000_000))
    return Session(
        Keeper.begin(store, clock, "Ida", start_fact(order, BATCH)), clock, None, Settings(hands_free_s=0)
    )


def scripted_answer(view: View) -> Answer | None:
    """What the script answers."""
    if view.question.entry == "mass" and not view.went_in:
        return Answer(question=view.question.ident, pressed="enter", typed=TOO_MUCH)
    return answer_now(view, "too stiff")


def work(
    session: Session, clock: HandClock, seen: Callable[[int, View], None] = lambda _count, _view: None
) -> None:
    """Go on to the end; `seen` is told every view with how many entries it shows."""
    while not (view := session.view()).ended:
        seen(len(session.run.entries), view)
        answer = scripted_answer(view)
        if answer is not None:
            session.answer(answer)
            seen(len(session.run.entries), session.view())
        clock.go_on(0.5)
        session.tick()
