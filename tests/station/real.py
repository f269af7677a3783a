"""A station in its own thread on a real journal, and waiting for what another thread brings about."""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

from mixstation.record.journal import Journal
from mixstation.scale.reading import Link
from mixstation.station.bench import Bench, Settings
from mixstation.station.clocks import Clock
from mixstation.station.order import Order, powders_for
from mixstation.station.view import Answer, Desk, View
from mixstation.units.parse import parse_mass_mg
from tests.station.recipes import brisk

# Long enough for a loaded machine; nothing is claimed about how soon it happens.
PATIENCE_S: Final = 120.0


def order(powder: str = "2 kg") -> Order:
    loaded = brisk()
    return Order(loaded=loaded, powders=powders_for(loaded, powder_mg=parse_mass_mg(powder)))


def bench(
    folder: Path,
    *,
    clock: Clock | None = None,
    link: Callable[[], Link] | None = None,
    hands_free_s: float = 0.0,
    who: str = "Ida",
) -> Bench:
    return Bench(folder=folder, settings=Settings(hands_free_s=hands_free_s), who=who, link=link, clock=clock)


def kinds(folder: Path) -> list[str]:
    """Kinds of the only batch's events, read while it runs."""
    journal = Journal.open_reading(folder)
    try:
        return [event.kind for row in journal.batches() for event in journal.events(row.batch_id)]
    finally:
        journal.close()


def until(desk: Desk, condition: Callable[[View], object]) -> View:
    """Wait for a view like that."""
    end_s = time.monotonic() + PATIENCE_S
    while not condition(view := desk.view()):
        assert time.monotonic() < end_s, f"it did not come about: {view}"
        time.sleep(0.005)
    return view


def press(desk: Desk, pressed: str = "enter", typed: str = "") -> View:
    """Answer what is asked, and wait for what comes of it."""
    before = desk.view()
    desk.answer(Answer(question=before.question.ident, pressed=pressed, typed=typed))
    return until(desk, lambda view: view.answered > before.answered)
