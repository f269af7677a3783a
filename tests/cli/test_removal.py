"""Whatever is taken out of the records, or rewritten with care, is seen; nothing begins anew in silence."""

import json
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from mixstation.cli.main import main
from mixstation.cli.records import write_record
from mixstation.record.chain import first_link, next_link
from mixstation.record.journal import FILE_NAME, Journal
from tests.account.batches import as_advised, eventful, still_open
from tests.cli.test_records import keep

Said = Callable[..., tuple[int, str]]


@pytest.fixture(scope="module")
def mixed_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home with two ended batches, their records written, and one that is open."""
    made = tmp_path_factory.mktemp("mixed")
    with pytest.MonkeyPatch.context() as patch, closing(Journal.open(made / "data")) as journal:
        patch.setenv("MIXSTATION_HOME", str(made))
        for name, bench in (("first", as_advised()), ("second", eventful())):
            keep(journal, name, bench.run.entries)
            write_record(journal, name)
        keep(journal, "third", still_open().run.entries)
    return made


@pytest.fixture
def home(mixed_home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """That home, a copy for each test."""
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    return shutil.copytree(mixed_home, tmp_path, dirs_exist_ok=True)


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Said:
    def call(*words: str) -> tuple[int, str]:
        code = main(list(words))
        heard = capsys.readouterr()
        return code, heard.out + heard.err

    return call


def rewrite(home: Path, *statements: str) -> None:
    """Change the journal as someone would who has dropped its triggers."""
    with closing(sqlite3.connect(home / "data" / FILE_NAME, isolation_level=None)) as connection:
        triggers = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)
        for _, sql in triggers:
            connection.execute(sql)


def chain_anew(home: Path, number: int, batch_id: str) -> list[str]:
    """Statements that work out the chain of a batch over what now stands in it."""
    link, statements = first_link(batch_id.encode()), []
    with closing(sqlite3.connect(home / "data" / FILE_NAME)) as connection:
        for seq, kind, body in connection.execute(
            "SELECT seq, kind, body FROM event WHERE batch = ? ORDER BY seq", (number,)
        ):
            link = next_link(link, seq, kind.encode(), body.encode())
            statements.append(
                f"UPDATE event SET chain = x'{link.hex()}' WHERE batch = {number} AND seq = {seq}"
            )
    return statements


@pytest.mark.usefixtures("home")
def test_an_untouched_home_is_in_order(said: Said) -> None:
    code, heard = said("records", "audit")
    assert code == 0, heard
    assert "3 batches" in heard


def test_newest_entries_cut_off(home: Path, said: Said) -> None:
    rewrite(home, "DELETE FROM event WHERE batch = 3 AND seq > 2")
    code, heard = said("records", "audit")
    assert code == 1
    assert "third" in heard


def test_a_whole_batch_removed(home: Path, said: Said) -> None:
    rewrite(home, "DELETE FROM event WHERE batch = 3", "DELETE FROM batch WHERE number = 3")
    code, heard = said("records", "audit")
    assert code == 1
    assert "third" in heard


def test_a_batch_removed_and_the_later_ones_numbered_anew(home: Path, said: Said) -> None:
    rewrite(
        home,
        "DELETE FROM event WHERE batch = 2",
        "DELETE FROM batch WHERE number = 2",
        "UPDATE batch SET number = 2 WHERE number = 3",
        "UPDATE event SET batch = 2 WHERE batch = 3",
    )
    code, heard = said("records", "audit")
    assert code == 1
    assert "second" in heard


def test_an_entry_altered_and_the_chain_worked_out_anew(home: Path, said: Said) -> None:
    rewrite(home, "UPDATE event SET body = replace(body, 'Mara', 'Mora') WHERE batch = 1")
    rewrite(home, *chain_anew(home, 1, "first"))
    with closing(Journal.open_reading(home / "data")) as journal:
        assert journal.audit() == (), "the chain alone holds"
    code, heard = said("records", "audit")
    assert code == 1
    assert "first" in heard


@pytest.mark.parametrize("ending", [".md", ".json"])
@pytest.mark.parametrize("act", ["edited", "removed"])
def test_a_written_record_edited_or_removed(home: Path, said: Said, ending: str, act: str) -> None:
    page = (home / "data" / "records" / "batch-first").with_suffix(ending)
    if act == "edited":
        page.write_text(page.read_text("utf-8").replace("planter", "plantor"), "utf-8")
    else:
        page.unlink()
    code, heard = said("records", "audit")
    assert code == 1
    assert page.name in heard


@pytest.mark.parametrize("act", ["deleted", "emptied"])
@pytest.mark.parametrize(
    "words",
    [
        ("mix", "hearth_plate", "--powder", "8 kg", "--plain"),
        ("resume", "--plain"),
        ("resume", "--or-help"),
        ("records",),
        ("records", "audit"),
    ],
)
def test_a_journal_gone_is_never_begun_anew_in_silence(
    home: Path, said: Said, act: str, words: tuple[str, ...]
) -> None:
    path = home / "data" / FILE_NAME
    path.unlink() if act == "deleted" else path.write_bytes(b"")
    code, heard = said(*words)
    assert code == 1
    assert "mixstation records restore" in heard
    assert "mixstation records salvage" in heard
    assert not path.exists() or path.stat().st_size == 0


def test_record_and_page_carry_count_and_head(home: Path) -> None:
    with closing(Journal.open_reading(home / "data")) as journal:
        newest = journal.events("first")[-1]
    record = json.loads((home / "data" / "records" / "batch-first.json").read_text("utf-8"))
    assert record["proof"]["chain"] == newest.chain
    assert record["proof"]["entries"] == newest.seq
    short = " ".join(newest.chain[at : at + 4] for at in range(0, 16, 4))
    page = (home / "data" / "records" / "batch-first.md").read_text("utf-8")
    assert f"{newest.seq} entries, {short}" in page


def records(home: Path, name: str) -> Path:
    return home / "data" / "records" / name


def test_an_edited_record_written_again_is_in_order(home: Path, said: Said) -> None:
    records(home, "batch-first.md").write_text("mine", "utf-8")
    _, heard = said("records", "audit")
    again = next(line for line in heard.splitlines() if "mixstation records export" in line)
    words = again.partition("mixstation ")[2].split()
    assert said(*words, "--units", "us")[0] == 0
    assert said("records", "audit")[0] == 0


def test_a_record_of_an_earlier_version_is_no_fault_but_said(home: Path, said: Said) -> None:
    """Such a record has no proof in it, and nothing was noted of it; its words may be others than today's."""
    for ending in ("md", "json"):
        records(home, f"batch-third.{ending}").write_text("{}" if ending == "json" else "# third\n", "utf-8")
    code, heard = said("records", "audit")
    assert code == 0
    assert "batch-third.md: written by an earlier version" in heard
    assert "batch-third.json: written by an earlier version" in heard


@pytest.mark.parametrize("ending", ["md", "json"])
def test_a_record_that_tells_of_more_than_the_journal_holds(home: Path, said: Said, ending: str) -> None:
    """Journal and witness were rewritten together: the head on the record still tells."""
    page = records(home, f"batch-second.{ending}").read_bytes()
    with closing(Journal.open_reading(home / "data")) as journal:
        count = len(journal.events("second"))
    rewrite(home, f"DELETE FROM event WHERE batch = 2 AND seq >= {count}")
    (home / "data" / "journal.witness").unlink()
    for path in (home / "data" / "records").glob("batch-second.*"):
        path.unlink()
    with closing(Journal.open(home / "data")) as journal:
        assert "witness-gone" in journal.notices()
    code, heard = said("records", "audit")
    assert (code, "second" in heard) == (1, False), "only the mark that the witness was gone is left"
    records(home, f"batch-second.{ending}").write_bytes(page)
    code, heard = said("records", "audit")
    assert code == 1
    assert f"batch-second.{ending}" in heard


def test_a_record_of_a_batch_the_journal_does_not_have(home: Path, said: Said) -> None:
    records(home, "batch-fourth.md").write_text("# fourth\n", "utf-8")
    code, heard = said("records", "audit")
    assert code == 1
    assert "batch-fourth.md: its batch is not in the journal." in heard


def test_the_witness_removed_or_altered_is_told(home: Path, said: Said) -> None:
    witness = home / "data" / "journal.witness"
    with closing(Journal.open(home / "data")):
        pass
    whole = witness.read_bytes()
    witness.write_bytes(whole.replace(b'"entries":', b'"entrees":', 1))
    code, heard = said("records", "audit")
    assert (code, "The witness is not as it was written" in heard) == (1, True)
    witness.unlink()
    code, heard = said("records", "audit")
    assert (code, "The witness is gone" in heard) == (1, True)
    witness.write_bytes(whole)
    assert said("records", "audit")[0] == 0


def test_an_audit_of_a_home_without_a_witness_says_what_it_cannot_see(home: Path, said: Said) -> None:
    (home / "data" / "journal.witness").unlink()
    for path in (home / "data" / "records").iterdir():
        path.unlink()
    code, heard = said("records", "audit")
    assert code == 0
    assert "There is no witness yet" in heard
    with closing(Journal.open(home / "data")) as journal:
        assert journal.notices() == ("witness-begun",)
    code, heard = said("records", "audit")
    assert code == 0
    assert "before the witness began (20" in heard


def test_a_home_of_an_earlier_program_gets_a_witness_and_a_backup(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, said: Said
) -> None:
    old = tmp_path / "old"
    shutil.copytree(Path(__file__).parents[1] / "pinned" / "home_1", old)
    monkeypatch.setenv("MIXSTATION_HOME", str(old))
    code, heard = said("records", "audit")
    assert code == 0, heard
    assert "There is no witness yet" in heard
    with closing(Journal.open(old / "data")) as journal:
        assert journal.notices() == ("witness-begun",)
    code, heard = said("records", "audit")
    assert (code, "before the witness began (20" in heard) == (0, True)
    assert said("records", "backup", str(tmp_path / "copy"))[0] == 0
    shutil.rmtree(old / "data")
    assert said("records", "restore", str(tmp_path / "copy"))[0] == 0
    assert said("records", "audit")[1].splitlines()[0] == heard.splitlines()[0]


@pytest.mark.parametrize("ending", ["md", "json"])
@pytest.mark.parametrize(
    ("entries", "head"), [("9" * 5000, None), ("9" * 30, None), (None, ""), (None, "0"), ("0", None)]
)
def test_a_count_or_head_such_as_is_never_printed_is_told(
    home: Path, said: Said, ending: str, entries: str | None, head: str | None
) -> None:
    """Nothing was noted of these files, so that only what is printed on them can tell."""
    (home / "data" / "journal.witness").unlink()
    record = json.loads(records(home, "batch-second.json").read_text("utf-8"))["proof"]
    path = records(home, f"batch-second.{ending}")
    printed = record["short"] if ending == "md" else record["chain"]
    if head == "0":
        head = printed[:1]
    count, shown = entries or str(record["entries"]), printed if head is None else head
    if ending == "md":
        path.write_text(f"# second\n- Proof: {count} entries, {shown}\n", "utf-8")
    else:
        path.write_text(f'{{"proof": {{"entries": {count}, "chain": "{shown}"}}}}', "utf-8")
    Journal.open(home / "data").close()
    code, heard = said("records", "audit")
    if ending == "json" and len(count) == 5000:
        assert "batch-second.json: written by an earlier version" in heard, "no JSON that can be read"
        return
    assert code == 1
    assert f"batch-second.{ending}: not as it was written" in heard


def test_a_record_written_elsewhere_is_not_missed_from_the_records(home: Path, said: Said) -> None:
    assert said("records", "export", "third", str(home / "data" / "for-the-client"))[0] == 0
    code, heard = said("records", "audit")
    assert code == 0, heard


@pytest.mark.parametrize("act", ["altered", "deleted"])
def test_a_witness_altered_or_gone_is_told_by_every_audit_until_salvage(
    home: Path, said: Said, act: str
) -> None:
    path = home / "data" / "journal.witness"
    path.unlink() if act == "deleted" else path.write_bytes(b"x" + path.read_bytes()[1:])
    for _ in range(2):  # the first opening writes it anew
        Journal.open(home / "data").close()
        code, heard = said("records", "audit")
        assert code == 1
        assert "The witness was found changed, damaged or gone" in heard
    assert said("records", "salvage")[0] == 0
    assert "was found" not in said("records", "audit")[1]
