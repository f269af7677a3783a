"""The command line driven in this process: any words in, what it said and how it ended out."""

import argparse
import contextlib
import io
import sys
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from unittest.mock import patch

from mixstation.cli.main import main

COMMANDS = (
    ("mix", "hearth_plate", "--powder", "8 kg", "--plain", "--beside"),
    ("mix", "hearth_plate", "--of", "blend", "5 kg", "--plain", "--beside"),
    ("resume", "--plain"),
    ("plan", "hearth_plate", "--slab", "700 x 450 x 18 mm"),
    ("plan", "hearth_plate", "--bags", "1", "--shop", "20 °C"),
    ("plan", "list"),
    ("plan", "show", "no-such"),
    ("recover", "hearth_plate", "--powder", "8 kg", "--in", "water=1.3 kg", "--in", "blend=4 kg"),
    ("recipes",),
    ("records",),
    ("records", "show", "no-such"),
    ("records", "export", "no-such", "out"),
    ("records", "audit"),
    ("stock",),
    ("stock", "receive", "blend", "25 kg"),
    ("stock", "count", "blend", "3 kg"),
    ("stock", "movements"),
    ("scale", "ports"),
    ("scale", "profiles"),
)
"""Every command as it may be given, but those that listen to a scale for long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Driven:
    """How a run went.

    Attributes:
        code: How it ended.
        said: All of standard output and standard error.
    """

    code: object
    said: str

    @property
    def acting_signs(self) -> set[str]:
        """Signs that a terminal acts on, line feeds apart."""
        return {
            sign
            for sign in self.said
            if sign != "\n" and unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Zl", "Zp")
        }


def drive(*words: str, encoding: str = "utf-8", typed: str = "") -> Driven:
    """Run the program with words; standard input is at its end, or there once it has given what is typed."""
    out, error = io.BytesIO(), io.BytesIO()
    streams = (
        io.TextIOWrapper(io.BytesIO(typed.encode(encoding)), encoding),
        io.TextIOWrapper(out, encoding),
        io.TextIOWrapper(error, encoding),
    )
    with contextlib.ExitStack() as patched:
        for name, stream in zip(("stdin", "stdout", "stderr"), streams, strict=True):
            patched.enter_context(patch.object(sys, name, stream))
        try:
            code: object = main(list(words))
        except SystemExit as left:
            code = left.code
    return Driven(code=code, said=(out.getvalue() + error.getvalue()).decode(encoding))


def said_by(*words: str, code: int = 0, typed: str = "") -> str:
    """What the program says to words, in the home the environment names; it ends with the code."""
    run = drive(*words, typed=typed)
    assert run.code == code, run.said
    return run.said


class _Seen(Exception):  # noqa: N818 - ends the run once the parser is known
    pass


def options_of(command: Sequence[str]) -> list[argparse.Action]:
    """The options of a command that take a value."""
    seen: list[argparse.ArgumentParser] = []

    def stop(parser: argparse.ArgumentParser, *_: object) -> None:
        seen.append(parser)
        raise _Seen

    with patch.object(argparse.ArgumentParser, "parse_args", stop), contextlib.suppress(_Seen):
        import_module(f"mixstation.cli.{command[0]}").run(list(command[1:]))
    (parser,) = seen
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction) and len(command) > 1:
            parser = action.choices[command[1]]
    return [action for action in parser._actions if action.option_strings and action.nargs != 0]
