"""`mixstation scale …`: ports, live readings, profiles, and the emulated scale."""

import sys
from collections.abc import Sequence

from mixstation.cli.parser import Parser


def run(words: Sequence[str]) -> int:
    """One of the scale commands."""
    parser = Parser(prog="mixstation scale", description="Everything about the scale.")
    kinds = parser.add_subparsers(dest="what", required=True, metavar="WHAT")
    kinds.add_parser("ports", help="list serial ports")
    kinds.add_parser("profiles", help="list scale profiles, and what is wrong with any")
    watch = kinds.add_parser("watch", help="show decoded readings live")
    watch.add_argument("port")
    watch.add_argument("--profile", metavar="NAME", help="without one, found by listening")
    watch.add_argument("--seconds", metavar="TIME", help="stop after so long")
    emulate = kinds.add_parser(
        "emulate", help="run an emulated scale on a pseudo-terminal, told by typed words"
    )
    emulate.add_argument("profile", nargs="?", default="header-token-line")
    given = parser.parse_args(words)

    from mixstation.scale import commands
    from mixstation.units.plausible import read_plausible

    if given.what == "ports":
        return commands.list_ports(sys.stdout)
    if given.what == "watch":
        seconds = (
            None if given.seconds is None else float(read_plausible("watching time", given.seconds, "s"))
        )
        return commands.watch(given.port, given.profile, sys.stdout, seconds)
    if given.what == "emulate":
        return commands.emulate(given.profile, sys.stdout)
    return _profiles()


def _profiles() -> int:
    from mixstation.scale.profile_folder import all_profiles
    from mixstation.wording.error_lines import fault_lines

    profiles, faults = all_profiles()
    for profile in profiles:
        print(f"{profile.name}  {profile.title}" if hasattr(profile, "title") else profile.name)
    for line in fault_lines(tuple(faults)):
        print(line, file=sys.stderr)
    return 1 if faults else 0
