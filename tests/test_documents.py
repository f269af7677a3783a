"""What the documents say of the program holds: its commands parse, its paths exist."""

import re
import shlex
from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path

import pytest

from mixstation.cli.main import COMMANDS
from mixstation.cli.settings_file import own_settings, settings_path
from mixstation.cli.shop_file import own_shop
from mixstation.plan.piece_file import read_pieces

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")

COMMAND_LINES = re.findall(r"^ {4,}(mixstation .*)$|`(mixstation [^`]+)`", README, re.MULTILINE)
COMMANDS_SHOWN = sorted({block or inline for block, inline in COMMAND_LINES})
PATHS_NAMED = sorted(
    {text for text in re.findall(r"`([\w./-]+)`", DEVELOPERS) if "/" in text.strip("/") or text.endswith("/")}
)


class _Parsed(Exception):  # noqa: N818 - ends a command once its words are read
    pass


def _stop_once_parsed(monkeypatch: pytest.MonkeyPatch) -> None:
    parse = ArgumentParser.parse_args

    def parse_and_stop(
        parser: ArgumentParser, words: Sequence[str] | None = None, namespace: Namespace | None = None
    ) -> Namespace:
        parse(parser, words, namespace)
        raise _Parsed

    monkeypatch.setattr(ArgumentParser, "parse_args", parse_and_stop)


def test_the_readme_shows_commands_of_every_kind() -> None:
    assert {line.split()[1] for line in COMMANDS_SHOWN} >= set(COMMANDS) - {"resume"}


@pytest.mark.parametrize("line", COMMANDS_SHOWN)
def test_a_command_the_readme_shows_can_be_given(
    line: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    _, command, *words = shlex.split(line)
    assert command in COMMANDS
    _stop_once_parsed(monkeypatch)
    with pytest.raises(_Parsed):
        import_module(f"mixstation.cli.{command}").run(words)


def test_a_command_that_cannot_be_given_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    _stop_once_parsed(monkeypatch)
    with pytest.raises(SystemExit):
        import_module("mixstation.cli.mix").run(["hearth_plate", "--powders", "8 kg"])


def shown_under(heading: str) -> str:
    """What a section of the README shows indented, less its commands."""
    section = README.partition(f"\n## {heading}\n")[2].partition("\n## ")[0]
    lines = [line[4:] for line in section.splitlines() if line.startswith("    ") or not line]
    return "\n".join(line for line in lines if not line.startswith("mixstation "))


def test_the_pieces_the_readme_shows_can_be_cast() -> None:
    (bench_top,) = read_pieces(shown_under("Planning"), "README.md")
    assert (bench_top.name, bench_top.count) == ("bench top", 2)


def test_the_settings_the_readme_shows_can_be_used(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    shown = shown_under("Settings")
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    path = settings_path()
    path.parent.mkdir()
    path.write_text(shown, encoding="utf-8")
    assert own_settings()["port"] == "/dev/ttyUSB0"
    assert [scale.name for scale in own_shop().scales] == ["floor scale", "small scale"]


@pytest.mark.parametrize("use", ["demo", "pytest"])
def test_the_readme_gives_one_line_to_paste_for_each_use(use: str) -> None:
    lines = re.findall(r"^    (python3 -m venv \.venv && .*)$", README, re.MULTILINE)
    assert len(lines) == 2
    assert sum(use in line for line in lines) == 1


@pytest.mark.parametrize("path", PATHS_NAMED)
def test_a_path_named_for_developers_is_there(path: str) -> None:
    assert (ROOT / path).exists()
