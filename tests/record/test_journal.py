"""The journal on disk: who may write, what is kept private, what is refused."""

import os
import sqlite3
import stat
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from mixstation.record import durable
from mixstation.record import journal as journal_module
from mixstation.record.durable import open_durable
from mixstation.record.errors import JournalError
from mixstation.record.journal import BALLAST_NAME, FILE_NAME, Journal
from mixstation.record.journal_folder import LOCK_NAME
from mixstation.record.stock_ledger import StockLedger
from mixstation.record.tables import APPLICATION_ID, JOURNAL_TABLES
from mixstation.record.witness import FILE_NAME as WITNESS_NAME
from tests.record.events import one, several


def filled(folder: Path, count: int = 3) -> None:
    with closing(Journal.open(folder)) as journal:
        for seq in range(1, count + 1):
            journal.append("wall-1", one(seq, "NoteMade", f'{{"n":{seq}}}'))


def contents(folder: Path) -> dict[str, tuple[bytes, int]]:
    return {file.name: (file.read_bytes(), file.stat().st_mtime_ns) for file in folder.iterdir()}


def code_of(call: Callable[[], object]) -> str:
    with pytest.raises(JournalError) as caught:
        call()
    return caught.value.code


def test_events_are_there_after_opening_again(tmp_path: Path) -> None:
    filled(tmp_path, 3)
    filled_again = Journal.open(tmp_path)
    with closing(filled_again):
        filled_again.append("wall-1", one(4, "NoteMade", "{}"))
        assert [event.seq for event in filled_again.events("wall-1")] == [1, 2, 3, 4]
        assert filled_again.audit() == ()


def test_folder_and_files_are_for_this_user_alone(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "data"
    previous = os.umask(0)
    try:
        with closing(Journal.open(folder)) as journal:
            journal.append("wall-1", one(1, "k", "{}"))
            modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()}
    finally:
        os.umask(previous)
    assert modes == dict.fromkeys(
        (FILE_NAME, f"{FILE_NAME}-journal", LOCK_NAME, BALLAST_NAME, WITNESS_NAME), 0o600
    )
    assert stat.S_IMODE(folder.stat().st_mode) == stat.S_IMODE(folder.parent.stat().st_mode) == 0o700


def test_the_connection_is_durable(tmp_path: Path) -> None:
    with closing(open_durable(tmp_path / "stock.sqlite3")) as connection:
        extra = 3  # sqlite.org/pragma.html#pragma_synchronous
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("truncate",)
        assert connection.execute("PRAGMA synchronous").fetchone() == (extra,)


def test_a_file_left_in_another_journal_mode_is_brought_back(tmp_path: Path) -> None:
    filled(tmp_path)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as foreign:
        assert foreign.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
    filled_once_more = Journal.open(tmp_path)
    with closing(filled_once_more):
        filled_once_more.append("wall-1", one(4, "k", "{}"))
    header = (tmp_path / FILE_NAME).read_bytes()[18:20]
    assert header == b"\x01\x01"  # sqlite.org/fileformat2.html section 1.3: 1 is rollback, 2 is write-ahead


def test_a_second_instance_is_told_who_has_it(tmp_path: Path) -> None:
    with closing(Journal.open(tmp_path)) as journal:
        journal.append("wall-1", one(1, "k", "{}"))
        before = contents(tmp_path)
        program = (
            "import sys; from pathlib import Path; from mixstation.record.journal import Journal\n"
            "from mixstation.record.errors import JournalError\n"
            "try: Journal.open(Path(sys.argv[1]))\n"
            "except JournalError as error: print(error.code, error.why.pid)"
        )
        said = subprocess.run(
            [sys.executable, "-c", program, str(tmp_path)], capture_output=True, text=True, check=True
        ).stdout
        assert said.split() == ["in-use", str(os.getpid())]
        assert code_of(lambda: Journal.open(tmp_path)) == "in-use"
        assert contents(tmp_path) == before
    with closing(Journal.open(tmp_path)) as journal:
        journal.append("wall-1", one(2, "k", "{}"))


def test_a_failed_opening_lets_the_lock_go(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_text("not a journal " * 100)
    for _ in range(2):
        assert code_of(lambda: Journal.open(tmp_path)) == "not-a-journal"


def test_reading_beside_the_writer_changes_nothing(tmp_path: Path) -> None:
    filled(tmp_path, 2)
    before = contents(tmp_path)
    with closing(Journal.open_reading(tmp_path)) as reader:
        assert reader.read_only
        assert reader.notices() == ()
        assert len(reader.events("wall-1")) == 2
        assert reader.audit() == ()
        for put in (reader.append, reader.append_once):
            with pytest.raises(JournalError) as caught:
                put("wall-1", one(3, "k", "{}"))
            assert (caught.value.code, caught.value.outcome) == ("read-only", "absent")
    assert contents(tmp_path) == before


def test_a_reader_sees_what_the_writer_adds(tmp_path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from mixstation.record.journal import Journal\n"
        "reader = Journal.open_reading(Path(sys.argv[1]))\n"
        "for line in sys.stdin: print(len(reader.events('wall-1')), flush=True)"
    )
    with closing(Journal.open(tmp_path)) as journal:
        journal.append("wall-1", one(1, "k", "{}"))
        with subprocess.Popen(
            [sys.executable, "-c", program, str(tmp_path)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        ) as reader:
            assert reader.stdin is not None
            assert reader.stdout is not None
            for count in (1, 2, 3):
                print("look", file=reader.stdin, flush=True)
                assert reader.stdout.readline() == f"{count}\n"
                journal.append("wall-1", one(count + 1, "k", "{}"))
            reader.stdin.close()


def test_nothing_to_read_where_nothing_was_written(tmp_path: Path) -> None:
    assert code_of(lambda: Journal.open_reading(tmp_path / "none")) == "no-journal"
    (tmp_path / FILE_NAME).touch()
    assert code_of(lambda: Journal.open_reading(tmp_path)) == "no-journal"


def test_a_file_made_but_never_filled_is_taken_for_new(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).touch()
    filled(tmp_path)


def test_a_journal_of_a_later_program_is_only_read(tmp_path: Path) -> None:
    filled(tmp_path)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as later:
        later.execute("ALTER TABLE event ADD COLUMN mood TEXT")
        later.execute(f"PRAGMA user_version = {JOURNAL_TABLES.version + 1}")
    before = (tmp_path / FILE_NAME).read_bytes()
    for opened in (Journal.open, Journal.open_reading):
        with closing(opened(tmp_path)) as journal:
            assert journal.read_only
            assert journal.notices() == ("newer-schema",)
            assert len(journal.events("wall-1")) == 3
            assert code_of(lambda: journal.append("wall-1", one(4, "k", "{}"))) == "read-only"
    assert (tmp_path / FILE_NAME).read_bytes() == before


@pytest.mark.parametrize(
    "statement", ["CREATE TABLE other (x)", "PRAGMA application_id = 7", "PRAGMA user_version = 1"]
)
def test_a_database_of_another_program_is_left_alone(tmp_path: Path, statement: str) -> None:
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as other:
        other.execute(statement)
    before = (tmp_path / FILE_NAME).read_bytes()
    assert code_of(lambda: Journal.open(tmp_path)) == "not-a-journal"
    assert code_of(lambda: Journal.open_reading(tmp_path)) == "not-a-journal"
    assert (tmp_path / FILE_NAME).read_bytes() == before


def test_only_an_ordinary_file_is_a_journal(tmp_path: Path) -> None:
    filled(tmp_path / "real")
    makers: dict[str, Callable[[Path], None]] = {
        "pipe": os.mkfifo,
        "folder": os.mkdir,
        "link": lambda path: path.symlink_to(tmp_path / "real" / FILE_NAME),
        "loose link": lambda path: path.symlink_to(tmp_path / "nothing"),
    }
    for name, make in makers.items():
        (tmp_path / name).mkdir()
        make(tmp_path / name / FILE_NAME)
        assert code_of(lambda: Journal.open(tmp_path / name)) == "not-a-journal", name  # noqa: B023
        assert code_of(lambda: Journal.open_reading(tmp_path / name)) == "not-a-journal", name  # noqa: B023
    assert not (tmp_path / "nothing").exists()


def test_a_file_in_the_folders_place(tmp_path: Path) -> None:
    (tmp_path / "data").touch()
    assert code_of(lambda: Journal.open(tmp_path / "data")) == "folder-unusable"
    assert code_of(lambda: Journal.open(tmp_path / "data" / "deeper")) == "folder-unusable"


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE event SET body = '{}'",
        "DELETE FROM event WHERE seq = 3",
        "UPDATE batch SET batch_id = 'x'",
        "DELETE FROM batch",
        "INSERT OR REPLACE INTO event VALUES (1, 3, 'k', '{}', x'00')",
        "INSERT INTO event VALUES (1, 5, 'k', '{}', x'00')",
        "INSERT OR REPLACE INTO batch VALUES (1, 'x')",
        "INSERT OR REPLACE INTO batch VALUES (2, 'wall-1')",
        "INSERT INTO batch VALUES (3, 'x')",
    ],
)
def test_the_file_itself_refuses_to_change_what_is_recorded(tmp_path: Path, statement: str) -> None:
    filled(tmp_path)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute(statement)
        assert connection.execute("SELECT count(*) FROM event").fetchone() == (3,)


def test_the_file_says_whose_it_is(tmp_path: Path) -> None:
    filled(tmp_path)
    head = (tmp_path / FILE_NAME).read_bytes()[:100]
    assert (
        int.from_bytes(head[60:64], "big") == JOURNAL_TABLES.version
    )  # sqlite.org/fileformat2.html section 1.3
    assert int.from_bytes(head[68:72], "big") == APPLICATION_ID


def test_another_thread_is_a_mistake_of_ours(tmp_path: Path) -> None:
    raised: list[BaseException] = []

    def append() -> None:
        try:
            journal.append("wall-1", one(1, "k", "{}"))
        except sqlite3.ProgrammingError as error:
            raised.append(error)

    with closing(Journal.open(tmp_path)) as journal:
        thread = threading.Thread(target=append)
        thread.start()
        thread.join()
        assert len(raised) == 1
        journal.append("wall-1", one(1, "k", "{}"))


def test_a_copy_onto_the_journal_itself_is_refused(tmp_path: Path) -> None:
    with closing(Journal.open(tmp_path)) as journal:
        journal.append("wall-1", one(1, "k", "{}"))
        assert (
            code_of(lambda: journal.back_up(tmp_path / ".." / tmp_path.name / FILE_NAME))
            == "backup-onto-journal"
        )
        assert journal.audit() == ()
        journal.append("wall-1", one(2, "k", "{}"))


def test_an_sqlite_too_old_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(durable, "OLDEST_SQLITE", (99, 0, 0))
    assert code_of(lambda: Journal.open(tmp_path)) == "sqlite-too-old"


def test_a_journal_of_an_earlier_form_is_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(Journal.open(tmp_path)) as journal:
        stored = journal.append("wall-1", several(1, "{}"))
    grown = replace(JOURNAL_TABLES, upgrades=(("ALTER TABLE batch ADD COLUMN note TEXT DEFAULT ''",),))
    monkeypatch.setattr(journal_module, "JOURNAL_TABLES", grown)
    with closing(Journal.open(tmp_path)) as journal:
        assert journal.notices() == ()
        assert journal.ask(lambda connection: connection.execute("PRAGMA user_version").fetchone()) == (2,)
        assert journal.ask(lambda connection: connection.execute("SELECT note FROM batch").fetchall()) == [
            ("",)
        ]
        assert journal.events("wall-1") == stored


def test_looking_for_traces_changes_nothing(tmp_path: Path) -> None:
    with closing(StockLedger.open(tmp_path)) as ledger:
        ledger.receive("d", at_ms=1, who="", material="blend", mass_mg=5)
        ledger.draw("wall-1", {"blend": 3}, at_ms=2, who="")
    path = tmp_path / "stock.sqlite3"
    path.chmod(0o400)
    before = path.stat().st_mtime_ns, sorted(tmp_path.iterdir())
    with pytest.raises(JournalError, match="journal-gone"):
        Journal.open_reading(tmp_path)
    assert (path.stat().st_mtime_ns, sorted(tmp_path.iterdir())) == before
