"""`mixstation demo` from its first word to the closed batch: its own hand, its own scale, a real serial path."""

import io
import os
import tempfile
import threading
from itertools import accumulate
from pathlib import Path

import pytest

from mixstation.batch.events import WeightRecorded
from mixstation.batch.run import Run, fold
from mixstation.cli import demo
from mixstation.cli.main import main
from mixstation.record.codec import stored_entries
from mixstation.record.journal import Journal
from mixstation.scale import emulator
from tests.station.number_pad import typed_at_line
from tests.station.recipes import brisk

pytestmark = pytest.mark.skipif(not Path("/dev/ptmx").exists(), reason="needs pseudo-terminals")

GRAM, NOISE_MG = 1_000, 300
PATIENCE_S = 280.0
# What a hand takes, and what the scale takes to come to rest.
HAND_S, SETTLED_S = 0.5, 3.0


class Typist(io.StringIO):
    """Hears what is said line by line and types what a hand on a number pad would."""

    def __init__(self, to: int) -> None:
        super().__init__()
        self._to = to
        self._typing: list[threading.Timer] = []

    def write(self, text: str) -> int:
        if typed := typed_at_line(text):
            self.types(typed, after_s=SETTLED_S if "steady" in text else HAND_S)
        return super().write(text)

    def types(self, text: str, after_s: float) -> None:
        self._typing.append(threading.Timer(after_s, os.write, (self._to, text.encode())))
        self._typing[-1].start()

    def leave(self) -> None:
        """Nothing more is typed."""
        for timer in self._typing:
            timer.cancel()
            timer.join()
        os.close(self._to)


def stored(home: Path) -> Run:
    journal = Journal.open(home / "data")
    try:
        (row,) = journal.batches()
        return fold(stored_entries(journal, row.batch_id))
    finally:
        journal.close()


@pytest.mark.deep
def test_ends_in_a_closed_batch_whose_masses_are_the_scales_own_account(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scales: list[emulator.EmulatedScale] = []

    class Kept(emulator.EmulatedScale):
        def __init__(self, make: emulator.Make | None = None, seed: int = 0) -> None:
            super().__init__(make, seed)
            scales.append(self)

    recipe = tmp_path / "sill_cap.toml"
    recipe.write_text(brisk().text, encoding="utf-8")
    monkeypatch.setattr(emulator, "EmulatedScale", Kept)
    monkeypatch.setattr(demo, "DOSE_S", 3.0)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "own"))
    from_script, to_program = os.pipe()
    typist = Typist(to_program)
    typist.types("\nquit\n", after_s=PATIENCE_S)
    words = ("demo", "--recipe", str(recipe), "--powder", "2 kg", "--hands-free", "0.3 s", "--plain")
    with os.fdopen(from_script, encoding="utf-8") as script, monkeypatch.context() as patch:
        patch.setattr("sys.stdin", script)
        patch.setattr("sys.stdout", typist)
        try:
            code = main(words)
        finally:
            typist.leave()
    said = typist.getvalue()
    assert code == 0, said
    (home,) = tmp_path.glob("mixstation-demo-*")
    run = stored(home)
    assert run.ended == "finished", said
    weighed = [entry.fact for entry in run.live if isinstance(entry.fact, WeightRecorded)]
    assert {weight.material for weight in weighed} == {"water", "blend", "fibre"}
    assert {weight.source for weight in weighed} == {"scale"}
    (scale,) = scales
    poured_mg = [0, *accumulate(pour.mass_mg for pour in scale.poured)]
    booked_mg = list(accumulate(weight.mass_mg for weight in weighed))
    # Slow and fast streams of a dose are one weight: each sum of weights is the account at the end of some stream.
    for booked in booked_mg:
        assert min(abs(booked - poured) for poured in poured_mg) <= GRAM + NOISE_MG, (booked_mg, poured_mg)
    assert abs(booked_mg[-1] - poured_mg[-1]) <= GRAM + NOISE_MG
    assert not (tmp_path / "own" / "data").exists()
    assert list((home / "data").rglob("*.md")), "the record is written at the end"
