"""A profile's own sample frames: what each must read as, and what must not be read at all.

Fault codes and their values: "sample-frames" (frame, found: how many frames the bytes hold, not one);
"sample-refused" (frame, reason, at, field: see `decode.Refusal`, counted from 1); "sample-differs" (frame, what,
found, expected); "sample-empty" (frame, example); "not-a-mass" (key, found, reason, example); "refuse-read" (frame,
found).
"""

from typing import cast, get_args

from mixstation.scale.decode import Refusal, decode, weigh
from mixstation.scale.fields import Shown
from mixstation.scale.framing import framer_for
from mixstation.scale.profile import LineFraming, Profile
from mixstation.scale.profile_table import Table
from mixstation.scale.reading import Fault, Motion, TareMark
from mixstation.units.errors import UnitsError
from mixstation.units.parse import parse_mass_mg

_MAX_SAMPLE_LENGTH = 512


def frames_of(data: bytes, profile: Profile) -> list[bytes]:
    """The frames in bytes that begin at the beginning of one; a last line needs no line end."""
    framer = framer_for(profile)
    if isinstance(profile.framing, LineFraming):
        return framer.feed(b"\n" + data + b"\n")
    return framer.feed(data)


def must_read(table: Table, profile: Profile) -> tuple[bytes, Shown]:
    """Try a `[[sample]]`: `frame`, and `mass`, `motion`, `fault`, `tare_mark` as it must read."""
    data = table.line_bytes("frame", example='frame = "..."', longest=_MAX_SAMPLE_LENGTH)
    mass = table.text("mass")
    mass_mg = _mass_mg(table, mass)
    division = table.text("division")
    fault = table.one_of("fault", get_args(Fault)) if table.has("fault") else None
    motion = table.one_of("motion", get_args(Motion), "unsaid")
    tare_mark = table.one_of("tare_mark", get_args(TareMark), "unsaid")
    table.close()
    if not mass and not fault:
        table.fault("frame", "sample-empty", frame=_shown(data), example='mass = "1.234 kg"')
    frames = frames_of(data, profile)
    nothing = Shown(count=None, decimals=0, unit="kg", fault=cast("Fault", fault))
    if len(frames) != 1:
        table.fault("frame", "sample-frames", frame=_shown(data), found=len(frames))
        return data, nothing
    shown = decode(frames[0], profile)
    if isinstance(shown, Refusal):
        place = {"at": shown.at + 1, "field": shown.field + 1}
        table.fault("frame", "sample-refused", frame=_shown(data), reason=shown.code, **place)
        return data, nothing
    found_mg, division_mg = weigh(shown, profile.last_digit_step)
    unit = mass.rpartition(" ")[2] if mass else shown.unit
    pairs = [
        ("mass", found_mg, mass_mg),
        ("unit", shown.unit, unit),
        ("fault", shown.fault, fault),
        ("motion", shown.motion, motion),
        ("tare_mark", shown.tare_mark, tare_mark),
    ]
    if division:
        pairs.append(("division", division_mg, _mass_mg(table, division, "division")))
    for what, found, expected in pairs:
        if found != expected:
            key = what if table.has(what) else "frame"
            values = {"what": what, "found": _named(what, found), "expected": _named(what, expected)}
            table.fault(key, "sample-differs", frame=_shown(data), **values)
    return data, shown


def must_refuse(table: Table, profile: Profile) -> None:
    """Try a `[[refuse]]`: nothing in `frame` may read; `why` is for people."""
    data = table.line_bytes("frame", example='frame = "..."', longest=_MAX_SAMPLE_LENGTH)
    table.text("why")
    table.close()
    for frame in frames_of(data, profile):
        shown = decode(frame, profile)
        if isinstance(shown, Shown):
            mass_mg, _ = weigh(shown, profile.last_digit_step)
            found = shown.fault or _named("mass", mass_mg)
            table.fault("frame", "refuse-read", frame=_shown(data), found=found)


def _mass_mg(table: Table, text: str, key: str = "mass") -> int | None:
    try:
        return parse_mass_mg(text, comma_is_decimal=True) if text else None
    except UnitsError as error:
        table.fault(key, "not-a-mass", found=text, reason=error.code, example=f'{key} = "1.234 kg"')
        return None


def _named(what: str, value: object) -> str:
    return f"{value} mg" if what in ("mass", "division") and value is not None else str(value or "none")


def _shown(data: bytes) -> str:
    """Bytes as a person would write them in the file."""
    return data.decode("latin-1").encode("unicode_escape").decode("ascii")
