"""What is on the terminal before the screen is, and what has been loaded by then."""

import contextlib
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

from mixstation.cli import first_sign
from mixstation.cli.main import main
from mixstation.wording.front import OPENING

SIGN = f"{OPENING}\r"
WIPED = "\x1b[K"
MIX = ["mix", "hearth_plate", "--powder", "8 kg"]
# Runs a command up to where its screen would be painted, and tells what is loaded.
UP_TO_THE_PICTURE = """
import sys
import mixstation.cli.show_desk as showing
showing.show = lambda open_desk, plain: 0
from mixstation.cli.main import main
assert main(sys.argv[1:]) == 0
print(*sys.modules)
"""
OPEN_A_BATCH = """
import sys
import mixstation.cli.show_desk as showing
def show(open_desk, plain):
    open_desk().stop()
    return 0
showing.show = show
from mixstation.cli.main import main
assert main(sys.argv[1:]) == 0
"""
CORE = (
    "batch",
    "plan.",
    "planning",
    "recipe",
    "account",
    "scale",
    "wording.words",
    "station.session",
    "station.view",
)
LIBRARIES = {"pydantic", "pint", "highspy", "numpy", "serial", "textual"}


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))


@pytest.fixture
def painting(monkeypatch: pytest.MonkeyPatch) -> None:
    # Loaded first: it would else keep what is put in here for good.
    import_module("mixstation.cli.show_desk")
    monkeypatch.setattr(first_sign, "can_paint", lambda: True)


def ran(program: str, *words: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", program, *words], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


@pytest.mark.usefixtures("painting")
@pytest.mark.parametrize(
    "words", [["mix"], ["plan", "no-such-recipe"], ["resume", "no-such-batch"], ["demo", "--x"]]
)
def test_a_sign_comes_first_also_where_it_then_fails(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with contextlib.suppress(SystemExit):
        main(words)
    said = capsys.readouterr().err
    assert said.startswith(SIGN)
    rest = said.removeprefix(SIGN)
    # Wiped, or printed over by a longer line.
    assert rest.startswith(WIPED) or len(rest.splitlines()[0]) > len(OPENING)
    assert rest.removeprefix(WIPED).strip()


@pytest.mark.usefixtures("painting")
@pytest.mark.parametrize(
    "words", [["recipes"], ["plan", "list"], ["mix", "--plain"], ["mix", "--help"], ["--version"]]
)
def test_what_paints_nothing_shows_none(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with contextlib.suppress(SystemExit):
        main(words)
    assert OPENING not in capsys.readouterr().err


def test_a_pipe_gets_none(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["resume"]) == 1
    said = capsys.readouterr()
    assert "\r" not in said.err + said.out
    assert "\x1b" not in said.err + said.out


@pytest.mark.parametrize("words", [MIX, ["plan"]], ids=["mix", "plan"])
def test_the_first_picture_needs_no_core(words: list[str]) -> None:
    loaded = ran(UP_TO_THE_PICTURE, *words)
    assert not {name for name in loaded if name.startswith(tuple(f"mixstation.{part}" for part in CORE))}
    assert not loaded & (LIBRARIES | {"sqlite3"})


def test_nor_does_that_of_a_batch_gone_on_with() -> None:
    ran(OPEN_A_BATCH, *MIX)
    loaded = ran(UP_TO_THE_PICTURE, "resume")
    assert not {name for name in loaded if name.startswith(tuple(f"mixstation.{part}" for part in CORE))}
    assert not loaded & LIBRARIES


def test_the_sign_needs_next_to_nothing() -> None:
    loaded = ran(
        "import sys; import mixstation.cli.main; import mixstation.wording.front; print(*sys.modules)"
    )
    assert not loaded & {"argparse", "dataclasses", "pathlib", "json"}
