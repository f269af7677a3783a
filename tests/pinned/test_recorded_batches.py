"""Batches once recorded fold to the same figures for ever: our own output, a guard against change alone.

A change that breaks one breaks the batches people have on their disks: it needs a way to read the old form, and the
recorded batch stays as it is.
"""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any, get_args

import pytest

from mixstation.batch.advice import advise, stand
from mixstation.batch.events import DensityMeasured, Entry, Fact, KeyPressed
from mixstation.batch.lots import lots_used
from mixstation.batch.moment import Moment
from mixstation.batch.run import Run, fold
from mixstation.batch.wet_density import wet_density
from mixstation.record.codec import read, written
from mixstation.record.stock_draws import used_by_lot_mg

HERE = Path(__file__).parent
RECORDED = (
    "bench_top_damp",
    "planter_wall",
    "sill_cap_cup",
    "sill_cap_discarded",
    "sill_cap_dry",
    "sill_cap_lots",
    "sill_cap_tared",
    "stair_stiff",
)


def entries(name: str) -> tuple[Entry, ...]:
    lines = (HERE / f"{name}.jsonl").read_text("utf-8").splitlines()
    return tuple(read(seq, line) for seq, line in enumerate(lines, start=1))


def figures(run: Run) -> dict[str, str]:
    return {key: str(mass) for key, mass in run.content.items()}


def standing_codes(run: Run) -> list[tuple[str, str, str]]:
    return [(flag.code, flag.about, flag.gravity) for flag in stand(run, 1000).flags]


@pytest.mark.parametrize("name", RECORDED)
def test_every_line_reads_and_writes_back_all_it_says(name: str) -> None:
    """A later form may say more; what the line says it says word for word."""
    lines = (HERE / f"{name}.jsonl").read_text("utf-8").splitlines()
    assert lines
    for line, entry in zip(lines, entries(name), strict=True):
        again = json.loads(written(entry))
        assert read(entry.seq, written(entry)) == entry
        old = json.loads(line)
        assert written_as_old(again, old) == line


def written_as_old(new: dict[str, object], old: dict[str, object]) -> str:
    """The new text without the names that the old one had not, and under its form."""
    return json.dumps(
        {**_without_new(new, old), "form": old["form"]},
        sort_keys=True,
        separators=(",", ":"),
        ensure_ascii=False,
    )


def _without_new(new: Any, old: Any) -> Any:
    if isinstance(new, dict) and isinstance(old, dict):
        return {name: _without_new(new[name], old[name]) for name in new.keys() & old.keys()}
    if isinstance(new, list) and isinstance(old, list):
        return [_without_new(*pair) for pair in zip(new, old, strict=True)]
    return new


def test_every_kind_of_fact_is_among_them() -> None:
    kinds = {type(entry.fact) for name in RECORDED for entry in entries(name)}
    assert kinds == set(get_args(Fact))


def test_planter_wall() -> None:
    """Slips, a pause, a restart of the machine, cement that ran out, a smaller batch, a face coat, and an end."""
    run = fold(entries("planter_wall"))
    assert figures(run) == {
        "water": "25909932000/17633",
        "cement": "96508800000/17633",
        "metakaolin": "9650880000/17633",
        "sand": "88600440000/17633",
        "emulsion": "1755924000/2519",
        "plasticiser": "710412000/17633",
        "ochre": "2680800000/17633",
        "fibre": "415000",
    }
    assert run.kept == Fraction(13404, 17633)
    assert run.void == {12, 13}
    assert run.skipped == {"scrape-1": "bowl is clean", "cement-2": "ran out"}
    assert run.ran_out == {"cement"}
    assert (run.judged and run.judged.verdict, run.mix_milli_c) == ("right", 18_400)
    assert run.raised == {("dose-over", "ochre"), ("ran-out", "cement")}
    assert run.gives_up == {"dose-over"}
    assert [step.key for step in run.steps if step.key.startswith("way")] == ["way40.1", "way40.2"]
    assert (run.first_water and run.first_water.utc_ms) == 1_779_996_403_000
    assert (run.step, run.ended) == (None, "finished")
    projection = stand(run, 1000).projection
    assert projection.ratio == Fraction(808543, 2524500)
    assert projection.expanded == pytest.approx(0.00024045123775275252, rel=1e-12)
    assert standing_codes(run) == [("out-of-order", "temperature", "note")]


def test_planter_wall_half_way() -> None:
    """Just after the way out: enough metakaolin is in for the share due, and its second share is smaller."""
    recorded = entries("planter_wall")
    standing = stand(fold(recorded[:40]), 1000)
    assert (standing.step and standing.step.key, standing.phase) == ("way40.1", "pour")
    assert (standing.dosing and standing.dosing.exact_mg) == 0
    standing = stand(fold(recorded[:43]), 1000)
    assert (standing.step and standing.step.key, standing.phase) == ("metakaolin-2", "pour")
    dosing = standing.dosing
    assert dosing is not None
    assert (dosing.target_mg, dosing.low_mg, dosing.high_mg) == (320_000, 312_800, 327_200)


def test_sill_cap_discarded() -> None:
    """Too much first water, a machine that slept while the mix did not, and no more to be done."""
    recorded = entries("sill_cap_discarded")
    before = fold(recorded[:-1])
    last = recorded[-1].stamp
    moment = Moment(utc_ms=last.utc_ms, boot_ms=last.boot_ms, mono_ms=last.mono_ms, boot_id=last.boot_id)
    advice = advise(stand(before, 1000), moment, None)
    # The water held back does not go in any more.
    assert [flag.code for flag in advice.flags] == ["stiff-and-warm", "water-under", "time-late"]
    assert figures(before) == {"water": "2200000", "blend": "18000000", "fibre": "0"}
    working = advice.working
    assert (working.since_s, round(working.low_s), round(working.high_s)) == (1269.0, 866, 1434)
    assert fold(recorded).ended == "discarded"


def test_sill_cap_dry() -> None:
    """Found right far under its band, a step of held-back water let in, the rest left out, the check put away."""
    run = fold(entries("sill_cap_dry"))
    assert figures(run)["water"] == "234000"
    assert standing_codes(run) == [("water-under", "water", "warn")]
    away = run.put_away["water-under", "water"]
    assert (away.gravity, away.figure) == ("warn", Fraction(-117, 1000))
    assert run.ended == "finished"


def test_bench_top_damp() -> None:
    """4 % on the sand, told before the first water: sand and water as of a recipe that says 4 %."""
    run = fold(entries("bench_top_damp"))
    assert run.sands == {"sand": Fraction(1, 25)}
    assert (figures(run)["sand"], figures(run)["water"]) == ("740000", "227000")
    assert run.ended == "finished"


def test_sill_cap_lots() -> None:
    """One of two lots picked, and a new bag of a third opened in mid-dose."""
    run = fold(entries("sill_cap_lots"))
    assert figures(run) == {"water": "260000", "blend": "2000000", "fibre": "65000"}
    assert [(lot.material, lot.lot) for lot in lots_used(run)] == [("blend", "A7"), ("blend", "C 11")]
    assert used_by_lot_mg(run)["blend"] == {"A7": 1_000_000, "C 11": 1_000_000}


def test_sill_cap_tared() -> None:
    """The tare key in mid-pour: what was in before counts, and the bucket is as heavy as the entries say."""
    recorded = entries("sill_cap_tared")
    run = fold(recorded)
    assert figures(run) == {"water": "1037000", "blend": "7975000", "fibre": "261000"}
    (key,) = (entry.fact for entry in run.live if isinstance(entry.fact, KeyPressed))
    assert (key.by_mg, key.counted_mg, key.unsure_mg) == (-1_540_000, 300_000, 0)
    assert standing_codes(run) == []


def test_stair_stiff() -> None:
    """All in and too stiff: plasticiser, then too loose: a rest; each mixed and judged anew."""
    recorded = entries("stair_stiff")
    run = fold(recorded)
    assert figures(run)["plasticiser"] == "222209750/4901"
    assert [step.key for step in run.steps if step.key.startswith("way")] == [
        *("way62.1", "way62.2", "way62.3"),
        *("way69.1", "way69.2", "way69.3"),
    ]
    standing = stand(fold(recorded[:62]), 1000)
    assert (standing.step and standing.step.key, standing.phase) == ("way62.1", "pour")
    assert standing.dosing is not None
    assert (standing.dosing.material, standing.dosing.target_mg) == ("plasticiser", 4_000)
    assert stand(run, 1000).projection.ratio == Fraction(34729292, 105125625)
    assert (standing_codes(run), run.ended) == ([], "finished")


def test_sill_cap_cup() -> None:
    """A cup of mix weighed before the end: no mass of the batch changes, its density stays."""
    run = fold(entries("sill_cap_cup"))
    (cup,) = (entry.fact for entry in run.live if isinstance(entry.fact, DensityMeasured))
    assert (cup.mass_mg, cup.cup_ul, run.in_bucket_mg) == (1_021_000, 500_000, 20_920_000)
    found = wet_density(run.recipe, run.content, cup, run.in_bucket_mg)
    assert found is not None
    assert found.air_fraction == pytest.approx(0.13793415552731844, rel=1e-12)
    assert found.yield_ratio == pytest.approx(1.1020039897081257, rel=1e-12)
