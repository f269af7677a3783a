"""The wrong material went in: the weight is kept and booked as what it really was."""

from mixstation.batch.commands import Book, BookExtra, SwapMaterial
from mixstation.batch.events import EntryTakenBack, WeightRecorded
from mixstation.batch.refusal import Refusal
from tests.batch.making import Bench, weight
from tests.batch.recipes import RAW, RAW_POWDERS


def _cement_booked(bench: Bench) -> int:
    """Weigh what the recipe asks for until cement has been booked; the entry's number."""
    while True:
        step = bench.run.step
        material = getattr(step, "material", "")
        bench.does(Book(weight=weight(bench.dosing.target_mg), confirmed=True))
        if material == "cement":
            entry = next(
                entry
                for entry in reversed(bench.run.live)
                if isinstance(entry.fact, WeightRecorded) and entry.fact.material == "cement"
            )
            return entry.seq


def test_sand_booked_as_cement_is_sand_afterwards_and_cement_is_asked_for_again() -> None:
    bench = Bench.begin(RAW, RAW_POWDERS)
    seq = _cement_booked(bench)
    cement_mg, total_mg = bench.run.content["cement"], bench.run.in_bucket_mg
    sand_before_mg = bench.run.content["sand"]

    facts = bench.does(SwapMaterial(seq=seq, material="sand", reason="another material went in"))

    assert [type(fact) for fact in facts] == [EntryTakenBack, WeightRecorded]
    assert bench.run.content["cement"] == 0
    assert bench.run.content["sand"] == sand_before_mg + cement_mg
    assert bench.run.in_bucket_mg == total_mg
    assert getattr(bench.run.step, "material", "") == "cement"
    assert any(entry.seq == seq for entry in bench.run.entries), "the first entry stays in the record"


def test_only_a_weight_can_be_of_another_material_and_only_of_one_the_recipe_knows() -> None:
    bench = Bench.begin(RAW, RAW_POWDERS)
    seq = _cement_booked(bench)
    for wrong, code in (
        (SwapMaterial(seq=2, material="sand", reason="x"), "cannot-take-back"),
        (SwapMaterial(seq=seq, material="gravel", reason="x"), "unknown-material"),
        (SwapMaterial(seq=seq, material="cement", reason="x"), "unknown-material"),
        (SwapMaterial(seq=seq, material="sand", reason=" "), "no-reason"),
    ):
        before = bench.run
        refused = bench.tries(wrong)
        assert isinstance(refused, Refusal)
        assert refused.code == code
        assert bench.run == before


def test_an_extra_addition_can_be_swapped_too() -> None:
    bench = Bench.begin(RAW, RAW_POWDERS)
    _cement_booked(bench)
    bench.does(BookExtra(material="metakaolin", weight=weight(250_000), reason="went in", confirmed=True))
    seq = bench.run.entries[-1].seq
    bench.does(SwapMaterial(seq=seq, material="sand", reason="it was sand"))
    assert bench.run.content["sand"] >= 250_000
    assert bench.run.content["metakaolin"] == 0
