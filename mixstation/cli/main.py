"""The command line: `mixstation WORD …`. Each command lives in its own module, loaded only when it is called."""

import contextlib
import gc
import sys
from collections.abc import Sequence

from mixstation import __version__
from mixstation.cli.first_sign import show_sign, wipe_sign

COMMANDS = {
    "demo": "mix a whole demonstration batch on an emulated scale",
    "mix": "mix one bucket of a recipe",
    "resume": "go on with the batch that was left open",
    "plan": "plan a job: masses, buckets, stock, cost, temperature",
    "recover": "ways out for what is in the bucket, without a batch running",
    "cure": "when a piece may be stripped and sanded, from logged temperatures",
    "recipes": "list, show or check recipes",
    "records": "list or show batch records",
    "stock": "what is on the shelf",
    "scale": "ports, live readings, profiles, and the emulated scale",
}
_PAINTED = frozenset({"demo", "mix", "plan", "resume"})
# Words with which such a command paints nothing.
_NOT_PAINTED = frozenset({"--plain", "--json", "--help", "-h", "list", "show"})
# Hardly anything that loading makes can be freed: looking through it again and again takes a tenth of the start.
_OBJECTS_BEFORE_A_SEARCH = 50_000

# Choice: longer than any sentence; a word of ten thousand letters need not be read back.
_LONGEST_LINE = 1_000


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        arguments: Words after the program's name; None for those of this process.

    Returns:
        Exit code: 0 done, 1 failed, 2 the words were wrong.
    """
    words = list(sys.argv[1:] if arguments is None else arguments)
    command = words[0] if words else "resume"
    if command in _PAINTED and _NOT_PAINTED.isdisjoint(words):
        show_sign()
    gc.set_threshold(_OBJECTS_BEFORE_A_SEARCH)
    from mixstation.cli.streams import cleaned_streams

    with cleaned_streams():
        return _run(command, words[1:] if words else ["--or-help"]) if command in COMMANDS else _other(words)


def _run(command: str, words: Sequence[str]) -> int:
    from importlib import import_module

    try:
        code = int(import_module(f"mixstation.cli.{command}").run(words))
        sys.stdout.flush()
    except KeyboardInterrupt:
        return 130
    except SystemExit as left:
        if not isinstance(left.code, str):
            raise
        return _failed(left.code, 2)
    except BrokenPipeError:
        return 1
    except Exception as error:
        # The one place where a command's errors end: the person's with what to do, the program's own with their place.
        from mixstation.wording.error_lines import reason

        return _failed(reason(error), 1)
    return code


def _failed(said: str, code: int) -> int:
    """Say why, if anybody still listens."""
    from mixstation.units.clean import clean

    wipe_sign()
    with contextlib.suppress(OSError):
        print("\n".join(clean(line, _LONGEST_LINE) for line in said.split("\n")), file=sys.stderr)
    return code


def _other(words: Sequence[str]) -> int:
    """What is no command: a wish for help or for the version, or a slip."""
    from mixstation.cli.parser import Parser

    width = max(map(len, COMMANDS))
    parser = Parser(
        prog="mixstation",
        description="Live mixing guidance at the bucket.",
        epilog="commands:" + "".join(f"\n  {name:<{width}}  {COMMANDS[name]}" for name in COMMANDS),
        usage="mixstation [--version] COMMAND …",
    )
    parser.add_argument("--version", action="version", version=f"mixstation {__version__}")
    parser.add_argument("command", nargs="?", choices=tuple(COMMANDS), metavar="COMMAND", help="see below")
    parser.parse_args(words[:1])
    return 2
