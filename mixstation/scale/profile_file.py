"""Scale profiles from TOML files, each tried on its own sample frames before it is used."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Final, get_args

from mixstation.scale.field_file import SCALE_UNITS, read_field
from mixstation.scale.fields import CheckField, Field, NumberField, UnitField
from mixstation.scale.profile import (
    EnclosedFraming,
    Framing,
    LeadFraming,
    LineFraming,
    Parity,
    Poll,
    Profile,
    SerialSettings,
)
from mixstation.scale.profile_samples import must_read, must_refuse
from mixstation.toml.quantities import count, line_bytes, one_of, poll_interval_s, true_or_false, words
from mixstation.toml.table import Key, Keys, Table, TableKey, file_table
from mixstation.toml_lines import read_text_file

MAX_FRAME_LENGTH: Final = 256
_MAX_FIELD_COUNT: Final = 64
_MAX_SAMPLE_COUNT: Final = 100

_PROFILE: Final[Keys] = {
    "title": Key(read=words(200), example='"status, sign, number and unit"'),
    "unit": Key(read=one_of(*SCALE_UNITS), example='"kg"', optional=True),
    "serial": TableKey(example="[serial]", optional=True),
    "frame": TableKey(example='[frame]\nkind = "line"'),
    "fields": TableKey(
        example='fields = [{kind = "number"}, {kind = "unit", of = {kg = "kg"}}]',
        limit_count=_MAX_FIELD_COUNT,
    ),
    "poll": TableKey(example="[poll]", optional=True),
    "last_digit_step": TableKey(example="last_digit_step = {lb = 2}", optional=True),
    "sample": TableKey(example='[[sample]]\nframe = "..."', limit_count=_MAX_SAMPLE_COUNT),
    "refuse": TableKey(example='[[refuse]]\nframe = "..."', limit_count=_MAX_SAMPLE_COUNT),
}
_SERIAL: Final[Keys] = {
    "baud": Key(read=count(300, 921_600), example="9600", optional=True),
    "data_bits": Key(read=count(7, 8), example="8", optional=True),
    "parity": Key(read=one_of(*get_args(Parity)), example='"none"', optional=True),
    "stop_bits": Key(read=count(1, 2), example="1", optional=True),
    "text": Key(read=true_or_false, example="true", optional=True),
}
_POLL: Final[Keys] = {
    "request": Key(read=line_bytes(32), example='"W\\r\\n"'),
    "interval": Key(read=poll_interval_s, example='"0.2 s"'),
}
_STEPS: Final[Keys] = dict.fromkeys(SCALE_UNITS, Key(read=count(1, 100), example="2", optional=True))


def _line_end(value: object) -> bytes:
    return one_of("\r\n", "\n", "\r")(value).encode("ascii")


_BYTE: Final = line_bytes(1)
_AFTER = Key(read=count(0, 4), example="1", optional=True)
_FRAMINGS: Final[Mapping[str, tuple[Callable[..., Framing], Keys]]] = {
    "line": (
        LineFraming,
        {
            "end": Key(read=_line_end, example='"\\r\\n"', optional=True),
            "longest": Key(read=count(1, MAX_FRAME_LENGTH), example="80", optional=True),
        },
    ),
    "enclosed": (
        EnclosedFraming,
        {
            "start": Key(read=_BYTE, example='"\\u0002"'),
            "end": Key(read=_BYTE, example='"\\u0003"'),
            "after": _AFTER,
            "longest": Key(read=count(3, MAX_FRAME_LENGTH), example="80", optional=True),
        },
    ),
    "lead": (
        LeadFraming,
        {
            "lead": Key(read=_BYTE, example='"="'),
            "length": Key(read=count(2, MAX_FRAME_LENGTH), example="9"),
            "after": _AFTER,
        },
    ),
}
_KIND: Final[Keys] = {"kind": Key(read=one_of(*_FRAMINGS), example='"line"')}


def load_profile(path: str | Path) -> Profile:
    """Read one profile and try it on its samples.

    Args:
        path: A TOML file; its stem is the profile's name.

    Returns:
        The profile.

    Raises:
        FileRefused: With every fault found. Codes: those of `toml_lines`, `toml.table`, `field_file` and
            `profile_samples`, and "number-count" (found), "unit-unsaid" (example), "check-byte-place", "lead-length"
            (after).
    """
    top = file_table(read_text_file(path), str(path), places=True)
    values = top.read(_PROFILE)
    serial = dict(values["serial"].read(_SERIAL)) if "serial" in values else {}
    is_text = serial.pop("text", True)
    framing = _framing(values["frame"]) if "frame" in values else None
    fields = [read_field(table, is_text=is_text) for table in values.get("fields", ())]
    poll = _poll(values["poll"]) if "poll" in values else None
    steps = values["last_digit_step"].read(_STEPS) if "last_digit_step" in values else {}
    _check_fields(top, [field for field in fields if field is not None], framing)
    if framing is None or not top.is_sound:
        raise top.refusal()
    profile = Profile(
        name=Path(path).stem,
        title=values["title"],
        serial=SerialSettings(**serial),
        is_text=is_text,
        framing=framing,
        fields=tuple(field for field in fields if field is not None),
        poll=poll,
        unit=values.get("unit", ""),
        last_digit_step=MappingProxyType(steps),
    )
    for table in values["refuse"]:
        must_refuse(table, profile)
    samples = tuple(must_read(table, profile) for table in values["sample"])
    if not top.is_sound:
        raise top.refusal()
    return replace(profile, samples=samples)


def _framing(table: Table) -> Framing | None:
    kind = table.read_kind("kind", {name: keys for name, (_, keys) in _FRAMINGS.items()}, _KIND)
    if not table.is_sound:
        return None
    framing = _FRAMINGS[kind][0](**{key: value for key, value in table.values.items() if key != "kind"})
    if isinstance(framing, LeadFraming) and framing.after >= framing.length - 1:
        table.fault("length", "lead-length", after=framing.after)
    return framing


def _poll(table: Table) -> Poll | None:
    values = table.read(_POLL)
    if not table.is_sound:
        return None
    return Poll(request=values["request"], interval_s=float(values["interval"]))


def _check_fields(top: Table, fields: list[Field], framing: Framing | None) -> None:
    if not fields or len(fields) != len(top.content["fields"]):
        # Of fields that could not be read, nothing can be said to be missing.
        return
    number_count = sum(isinstance(field, NumberField) for field in fields)
    if number_count != 1:
        top.fault("fields", "number-count", found=number_count)
    if "unit" not in top.content and not any(isinstance(field, UnitField) for field in fields):
        top.fault("fields", "unit-unsaid", example='unit = "kg"')
    # A check byte may hold any value, so it may stand only where the framing does not look for its own bytes.
    after = framing.after if isinstance(framing, EnclosedFraming | LeadFraming) else 0
    checks = [isinstance(field, CheckField) and field.form == "byte" for field in fields]
    if framing is not None and any(checks[:-1] if after else checks):
        top.fault("fields", "check-byte-place")
