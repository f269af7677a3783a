"""A whole home folder as an earlier program left it: all of it is read, listed, shown, mixed on and counted.

`home_1` was made by the program that stored each fact by itself (form 1 of entries and plans): its commands for stock,
plans and the open batch, its session at an emulated scale for the two that ended. It is never written anew, and only
ever read from a copy. Our own output, a guard against change alone.
"""

import json
import shutil
from collections import Counter
from contextlib import closing
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import get_args, get_type_hints

import pytest

from mixstation.batch.advice import stand
from mixstation.batch.events import Fact
from mixstation.batch.run import Run, fold
from mixstation.cli.main import main
from mixstation.cli.settings_file import own_settings
from mixstation.cli.shop_file import own_shop
from mixstation.planning.kept import kept_ids, read_kept
from mixstation.planning.orders import order_of
from mixstation.record import journal_folder
from mixstation.record.codec import stored_entries
from mixstation.record.journal import Journal
from mixstation.record.stored import open_batches
from mixstation.station.bench import Settings
from mixstation.station.keeper import Keeper
from mixstation.station.opening import resumed
from mixstation.station.order import start_fact
from mixstation.station.session import Session
from tests.record.memory_journal import MemoryJournal
from tests.station.clock import HandClock
from tests.station.mixer import answer_now

HERE = Path(__file__).parent
AT_SCALE, BY_TUB = "20270115-0900-ab", "20270115-1000-cd"
STILL_OPEN = "20261130-2243-e6a7-p261130-9e11-1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What a batch folds to."""

    content: dict[str, str]
    entries: int
    void: set[int]
    skipped: dict[str, str]
    raised: set[str]
    kept: Fraction
    ratio: Fraction | None
    ended: str | None
    step: str


EXPECTED = {
    STILL_OPEN: Figures(
        content={"water": "1240000", "blend": "7500000", "fibre": "0", "slate": "0"},
        entries=6,
        void=set(),
        skipped={},
        raised=set(),
        kept=Fraction(1, 1),
        ratio=Fraction(13, 100),
        ended="",
        step="3",
    ),
    BY_TUB: Figures(
        content={"water": "72154000/373", "blend": "553740000/373", "fibre": "0"},
        entries=30,
        void=set(),
        skipped={"6": "ran out", "7": "not needed in this mix"},
        raised={"water-high water", "stock-short fibre", "ran-out fibre", "scale-silent", "out-of-order 5"},
        kept=Fraction(839, 1119),
        ratio=Fraction(43, 330),
        ended="discarded",
        step="",
    ),
    AT_SCALE: Figures(
        content={"water": "535000", "blend": "4000000", "fibre": "130000", "slate": "52800"},
        entries=69,
        void={56, 57},
        skipped={},
        raised={"water-over-ceiling water", "dose-small-for-scale fibre"},
        kept=Fraction(1, 1),
        ratio=Fraction(107, 800),
        ended="finished",
        step="",
    ),
}
COUNTS = {
    STILL_OPEN: {"batch-started": 1, "safety-acknowledged": 1, "weight-recorded": 2, "step-done": 2},
    BY_TUB: {
        "batch-started": 1,
        "flag-raised": 5,
        "safety-acknowledged": 1,
        "scale-changed": 2,
        "reference-taken": 1,
        "tub-filled": 1,
        "weight-recorded": 3,
        "weighing-changed": 1,
        "step-done": 5,
        "material-removed": 1,
        "timer-started": 1,
        "batch-paused": 1,
        "batch-taken-up": 1,
        "step-brought-forward": 1,
        "portion-taken": 1,
        "supply-ran-out": 1,
        "step-skipped": 2,
        "batch-discarded": 1,
    },
    AT_SCALE: {
        "batch-started": 1,
        "safety-acknowledged": 1,
        "scale-changed": 2,
        "reference-taken": 10,
        "weight-recorded": 11,
        "step-done": 18,
        "flag-raised": 2,
        "way-taken": 1,
        "material-removed": 1,
        "note-written": 1,
        "clock-stepped": 1,
        "program-resumed": 1,
        "timer-started": 9,
        "consistency-judged": 6,
        "remedy-taken": 1,
        "entry-taken-back": 1,
        "temperature-taken": 1,
        "batch-finished": 1,
    },
}
POWDERS_MG = {
    "p261130-a505": [{"blend": 12500000}, {"blend": 12500000}],
    "p261130-9e11": [{"blend": 12020000}, {"blend": 12020000}],
}
STOCK = [
    "blend White casting blend lot B7 52.52 kg 2 packs of 25 kg, 2.52 kg in an open one",
    "fibre AR glass fibre, 12 mm lot F2 1.87 kg 1.87 kg in an open one",
    "slate Slate grey oxide pigment lot S1 947.2 g 1 pack of 500 g, 447.2 g in an open one",
]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy to work on."""
    copy = tmp_path / "home"
    shutil.copytree(HERE / "home_1", copy)
    monkeypatch.setenv("MIXSTATION_HOME", str(copy))
    monkeypatch.setattr(journal_folder, "BALLAST_BYTES", 512)
    return copy


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    code = main(words)
    told = capsys.readouterr()
    assert (code, told.err) == (0, "")
    return told.out


def run_of(home: Path, batch_id: str) -> Run:
    with closing(Journal.open_reading(home / "data")) as journal:
        return fold(stored_entries(journal, batch_id))


def test_every_batch_is_listed_and_the_audit_finds_nothing(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    listed = [line.split() for line in said(capsys, "records").splitlines()]
    assert [line[0] for line in listed] == [STILL_OPEN, BY_TUB, AT_SCALE]
    assert [line[3] for line in listed] == ["OPEN", "discarded", "closed"]
    said(capsys, "records", "audit")
    with closing(Journal.open_reading(home / "data")) as journal:
        assert journal.audit() == ()


def test_every_kind_of_fact_there_was_is_in_it() -> None:
    known = {get_args(get_type_hints(kind)["kind"])[0] for kind in get_args(Fact)}
    stored = {kind for counts in COUNTS.values() for kind in counts}
    assert len(stored) == 27
    # One that came later is not.
    assert stored <= known


@pytest.mark.parametrize("batch_id", [AT_SCALE, BY_TUB, STILL_OPEN])
def test_every_batch_folds_to_the_same_figures(home: Path, batch_id: str) -> None:
    run = run_of(home, batch_id)
    figures = {key: str(mass) for key, mass in run.content.items()}
    standing = stand(run, 1000)
    found = Figures(
        content=figures,
        entries=len(run.entries),
        void=set(run.void),
        skipped=dict(run.skipped),
        raised={f"{code} {about}".strip() for code, about in run.raised},
        kept=run.kept,
        ratio=standing.projection.ratio,
        ended=run.ended,
        step=run.step.key if run.step is not None else "",
    )
    assert found == EXPECTED[batch_id]
    assert Counter(entry.fact.kind for entry in run.entries) == COUNTS[batch_id]


@pytest.mark.parametrize("batch_id", [AT_SCALE, BY_TUB])
def test_the_records_written_then_and_now_say_the_same_masses(
    home: Path, batch_id: str, capsys: pytest.CaptureFixture[str]
) -> None:
    page = home / "data" / "records" / f"batch-{batch_id}.md"
    then = json.loads(page.with_suffix(".json").read_text("utf-8"))
    now = json.loads(said(capsys, "records", "show", batch_id, "--json"))
    for part in ("batch", "outcome", "began", "ended"):
        assert now["head"][part] == then["head"][part]
    weighed = [
        (each["key"], each["went_in"], each["taken_out"], each["in_bucket"]) for each in then["materials"]
    ]
    assert weighed == [
        (each["key"], each["went_in"], each["taken_out"], each["in_bucket"]) for each in now["materials"]
    ]
    assert [(each["kind"], each["time"], each["actual"]) for each in now["entries"]] == [
        (each["kind"], each["time"], each["actual"]) for each in then["entries"]
    ]
    assert now["water"]["ratio"] == then["water"]["ratio"]
    assert batch_id in said(capsys, "records", "show", batch_id)
    assert batch_id in page.read_text("utf-8")


def test_the_open_batch_is_taken_up_and_goes_on(home: Path) -> None:
    clock = HandClock()
    with closing(Journal.open(home / "data")) as journal:
        assert open_batches(journal)[0] == STILL_OPEN
        before = len(journal.events(STILL_OPEN))
        keeper = resumed(journal, clock, "Ida", STILL_OPEN)
        kinds = [entry.fact.kind for entry in keeper.run.entries[before:]]
        assert kinds == ["program-resumed"]
        session = Session(keeper, clock, None, Settings(hands_free_s=0))
        while not (view := session.view()).ended:
            answer = answer_now(view)
            if answer is not None:
                session.answer(answer)
            clock.go_on(0.5)
            session.tick()
        assert session.run.ended == "finished"
        assert session.run == fold(stored_entries(journal, STILL_OPEN))
        assert journal.audit() == ()


def test_kept_plans_are_listed_read_and_mixed(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert all(plan_id in said(capsys, "plan", "list") for plan_id in POWDERS_MG)
    folder = home / "data" / "plans"
    assert set(kept_ids(folder)) == set(POWDERS_MG)
    for plan_id, masses_mg in POWDERS_MG.items():
        assert said(capsys, "plan", "show", plan_id)
        kept = read_kept(folder, plan_id)
        assert [
            {amount.material: amount.mass_mg for amount in bucket.powders} for bucket in kept.buckets
        ] == masses_mg
        for number in range(1, len(kept.buckets) + 1):
            store, clock = MemoryJournal(), HandClock()
            keeper = Keeper.begin(store, clock, "Ida", start_fact(order_of(kept, number, None), "again"))
            assert keeper.run == fold(stored_entries(store, "again"))
            assert {each.material: each.mass_mg for each in keeper.run.aim.powders} == masses_mg[number - 1]


@pytest.mark.usefixtures("home")
def test_the_stock_is_as_it_was_and_takes_more(capsys: pytest.CaptureFixture[str]) -> None:
    lines = [" ".join(line.split()) for line in said(capsys, "stock").splitlines()]
    assert lines == STOCK
    moved = [line.split()[2] for line in said(capsys, "stock", "movements").splitlines()]
    assert Counter(moved) == {"came": 3, "counted": 1, "taken": 4}
    assert "entered" in said(capsys, "stock", "receive", "fibre", "1 kg", "--lot", "F3")


def test_settings_and_shop_are_read(home: Path) -> None:
    assert own_settings()["who"] == "Ida"
    assert [scale.name for scale in own_shop().scales] == ["floor", "fine"]
    assert (home / "config" / "recipes" / "sill_cap_slate.toml").exists()
