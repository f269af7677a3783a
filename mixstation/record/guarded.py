"""Validators for stored text in which a fraction must be written as it writes itself, before anything is reckoned.

A fraction can also be read from "1e999999999", and working that out would never end: that it is not does not hang on
what else reads it.
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
    """A strict validator of the same type that takes fractions only as text in their own form.

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
    """A schema with every fraction in it read by us."""
    if isinstance(schema, dict):
        if schema.get("type") == "fraction":
            return core_schema.no_info_plain_validator_function(_read)
        return {name: _with_guards(part) for name, part in schema.items()}
    if isinstance(schema, list | tuple):
        return type(schema)(map(_with_guards, schema))
    return schema


def _read(value: object) -> Fraction:
    if not isinstance(value, str) or not is_written_fraction(value):
        raise ValueError("no fraction as it is written")
    return Fraction(value)
