"""Validators for stored text, stricter than those of the classes.

A fraction must be written as it writes itself, before anything is reckoned: it can also be read from "1e999999999",
and working that out would never end. A literal with a single value, which tells a kind from its like, must be there:
left out, the text would fit another kind too.
"""

import re
from fractions import Fraction
from typing import Any

from pydantic import TypeAdapter
from pydantic_core import SchemaValidator, core_schema

MOST_DIGIT_COUNT = 1_000
"""Digits above and below. Source: Choice: exact shares of shares grow long, and so many are still reckoned at once."""

_WHOLE = f"(?:0|-?[1-9][0-9]{{0,{MOST_DIGIT_COUNT - 1}}})"
_FRACTION = re.compile(f"{_WHOLE}(?:/[1-9][0-9]{{0,{MOST_DIGIT_COUNT - 1}}})?")


def guarded(adapter: TypeAdapter[Any]) -> SchemaValidator:
    """A strict validator of the same type that takes fractions only in their own form and no value without its kind.

    Args:
        adapter: Of the type that is stored.
    """
    return SchemaValidator(_with_guards(adapter.core_schema))


def is_written_fraction(value: object) -> bool:
    """Whether a value is text such as "17/50", "-3" or "0".

    Example:
        >>> is_written_fraction("17/50"), is_written_fraction("1e9"), is_written_fraction(0.5)
        (True, False, False)
    """
    return isinstance(value, str) and _FRACTION.fullmatch(value) is not None


def _with_guards(schema: Any) -> Any:
    """A schema with every fraction in it read by us, and no default for what tells kinds apart."""
    if isinstance(schema, dict):
        if schema.get("type") == "default" and _tells_kinds_apart(schema["schema"]):
            return schema["schema"]
        if schema.get("type") == "fraction":
            return core_schema.no_info_plain_validator_function(_read)
        return {name: _with_guards(part) for name, part in schema.items()}
    if isinstance(schema, list | tuple):
        return type(schema)(map(_with_guards, schema))
    return schema


def _tells_kinds_apart(schema: Any) -> bool:
    return bool(schema.get("type") == "literal" and len(schema["expected"]) == 1)


def _read(value: object) -> Fraction:
    if not isinstance(value, str) or not is_written_fraction(value):
        raise ValueError("no fraction as it is written")
    return Fraction(value)
