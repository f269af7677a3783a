"""`mixstation scale …`: ports, live readings, profiles, and the emulated scale."""

import sys
import time
from collections.abc import Sequence
from typing import Final, TextIO

from mixstation.cli.parser import Parser
from mixstation.scale.detect import detect
from mixstation.scale.ports import serial_ports
from mixstation.scale.profile import Profile
from mixstation.scale.profile_folder import all_profiles, find_profile
from mixstation.scale.reading import Link, LinkStatus
from mixstation.scale.serial_link import SerialLink
from mixstation.scale.steadiness import steady
from mixstation.units.plausible import read_plausible
from mixstation.wording import scale_lines as says
from mixstation.wording.error_lines import fault_lines, reason

_LOOK_S: Final = 0.05


def run(words: Sequence[str]) -> int:
    """One of the scale commands."""
    parser = Parser(prog="mixstation scale", description="Everything about the scale.")
    kinds = parser.add_subparsers(dest="what", required=True, metavar="WHAT")
    kinds.add_parser("ports", help="list serial ports")
    kinds.add_parser("profiles", help="list scale profiles, and what is wrong with any")
    watching = kinds.add_parser("watch", help="show decoded readings live")
    watching.add_argument("port")
    watching.add_argument("--profile", metavar="NAME", help="without one, found by listening")
    watching.add_argument("--seconds", metavar="TIME", help="stop after so long")
    emulated = kinds.add_parser(
        "emulate", help="run an emulated scale on a pseudo-terminal, told by typed words"
    )
    emulated.add_argument("profile", nargs="?", default="header-token-line")
    given = parser.parse_args(words)
    match given.what:
        case "ports":
            return list_ports(sys.stdout)
        case "profiles":
            return list_profiles(sys.stdout)
        case "watch":
            seconds = given.seconds and float(read_plausible("watching time", given.seconds, "s"))
            return watch(given.port, given.profile, sys.stdout, seconds)
        case _:
            from mixstation.cli.emulate import emulate

            return emulate(given.profile, sys.stdout)


def list_ports(out: TextIO) -> int:
    """Print the serial ports, one a line.

    Returns:
        Exit status: 0 if there is one, 1 if there is none.
    """
    ports = serial_ports()
    for port in ports:
        words = [port.device, port.description if port.description != "n/a" else "", port.stable_name]
        print("  ".join(word for word in words if word), file=out)
    if not ports:
        print(says.NO_PORT, file=out)
    return 0 if ports else 1


def list_profiles(out: TextIO) -> int:
    """Print the scale profiles, one a line; what is wrong with those that cannot be used goes to standard error.

    Returns:
        Exit status: 0 if all can be used, 1 if not.
    """
    profiles, faults = all_profiles()
    for profile in profiles:
        print(f"{profile.name}  {profile.title}", file=out)
    for line in fault_lines(faults):
        print(line, file=sys.stderr)
    return 1 if faults else 0


def watch(port: str, profile_name: str | None, out: TextIO, seconds: float | None = None) -> int:
    """Print readings as they come, one a line, and how the link stands when that changes.

    Args:
        port: Name of the port.
        profile_name: Which profile; None to find it by listening.
        out: Where to.
        seconds: How long; None until interrupted.

    Returns:
        Exit status: 0 if there were readings, 1 if there were none.

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


def _found_profile(port: str, out: TextIO) -> Profile | None:
    profiles, faults = all_profiles()
    for fault in faults:
        print(says.LEFT_OUT.format(fault="\n".join(fault_lines([fault]))), file=out)
    print(says.LISTENING.format(port=port), file=out, flush=True)
    try:
        found = detect(port, profiles)
    except Exception as error:
        # A port fails to open in many ways on many systems.
        print(reason(error), file=out)
        return None
    print(says.detection_line(found), file=out, flush=True)
    return found.profile


def _print_live(link: Link, out: TextIO, seconds: float | None) -> None:
    until_s = None if seconds is None else time.monotonic() + seconds
    before: LinkStatus | None = None
    unread = ""
    serial = 0
    while until_s is None or time.monotonic() < until_s:
        status = link.status()
        if before is None or status.state != before.state:
            print(says.link_line(status), file=out)
        # Both may have come about since the last look.
        if status.bad_count > (before.bad_count if before else 0) and status.detail != unread:
            unread = status.detail
            print(says.unread_line(unread), file=out)
        before = status
        recent = link.recent()
        for index, reading in enumerate(recent):
            if reading.serial > serial:
                print(says.reading_line(reading, steady(recent[: index + 1], reading.at_s)), file=out)
                serial = reading.serial
        out.flush()
        time.sleep(_LOOK_S)
