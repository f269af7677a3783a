"""Anything at all, as the types allow it: facts, recipes and commands, sense or nonsense."""

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from fractions import Fraction
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from mixstation.batch.commands import Command
from mixstation.batch.events import Fact

FACT_TYPES: tuple[type, ...] = get_args(Fact)
COMMAND_TYPES: tuple[type, ...] = get_args(Command)

# Half of a surrogate pair is no text; the border turns it into U+FFFD before it comes here.
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
WHOLE = st.one_of(
    st.integers(-5, 5), st.integers(0, 30_000), st.integers(0, 10**8), st.integers(-(2**63), 2**63)
)
PART = st.one_of(
    st.fractions(0, 1, max_denominator=200), st.fractions(-2, 2, max_denominator=9), st.just(Fraction(10**9))
)


def values(hint: Any, words: Sequence[str] = ()) -> SearchStrategy[Any]:
    """Values of a type as it is written in a dataclass of ours.

    Args:
        hint: The type.
        words: Texts likely to name something.
    """
    if hint is str:
        return st.one_of(st.sampled_from(words), TEXT) if words else TEXT
    if hint is int:
        return WHOLE
    if hint is float:
        return st.one_of(st.floats(0, 100), st.floats(allow_nan=False, allow_infinity=False))
    if hint is Fraction:
        return PART
    if hint is bool or hint is NoneType:
        return st.booleans() if hint is bool else st.none()
    origin = get_origin(hint)
    if origin is Literal:
        return st.sampled_from(get_args(hint))
    if origin in (Union, UnionType):
        return st.one_of(*(values(each, words) for each in get_args(hint)))
    if origin is tuple:
        return st.lists(values(get_args(hint)[0], words), max_size=3).map(tuple)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return st.sampled_from(list(hint))
    assert isinstance(hint, type)
    assert is_dataclass(hint), hint
    hints = get_type_hints(hint)
    return st.builds(hint, **{each.name: values(hints[each.name], words) for each in fields(hint)})


@st.composite
def spoilt(draw: st.DrawFn, whole: Any, words: Sequence[str] = ()) -> Any:
    """A sound dataclass with one value, somewhere inside, turned into any other its type allows."""
    name = draw(st.sampled_from([each.name for each in fields(whole)]))
    inner = getattr(whole, name)
    if is_dataclass(inner):
        return replace(whole, **{name: draw(spoilt(inner, words))})
    if isinstance(inner, tuple) and inner and is_dataclass(inner[0]):
        place = draw(st.integers(0, len(inner) - 1))
        changed = draw(spoilt(inner[place], words))
        return replace(whole, **{name: (*inner[:place], changed, *inner[place + 1 :])})
    return replace(whole, **{name: draw(values(get_type_hints(type(whole))[name], words))})


def facts(words: Sequence[str] = ()) -> SearchStrategy[Any]:
    """Facts of every kind but a start, naming now and then something that is there."""
    kinds = [kind for kind in FACT_TYPES if kind.__name__ != "BatchStarted"]
    return st.one_of(*(values(kind, words) for kind in kinds))


def commands(words: Sequence[str] = ()) -> SearchStrategy[Any]:
    """Commands of every kind."""
    return st.one_of(*(values(kind, words) for kind in COMMAND_TYPES))
