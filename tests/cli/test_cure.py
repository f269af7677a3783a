"""`mixstation cure`: what is said of a log, alone and since a batch was closed."""

from datetime import timedelta
from pathlib import Path

import pytest

from mixstation.cli.main import main
from tests.published.reach import store_batch


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def log(folder: Path, text: str) -> str:
    path = folder / "log.csv"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_it_says_first_when_to_strip_and_sand(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    name = log(tmp_path, "time,°C\n2026-11-30 10:00,20\n2026-12-02 10:00,20\n")
    assert main(["cure", name]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Strip it from 2026-12-01 10:00. Sand it wet, by hand, from 2026-12-01 11:00.\n")
    assert "no proof of strength" in said


def test_too_early_it_says_how_long(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cure", log(tmp_path, "hours,°F\n0,68\n20,68\n")]) == 0
    assert capsys.readouterr().out.startswith("Do not strip it yet. Wait about 4.0 h more")


def test_rubbish_is_refused_with_its_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    name = log(tmp_path, "hours,°C\n0,20\n1,\x1b[2J\n")
    assert main(["cure", name]) == 1
    said = capsys.readouterr().err
    assert said.startswith(f"{name}:3: ")
    assert "\x1b" not in said


def test_with_a_batch_time_counts_from_its_end(
    tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    batch_id, closed = store_batch(home / "data", "sill_cap_cup")
    hour = timedelta(hours=1)
    cold_before = f"{closed - 2 * hour},5\n"
    warm_since = "".join(f"{closed + count * hour},20\n" for count in range(1, 40))
    name = log(tmp_path, f"time,°C\n{cold_before}{warm_since}")
    assert main(["cure", name, "--batch", batch_id]) == 0
    strip = (closed + 24 * hour).isoformat(sep=" ", timespec="minutes")
    assert capsys.readouterr().out.startswith(f"Strip it from {strip}.")
    early = log(tmp_path, f"time,°C\n{closed - 3 * hour},5\n{closed - 2 * hour},5\n")
    assert main(["cure", early, "--batch", batch_id]) == 1
    assert "Name the right batch" in capsys.readouterr().err
    hours = log(tmp_path, "hours,°C\n0,20\n30,20\n")
    assert main(["cure", hours, "--batch", batch_id]) == 1
    assert "knows no clock" in capsys.readouterr().err
