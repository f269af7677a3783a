"""The scale commands, writing to a stream: ports, live readings, and the emulated scale."""

import sys
import time
from collections.abc import Callable, Iterable, Mapping
from typing import Final, TextIO

from mixstation.scale.detect import Detection, detect
from mixstation.scale.emulator import EmulatedScale
from mixstation.scale.ports import serial_ports
from mixstation.scale.profile import Profile
from mixstation.scale.profile_folder import all_profiles, find_profile
from mixstation.scale.pty_port import PtyPort
from mixstation.scale.reading import Link, LinkStatus, Reading
from mixstation.scale.serial_link import SerialLink
from mixstation.scale.steadiness import steady
from mixstation.units.clean import clean
from mixstation.units.errors import UnitsError
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import fixed
from mixstation.units.tables import UNITS_BY_KEY

_LOOK_S: Final = 0.05
_PLACES: Final = {"kg": 3, "g": 1, "lb": 3, "oz": 2}


def list_ports(out: TextIO) -> int:
    """Print the serial ports, one a line; exit status 0 if there is one, else 1."""
    ports = serial_ports()
    for port in ports:
        words = [port.device, port.description if port.description != "n/a" else "", port.stable_name]
        print("  ".join(word for word in words if word), file=out)
    if not ports:
        print("No serial port found. Plug the scale's cable in and try again.", file=out)
    return 0 if ports else 1


def watch(port: str, profile_name: str | None, out: TextIO, seconds: float | None = None) -> int:
    """Print readings as they come, and how the link stands when that changes; exit status 0 if any came, else 1.

    Args:
        profile_name: Which profile; None to find it by listening.
        seconds: How long; None until interrupted.

    Raises:
        FileRefused: The profile cannot be used.
    """
    profile = find_profile(profile_name) if profile_name else _found_profile(port, out)
    if profile is None:
        return 1
    link = SerialLink(port, profile)
    link.start()
    try:
        _print_live(link, out, seconds)
    except KeyboardInterrupt:
        pass
    finally:
        link.stop()
    return 0 if link.status().good_count else 1


def emulate(
    profile_name: str,
    out: TextIO,
    typed: Iterable[str] | None = None,
    *,
    rate_hz: float = 10.0,
    seconds: float | None = None,
) -> int:
    """Run an emulated scale on a pseudo-terminal and obey typed words until "stop" or their end.

    Args:
        typed: Lines; standard input by default.
        rate_hz: Frames a second, 1 to 100.
        seconds: How long to go on after the last line.

    Raises:
        FileRefused: The profile cannot be used.
    """
    scale = EmulatedScale()
    port = PtyPort(scale, find_profile(profile_name), rate_hz=rate_hz)
    print(f"port {port.name}", f"Type: {SCALE_WORDS}", sep="\n", file=out, flush=True)
    port.start()
    try:
        for line in sys.stdin if typed is None else typed:
            answer = obey(scale, line)
            if answer is None:
                return 0
            print(answer, file=out, flush=True)
        if seconds:
            time.sleep(seconds)
    except KeyboardInterrupt:
        pass
    finally:
        port.stop()
    return 0


def reading_line(reading: Reading, state: str, flow_mg_s: float) -> str:
    """One reading as a line: weight or fault, state, flow, and the frame as it came."""
    weight: str
    if reading.mass_mg is None:
        weight = reading.fault or "error"
    else:
        places = _PLACES.get(reading.unit, 3)
        weight = f"{fixed(reading.mass_mg / UNITS_BY_KEY[reading.unit].factor, places)} {reading.unit}"
    return f"{weight:>14}  {state:<7} {flow_mg_s / 1000:+8.1f} g/s  {reading.text}"


def _found_profile(port: str, out: TextIO) -> Profile | None:
    profiles, faults = all_profiles()
    for fault in faults:
        print(f"Left out: {fault.path}:{fault.line} ({fault.code})", file=out)
    print(f"Listening on {port} ...", file=out, flush=True)
    try:
        found = detect(port, profiles)
    except Exception as error:
        # A port fails to open in many ways on many systems; the system's own words are the best there are.
        print(f"{port} cannot be read: {error}", file=out)
        return None
    print(_detection_line(found), file=out, flush=True)
    return found.profile


def _detection_line(found: Detection) -> str:
    if found.profile is not None:
        return f"Reads as {found.profile.name} at {found.baud} baud."
    if found.heard_byte_count == 0:
        return (
            "Nothing heard. Switch the scale's sending on; if it answers only when asked, name its profile."
        )
    best = found.scores[0].profile.name if found.scores and found.scores[0].good_count else "none"
    return f"Bytes heard: {found.heard_byte_count}, but no profile reads them (nearest: {best}). Write one for it."


def _print_live(link: Link, out: TextIO, seconds: float | None) -> None:
    until_s = None if seconds is None else time.monotonic() + seconds
    before: LinkStatus | None = None
    unread = ""
    serial = 0
    while until_s is None or time.monotonic() < until_s:
        status = link.status()
        if before is None or status.state != before.state:
            why = f": {status.detail}" if status.detail and status.state in ("lost", "silent") else ""
            print(f"link {status.state}{why}", file=out)
        # Both may have come about since the last look.
        if status.bad_count > (before.bad_count if before else 0) and status.detail != unread:
            unread = status.detail
            print(f"not read: {unread}", file=out)
        before = status
        recent = link.recent()
        for index, reading in enumerate(recent):
            if reading.serial > serial:
                judged = steady(recent[: index + 1], reading.at_s)
                print(reading_line(reading, judged.state, judged.flow_mg_s), file=out)
                serial = reading.serial
        out.flush()
        time.sleep(_LOOK_S)


DEFAULT_RATE_MG_S: Final = 50_000

_DEEDS: Final[Mapping[str, Callable[[EmulatedScale], None]]] = {
    "hold": EmulatedScale.stop_pour,
    "lift": EmulatedScale.lift,
    "place": EmulatedScale.place,
    "zero": EmulatedScale.press_zero,
    "tare": EmulatedScale.press_tare,
    "unit": EmulatedScale.press_unit,
    "on": EmulatedScale.press_on,
    "freeze": EmulatedScale.freeze,
    "thaw": EmulatedScale.thaw,
    "unplug": EmulatedScale.unplug,
    "replug": EmulatedScale.replug,
}
SCALE_WORDS: Final = f"put 650 g, pour 500 g, pour 500 g at 40 g/s, {', '.join(_DEEDS)}, sum, stop"


def obey(scale: EmulatedScale, line: str) -> str | None:
    """Do what a line says and answer in one line; None for "stop".

    Args:
        line: One of `SCALE_WORDS`; masses as anywhere, negative to take out.
    """
    word, _, rest = line.strip().lower().partition(" ")
    if word == "stop":
        return None
    try:
        if word in _DEEDS and not rest:
            _DEEDS[word](scale)
        elif word == "put":
            scale.put_mg(parse_mass_mg(rest))
        elif word == "pour":
            mass, _, rate = rest.partition(" at ")
            total_mg = parse_mass_mg(mass)
            rate_mg_s = parse_mass_mg(rate.removesuffix("/s")) if rate else DEFAULT_RATE_MG_S
            scale.pour(abs(rate_mg_s) if total_mg >= 0 else -abs(rate_mg_s), total_mg=total_mg)
        elif word not in ("sum", ""):
            return f"Not understood: {clean(line.strip(), 60)}. Type: {SCALE_WORDS}"
    except UnitsError as error:
        return f"Not a mass: {clean(rest, 60)} ({error.code}). Write for example: {word} 500 g"
    poured_mg = sum(pour.mass_mg for pour in scale.poured)
    return f"{word or 'sum'}: poured {fixed(poured_mg / 1000, 1)} g in all"
