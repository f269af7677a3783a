"""`mixstation cure`: what is said of a log, alone and since a batch was placed."""

from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from mixstation.account.say import local
from mixstation.batch.commands import Finish
from mixstation.batch.placed import placed
from mixstation.batch.run import fold
from mixstation.cli.main import main
from mixstation.record.codec import stored_entries
from mixstation.record.journal import Journal
from tests.batch.making import Bench, raw
from tests.batch.recipes import RAW_POWDERS
from tests.published.reach import store, store_batch


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
    # Two days and better four from placing, with a polymer; without one a week moist and two days to dry.
    assert "Seal it from 2026-12-02 10:00, dry; from 2026-12-09 10:00" in said


def test_too_early_it_says_how_long(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cure", log(tmp_path, "hours,°F\n0,68\n20,68\n")]) == 0
    assert capsys.readouterr().out.startswith("Do not strip it yet. Wait about 4.0 h more")


def test_rubbish_is_refused_with_its_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    name = log(tmp_path, "hours,°C\n0,20\n1,\x1b[2J\n")
    assert main(["cure", name]) == 1
    said = capsys.readouterr().err
    assert said.startswith(f"{name}:3: ")
    assert "\x1b" not in said


def test_with_a_batch_time_counts_from_its_last_water_where_placing_was_not_said(
    tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    batch_id, closed = store_batch(home / "data", "sill_cap_cup")
    with closing(Journal.open_reading(home / "data")) as journal:
        stamp = placed(fold(stored_entries(journal, batch_id)))
    placed_at = local(stamp) if stamp is not None else None
    assert placed_at is not None
    assert placed_at.replace(tzinfo=None) < closed
    closed = placed_at.replace(tzinfo=None)
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


def test_a_recipe_with_its_own_times_is_told_by_them(
    tmp_path: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bench = raw()
    recipe = replace(bench.run.recipe, strip_min=36 * 60, seal_min=5 * 24 * 60)
    bench = Bench.begin(recipe, RAW_POWDERS)
    bench.goes_through()
    bench.does(Finish(placed_before_s=0, concession="as it is"))
    batch_id = store(home / "data", bench.run.entries)
    end = local(bench.run.entries[-1].stamp)
    assert end is not None
    end = end.replace(tzinfo=None)
    rows = "".join(f"{end + timedelta(hours=count)},20\n" for count in range(60))
    assert main(["cure", log(tmp_path, f"time,°C\n{rows}"), "--batch", batch_id]) == 0
    strip, sand, seal = (
        (end + timedelta(hours=hours)).isoformat(sep=" ", timespec="minutes") for hours in (36, 37, 120)
    )
    said = capsys.readouterr().out
    assert said.startswith(
        f"Strip it from {strip}. Sand it wet, by hand, from {sand}.\nSeal it from {seal}, dry.\n"
    )
    assert "36 h are needed" in said
