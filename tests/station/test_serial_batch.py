"""Whole batches in real time over the real serial path: pseudo-terminal, reader thread, station, journal on disk."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from mixstation.batch.events import BatchFinished, ScaleChanged, WeightRecorded
from mixstation.batch.run import Run, fold
from mixstation.record.codec import stored_entries
from mixstation.record.journal import Journal
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.profile_folder import find_profile
from mixstation.scale.pty_port import PtyPort
from mixstation.scale.serial_link import SerialLink
from mixstation.station.opening import begin
from mixstation.station.view import Desk, View
from tests.station.mixer import Hand, answer_at_scale
from tests.station.real import PATIENCE_S, bench, order, until
from tests.station.yard import BUCKET_MG

pytestmark = pytest.mark.skipif(not Path("/dev/ptmx").exists(), reason="needs pseudo-terminals")

GRAM = 1_000
NOISE_MG = 100
LOOK_S = 0.02
# A brisk scale, so that the test is not spent on waiting for it to settle.
BRISK = Make(noise_mg=20.0, lag_s=0.08, steady_s=0.3, fall_s=0.1)


@pytest.fixture
def scale() -> EmulatedScale:
    return EmulatedScale(BRISK, seed=1)


@pytest.fixture
def port(scale: EmulatedScale) -> Iterator[PtyPort]:
    port = PtyPort(scale, find_profile("header-token-line"), rate_hz=20)
    port.start()
    yield port
    port.stop()


@pytest.fixture
def desk(port: PtyPort, tmp_path: Path) -> Iterator[Desk]:
    profile = find_profile("header-token-line")
    desk = begin(bench(tmp_path, link=lambda: SerialLink(port.name, profile)), order())
    yield desk
    desk.stop()


def mix(desk: Desk, hand: Hand, up_to: str = "") -> View:
    """Do what the view says, to the end or until its words say so."""
    answered = ""
    end_s = time.monotonic() + PATIENCE_S
    while not (view := desk.view()).ended:
        if up_to and up_to in view.question.ask:
            return view
        assert time.monotonic() < end_s, view
        hand.follow(view)
        answer = answer_at_scale(view)
        if answer is not None and answer.question != answered:
            desk.answer(answer)
            answered = answer.question
        time.sleep(LOOK_S)
    return view


def stored(folder: Path) -> Run:
    journal = Journal.open(folder)
    try:
        (row,) = journal.batches()
        return fold(stored_entries(journal, row.batch_id))
    finally:
        journal.close()


def is_what_was_poured(run: Run, hand: Hand, *keys: str) -> None:
    """To the scale's division, material by material."""
    for material in map(run.recipe.material, keys):
        weighed = [
            entry.fact
            for entry in run.live
            if isinstance(entry.fact, WeightRecorded) and entry.fact.material == material.key
        ]
        assert weighed
        assert {weight.source for weight in weighed} == {"scale"}
        off_mg = abs(run.content[material.key] - hand.poured_mg(material.name))
        assert off_mg <= len(weighed) * (GRAM + NOISE_MG), material.key


@pytest.mark.deep
def test_the_record_is_the_scales_own_account(desk: Desk, scale: EmulatedScale, tmp_path: Path) -> None:
    scale.put_mg(BUCKET_MG)
    hand = Hand(scale, dose_s=2.0, slow_part=2)
    mix(desk, hand)
    desk.stop()
    run = stored(tmp_path)
    assert isinstance(run.entries[-1].fact, BatchFinished)
    is_what_was_poured(run, hand, "water", "blend", "fibre")


def test_unplugged_mid_pour_and_plugged_in_again(desk: Desk, scale: EmulatedScale, tmp_path: Path) -> None:
    scale.put_mg(BUCKET_MG)
    hand = Hand(scale, dose_s=2.0, slow_part=2)
    mix(desk, hand, "Casting blend into the bucket")
    scale.pour(400_000, total_mg=500_000)
    until(desk, lambda view: view.pour is not None and (view.pour.fraction or 0) > 0.2)
    scale.unplug()
    lost = until(desk, lambda view: view.scale.state == "unplugged")
    assert lost.scale.text == ""
    assert lost.pour is not None
    assert lost.pour.fraction is None
    assert lost.pour.actual.endswith(" counted")
    weights = len(lost.went_in)
    scale.replug()
    back = until(desk, lambda view: view.pour is not None and (view.pour.fraction or 0) > 0.4)
    assert len(back.went_in) == weights
    until(desk, lambda view: view.scale.state == "steady")
    mix(desk, hand, "Mix fast")
    desk.stop()
    run = stored(tmp_path)
    is_what_was_poured(run, hand, "water", "blend")
    states = [entry.fact.state for entry in run.entries if isinstance(entry.fact, ScaleChanged)]
    assert [state for state in states if state != "silent"] == ["live", "lost", "live"]
