"""Parsed JSON as values of the program's own types, and no value of another.

Each type has a reader, made when it is first needed: text, whole numbers, finite floats, truth, fractions in their
stored form, words of a literal or an enum, tuples, mappings of text, None, and dataclasses of these. Classes that may
stand in one place are told apart by their `kind`, a literal with a single value, which is never missing; another name
may be missing where its class has a default for it. Nothing is turned into something else: 1 is no float, 1.0 and true
are no int. So whatever is read writes back the same.

A fraction is refused by its form, before it is reckoned: it can also be read from "1e999999999", and working that out
would never end.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache
from itertools import repeat
from math import isfinite
from types import MappingProxyType, NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

MOST_DIGIT_COUNT = 1_000
"""Digits above and below. Source: Choice: exact shares of shares grow long, and so many are still reckoned at once."""
MOST_DEPTH_COUNT = 100
"""Levels of lists and mappings in what may be anything. Source: Choice: a plan for programs has six."""

_WHOLE = f"(?:0|-?[1-9][0-9]{{0,{MOST_DIGIT_COUNT - 1}}})"
_FRACTION = re.compile(f"{_WHOLE}(?:/[1-9][0-9]{{0,{MOST_DIGIT_COUNT - 1}}})?")

_EXACT = (str, int, bool, NoneType)
_NONE_EXACT: Mapping[str, type] = MappingProxyType({})

Reader = Callable[[Any], Any]
_hints_of = cache(get_type_hints)


class ContentError(ValueError):
    """Content that is no value of the type; `path` leads to it, from the outside in."""

    def __init__(self, what: str, *path: str) -> None:
        """Keep what is wrong, and where."""
        super().__init__(what)
        self.what = what
        self.path = [*path]

    def __str__(self) -> str:
        """Both in one line."""
        return f"{self.what} at {'.'.join(self.path)}"


class NotAsWrittenError(ContentError):
    """It has what no value of the type writes: a name that its class has not, a number in another form."""


def is_written_fraction(value: object) -> bool:
    """Whether a value is text such as "17/50", "-3" or "0".

    Example:
        >>> is_written_fraction("17/50"), is_written_fraction("1e9"), is_written_fraction(0.5)
        (True, False, False)
    """
    return isinstance(value, str) and _FRACTION.fullmatch(value) is not None


def content_of(value: Any) -> Any:
    """What JSON is to hold for a value that it has no form of its own for.

    A whole number becomes a float where its field is one, for it would be read as that.

    Raises:
        TypeError: It is neither a fraction nor of a dataclass.
        OverflowError: A whole number is beyond all floats.
    """
    if isinstance(value, Fraction):
        return str(value)
    if not is_dataclass(value) or isinstance(value, type):
        raise TypeError(f"{type(value).__name__} is not stored")
    content = {each.name: getattr(value, each.name) for each in fields(value)}
    return content | {
        name: float(content[name]) for name in _floats(type(value)) if type(content[name]) is int
    }


@cache
def reader_of(kind: Any) -> Reader:
    """What makes values of a type from parsed JSON: a function that raises `ContentError`.

    Raises:
        TypeError: Values of that type are not stored.
    """
    origin, parts = get_origin(kind), get_args(kind)
    if kind in _SINGLE:
        return _SINGLE[kind]
    if origin is Literal and all(type(part) is str for part in parts):
        return _word({part: part for part in parts})
    if origin in (Union, UnionType):
        return _either(parts)
    if origin is tuple and parts:
        return _row([reader_of(part) for part in parts if part is not ...], any_length=parts[-1] is ...)
    if origin in (dict, Mapping) and parts[0] is str:
        each = reader_of(parts[1])
        return lambda found: _named(found, lambda _: each)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return _word({each.value: each for each in kind})
    if isinstance(kind, type) and is_dataclass(kind):
        return _record(kind)
    raise TypeError(f"values of {kind} are not stored")


@cache
def _floats(cls: type) -> tuple[str, ...]:
    return tuple(name for name, hint in _hints_of(cls).items() if float in (hint, *get_args(hint)))


def _exactly(kind: type) -> Reader:
    def read(found: Any) -> Any:
        if type(found) is not kind:
            raise ContentError(f"no {kind.__name__}")
        return found

    return read


def _float(found: Any) -> float:
    if type(found) is not float or not isfinite(found):
        raise ContentError("no finite float")
    return found


def _fraction(found: Any) -> Fraction:
    if not is_written_fraction(found):
        raise ContentError("no fraction as it is written")
    return _reckoned(found)


@lru_cache(maxsize=256)
def _reckoned(text: str) -> Fraction:
    above, _, below = text.partition("/")
    value = Fraction(int(above), int(below or 1))
    if str(value) != text:
        raise NotAsWrittenError("no fraction in its lowest terms")
    return value


def _anything(found: Any, depth: int = 0) -> Any:
    if depth > MOST_DEPTH_COUNT:
        raise ContentError("nested too deep")
    for part in found.values() if isinstance(found, dict) else found if isinstance(found, list) else ():
        _anything(part, depth + 1)
    return found


def _word(words: Mapping[str, Any]) -> Reader:
    def read(found: Any) -> Any:
        if type(found) is not str or found not in words:
            raise ContentError("no word that may stand")
        return words[found]

    return read


def _row(readers: list[Reader], *, any_length: bool) -> Reader:
    def read(found: Any) -> tuple[Any, ...]:
        if type(found) is not list or not (any_length or len(found) == len(readers)):
            raise ContentError("no list of that length")
        values: list[Any] = []
        try:
            for part, reader in zip(found, repeat(readers[0]) if any_length else readers, strict=False):
                values.append(reader(part))
        except ContentError as error:
            error.path.insert(0, str(len(values)))
            raise
        return tuple(values)

    return read


def _named(
    found: Any, reader_for: Callable[[str], Reader | None], exact: Mapping[str, type] = _NONE_EXACT
) -> dict[str, Any]:
    if type(found) is not dict:
        raise ContentError("no names with values")
    values: dict[str, Any] = {}
    name = ""
    try:
        for name, part in found.items():
            # Most values are of one plain type: they are taken without a call.
            if exact.get(name) is type(part):
                values[name] = part
            elif (reader := reader_for(name)) is not None:
                values[name] = reader(part)
            else:
                raise NotAsWrittenError("unknown name")
    except ContentError as error:
        error.path.insert(0, name)
        raise
    return values


def _record(cls: type) -> Reader:
    hints = _hints_of(cls)
    readers = {each.name: reader_of(hints[each.name]) for each in fields(cls)}
    exact = {name: hint for name, hint in hints.items() if hint in _EXACT}
    needed = {
        each.name
        for each in fields(cls)
        if (each.default is MISSING and each.default_factory is MISSING)
        or _tells_kinds_apart(hints[each.name])
    }

    def read(found: Any) -> Any:
        values = _named(found, readers.get, exact)
        if not needed <= values.keys():
            raise ContentError("nothing", min(needed - values.keys()))
        return cls(**values)

    return read


def _either(parts: tuple[Any, ...]) -> Reader:
    some = [part for part in parts if part is not NoneType]
    read_some = reader_of(some[0]) if len(some) == 1 else _told_by_kind(some)
    return (lambda found: None if found is None else read_some(found)) if NoneType in parts else read_some


def _told_by_kind(classes: list[Any]) -> Reader:
    """Classes are looked into only once one of them is met: most batches hold few of all kinds."""
    kinds = {each: _field_type(each, "kind") for each in classes}
    by_word = {get_args(kind)[0]: each for each, kind in kinds.items() if _tells_kinds_apart(kind)}
    if len(by_word) != len(classes):
        raise TypeError(f"nothing tells {classes} apart")

    def read(found: Any) -> Any:
        word = found.get("kind") if type(found) is dict else None
        if type(word) is not str or word not in by_word:
            raise ContentError("no kind that may stand", "kind")
        return reader_of(by_word[word])(found)

    return read


def _field_type(cls: Any, name: str) -> Any:
    return next((each.type for each in fields(cls) if each.name == name), None) if is_dataclass(cls) else None


def _tells_kinds_apart(kind: Any) -> bool:
    return get_origin(kind) is Literal and len(get_args(kind)) == 1


_SINGLE: Mapping[Any, Reader] = MappingProxyType(
    {
        **{kind: _exactly(kind) for kind in _EXACT},
        float: _float,
        Fraction: _fraction,
        Any: _anything,
    }
)
