"""A plan as data: any JSON writer takes it, and its quantities read back."""

import json
from dataclasses import replace
from fractions import Fraction
from typing import Any

from mixstation.plan.as_data import plan_data
from mixstation.plan.buckets import Bucket
from mixstation.plan.checks import YieldClaim
from mixstation.plan.dosing import Scale
from mixstation.plan.job import plan_job
from mixstation.plan.job_parts import ForBags, ForPieces, JobPlan, JobRequest, Shop
from mixstation.plan.pieces import Piece, coats
from mixstation.plan.shapes import Slab
from mixstation.plan.stock import StockLine
from mixstation.plan.temperature import Climate
from mixstation.units.parse import parse_mass_mg, parse_temperature_c, parse_volume_ml
from tests.plan.recipes import raw_recipe

BENCH_TOP = Piece(name="bench top", shape=Slab(length_mm=700, width_mm=450), layers=coats(18, 3), count=3)
COARSE = Scale(name="only", capacity_mg=30_000_000, division_mg=2000)
SHOP = Shop(bucket=Bucket(volume_l=18.0), scales=(COARSE,), tub_tare_mg=200_000)


def full_plan() -> JobPlan:
    return plan_job(
        JobRequest(
            recipe=raw_recipe(),
            amount=ForPieces(pieces=(BENCH_TOP,)),
            shop=SHOP,
            climate=Climate(shop_c=31.0, water_c=14.0, wanted_c=20.0, humidity_fraction=0.2, wind_kmh=12.0),
            claim=YieldClaim(mass_mg=10_000_000, of="mix", claimed_l=2.0),
            density_kg_m3=1900.0,
            stock=(StockLine(material="cement", lot="7", mass_mg=9_000_000, pack_mg=25_000_000),),
        )
    )


def test_everything_is_plain_and_takes_the_round_trip() -> None:
    data = plan_data(full_plan())
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_no_bare_fractions_of_anything() -> None:
    def walk(value: Any) -> None:
        assert not isinstance(value, float)
        for each in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
            walk(each)

    walk(plan_data(full_plan()))


def test_masses_read_back_exactly() -> None:
    plan = full_plan()
    data = plan_data(plan)
    assert {key: parse_mass_mg(text) for key, text in data["totals"].items()} == dict(plan.totals)
    for bucket, shown in zip(plan.buckets, data["buckets"], strict=True):
        assert {key: parse_mass_mg(text) for key, text in shown["powders"].items()} == dict(bucket.powders)
        weighed = [(line["step"], parse_mass_mg(line["mass"])) for line in shown["weigh out"]]
        assert weighed == [(line.step, line.mass_mg) for line in bucket.weigh_outs]
    assert abs(float(parse_volume_ml(data["volume"]["mixed"])) / 1000 - plan.volume.mixed_l) < 1e-4


def test_what_the_day_and_the_stock_say() -> None:
    plan = full_plan()
    data = plan_data(plan)
    assert plan.temperature is not None
    mix_c = parse_temperature_c(data["temperature"]["mix"])
    assert abs(float(mix_c) - plan.temperature.mix_c) <= 0.05
    assert data["stock"][0]["takes"] == [{"lot": "7", "mass": "9000 g", "packs opened": 0}]
    assert data["claimed yield"]["contradicted"] is True
    assert data["cost"]["total"].endswith(" EUR")
    assert data["timing"]["backing from"].endswith(" min")
    dilutions = [each for each in data["weighing"] if "dilution" in each]
    assert [each["material"] for each in dilutions] == ["plasticiser"]


def test_cautions_carry_their_units() -> None:
    cautions = {caution["code"]: caution for caution in plan_data(full_plan())["cautions"]}
    assert cautions["short"]["about"] in {"cement", "sand", "emulsion", "plasticiser", "ochre", "fibre"}
    assert cautions["short"]["values"]["short_mg"].endswith(" g")
    assert cautions["yield-contradicts"]["values"]["claimed_l"] == "2 L"
    assert cautions["yield-contradicts"]["values"]["deviation_fraction"].endswith(" %")


def test_what_a_caution_is_about_stands_once_and_every_figure_has_its_unit() -> None:
    cold = plan_job(
        JobRequest(
            recipe=raw_recipe(),
            amount=ForBags(material="cement", count=Fraction(1, 5)),
            shop=replace(SHOP, bucket=Bucket(volume_l=14.0)),
            bucket_count=1,
            climate=Climate(shop_c=7.0),
            stock=(),
        )
    )
    cautions = plan_data(cold)["cautions"]
    told = {caution["code"]: caution for caution in cautions}
    assert told["air-below-film-forming"]["values"] == {"found_c": "7 °C", "limit_c": "10 °C"}
    assert told["bucket-above-easy"]["about"] == "1"
    assert set(told["bucket-above-easy"]["values"]) == {"held_l", "easy_l"}
    assert told["short"]["about"] not in told["short"]["values"].values()
    for caution in cautions:
        assert not {"material", "piece", "bucket_number", "scale_name"} & caution["values"].keys()
        assert caution["source"]


def test_what_was_not_asked_is_none() -> None:
    plan = plan_job(
        JobRequest(
            recipe=raw_recipe(split=False), amount=ForBags(material="cement", count=Fraction(1, 5)), shop=SHOP
        )
    )
    data = plan_data(plan)
    nothing = ("claimed yield", "stock", "temperature", "timing", "limited by")
    assert [data[name] for name in nothing] == [None] * 5
    assert data["pieces"] == []


def test_hostile_names_stay_text() -> None:
    plan = full_plan()
    hostile = replace(plan.request.recipe, name='"},\n{"a": 1')
    again = replace(plan, request=replace(plan.request, recipe=hostile))
    assert json.loads(json.dumps(plan_data(again)))["recipe"]["name"] == '"},\n{"a": 1'
