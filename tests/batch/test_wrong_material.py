"""The wrong material went in: the entry is taken back and the same weight stands as what it was."""

from mixstation.batch.commands import SwapMaterial
from mixstation.batch.events import EntryTakenBack, WeightRecorded
from tests.batch.making import clouded
from tests.batch.recipes import kg


def test_the_wrong_material_is_booked_as_what_it_was() -> None:
    """Sand poured for cement: the cement step is at hand again, and the sand asked for later is less."""
    bench = clouded().goes_to("cement")
    seq = bench.pours()
    (back, recorded) = bench.does(SwapMaterial(seq=seq, material="sand", reason=" wrong bag "))
    assert isinstance(back, EntryTakenBack)
    assert isinstance(recorded, WeightRecorded)
    assert back.seqs == (seq, seq + 1)
    assert (recorded.step, recorded.material, recorded.mass_mg, recorded.reason) == (
        None,
        "sand",
        kg(6),
        "wrong bag",
    )
    assert (bench.step, bench.run.content["cement"], bench.run.content["sand"]) == ("cement", 0, kg(6))
    assert bench.flags["powder-over"].about == "sand"
    bench.goes_to("sand")
    assert bench.dosing.exact_mg == 0


def test_only_a_weighing_is_of_the_wrong_material() -> None:
    bench = clouded()
    seq = bench.pours()

    def swap(seq: int, material: str) -> str:
        return bench.refuses(SwapMaterial(seq=seq, material=material, reason="x")).code

    assert swap(seq + 1, "sand") == "cannot-take-back"
    assert swap(99, "sand") == "cannot-take-back"
    assert swap(seq, "water") == "unknown-material"
    assert swap(seq, "gravel") == "unknown-material"
    assert bench.refuses(SwapMaterial(seq=seq, material="sand", reason=" ")).code == "no-reason"
