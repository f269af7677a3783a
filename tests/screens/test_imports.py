"""The screen loads the terminal library and little else; line mode not even that."""

import subprocess
import sys

import pytest

HEAVY = ["pydantic", "pint", "highspy", "scipy", "numpy", "serial", "sqlite3"]
OURS = {
    "mixstation.screens.run": (
        "mixstation.frozen",
        "mixstation.screens",
        "mixstation.station",
        "mixstation.units",
        "mixstation.wording",
    ),
    "mixstation.lines.front": (
        "mixstation.frozen",
        "mixstation.lines",
        "mixstation.station",
        "mixstation.units",
        "mixstation.wording",
    ),
}


def _loaded(module: str) -> set[str]:
    code = f"import sys, {module}; print('\\n'.join(sys.modules))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(run.stdout.split())


@pytest.mark.parametrize("module", OURS)
def test_only_the_border_to_the_station_is_loaded(module: str) -> None:
    loaded = _loaded(module)
    assert not loaded.intersection(HEAVY)
    ours = {name for name in loaded if name.startswith("mixstation.")}
    assert all(name.startswith(OURS[module]) for name in ours), ours
    station = {name for name in ours if name.startswith("mixstation.station.")}
    assert station == {"mixstation.station.view"}
    assert {name for name in ours if name.startswith("mixstation.wording.")} == {"mixstation.wording.front"}


def test_line_mode_needs_no_screen() -> None:
    assert not _loaded("mixstation.lines.front").intersection({"textual", "rich", "asyncio"})
