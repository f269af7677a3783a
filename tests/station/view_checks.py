"""What must hold for every view whatsoever."""

import unicodedata
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from mixstation.station.view import View

# As at every border: control, format, surrogate, private and unassigned characters, line and paragraph separators.
FORBIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
PADS = frozenset("+-*/")


def texts(value: object) -> Iterator[str]:
    """Every text in a view."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for part in value:
            yield from texts(part)
    elif is_dataclass(value):
        for field in fields(value):
            yield from texts(getattr(value, field.name))


def check(view: View) -> None:
    """One question, reachable by a number pad, and nothing that could move a cursor."""
    for text in texts(view):
        bad = [character for character in text if unicodedata.category(character) in FORBIDDEN]
        assert not bad, (text, bad)
    question = view.question
    assert question.ask.strip()
    acts = question.acts
    assert (
        len({act.name for act in acts})
        == len({act.pad for act in acts})
        == len({act.letter for act in acts})
        == len(acts)
    )
    # Where digits begin a number the warnings are read by their letter, or by the last line of what happened (*).
    assert {act.pad for act in acts if act.name != "flags"} <= PADS
    numbers = [choice.number for choice in question.choices]
    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) <= 9
    assert not numbers or question.entry == "whole"
    # There is always a way on: Enter, something to type, or an act.
    assert question.enter or question.entry != "none" or acts
    if view.pour is not None:
        assert view.pour.low_fraction <= 1 <= view.pour.high_fraction
        said = view.pour.actual == "—" or view.pour.actual.endswith(" counted")
        assert (view.pour.fraction is None) == said
    if not view.scale.fresh:
        assert view.scale.text == ""
        assert view.pour is None or view.pour.fraction is None
