"""A face coat taken out before the fibres: what is told still goes in is for what is left, worked by hand.

Source: Definition. 10 kg of blend at 0.150 was begun; 1.8 kg of water is in, all of the blend, no fibre. At 0.150 that
takes 12 kg of blend: 13.8 kg of slurry. The face coat is 22 % of it, 3.036 kg; 10.764 kg are left, and fibre at 3 % of
the whole is 3/97 of that, 332.9 g. Of the whole slurry it would be 426.8 g: 3.81 % of what is in then.
"""

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from mixstation.batch.advice import stand, take_out_mg
from mixstation.batch.events import Amount, StepBroughtForward
from mixstation.batch.flag.doses import StockShort
from mixstation.batch.run import Run
from mixstation.batch.targets import project
from mixstation.batch.way import Way, way_taken
from mixstation.batch.ways import ways_out
from mixstation.cli.main import main
from mixstation.recipe.model import Basis, Dose, Recipe, SplitStep
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import DisplayUnits
from mixstation.wording.ways import to_add, way_data, way_line
from tests.batch.ways.bucket import BLEND, begin, limits, per_mille, told, weighed, work

FACE = SplitStep(key="face", layer="face coat", fraction=Fraction(22, 100))
FIBRE_MG = 332_907
FACE_MG = 3_036_000


def recipe() -> Recipe:
    materials = tuple(
        replace(item, dose=Dose(fraction=per_mille(30), of=Basis.TOTAL)) if item.key == "fibre" else item
        for item in BLEND.materials
    )
    place = next(at for at, step in enumerate(BLEND.steps) if step.key.startswith("fibre"))
    steps = (*BLEND.steps[:place], FACE, *BLEND.steps[place:])
    return replace(BLEND, materials=materials, steps=steps)


def too_wet(*, needed_l: float = 0.0) -> Run:
    run = begin(recipe(), {"blend": 10}, needed_l=needed_l)
    run = weighed(run, "water", 1_800_000, "water-80")
    return weighed(run, "blend", 10_000_000, None)


def grown(run: Run) -> Way:
    ways = ways_out(run, limits(run))
    return next(way for way in ways if way.kind in ("grow", "powder-only") and not way.hindrances)


def test_fibre_still_to_add_is_for_what_the_face_coat_leaves() -> None:
    run = too_wet()
    way = grown(run)
    totals = {amount.material: amount.mass_mg for amount in way.totals}
    assert totals["blend"] == pytest.approx(12_000_000, abs=40_000)
    slurry = totals["water"] + totals["blend"]
    fibre_mg = 3 * slurry * 78 / 9700
    assert fibre_mg == pytest.approx(FIBRE_MG, rel=5e-3)
    assert f"{fibre_mg / 1000:.0f} g " in to_add(way, run, DisplayUnits.METRIC)
    assert parse_mass_mg(way_data(way, run)["totals"]["fibre"]) == pytest.approx(fibre_mg, abs=500)
    assert f"{totals['fibre'] / 1000:.0f} g" not in way_line(way, run, DisplayUnits.METRIC)
    end = work(told(run, way_taken(way, "said")), limits(run).divisions_mg)
    assert end.content["fibre"] / end.in_bucket_mg == pytest.approx(0.03, abs=3e-4)
    # What the bucket then asks for is what was told.
    assert end.content["fibre"] == pytest.approx(fibre_mg, abs=1000)


def face_mg(run: Run) -> int:
    """What is asked for as the face coat once the bucket stands at it."""
    run = work(run, limits(run).divisions_mg, until="face")
    out_mg = take_out_mg(stand(run, 1000))
    assert out_mg is not None
    return out_mg


def test_a_planned_face_coat_does_not_grow_with_the_batch() -> None:
    plan_mg = 22 * 11_500_000 // 100
    for run, asked_mg in ((too_wet(needed_l=5.0), plan_mg), (too_wet(), FACE_MG)):
        way = grown(run)
        assert face_mg(told(run, way_taken(way, "said"))) == pytest.approx(asked_mg, rel=4e-3)
    run = too_wet(needed_l=5.0)
    way = grown(run)
    slurry = sum(a.mass_mg for a in way.totals if a.material != "fibre")
    fibre_mg = (slurry - plan_mg) * 3 / 97
    assert f"{fibre_mg / 1000:.0f} g " in to_add(way, run, DisplayUnits.METRIC)


def test_a_planned_face_coat_shrinks_with_the_batch() -> None:
    run = begin(recipe(), {"blend": 10}, needed_l=5.0)
    half = replace(run, kept=Fraction(1, 2))
    assert sum(project(half).totals.values()) < sum(project(run).totals.values())
    step = next(step for step in run.steps if step.key == "face")
    assert isinstance(step, SplitStep)
    out = {key: mass for each, mass in stand(half, 1000).coming if (key := each.key) == "face"}
    assert out["face"] == pytest.approx(22 * 11_500_000 / 200, rel=1e-3)


def test_fibre_brought_before_the_face_coat_is_for_the_whole_bucket_and_so_is_the_stock() -> None:
    """11.5 kg of slurry takes 3/97, 355.7 g, before the face coat is out; behind it 277.4 g would do."""
    run = begin(recipe(), {"blend": 10})
    run = replace(run, start=replace(run.start, stock=(Amount(material="fibre", mass_mg=300_000),)))
    run = work(run, limits(run).divisions_mg, until="mix-2")

    def short_mg(run: Run) -> list[float]:
        return [float(flag.short_mg) for flag in stand(run, 1000).flags if isinstance(flag, StockShort)]

    assert not short_mg(run)
    assert short_mg(told(run, StepBroughtForward(step="fibre-100"))) == [pytest.approx(55_670, abs=10)]


def recovered(capsys: pytest.CaptureFixture[str], tmp_path: Path, **told: object) -> list[dict[str, object]]:
    file = tmp_path / "told.json"
    file.write_text(json.dumps({"recipe": "planter_wall", "powder": "10 kg", **told}))
    assert main(["recover", "--json", str(file)]) == 0
    return list(json.loads(capsys.readouterr().out)["ways"])


@pytest.mark.parametrize("is_out", [False, True])
def test_recover_tells_fibre_by_what_is_left(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, is_out: bool
) -> None:
    """Fibre is 3 % of the bucket in `planter_wall`, whether the 22 % are still to be taken out or are out."""
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    inside = {"water": "1.4 kg", "cement": "4.95 kg", "metakaolin": "0.6 kg", "sand": "4.5 kg"}
    for way in recovered(capsys, tmp_path, **{"in": inside}, layer_out=is_out):
        totals = {key: parse_mass_mg(mass) for key, mass in way["totals"].items()}  # type: ignore[attr-defined]
        if way["way"] == "discard":
            continue
        slurry = sum(mass for key, mass in totals.items() if key != "fibre")
        left = slurry if is_out else slurry * Fraction(78, 100)
        assert totals["fibre"] / (left + totals["fibre"]) == pytest.approx(0.03, abs=2e-4)


def test_recover_knows_by_the_fibre_that_the_face_coat_is_out(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    inside = {"water": "0.9 kg", "cement": "3.9 kg", "fibre": "300 g"}
    told_ways = recovered(capsys, tmp_path, **{"in": inside})
    said_ways = recovered(capsys, tmp_path, **{"in": inside}, layer_out=True)
    assert told_ways == said_ways
