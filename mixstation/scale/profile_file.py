"""Scale profiles from TOML files, each tried on its own sample frames before it is used."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Final, get_args

from mixstation.scale import faults
from mixstation.scale.decode import Refusal, decode, weigh
from mixstation.scale.field_file import SCALE_UNITS, read_field
from mixstation.scale.fields import CheckField, Field, NumberField, Shown, UnitField
from mixstation.scale.framing import framer_for
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
from mixstation.scale.reading import Fault, Motion, TareMark
from mixstation.toml.lines import read_text_file
from mixstation.toml.quantities import (
    count,
    line_bytes,
    one_of,
    poll_interval_s,
    shown_mass_mg,
    true_or_false,
    words,
)
from mixstation.toml.table import Key, Keys, Table, TableKey, file_table

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
    """Read one profile, named by the stem of its TOML file, and try it on its samples.

    Raises:
        FileRefused: With every fault found.
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
        table.fault("length", faults.LeadLength(after_count=framing.after))
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
        top.fault("fields", faults.NumberCount(found_count=number_count))
    if "unit" not in top.content and not any(isinstance(field, UnitField) for field in fields):
        top.fault("fields", faults.Plain.UNIT_UNSAID, 'unit = "kg"')
    # A check byte may hold any value, so it may stand only where the framing does not look for its own bytes.
    after = framing.after if isinstance(framing, EnclosedFraming | LeadFraming) else 0
    checks = [isinstance(field, CheckField) and field.form == "byte" for field in fields]
    if framing is not None and any(checks[:-1] if after else checks):
        top.fault("fields", faults.Plain.CHECK_BYTE_PLACE)


_FRAME = Key(read=line_bytes(512), example='"..."')
_SAMPLE: Keys = {
    "frame": _FRAME,
    "mass": Key(read=shown_mass_mg, example='"1.234 kg"', optional=True),
    "division": Key(read=shown_mass_mg, example='"1 g"', optional=True),
    "fault": Key(read=one_of(*get_args(Fault)), example='"overload"', optional=True),
    "motion": Key(read=one_of(*get_args(Motion)), example='"steady"', optional=True),
    "tare_mark": Key(read=one_of(*get_args(TareMark)), example='"net"', optional=True),
}
_REFUSE: Keys = {"frame": _FRAME, "why": Key(read=words(200), example='"cut short"', optional=True)}


def frames_of(data: bytes, profile: Profile) -> list[bytes]:
    """The frames in bytes that begin at the beginning of one; a last line needs no line end."""
    framer = framer_for(profile)
    if isinstance(profile.framing, LineFraming):
        return framer.feed(b"\n" + data + b"\n")
    return framer.feed(data)


def must_read(table: Table, profile: Profile) -> tuple[bytes, Shown]:
    """Try a `[[sample]]`: `frame`, and what it must read as; what is wrong is noted there."""
    values = table.read(_SAMPLE)
    data = values.get("frame", b"")
    nothing = Shown(count=None, decimals=0, unit="kg", fault=values.get("fault"))
    if not table.content.keys() & {"mass", "fault"}:
        table.fault("frame", faults.SampleEmpty(frame=_shown(data)), 'mass = "1.234 kg"')
    frames = frames_of(data, profile)
    if "frame" in values and len(frames) != 1:
        table.fault("frame", faults.SampleFrames(frame=_shown(data), found_count=len(frames)))
    if len(frames) != 1:
        return data, nothing
    shown = decode(frames[0], profile)
    if isinstance(shown, Refusal):
        at, field = shown.at + 1, shown.field + 1
        table.fault(
            "frame",
            faults.SampleRefused(frame=_shown(data), reason=shown.code, at_number=at, field_number=field),
        )
        return data, nothing
    found_mg, division_mg = weigh(shown, profile.last_digit_step)
    pairs: list[tuple[str, object, object]] = [
        ("mass", found_mg, values.get("mass")),
        ("fault", shown.fault, values.get("fault")),
        ("motion", shown.motion, values.get("motion", "unsaid")),
        ("tare_mark", shown.tare_mark, values.get("tare_mark", "unsaid")),
    ]
    if "mass" in values:
        pairs.append(("unit", shown.unit, table.content["mass"].rpartition(" ")[2]))
    if "division" in values:
        pairs.append(("division", division_mg, values["division"]))
    for what, found, expected in pairs:
        # Of a key that could not be read, enough is said.
        if found != expected and (what in values or what not in table.content):
            told = faults.SampleDiffers(
                frame=_shown(data), what=what, found=_named(what, found), expected=_named(what, expected)
            )
            table.fault(what if what in values else "frame", told)
    return data, shown


def must_refuse(table: Table, profile: Profile) -> None:
    """Try a `[[refuse]]`: nothing in `frame` may read; `why` is for people."""
    data = table.read(_REFUSE).get("frame", b"")
    for frame in frames_of(data, profile):
        shown = decode(frame, profile)
        if isinstance(shown, Shown):
            mass_mg, _ = weigh(shown, profile.last_digit_step)
            found = shown.fault or _named("mass", mass_mg)
            table.fault("frame", faults.RefuseRead(frame=_shown(data), found=found))


def _named(what: str, value: object) -> str:
    return f"{value} mg" if what in ("mass", "division") and value is not None else str(value or "none")


def _shown(data: bytes) -> str:
    """Bytes as a person would write them in the file."""
    return data.decode("latin-1").encode("unicode_escape").decode("ascii")
