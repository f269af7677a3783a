"""Folding: what each fact does to the run, what cannot be a batch, and that nothing is lost in mass."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.commands import (
    BookExtra,
    BookPortion,
    BookRemoved,
    BringForward,
    Pause,
    SkipStep,
    TakeUp,
)
from mixstation.batch.events import (
    Amount,
    BatchFinished,
    Entry,
    EntryTakenBack,
    FlagRaised,
    MaterialRemoved,
    NoteWritten,
    PortionTaken,
    SafetyAcknowledged,
    StepDone,
    WeightRecorded,
)
from mixstation.batch.run import FoldError, TakeOutStep, apply, fold
from mixstation.batch.targets import aim_of, dose_now
from mixstation.recipe.model import AddStep, MixStep, Recipe, Role
from tests.batch.making import Bench, Hands, blend, clouded, raw, started, way, weight
from tests.batch.recipes import (
    BLEND,
    BLEND_POWDERS,
    RAW,
    RAW_POWDERS,
    g,
    kg,
    material,
    with_material,
    with_step,
)


def poured(key: str, mass_mg: int, step: str | None = None) -> WeightRecorded:
    return WeightRecorded(
        step=step, material=key, mass_mg=mass_mg, source="typed", shown="", division_mg=1000, reason="told"
    )


def taken(mass_mg: int, step: str | None = None) -> PortionTaken:
    return PortionTaken(
        step=step, layer="", mass_mg=mass_mg, source="typed", shown="", division_mg=1000, reason="lost"
    )


def test_a_fresh_batch() -> None:
    run = Bench.begin(BLEND, BLEND_POWDERS, acknowledged=False).run
    assert not run.acknowledged
    assert run.step == BLEND.steps[0]
    assert run.in_bucket_mg == 0
    assert run.first_water is None
    assert run.ended == ""


def test_masses_add_up_exactly() -> None:
    """In less out is what is in, to the last fraction of a milligram, also after a portion of the mix."""
    bench = raw().goes_to("scrape-3")
    bench.does(BookExtra(material="sand", weight=weight(g("0.007")), reason="spilt in"))
    bench.does(BookPortion(weight=weight(g("1234.567")), reason="slump test"))
    bench.does(BookRemoved(material="water", weight=weight(g("11.111")), reason="bled off"))
    facts = [entry.fact for entry in bench.run.live]
    into = sum(fact.mass_mg for fact in facts if isinstance(fact, WeightRecorded))
    out = sum(fact.mass_mg for fact in facts if isinstance(fact, MaterialRemoved | PortionTaken))
    assert bench.run.in_bucket_mg == into - out


def test_a_portion_keeps_the_composition() -> None:
    bench = raw().goes_to("face")
    before = bench.run.content
    bench.pours()
    after = bench.run.content
    shares = {after[key] / before[key] for key in before if before[key]}
    assert shares == {bench.run.kept}


def test_what_comes_out_beyond_what_is_in_leaves_nothing_not_less() -> None:
    """Only a stored weighing taken back afterwards can make it so; the batch is then aimed at anew."""
    bench = blend().goes_to("mix-1")
    first_water, powder = 3, 5
    assert isinstance(bench.run.entries[powder - 1].fact, WeightRecorded)
    bench.does(BookPortion(weight=weight(kg(5)), reason="tipped over"))
    assert not bench.run.overdrawn
    bench.tell(EntryTakenBack(seqs=(powder,), reason="slip"))
    assert bench.run.in_bucket_mg == 0
    assert bench.run.kept == 1
    assert bench.run.overdrawn == set(bench.run.content)
    bench.tell(EntryTakenBack(seqs=(first_water,), reason="slip"))
    assert min(bench.run.content.values()) == 0


def test_first_water_starts_the_clock_and_its_taking_back_stops_it() -> None:
    bench = blend()
    bench.does(BookExtra(material="fibre", weight=weight(g(5)), reason="slip"))
    assert bench.run.first_water is None
    seq = bench.pours()
    assert bench.run.first_water == bench.run.entries[seq - 1].stamp
    first = bench.run.first_water
    bench.does(BookExtra(material="water", weight=weight(g(5)), reason="rinse"))
    assert bench.run.first_water == first
    bench.takes_back(seq)
    assert bench.run.first_water == bench.run.entries[seq + 1].stamp


def test_a_step_brought_forward_is_at_hand_until_it_is_done() -> None:
    bench = blend()
    bench.does(BringForward(step="scrape-1"))
    assert bench.step == "scrape-1"
    bench.goes_on()
    assert bench.step == "water-1"
    bench.goes_to("blend-2")
    assert "scrape-1" in bench.run.finished


def test_bringing_forward_forgets_what_stood_on_the_scale() -> None:
    bench = blend()
    bench.does(BringForward(step="blend-1"))
    assert bench.run.references == {}
    assert bench.run.tub is None


def test_due_and_pending() -> None:
    bench = blend().goes_to("mix-1")
    assert (bench.run.due("water"), bench.run.due("blend"), bench.run.due("fibre")) == (
        Fraction(4, 5),
        Fraction(1, 2),
        0,
    )
    assert bench.run.pending("water")
    bench.goes_to("scrape-3")
    assert bench.run.due("water") == 1
    assert not bench.run.pending("water")
    bench.goes_to("fibre")
    bench.does(SkipStep(reason="none"))
    assert bench.run.due("fibre") == 0
    assert not bench.run.pending("fibre")


def test_a_ways_steps_come_before_all_that_is_not_done() -> None:
    bench = clouded().goes_to("mix")
    bench.tell(way(bench, pour_back_mg=g(50), scoop_mg=g(300), make_up=("cement", "sand"), mix_s=30))
    keys = [step.key for step in bench.run.steps if step.key not in bench.run.finished]
    seq = len(bench.run.entries)
    assert keys[:6] == [*(f"way{seq}.{n}" for n in range(1, 6)), "mix"]
    steps = bench.run.steps[3:8]
    assert steps[0] == TakeOutStep(key=f"way{seq}.1", material="water", mass_mg=g(50))
    assert steps[1] == TakeOutStep(key=f"way{seq}.2", material="", mass_mg=g(300))
    assert isinstance(steps[2], AddStep)
    assert (steps[2].material, steps[2].cumulative) == ("cement", 1)
    assert steps[4] == MixStep(key=f"way{seq}.5", min_s=30, max_s=90, speed="fast")


def test_a_way_taken_at_a_step_brought_forward_comes_first() -> None:
    bench = clouded()
    bench.does(BringForward(step="fibre"))
    bench.tell(way(bench, mix_s=30))
    assert bench.step == f"way{len(bench.run.entries)}.1"


def test_a_make_up_is_to_the_share_already_due() -> None:
    """Half the blend is due: a batch grown to 20 kg is made up to 10 kg, and the second half follows."""
    bench = blend().goes_to("mix-1")
    bench.tell(way(bench, aim=aim_of(BLEND, {"blend": kg(20)}), make_up=("blend",)))
    assert bench.dosing.target_mg == kg(1)
    bench.goes_to("blend-2")
    assert bench.dosing.target_mg == kg(10)


def test_a_make_up_of_what_no_later_step_brings_is_to_the_whole_total() -> None:
    """The second half of the blend was left out, then a way asks for more: 18 kg less the 9 kg that are in."""
    bench = blend().goes_to("blend-2")
    bench.does(SkipStep(reason="bag not at hand"))
    bench.tell(way(bench, make_up=("blend",)))
    assert bench.dosing.target_mg == kg(9)


def test_a_make_up_before_anything_is_due_asks_for_nothing() -> None:
    bench = blend()
    bench.tell(way(bench, make_up=("fibre",)))
    assert bench.dosing.exact_mg == 0
    bench.goes_on()
    assert bench.step == "water-1"


def test_a_scoop_a_way_asked_for_does_not_shrink_the_aim_again() -> None:
    bench = blend().goes_to("scrape-1")
    bench.tell(way(bench, aim=aim_of(BLEND, {"blend": kg(16)}), scoop_mg=kg(1)))
    bench.pours()
    assert bench.run.kept == 1
    assert bench.projection.totals["blend"] == kg(16)


def test_flags_a_way_gives_up_do_not_stand() -> None:
    bench = blend()
    bench.pours(kg("2.6"), confirmed=True)
    assert "water-over" in bench.codes
    bench.tell(way(bench, way="leave", gives_up=("water-over",)))
    assert bench.codes == set()


def test_over_the_cap_left_standing_is_over_the_band_left_standing() -> None:
    """More cement, and the pigment is under its cap again, but still over its band."""
    bench = raw().goes_to("ochre")
    assert bench.run.recipe.material("ochre").cap is not None
    bench.pours(g(1_000), confirmed=True)
    assert "dose-over-cap" in bench.codes
    flag = bench.flags["dose-over-cap"]
    bench.tell(FlagRaised(code=flag.code, about=flag.about, gravity=flag.gravity, said="over"))
    bench.tell(way(bench, way="leave", gives_up=("dose-over-cap",), aim=bench.run.aim))
    assert not {"dose-over-cap", "dose-over"} & bench.codes
    bench.tell(way(bench, aim=aim_of(RAW, {key: 2 * mass for key, mass in RAW_POWDERS.items()})))
    ends = dose_now(RAW, RAW.material("ochre"), bench.projection.finals)
    band = RAW.material("ochre").dose
    assert ends is not None
    assert band is not None
    assert ends > (band.most or band.fraction * (1 + RAW.material("ochre").tolerance.over))
    assert not {"dose-over-cap", "dose-over"} & bench.codes


def test_pauses_nest_into_one() -> None:
    bench = blend()
    bench.does(Pause(reason="phone"))
    since = bench.run.paused_at
    bench.does(Pause(reason="door"))
    assert bench.run.paused_at == since
    bench.does(TakeUp())
    assert not bench.run.paused
    bench.does(TakeUp())
    assert not bench.run.paused


def test_the_same_facts_give_the_same_run_one_by_one_or_all_at_once() -> None:
    bench = raw().goes_through()
    run = fold(bench.run.entries[:1])
    for entry in bench.run.entries[1:]:
        run = apply(run, entry)
    assert run == fold(bench.run.entries) == bench.run


def entries(*facts: object, of: Recipe = BLEND) -> list[Entry]:
    first = started(of, {m.key: kg(1) for m in of.materials if m.is_powder})
    stamp = Hands().stamp()
    return [
        Entry(seq=seq, stamp=stamp, fact=fact)  # type: ignore[arg-type]
        for seq, fact in enumerate((first, *facts), start=1)
    ]


def test_no_start_no_batch() -> None:
    with pytest.raises(FoldError) as error:
        fold([])
    assert (error.value.code, error.value.seq) == ("no-start", 0)
    with pytest.raises(FoldError) as error:
        fold(entries(SafetyAcknowledged())[1:])
    assert (error.value.code, error.value.seq) == ("no-start", 2)


def test_a_gap_or_a_double_is_no_batch() -> None:
    good = entries(SafetyAcknowledged(), NoteWritten(text="a"), NoteWritten(text="b"))
    for bad in (good[:2] + good[3:], [*good[:3], good[2]], [good[0], good[2], good[1]]):
        with pytest.raises(FoldError, match="gap"):
            fold(bad)
    with pytest.raises(FoldError, match="gap"):
        apply(fold(good), good[-1])


@pytest.mark.parametrize(
    ("fact", "code"),
    [
        (started(BLEND, BLEND_POWDERS), "started-twice"),
        (poured("gravel", 5), "unknown-material"),
        (poured("water", 5, "nowhere"), "unknown-step"),
        (poured("water", 0), "not-a-mass"),
        (poured("water", -5), "not-a-mass"),
        (poured("water", 10**15), "not-a-mass"),
        (taken(-1), "not-a-mass"),
        (StepDone(step="way7.1"), "unknown-step"),
        (way(blend(), make_up=("gravel",)), "unknown-material"),
        (way(blend(), aim=aim_of(RAW, {"cement": 1})), "unfit-aim"),
    ],
)
def test_facts_that_cannot_be(fact: object, code: str) -> None:
    with pytest.raises(FoldError) as error:
        fold(entries(fact))
    assert (error.value.code, error.value.seq) == (code, 2)


@pytest.mark.parametrize(
    "of",
    [
        replace(BLEND, materials=BLEND.materials[1:]),
        replace(BLEND, materials=(*BLEND.materials, BLEND.materials[0])),
        replace(BLEND, steps=(*BLEND.steps, BLEND.steps[0])),
        replace(BLEND, air_fraction=Fraction(1)),
        with_material(BLEND, "blend", density_kg_m3=0.0),
        with_material(BLEND, "blend", moisture_fraction=Fraction(-1)),
        with_material(RAW, "emulsion", water_fraction=Fraction(1)),
        with_step(BLEND, "water-1", material="gravel"),
        with_step(BLEND, "mix-1", min_s=100),
        with_step(BLEND, "release", increment=Fraction(0)),
    ],
)
def test_a_recipe_that_cannot_be_reckoned_is_no_batch(of: Recipe) -> None:
    with pytest.raises(FoldError, match="unfit-recipe"):
        fold(entries(of=of))


@pytest.mark.parametrize(
    "fields",
    [
        {"water_ratio": Fraction(10**6)},
        {"powders": (Amount(material="blend", mass_mg=-1),)},
        {"powders": (Amount(material="gravel", mass_mg=1),)},
    ],
)
def test_an_aim_that_cannot_be_reckoned_is_no_batch(fields: dict[str, object]) -> None:
    aim = replace(aim_of(BLEND, BLEND_POWDERS), **fields)  # type: ignore[arg-type]
    entry = Entry(seq=1, stamp=Hands().stamp(), fact=started(BLEND, BLEND_POWDERS, aim=aim))
    with pytest.raises(FoldError, match="unfit-aim"):
        fold([entry])


def test_fibres_that_fill_the_mix_are_no_aim() -> None:
    aim = aim_of(BLEND, BLEND_POWDERS)
    full = replace(aim, doses=(replace(aim.doses[0], fraction=Fraction(1)),))
    entry = Entry(seq=1, stamp=Hands().stamp(), fact=started(BLEND, BLEND_POWDERS, aim=full))
    with pytest.raises(FoldError, match="unfit-aim"):
        fold([entry])


def test_taking_back_a_taking_back_brings_the_entry_back() -> None:
    facts = (
        poured("water", kg(1)),
        EntryTakenBack(seqs=(2,), reason="slip"),
        EntryTakenBack(seqs=(3,), reason="it was right"),
        EntryTakenBack(seqs=(4,), reason="it was not"),
    )
    for last, content in ((2, kg(1)), (3, 0), (4, kg(1)), (5, 0)):
        run = fold(entries(*facts)[:last])
        assert run.content["water"] == content
    assert run.void == {4, 2}


def test_the_start_cannot_be_taken_back_nor_what_is_yet_to_come() -> None:
    run = fold(entries(EntryTakenBack(seqs=(1, 2, 3, 99), reason="slip"), poured("water", kg(1))))
    assert run.void == frozenset()
    assert run.content["water"] == kg(1)


def test_a_finished_batch_is_finished() -> None:
    run = fold(entries(BatchFinished(accepted=(), concession="")))
    assert run.ended == "finished"


def test_ice_may_be_on_hand_without_a_dose() -> None:
    iced = replace(BLEND, materials=(*BLEND.materials, material("ice", Role.ICE)))
    bench = Bench.begin(iced, BLEND_POWDERS)
    bench.does(BookExtra(material="ice", weight=weight(g(300)), reason="hot day"))
    assert bench.projection.totals["water"] == kg("2.376") - g(300)


def test_mixing_after_fibres_that_a_way_makes_up_is_slow() -> None:
    """Fast paddles break the glass, whether fibres were in before the way or come in with it."""
    bench = blend().goes_to("mix-1")
    bench.tell(way(bench, make_up=("fibre",), mix_s=30))
    (mixing,) = (step for step in bench.run.steps if step.key.startswith("way") and isinstance(step, MixStep))
    assert mixing.speed == "slow"
