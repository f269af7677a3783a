"""Checked when a batch is taken up again: it shows and asks for what it did when it was left."""

from typing import cast

from mixstation.batch.run import Run
from mixstation.record.stored import EventStore
from mixstation.station.bench import Settings
from mixstation.station.clocks import Clock
from mixstation.station.keeper import Keeper
from mixstation.station.session import Session
from mixstation.station.view import View
from tests.shop.broken import hold

_MASSES = ("title", "place", "pour", "ratio", "went_in", "to_come")
_SHOWN = (*_MASSES, "figure", "flags")


def same_as_left(left: Run, taken_up: Run, begun_with: Settings, store: object, clock: Clock) -> None:
    """Every figure and every word, before the scale is heard.

    Args:
        left: The batch as it was stored.
        taken_up: The batch as it was taken up, with no option said.
        begun_with: The options it was begun with.
        store: Of both; nothing is written to it.
        clock: Tells now.
    """
    was = _view(left, begun_with, store, clock)
    now = _view(taken_up, taken_up.settings or Settings(), store, clock)
    weighs = was.pour is not None or now.pour is not None
    # A timer's words go by its clock.
    for name in _SHOWN if weighs else _MASSES:
        before, after = getattr(was, name), getattr(now, name)
        hold("I37", before == after, f"{name}: {before} is now {after}")
    hold("I37", not weighs or _asked(was) == _asked(now), f"{was.question} is now {now.question}")


def _view(run: Run, settings: Settings, store: object, clock: Clock) -> View:
    return Session(Keeper(cast(EventStore, store), clock, "Mara", run), clock, None, settings).view()


def _asked(view: View) -> tuple[object, ...]:
    asked = view.question
    return asked.ask, asked.detail, asked.entry, asked.unit_word, asked.enter
