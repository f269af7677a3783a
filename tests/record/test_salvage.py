"""What is read from damaged pages is what was stored; an exchange broken off at any name is finished."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from mixstation.record import exchange
from mixstation.record.carve import carve
from mixstation.record.errors import JournalError
from mixstation.record.journal import FILE_NAME, Journal
from mixstation.record.journal_folder import LOCK_NAME, FolderLock
from mixstation.record.salvage import salvage
from mixstation.record.stock_ledger import StockLedger
from mixstation.record.stored import NewEvent


def filled(folder: Path, seed: int = 1) -> dict[str, list[tuple[int, str, str, str]]]:
    """A journal with short events, and some that reach over one and over many pages."""
    random = Random(seed)
    with closing(Journal.open(folder)) as journal:
        for batch_id in ("wall-1", "wall-2", "Küche 3"):
            for seq in range(1, 41):
                length = random.choice((0, 3, 250, 900, 1001, 1002, 1003, 4100, 30_000))
                body = "".join(random.choices("aé{}\n", k=length))
                journal.append(batch_id, [NewEvent(seq=seq, kind="k" * random.randrange(4), body=body)])
    return stored(folder)


def stored(folder: Path) -> dict[str, list[tuple[int, str, str, str]]]:
    with closing(Journal.open_reading(folder)) as journal:
        return {
            row.batch_id: [
                (each.seq, each.kind, each.body, each.chain) for each in journal.events(row.batch_id)
            ]
            for row in journal.batches()
        }


def carved(content: bytes) -> dict[str, list[tuple[int, str, str, str]]]:
    names, events = carve(content)
    return {
        names[number].decode(): [
            (seq, kind.decode(), body.decode(), link.hex())
            for seq, kind, body, link in map(rows.get, sorted(rows))
        ]
        for number, rows in events.items()
    }


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_pages_of_a_sound_file_give_all_that_sqlite_gives(tmp_path: Path, seed: int) -> None:
    assert carved((filled(tmp_path, seed) and tmp_path / FILE_NAME).read_bytes()) == stored(tmp_path)


def test_rubbish_ends_in_no_error_and_proves_nothing(tmp_path: Path) -> None:
    whole = filled(tmp_path)
    content = (tmp_path / FILE_NAME).read_bytes()
    random = Random(5)
    for _ in range(60):
        broken = bytearray(content)
        for _ in range(random.randrange(1, 40)):
            at = random.randrange(len(broken))
            broken[at : at + 64] = random.randbytes(64)
        carve(bytes(broken[: random.randrange(len(broken))]))
    (tmp_path / FILE_NAME).write_bytes(random.randbytes(len(content)))
    done = salvage(tmp_path)
    assert done.outcome == "salvaged"
    assert not any(each.is_whole for each in done.found)
    assert {each.batch_id for each in done.found} >= set(whole)


def test_every_page_lost_in_turn_costs_only_its_own_batches(tmp_path: Path) -> None:
    home = tmp_path / "home"
    whole = filled(home)
    content = (home / FILE_NAME).read_bytes()
    rescued_most = 0
    for page in Random(6).sample(range(len(content) // 4096), 12):
        image = tmp_path / "image"
        shutil.copytree(home, image)
        broken = bytearray(content)
        broken[page * 4096 : (page + 1) * 4096] = bytes(4096)
        (image / FILE_NAME).write_bytes(broken)
        done = salvage(image)
        assert done.outcome in ("salvaged", "sound")
        kept = stored(image)
        assert all(kept[batch_id] == whole[batch_id] for batch_id in kept), page
        assert set(kept) == {each.batch_id for each in done.found if each.is_whole}
        assert {each.batch_id for each in done.found} >= set(whole), page
        rescued_most = max(rescued_most, len(kept))
        with closing(Journal.open(image)) as journal:
            assert journal.audit() == ()
            assert journal.notices() == ()
        if done.aside is not None:
            assert (done.aside / FILE_NAME).read_bytes() == broken
        shutil.rmtree(image)
    assert rescued_most == 3


def test_a_batch_cut_short_is_not_carried_as_whole(tmp_path: Path) -> None:
    """Its chain holds as far as it goes: only the witness knows that the newest entries are missing."""
    filled(tmp_path)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        connection.execute("DROP TRIGGER event_refuses_delete")
        connection.execute("DELETE FROM event WHERE batch = 2 AND seq > 35")
        connection.commit()
    done = salvage(tmp_path)
    assert [(each.batch_id, len(each.rows), each.is_whole) for each in done.found] == [
        ("wall-1", 40, True),
        ("wall-2", 35, False),
        ("Küche 3", 40, True),
    ]
    assert set(stored(tmp_path)) == {"wall-1", "Küche 3"}


class _BrokenOffError(Exception):
    pass


@pytest.mark.parametrize("nth", range(8))
def test_an_exchange_broken_off_is_finished_by_whoever_opens_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, nth: int
) -> None:
    filled(tmp_path / "other")
    home = tmp_path / "home"
    with closing(Journal.open(home)) as journal:
        journal.append("old-1", [NewEvent(seq=1, kind="k", body="{}")])
    (home / "plans").mkdir()
    (home / "plans" / "p.json").write_text("old")
    old = (home / FILE_NAME).read_bytes()
    new = exchange.make_ready(home)
    for name in (FILE_NAME, "journal.witness"):
        shutil.copy(tmp_path / "other" / name, new)
    move, moved = exchange._move, iter(range(100))

    def breaking(source: Path, target: Path) -> None:
        if next(moved) == nth:
            raise _BrokenOffError
        move(source, target)

    with monkeypatch.context() as breaks:
        breaks.setattr(exchange, "_move", breaking)
        try:
            exchange.exchange(home, ["plans", "stock.sqlite3"])
        except _BrokenOffError:
            opened: list[Callable[[Path], Journal]] = [Journal.open_reading]
            for reading in opened:
                with pytest.raises(Exception, match="exchange-unfinished"):
                    reading(home)
        else:
            assert nth >= 5
    with closing(Journal.open(home)) as journal:
        assert journal.notices() == ()
    assert stored(home) == stored(tmp_path / "other")
    (aside,) = (home / "set-aside").iterdir()
    assert (aside / FILE_NAME).read_bytes() == old
    assert (aside / "plans" / "p.json").read_text() == "old"
    assert not (home / ".incoming").exists()


def broken_exchange(home: Path, monkeypatch: pytest.MonkeyPatch, nth: int) -> None:
    """Stock, plans and journal moved aside for others, cut off at the nth name."""
    with closing(StockLedger.open(home)) as ledger:
        ledger.receive("r1", at_ms=1, who="", material="blend", lot="real", pack_mg=0, mass_mg=5, note="")
    (home / "plans").mkdir()
    (home / "plans" / "p.json").write_text("old")
    with closing(StockLedger.open(home.with_name("other"))) as ledger:
        ledger.receive("r2", at_ms=1, who="", material="blend", lot="backup", pack_mg=0, mass_mg=7, note="")
    shutil.copy(home.with_name("other") / "stock.sqlite3", exchange.make_ready(home))
    move, moved = exchange._move, iter(range(100))

    def breaking(source: Path, target: Path) -> None:
        if next(moved) == nth:
            raise _BrokenOffError
        move(source, target)

    with monkeypatch.context() as breaks:
        breaks.setattr(exchange, "_move", breaking)
        with pytest.raises(_BrokenOffError):
            exchange.exchange(home, ["plans"])


def lots(folder: Path) -> list[str]:
    with closing(StockLedger.open(folder)) as ledger:
        return [line.lot for line in ledger.on_hand()]


@pytest.mark.parametrize("nth", range(3))
def test_stock_opened_after_a_break_finishes_it_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, nth: int
) -> None:
    home = tmp_path / "home"
    broken_exchange(home, monkeypatch, nth)
    with closing(StockLedger.open(home)) as ledger:
        assert [line.lot for line in ledger.on_hand()] == ["backup"]
    (aside,) = (home / "set-aside").iterdir()
    assert lots(aside) == ["real"]


@pytest.mark.parametrize("nth", range(3))
def test_what_was_made_in_between_takes_no_place_of_what_was_moved_aside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, nth: int
) -> None:
    """As an earlier version of the program, or a hand, would make it."""
    home = tmp_path / "home"
    broken_exchange(home, monkeypatch, nth)
    (home / "plans").mkdir(exist_ok=True)
    (home / "plans" / "between.json").write_text("new")
    if not (home / "stock.sqlite3").exists():
        with closing(StockLedger.open(tmp_path / "between")) as ledger:
            ledger.receive("r3", at_ms=1, who="", material="x", lot="between", pack_mg=0, mass_mg=9, note="")
        shutil.copy(tmp_path / "between" / "stock.sqlite3", home)
    with closing(Journal.open(home)):
        pass
    assert lots(home) == ["backup"]
    (aside,) = (home / "set-aside").iterdir()
    assert lots(aside) == ["real"]
    assert {path.name for path in aside.rglob("p.json")} == {"p.json"}
    assert {path.read_text() for path in aside.rglob("between.json")} == {"new"}


def test_nobody_writes_beside_an_exchange_at_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "home"
    broken_exchange(home, monkeypatch, 1)
    lock = FolderLock(home / LOCK_NAME)
    with pytest.raises(JournalError, match="in-use"):
        StockLedger.open(home)
    lock.release()


@pytest.mark.parametrize(
    "plan",
    [
        "",
        "[]",
        "{}",
        '{"aside": 7, "displaced": [], "new": []}',
        '{"aside": "a", "displaced": "stock", "new": []}',
        '{"aside": "a", "displaced": ["../x"], "new": []}',
        '{"aside": "..", "displaced": ["x"], "new": []}',
        '{"aside": "a", "displaced": [], "new": [null]}',
    ],
)
def test_a_plan_nobody_can_read_is_told_and_all_goes_on(tmp_path: Path, plan: str) -> None:
    whole = filled(tmp_path)
    for doing in ("open", "salvage"):
        new = exchange.make_ready(tmp_path)
        (new / "stock.sqlite3").write_text(doing)
        (new.parent / "plan.json").write_text(plan)
        with closing(Journal.open_reading(tmp_path)) as journal:
            assert journal.notices() == ("exchange-unreadable",)
        if doing == "open":
            with closing(Journal.open(tmp_path)) as journal:
                assert journal.notices() == ("exchange-unreadable",)
        else:
            assert salvage(tmp_path).outcome == "sound"
        assert stored(tmp_path) == whole
        assert not (tmp_path / ".incoming").exists()
    kept = (tmp_path / "set-aside").rglob("stock.sqlite3")
    assert {path.read_text() for path in kept} == {"open", "salvage"}


@pytest.mark.parametrize("nth", range(4))
def test_a_salvage_cut_off_still_leaves_what_could_be_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, nth: int
) -> None:
    filled(tmp_path)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        connection.execute("DROP TRIGGER event_refuses_delete")
        connection.execute("DELETE FROM event WHERE batch = 2 AND seq > 35")
        connection.commit()
    move, moved = exchange._move, iter(range(100))

    def breaking(source: Path, target: Path) -> None:
        if next(moved) == nth:
            raise _BrokenOffError
        move(source, target)

    with monkeypatch.context() as breaks:
        breaks.setattr(exchange, "_move", breaking)
        with pytest.raises(_BrokenOffError):
            salvage(tmp_path)
    assert salvage(tmp_path).outcome == "finished"
    (aside,) = (tmp_path / "set-aside").iterdir()
    assert len((aside / "readable.jsonl").read_text("utf-8").splitlines()) == 35
    assert set(stored(tmp_path)) == {"wall-1", "Küche 3"}
