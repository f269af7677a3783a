"""A profile's own sample frames: what each must read as, and what must not be read at all.

Fault codes and their values: "sample-frames" (frame, found: how many frames the bytes hold, not one);
"sample-refused" (frame, reason, at, field: see `decode.Refusal`, counted from 1); "sample-differs" (frame, what,
found, expected); "sample-empty" (frame, example); "refuse-read" (frame, found).
"""

from typing import get_args

from mixstation.scale.decode import Refusal, decode, weigh
from mixstation.scale.fields import Shown
from mixstation.scale.framing import framer_for
from mixstation.scale.profile import LineFraming, Profile
from mixstation.scale.reading import Fault, Motion, TareMark
from mixstation.toml.quantities import line_bytes, one_of, shown_mass_mg, words
from mixstation.toml.table import Key, Keys, Table

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
        table.fault("frame", "sample-empty", frame=_shown(data), example='mass = "1.234 kg"')
    frames = frames_of(data, profile)
    if "frame" in values and len(frames) != 1:
        table.fault("frame", "sample-frames", frame=_shown(data), found=len(frames))
    if len(frames) != 1:
        return data, nothing
    shown = decode(frames[0], profile)
    if isinstance(shown, Refusal):
        place = {"at": shown.at + 1, "field": shown.field + 1}
        table.fault("frame", "sample-refused", frame=_shown(data), reason=shown.code, **place)
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
            told = {"what": what, "found": _named(what, found), "expected": _named(what, expected)}
            table.fault(what if what in values else "frame", "sample-differs", frame=_shown(data), **told)
    return data, shown


def must_refuse(table: Table, profile: Profile) -> None:
    """Try a `[[refuse]]`: nothing in `frame` may read; `why` is for people."""
    data = table.read(_REFUSE).get("frame", b"")
    for frame in frames_of(data, profile):
        shown = decode(frame, profile)
        if isinstance(shown, Shown):
            mass_mg, _ = weigh(shown, profile.last_digit_step)
            found = shown.fault or _named("mass", mass_mg)
            table.fault("frame", "refuse-read", frame=_shown(data), found=found)


def _named(what: str, value: object) -> str:
    return f"{value} mg" if what in ("mass", "division") and value is not None else str(value or "none")


def _shown(data: bytes) -> str:
    """Bytes as a person would write them in the file."""
    return data.decode("latin-1").encode("unicode_escape").decode("ascii")
