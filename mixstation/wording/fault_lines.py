"""What is wrong with a file: each fault with its place, the line itself, what is wrong, and what to write."""

from collections.abc import Iterable
from dataclasses import fields
from string import Formatter
from typing import Any

from mixstation.toml.lines import FileFault
from mixstation.units.clean import clean
from mixstation.units.errors import KINDS
from mixstation.wording.file_faults import (
    CURE_FAULTS,
    FILE_FAULTS,
    FRAME_REFUSALS,
    PIECE_FAULTS,
    PROFILE_FAULTS,
    RECIPE_FAULTS,
    Sentences,
)
from mixstation.wording.quantity_lines import template_of

_LONGEST_LINE = 160
_LONGEST_VALUE = 400

SENTENCES: Sentences = {**FILE_FAULTS, **RECIPE_FAULTS, **PROFILE_FAULTS, **PIECE_FAULTS, **CURE_FAULTS}

# The bounds of a price are no range a person would write.
_BOUNDS = {"≥ 0, 0.01": "0 or more, with at most two decimals"}


def fault_lines(faults: Iterable[FileFault]) -> tuple[str, ...]:
    """Every fault, in lines to print one below the other.

    Args:
        faults: Of one file or several.

    Returns:
        For each fault its place with what is wrong and what to do, then, indented, the line it stands on.

    Example:
        >>> fault = FileFault(path="cap.toml", line=3, line_text="air = 5", code="not-text",
        ...                   values={"key": "air", "found": "5", "example": '"5 %"'})
        >>> print(*fault_lines([fault]), sep="\\n")
        cap.toml:3: air must be text in quotation marks, with its unit where it has one; found 5. Write: air = "5 %"
            air = 5
    """
    lines: list[str] = []
    for fault in faults:
        place = f"{clean(fault.path, 300)}:{fault.line}" if fault.line else clean(fault.path, 300)
        lines.append(f"{place}: {sentence_of(fault)}")
        if fault.line_text.strip():
            lines.append(f"    {clean(fault.line_text.strip(), _LONGEST_LINE)}")
    return tuple(lines)


def sentence_of(fault: FileFault) -> str:
    """What is wrong and what to write.

    Raises:
        KeyError: A code without a sentence, or without the values its sentence needs.
    """
    if fault.why is not None:
        # A plan's own, loaded where there is one: settings are read before the first picture.
        from mixstation.plan.faults_of_pieces import PieceFault
        from mixstation.wording.piece_lines import piece_line

        if isinstance(fault.why, PieceFault):
            return piece_line(fault.why)
    values = {name: clean(str(value), _LONGEST_VALUE) for name, value in fault.values.items()}
    near = f"Did you mean “{values['suggestion']}”? " if values.get("suggestion") else ""
    write = _written(values.get("key", ""), values.get("example", ""))
    names = {
        **values,
        "key": values.get("place") or values.get("key", ""),
        "near": near,
        "write": write,
        "hint": near or write,
        "bounds": _BOUNDS.get(values.get("bounds", ""), values.get("bounds", "")),
        "reason_words": FRAME_REFUSALS.get(values.get("reason", ""), ""),
    }
    # A value that was not given must not pass for one that is empty.
    given = values.keys() | {"near", "write", "hint", "reason_words"}
    form = SENTENCES.get(fault.code, "")
    if not form and fault.code in KINDS:
        kind = KINDS[fault.code]
        quantity: Any = {each.name: values[each.name] for each in fields(kind)}
        return f"{names['key']}: {template_of(kind(**quantity)).format(**quantity)} {write}".strip()
    if not form or not names_in(form) <= given:
        raise KeyError(fault.code)
    return form.format(**names).strip()


def names_in(form: str) -> frozenset[str]:
    """What a sentence names."""
    return frozenset(name for _, name, _, _ in Formatter().parse(form) if name)


def _written(key: str, example: str) -> str:
    """What may be written, as it would stand in the file."""
    if not example:
        return ""
    # Cleaning has made U+FFFD of the line end between a table's head and its key.
    whole = example.replace("\N{REPLACEMENT CHARACTER}", ", and below it ")
    is_head = example.startswith("[") and not set(example.strip("[]")) & set("\"', 0123456789")
    return f"Write: {whole}" if is_head or " = " in example else f"Write: {key} = {whole}"
