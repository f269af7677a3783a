"""What holds for every store of events, on disk or in memory."""

from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mixstation.record.errors import JournalError
from mixstation.record.journal import FILE_NAME, Journal
from mixstation.record.stored import EventStore
from mixstation.record.trouble import OutOfOrder
from tests.depth import examples
from tests.record.events import one, several
from tests.record.memory_journal import MemoryJournal


@pytest.fixture(params=["disk", "memory"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[EventStore]:
    opened: EventStore = Journal.open(tmp_path / "data") if request.param == "disk" else MemoryJournal()
    with closing(opened):
        yield opened


def refusal(call: Callable[[], object]) -> tuple[str, str | None]:
    with pytest.raises(JournalError) as caught:
        call()
    return caught.value.code, caught.value.outcome


class TestEventStore:
    def test_gives_back_what_was_stored(self, store: EventStore) -> None:
        texts = ['{"note":"grün 🪣 \\u0000"}', "a\0b", "", "x" * 200_000]
        stored = [store.append("wall-1", one(seq, "NoteMade", text))[0] for seq, text in enumerate(texts, 1)]
        assert store.events("wall-1") == tuple(stored)
        assert [event.body for event in stored] == texts
        assert [event.seq for event in stored] == [1, 2, 3, 4]

    def test_an_unknown_batch_has_no_events(self, store: EventStore) -> None:
        assert store.events("nobody") == ()
        assert store.events("\ud800") == ()
        assert store.audit("nobody") == ()

    def test_batches_come_newest_first_however_they_are_named(self, store: EventStore) -> None:
        store.append("m", one(1, "BatchStarted", "{}"))
        store.append("z", one(1, "BatchStarted", "{}"))
        store.append("a", one(1, "BatchStarted", "{}"))
        store.append("m", one(2, "BatchFinished", "{}"))
        rows = [(row.batch_id, row.first_kind, row.last_kind, row.event_count) for row in store.batches()]
        assert rows == [
            ("a", "BatchStarted", "BatchStarted", 1),
            ("z", "BatchStarted", "BatchStarted", 1),
            ("m", "BatchStarted", "BatchFinished", 2),
        ]

    @pytest.mark.parametrize("seq", [0, 2, 3, -1, 2**70])
    def test_a_batch_begins_with_event_1(self, store: EventStore, seq: int) -> None:
        with pytest.raises(JournalError) as caught:
            store.append("wall-1", one(seq, "NoteMade", "{}"))
        assert caught.value.outcome == "absent"
        assert isinstance(caught.value.why, OutOfOrder)
        assert caught.value.why.expected_seq == 1
        assert store.batches() == ()

    def test_a_gap_is_refused_and_changes_nothing(self, store: EventStore) -> None:
        (first,) = store.append("wall-1", one(1, "BatchStarted", "{}"))
        assert refusal(lambda: store.append("wall-1", one(3, "NoteMade", "{}"))) == ("gap", "absent")
        assert store.events("wall-1") == (first,)
        assert store.append("wall-1", one(2, "NoteMade", "{}"))[0].seq == 2

    def test_a_number_is_taken_once(self, store: EventStore) -> None:
        (first,) = store.append("wall-1", one(1, "BatchStarted", "{}"))
        assert refusal(lambda: store.append("wall-1", one(1, "BatchStarted", "{}"))) == (
            "seq-taken",
            "present",
        )
        assert refusal(lambda: store.append("wall-1", one(1, "NoteMade", "{}"))) == ("seq-taken", "absent")
        assert refusal(lambda: store.append_once("wall-1", one(1, "NoteMade", "{}"))) == (
            "seq-taken",
            "absent",
        )
        assert store.events("wall-1") == (first,)

    def test_stored_twice_is_stored_once(self, store: EventStore) -> None:
        for _ in range(3):
            first = store.append_once("wall-1", one(1, "BatchStarted", "{}"))
            others = store.append_once("wall-1", several(2, "a", "b"))
        assert store.events("wall-1") == (*first, *others)

    def test_a_decision_is_stored_whole_or_not_at_all(self, store: EventStore) -> None:
        stored = store.append("wall-1", several(1, "a", "b", "c"))
        assert store.events("wall-1") == stored
        assert [(event.seq, event.body) for event in stored] == [(1, "a"), (2, "b"), (3, "c")]
        broken = (*one(4, "k", "d"), *one(6, "k", "f"))
        assert refusal(lambda: store.append("wall-1", broken)) == ("gap", "absent")
        twice = (*one(4, "k", "d"), *one(4, "k", "d"))
        assert refusal(lambda: store.append("wall-1", twice)) == ("seq-taken", "absent")
        unwritable = (*one(4, "k", "d"), *one(5, "k", "\ud800"))
        assert refusal(lambda: store.append("wall-1", unwritable)) == ("not-text", "absent")
        unwritable = (*one(1, "k", "a"), *one(2, "k", "\ud800"))
        assert refusal(lambda: store.append("wall-2", unwritable)) == ("not-text", "absent")
        assert store.events("wall-1") == stored
        assert len(store.batches()) == 1

    def test_nothing_to_store_changes_nothing(self, store: EventStore) -> None:
        for put in (store.append, store.append_once):
            assert put("wall-1", ()) == ()
        assert store.batches() == ()

    def test_a_decision_of_which_a_part_is_there_is_another_one(self, store: EventStore) -> None:
        """What is there was stored whole, so it is some other decision."""
        stored = store.append("wall-1", several(1, "a", "b"))
        assert refusal(lambda: store.append_once("wall-1", several(1, "a", "b", "c"))) == (
            "seq-taken",
            "absent",
        )
        assert refusal(lambda: store.append("wall-1", several(2, "b"))) == ("seq-taken", "present")
        assert store.append_once("wall-1", several(2, "b")) == stored[1:]
        assert store.events("wall-1") == stored

    def test_text_that_cannot_be_written_is_refused(self, store: EventStore) -> None:
        for batch_id, kind, body in [
            ("\ud800", "k", "{}"),
            ("wall-1", "\udc00", "{}"),
            ("wall-1", "k", "\udfff"),
        ]:
            for put in (store.append, store.append_once):
                with pytest.raises(JournalError) as caught:
                    put(batch_id, one(1, kind, body))
                assert (caught.value.code, caught.value.outcome) == ("not-text", "absent")
        assert store.batches() == ()

    def test_the_chain_ties_an_event_to_its_batch_and_all_before_it(self, store: EventStore) -> None:
        first = store.append("one", several(1, "a", "b", "c"))
        second = store.append("two", several(1, "a", "b", "c"))
        other = store.append("three", several(1, "A", "b", "c"))
        links = [event.chain for event in first + second + other]
        assert len(set(links)) == 9
        assert all(len(bytes.fromhex(link)) == 32 for link in links)
        assert store.audit() == ()
        assert store.audit("one") == ()

    def test_the_chain_is_the_same_however_the_events_came(self, store: EventStore, tmp_path: Path) -> None:
        whole = store.append("one", several(1, "a", "b", "c"))
        with closing(Journal.open(tmp_path / "singly")) as singly:
            for event in several(1, "a", "b", "c"):
                singly.append("one", [event])
            assert singly.events("one") == whole

    def test_a_copy_holds_everything(self, store: EventStore, tmp_path: Path) -> None:
        for batch_id in ("one", "two"):
            for seq in (1, 2, 3):
                store.append(batch_id, one(seq, "k", f'{{"n":{seq}}}'))
        folder = tmp_path / "copy"
        folder.mkdir()
        (folder / FILE_NAME).write_text("an older copy")
        store.back_up(folder / FILE_NAME)
        assert [file.name for file in folder.iterdir()] == [FILE_NAME]
        assert (folder / FILE_NAME).stat().st_mode & 0o777 == 0o600
        with closing(Journal.open(folder)) as copy:
            assert copy.batches() == store.batches()
            assert copy.events("two") == store.events("two")
            assert copy.audit() == ()
            copy.append("two", one(4, "k", "{}"))

    def test_a_copy_that_cannot_be_written_says_so(self, store: EventStore, tmp_path: Path) -> None:
        store.append("one", one(1, "k", "{}"))
        assert refusal(lambda: store.back_up(tmp_path / "nowhere" / "copy"))[1] is None

    def test_is_writable_and_has_nothing_to_say(self, store: EventStore) -> None:
        assert not store.read_only
        assert store.notices() == ()

    def test_refuses_everything_once_closed(self, store: EventStore, tmp_path: Path) -> None:
        store.append("one", one(1, "k", "{}"))
        store.close()
        store.close()
        assert refusal(lambda: store.append("one", one(2, "k", "{}"))) == ("closed", "absent")
        assert refusal(lambda: store.append_once("one", one(1, "k", "{}"))) == ("closed", "absent")
        calls = (
            lambda: store.events("one"),
            store.batches,
            store.audit,
            lambda: store.back_up(tmp_path / "x"),
        )
        assert {refusal(call)[0] for call in calls} == {"closed"}


BATCH_IDS = st.sampled_from(["one", "Two", "drei-ß"])
TEXTS = st.lists(st.sampled_from("abc"), max_size=3)
STEPS = st.lists(
    st.tuples(st.sampled_from(["append", "append_once"]), BATCH_IDS, st.integers(0, 5), TEXTS), max_size=25
)
Step = tuple[str, str, int, list[str]]


@given(steps=STEPS)
@settings(max_examples=examples(40), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_both_stores_answer_alike(steps: list[Step], tmp_path_factory: pytest.TempPathFactory) -> None:
    disk, memory = Journal.open(tmp_path_factory.mktemp("journal")), MemoryJournal()

    def answer(store: EventStore, step: Step) -> object:
        how, batch_id, seq, bodies = step
        put = store.append if how == "append" else store.append_once
        try:
            return put(batch_id, several(seq, *bodies))
        except JournalError as error:
            return error.why, error.outcome

    with closing(disk):
        for step in steps:
            assert answer(disk, step) == answer(memory, step)
        assert disk.batches() == memory.batches()
        for row in memory.batches():
            assert disk.events(row.batch_id) == memory.events(row.batch_id)
