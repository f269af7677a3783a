"""Records listed, shown, written out and checked, over a real journal, while another process writes it too."""

import json
import re
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from mixstation.batch.events import Entry, NoteWritten
from mixstation.cli.jobs import at_end, draw_stock
from mixstation.cli.main import main
from mixstation.cli.records import write_record
from mixstation.record.codec import new_event
from mixstation.record.journal import FILE_NAME, Journal
from mixstation.record.stock_ledger import StockLedger
from mixstation.record.stored import EventStore, StoredEvent
from mixstation.wording.entry_lines import NOT_WRITTEN
from mixstation.wording.stock_lines import NOT_UP_TO_DATE
from tests.account.batches import as_advised, eventful, hostile, still_open, thrown_away
from tests.batch.making import Bench
from tests.record.events import one
from tests.record.memory_journal import MemoryJournal


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    return tmp_path


def keep(store: EventStore, batch_id: str, entries: tuple[Entry, ...]) -> None:
    for entry in entries:
        store.append(batch_id, [new_event(entry)])


def store_all(home: Path, **benches: Bench) -> None:
    journal = Journal.open(home / "data")
    for name, bench in benches.items():
        keep(journal, name, bench.run.entries)
    journal.close()


def out_of(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["records", *words])
    said = capsys.readouterr()
    return code, said.out, said.err


@pytest.mark.usefixtures("home")
def test_with_nothing_recorded(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = out_of(capsys)
    assert (code, "No batch has been recorded yet." in out) == (0, True)
    code, _, err = out_of(capsys, "audit")
    assert (code, "No batch has been recorded yet." in err) == (1, True)


def test_the_list_is_newest_first_and_marks_the_open_one(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store_all(home, first=as_advised(), second=eventful(), third=thrown_away(), fourth=still_open())
    code, out, _ = out_of(capsys)
    lines = out.splitlines()
    assert code == 0
    assert [line.split("  ")[2].strip() for line in lines] == ["OPEN", "discarded", "closed", "closed"]
    assert all("2026-05-28 21:26" in line for line in lines)
    assert "0.142 over" in lines[2]
    assert "4 flags" in lines[2]
    assert "0.330 inside" in lines[3]
    assert "planter wall, Planter wall from raw materials" in lines[3]


def test_a_long_list_is_cut_and_says_so(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    store_all(home, **{f"batch{number}": still_open() for number in range(23)})
    _, out, _ = out_of(capsys)
    assert len(out.splitlines()) == 21
    assert out.splitlines()[-1] == "and 3 older: mixstation records --all"
    _, out, _ = out_of(capsys, "--all")
    assert len(out.splitlines()) == 23


def test_show_and_its_json(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    store_all(home, first=as_advised(), second=eventful())
    code, out, _ = out_of(capsys, "show", "second")
    assert code == 0
    assert out.startswith("# sill cap, batch b-1\n")
    _, by_part, _ = out_of(capsys, "show", "eco")
    assert by_part == out
    code, out, _ = out_of(capsys, "show", "first", "--json")
    assert json.loads(out)["head"]["piece"] == "planter wall"
    _, out, _ = out_of(capsys, "show", "first", "--units", "us")
    assert "17.637 lb" in out


def test_units_from_the_settings(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    store_all(home, first=as_advised())
    (home / "config").mkdir()
    (home / "config" / "settings.toml").write_text('units = "us"\n')
    _, out, _ = out_of(capsys, "show", "first")
    assert "17.637 lb" in out
    _, out, _ = out_of(capsys, "show", "first", "--units", "metric")
    assert "lb" not in out
    (home / "config" / "settings.toml").write_text('units = "stone"\n')
    code, _, error = out_of(capsys, "show", "first")
    assert code == 1
    assert "settings.toml:1: units cannot be “stone”" in error


@pytest.mark.parametrize(
    ("asked", "words"),
    [("no-such", "mixstation records --all"), ("s", "Several batches have “s” in their id:")],
)
def test_no_one_batch(home: Path, capsys: pytest.CaptureFixture[str], asked: str, words: str) -> None:
    store_all(home, first=still_open(), second=still_open())
    code, out, err = out_of(capsys, "show", asked)
    assert (code, out) == (1, "")
    assert words in err


def test_export(home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    store_all(home, first=as_advised())
    code, out, _ = out_of(capsys, "export", "first", str(tmp_path / "papers" / "march"))
    page = tmp_path / "papers" / "march" / "batch-first.md"
    assert (code, out) == (0, f"The record is in {page}, and as JSON beside it.\n")
    assert page.read_text("utf-8").startswith("# planter wall")
    assert json.loads(page.with_suffix(".json").read_text("utf-8"))["form"] == 1
    (tmp_path / "file").write_text("x")
    code, _, err = out_of(capsys, "export", "first", str(tmp_path / "file"))
    assert code == 1
    assert str(tmp_path / "file") in err


def test_audit(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    store_all(home, first=as_advised(), second=still_open())
    count = len(as_advised().run.entries) + len(still_open().run.entries)
    code, out, _ = out_of(capsys, "audit")
    assert code == 0
    assert re.match(
        rf"2 batches, {count} entries, proof (?:[0-9a-f]{{4}} ){{3}}[0-9a-f]{{4}}: all as it was stored\.\n"
        r"What this cannot know: .* before the witness began \(20\d\d-",
        out,
    )
    connection = sqlite3.connect(home / "data" / FILE_NAME)
    connection.execute("DROP TRIGGER event_refuses_update")
    connection.execute("UPDATE event SET body = replace(body, 'Mara', 'Mora') WHERE batch = 1 AND seq = 5")
    connection.commit()
    connection.close()
    code, out, _ = out_of(capsys, "audit")
    assert (code, out.splitlines()[0]) == (1, "Batch first, entry 5: not as it was stored.")
    assert "mixstation records salvage" in out
    # The list goes on past the damaged one, and the damaged one is not shown as sound.
    code, out, err = out_of(capsys)
    assert code == 0
    assert [line.split()[0] for line in out.splitlines()] == ["second"]
    assert err.startswith("first  The record is not what was stored")
    code, out, err = out_of(capsys, "show", "first")
    assert (code, out) == (1, "")
    assert "entry 5: not as it was stored" in err


def test_reading_while_a_batch_runs(home: Path) -> None:
    journal = Journal.open(home / "data")
    keep(journal, "running", still_open().run.entries)

    def reads(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [
                sys.executable,
                "-c",
                "import sys; from mixstation.cli.main import main; sys.exit(main())",
                *words,
            ],
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )

    listed = reads("records")
    assert (listed.returncode, "OPEN" in listed.stdout) == (0, True)
    shown = reads("records", "show", "running")
    assert "**not closed yet**" in shown.stdout
    # The writer was not disturbed.
    note = Entry(
        seq=len(still_open().run.entries) + 1,
        stamp=still_open().hands.stamp(),
        fact=NoteWritten(text="still here"),
    )
    journal.append("running", [new_event(note)])
    journal.close()
    assert "still here" in reads("records", "show", "running").stdout


def test_the_record_written_at_the_end(home: Path) -> None:
    store = MemoryJournal()
    keep(store, "20260528-2126-k3", as_advised().run.entries)
    said = write_record(store, "20260528-2126-k3")
    page = home / "data" / "records" / "batch-20260528-2126-k3.md"
    assert said == f"The record is in {page}, and as JSON beside it."
    assert page.read_text("utf-8").startswith("# planter wall, batch b-1\n")
    assert json.loads(page.with_suffix(".json").read_text("utf-8"))["head"]["outcome"] == "finished"
    # Written again it is whole again.
    page.write_text("torn")
    write_record(store, "20260528-2126-k3")
    assert page.read_text("utf-8").startswith("# planter wall")


def test_a_hostile_id_names_no_other_file(home: Path) -> None:
    store = MemoryJournal()
    keep(store, "../../out\x1b[2J", hostile().run.entries)
    said = write_record(store, "../../out\x1b[2J")
    written_files = sorted(path.name for path in (home / "data" / "records").iterdir())
    assert len(written_files) == 2
    assert all(name.startswith("batch-------out") for name in written_files)
    assert "\x1b" not in said
    assert not list(home.glob("out*"))


def test_what_keeps_the_record_from_being_written_is_said(home: Path) -> None:
    store = MemoryJournal()
    keep(store, "b", as_advised().run.entries)
    assert write_record(store, "nothing").startswith(NOT_WRITTEN.format(batch_id="nothing"))
    store.append("b", one(len(as_advised().run.entries) + 1, "note-written", "{}"))
    assert "is no entry of ours" in write_record(store, "b")
    fresh = MemoryJournal()
    keep(fresh, "b", as_advised().run.entries)
    (home / "data").mkdir(exist_ok=True)
    (home / "data" / "records").write_text("in the way")
    said = write_record(fresh, "b")
    assert said.startswith(NOT_WRITTEN.format(batch_id="b"))
    assert str(home / "data" / "records") in said


class _Faulty(MemoryJournal):
    """A store with a mistake of the program in it."""

    def events(self, batch_id: str, *, even_damaged: bool = False) -> tuple[StoredEvent, ...]:
        raise KeyError("'scale'\x1b[2J")


def test_an_error_of_the_program_is_said_without_its_own_text(home: Path) -> None:
    assert write_record(_Faulty(), "b") == NOT_WRITTEN.format(batch_id="b")
    (home / "data").mkdir(exist_ok=True)
    StockLedger.open(home / "data").close()
    assert draw_stock(_Faulty(), "b") == NOT_UP_TO_DATE
    assert at_end(_Faulty(), "b") == f"{NOT_WRITTEN.format(batch_id='b')} {NOT_UP_TO_DATE}"


def test_faulty_settings_do_not_keep_the_record_from_being_written(home: Path) -> None:
    (home / "config").mkdir()
    (home / "config" / "settings.toml").write_text("units = \n")
    store = MemoryJournal()
    keep(store, "b", as_advised().run.entries)
    assert write_record(store, "b").startswith("The record is in ")


def test_the_command_loads_nothing_it_does_not_need() -> None:
    code = (
        "import sys, mixstation.cli.records; "
        "print(sorted({'pydantic', 'textual', 'serial', 'sqlite3', 'pint'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
