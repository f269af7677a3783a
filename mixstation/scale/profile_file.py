"""Scale profiles from TOML files, each tried on its own sample frames before it is used."""

from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final, cast, get_args

from mixstation.scale.field_file import SCALE_UNITS, read_field
from mixstation.scale.fields import CheckField, NumberField, UnitField
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
from mixstation.scale.profile_table import Document, Table
from mixstation.toml_lines import FileRefused, parse_toml, read_text_file

MAX_FRAME_LENGTH: Final = 256
MIN_INTERVAL_S: Final = 0.02
MAX_INTERVAL_S: Final = 10.0
_MAX_FIELD_COUNT: Final = 64
_MAX_SAMPLE_COUNT: Final = 100
_FIELDS_EXAMPLE: Final = 'fields = [{kind = "number"}, {kind = "unit", of = {kg = "kg"}}]'


def load_profile(path: str | Path) -> Profile:
    """Read one profile and try it on its samples.

    Args:
        path: A TOML file; its stem is the profile's name.

    Returns:
        The profile.

    Raises:
        FileRefused: With every fault found. Codes: those of `toml_lines`, `profile_table`, `field_file` and
            `profile_samples`, and "number-count" (key, found), "unit-unsaid" (key, example), "check-byte-place"
            (key), "lead-length" (key, after).
    """
    text = read_text_file(path)
    content, lines = parse_toml(text, str(path))
    document = Document(str(path), text, lines)
    profile = _profile(Path(path).stem, Table(document, content))
    if document.faults:
        raise FileRefused(document.faults)
    return profile


def _profile(name: str, top: Table) -> Profile:
    title = top.text("title", example='title = "status, sign, number and unit"')
    unit = top.one_of("unit", SCALE_UNITS, "")
    serial, is_text = _serial(top.table("serial"))
    fields = top.tables("fields", example=_FIELDS_EXAMPLE, most=_MAX_FIELD_COUNT)
    profile = Profile(
        name=name,
        title=title,
        serial=serial,
        is_text=is_text,
        framing=_framing(top.table("frame", example='[frame]\nkind = "line"')),
        fields=tuple(read_field(table, is_text=is_text) for table in fields),
        poll=_poll(top.table("poll")),
        unit=unit,
        last_digit_step=MappingProxyType(_steps(top.table("last_digit_step"))),
    )
    samples = top.tables("sample", example='[[sample]]\nframe = "..."', most=_MAX_SAMPLE_COUNT)
    refused = top.tables("refuse", example='[[refuse]]\nframe = "..."', most=_MAX_SAMPLE_COUNT)
    top.close()
    _check_fields(top, profile)
    if top.document.faults:
        return profile
    for table in refused:
        must_refuse(table, profile)
    return replace(profile, samples=tuple(must_read(table, profile) for table in samples))


def _serial(table: Table | None) -> tuple[SerialSettings, bool]:
    if table is None:
        return SerialSettings(), True
    settings = SerialSettings(
        baud=table.whole("baud", 300, 921_600, 9600),
        data_bits=cast("Any", table.whole("data_bits", 7, 8, 8)),
        parity=cast("Parity", table.one_of("parity", get_args(Parity), "none")),
        stop_bits=cast("Any", table.whole("stop_bits", 1, 2, 1)),
    )
    is_text = table.flag("text", default=True)
    table.close()
    return settings, is_text


def _framing(table: Table | None) -> Framing:
    kind = table.one_of("kind", ("line", "enclosed", "lead")) if table else ""
    framing: Framing = LineFraming(end=b"\n", longest=MAX_FRAME_LENGTH)
    if table is None or not kind:
        return framing
    if kind == "line":
        end = table.one_of("end", ("\r\n", "\n", "\r"), "\r\n").encode("ascii")
        framing = LineFraming(end=end, longest=table.whole("longest", 1, MAX_FRAME_LENGTH, 80))
    elif kind == "enclosed":
        framing = EnclosedFraming(
            start=table.line_bytes("start", example='start = "\\u0002"', longest=1),
            end=table.line_bytes("end", example='end = "\\u0003"', longest=1),
            after=table.whole("after", 0, 4, 0),
            longest=table.whole("longest", 3, MAX_FRAME_LENGTH, 80),
        )
    else:
        framing = LeadFraming(
            lead=table.line_bytes("lead", example='lead = "="', longest=1),
            length=table.whole("length", 2, MAX_FRAME_LENGTH),
            after=table.whole("after", 0, 4, 0),
        )
        if framing.after >= framing.length - 1:
            table.fault("length", "lead-length", after=framing.after)
    table.close()
    return framing


def _poll(table: Table | None) -> Poll | None:
    if table is None:
        return None
    request = table.line_bytes("request", example='request = "W\\r\\n"', longest=32)
    interval_s = table.seconds("interval", example='interval = "0.2 s"')
    if interval_s and not MIN_INTERVAL_S <= interval_s <= MAX_INTERVAL_S:
        limits = {"least": f"{MIN_INTERVAL_S:g} s", "most": f"{MAX_INTERVAL_S:g} s"}
        table.fault("interval", "out-of-range", found=f"{interval_s:g} s", **limits)
    table.close()
    return Poll(request=request, interval_s=interval_s)


def _steps(table: Table | None) -> dict[str, int]:
    if table is None:
        return {}
    steps = {unit: table.whole(unit, 1, 100, 1) for unit in SCALE_UNITS if table.has(unit)}
    table.close()
    return steps


def _check_fields(top: Table, profile: Profile) -> None:
    number_count = sum(isinstance(field, NumberField) for field in profile.fields)
    if profile.fields and number_count != 1:
        top.fault("fields", "number-count", found=number_count)
    if not profile.unit and not any(isinstance(field, UnitField) for field in profile.fields):
        top.fault("fields", "unit-unsaid", example='unit = "kg"')
    # A check byte may hold any value, so it may stand only where the framing does not look for its own bytes.
    after = 0 if isinstance(profile.framing, LineFraming) else profile.framing.after
    for index, field in enumerate(profile.fields):
        if isinstance(field, CheckField) and field.form == "byte":
            is_last = index == len(profile.fields) - 1
            if not (is_last and after):
                top.fault("fields", "check-byte-place")
