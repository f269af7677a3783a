"""What the program writes, whatever stands on the other side: an ASCII terminal, a closed one, one that goes away."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conversation import PROGRAM, ROOT
from tests.cli.driven import drive, said_by
from tests.depth import first

MIX = ("mix", "hearth_plate", "--powder", "8 kg", "--plain")


def run(
    home: Path,
    *words: str,
    shell: str = "",
    more: dict[str, str] | None = None,
    given: str = "",
) -> Any:
    """Run the program in a process of its own; `shell` says how its streams are turned."""
    turned = ["sh", "-c", f'exec "$@" {shell}', "sh"] if shell else []
    return subprocess.run(
        [*turned, sys.executable, "-c", PROGRAM, *words],
        input=None if "<" in shell else given.encode(),
        capture_output=True,
        cwd=ROOT,
        env={**os.environ, "MIXSTATION_HOME": str(home), **(more or {})},
        timeout=120,
        check=False,
    )


def is_free(home: Path) -> bool:
    """Whether the batch that was left can be gone on with."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("MIXSTATION_HOME", str(home))
        return "no water yet" in said_by("resume", "--plain")


def test_standard_input_that_is_closed_leaves_the_batch_open_and_the_records_free(tmp_path: Path) -> None:
    left = run(tmp_path, *MIX, shell="<&-")
    assert left.returncode == 0
    assert "start again and go on from there" in left.stdout.decode()
    assert is_free(tmp_path)


def test_standard_output_that_is_closed_ends_in_order(tmp_path: Path) -> None:
    assert run(tmp_path, *MIX, shell=">&- <&-").returncode == 0
    assert is_free(tmp_path)


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_an_output_of_few_signs_ends_no_batch(tmp_path: Path, encoding: str) -> None:
    left = run(tmp_path, *MIX, more={"PYTHONIOENCODING": encoding}, given="w\n3 °\n")
    assert left.returncode == 0
    said = left.stdout.decode(encoding)
    assert "Waterproof alkali-proof gloves" in said
    assert "start again and go on from there" in said
    plan = run(tmp_path, "plan", "hearth_plate", "--bags", "1", more={"PYTHONIOENCODING": encoding})
    assert plan.returncode == 0
    assert b"Traceback" not in plan.stderr


def test_what_a_terminal_lacks_is_written_in_the_nearest_signs(tmp_path: Path) -> None:
    shown = run(tmp_path, "recover", *MIX[1:4], "--bucket", "0 L", more={"PYTHONIOENCODING": "ascii"})
    assert b"say in" in shown.stderr
    shown = run(tmp_path, "plan", "nowhere", "--bags", "1", more={"PYTHONIOENCODING": "ascii"})
    assert b'There is no recipe "nowhere"' in shown.stderr


def test_a_reader_that_goes_away_is_no_error_of_the_program(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, *MIX],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=ROOT,
        env={**os.environ, "MIXSTATION_HOME": str(tmp_path)},
    )
    assert process.stdout is not None
    process.stdout.readline()
    process.stdout.close()
    process.stdout = None
    _, error = process.communicate(b"?\n" * 2000, timeout=120)
    assert b"Traceback" not in error
    assert b"Exception ignored" not in error
    assert process.returncode in (0, 1)
    assert is_free(tmp_path)


@pytest.mark.skipif(not Path("/dev/full").is_char_device(), reason="a device that is always full")
def test_an_output_that_is_full_is_said(tmp_path: Path) -> None:
    full = run(tmp_path, "recipes", shell=">/dev/full")
    assert full.returncode == 1
    assert b"No space left" in full.stderr
    assert b"Exception ignored" not in full.stderr


@pytest.mark.parametrize("number", [15, 1, 3])
def test_line_mode_leaves_in_order_when_told_to_end(tmp_path: Path, number: int) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, *MIX],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=ROOT,
        env={**os.environ, "MIXSTATION_HOME": str(tmp_path)},
    )
    assert process.stdout is not None
    for line in process.stdout:
        if b"quit leaves" in line:
            break
    process.send_signal(number)
    said, _ = process.communicate(timeout=120)
    assert process.returncode == 128 + number
    assert b"start again and go on from there" in said
    assert is_free(tmp_path)


def test_a_sheet_goes_over_no_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    os.mkfifo(tmp_path / "pipe")
    got = drive("plan", "hearth_plate", "--bags", "1", "--sheet", str(tmp_path / "pipe"))
    assert got.code == 1
    assert "no ordinary file" in got.said
    assert (tmp_path / "pipe").is_fifo()


ODD: tuple[dict[str, str], ...] = (
    {"COLUMNS": "0"},
    {"COLUMNS": "1"},
    {"COLUMNS": "-5"},
    {"COLUMNS": "many", "LINES": "none"},
    {"TERM": "no-such-terminal"},
    {"TERM": "\x1b[2J"},
    {"LANG": "xx_YY.nothing", "LC_ALL": "xx_YY.nothing"},
    {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    {"TZ": "Nowhere/Never"},
    {"TZ": "\x1b[2J"},
    {"NO_COLOR": "\x1b"},
    {"USER": "\x1b[2J", "LOGNAME": "\x1b[2J"},
)


# Several at once first: of the columns in turn, with one of each of the others.
TOGETHER = (
    ODD[0] | ODD[4] | ODD[6] | ODD[8],
    ODD[1] | ODD[5] | ODD[7],
    ODD[2] | ODD[9] | ODD[10],
    ODD[3] | ODD[11],
)


@pytest.mark.parametrize("more", first(len(TOGETHER), TOGETHER + ODD), ids=str)
def test_odd_surroundings(tmp_path: Path, more: dict[str, str]) -> None:
    for words in (MIX, ("records",), ("plan", "--help"), ("stock", "receive", "blend", "25 kg")):
        went = run(tmp_path, *words, more=more)
        assert went.returncode == 0, went.stderr
        assert b"\x1b" not in went.stdout + went.stderr
        assert b"Traceback" not in went.stderr


@pytest.mark.parametrize("home", ["file", "unwritable/\x1b[2J", "~nobody-here/x", "~", "a\nb", "dev"])
def test_odd_homes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, home: str) -> None:
    (tmp_path / "file").write_text("no folder", "utf-8")
    at = "/dev/null/x" if home == "dev" else home if home.startswith("~") else str(tmp_path / home)
    monkeypatch.setenv("MIXSTATION_HOME", at)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    for word in ("records", "recipes", "stock"):
        went = drive(word)
        assert went.code in (0, 1)
        assert "\x1b" not in went.said
        assert "Traceback" not in went.said
        assert "error of the program" not in went.said.lower()
