"""The settings file: options, and the tables of the shop; every fault with its file and line."""

import argparse
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.batch.terms import Weighing
from mixstation.cli.bench_words import add_bench_words, litres, read, settings_of
from mixstation.cli.settings_file import OPTIONS, own_settings, settings_path
from mixstation.cli.shop_file import own_shop, read_shop
from mixstation.plan.buckets import Bucket
from mixstation.plan.dosing import Scale
from mixstation.plan.job_parts import LOSS_PER_BUCKET_MG, Shop
from mixstation.plan.timing import LayerWindow
from mixstation.plan.vessels import VesselOnFile
from mixstation.scale.profile_folder import find_profile
from mixstation.toml.lines import FileRefused
from mixstation.units.parse import parse_temperature_c
from mixstation.wording.error_lines import error_line

YARD = """
units = "metric"
who = "Ida"
shop = "14 °C"

[[scale]]
name = "floor"
capacity = "30 kg"
division = "5 g"
checked = 2026-03-02

[[scale]]
name = "bench"
capacity = "6,6 lb"
division = "1 g"
checked = "2026-03-03"

[bucket]
volume = "24 L"
empty = "0.9 kg"
easy = "40 %"
limit = "2/3"
loss = "400 g"

[plan]
waste = "7,5 %"
tub = "200 g"
backing_after = "12 min to 25 min"
placing = "8 min"
"""


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    return tmp_path


def write(text: str) -> None:
    settings_path().parent.mkdir(parents=True, exist_ok=True)
    settings_path().write_text(text, "utf-8")


def test_the_whole_shop() -> None:
    write(YARD)
    assert own_shop() == Shop(
        bucket=Bucket(
            volume_l=24.0, tare_mg=900_000, easy_fraction=Fraction(2, 5), limit_fraction=Fraction(2, 3)
        ),
        scales=(
            Scale(name="floor", capacity_mg=30_000_000, division_mg=5_000, checked=date(2026, 3, 2)),
            Scale(name="bench", capacity_mg=2_993_710, division_mg=1_000, checked=date(2026, 3, 3)),
        ),
        tub_tare_mg=200_000,
        vessels=(
            VesselOnFile(name="", kind="bucket", empty_mg=900_000, volume_l=24.0),
            VesselOnFile(name="", kind="tub", empty_mg=200_000),
        ),
        waste_fraction=Fraction(75, 1000),
        loss_per_bucket_mg=400_000,
        window=LayerWindow(from_min=12.0, to_min=25.0),
        place_min=8.0,
    )


def test_vessels_with_names_stand_beside_the_bucket_and_in_place_of_any_tub() -> None:
    write(
        YARD
        + """
[[vessel]]
name = "white tub"
kind = "tub"
empty = "310 g"

[[vessel]]
name = "small pail"
kind = "bucket"
empty = "1,5 lb"
volume = "12 L"
"""
    )
    assert own_shop().vessels == (
        VesselOnFile(name="", kind="bucket", empty_mg=900_000, volume_l=24.0),
        VesselOnFile(name="white tub", kind="tub", empty_mg=310_000),
        VesselOnFile(name="small pail", kind="bucket", empty_mg=680_389, volume_l=12.0),
    )


def test_options_are_read_beside_the_tables() -> None:
    write(YARD)
    assert own_settings() == {"units": "metric", "who": "Ida", "shop": "14 °C", "bucket": "24 L"}
    write('bucket = "19 L"')
    assert own_settings() == {"bucket": "19 L"}
    assert own_shop().bucket.volume_l == 19.0


def test_what_may_be_written_for_each_option_can_be_used() -> None:
    write("\n".join(f"{key} = {of.example}" for key, of in OPTIONS.items()))
    parser = argparse.ArgumentParser()
    add_bench_words(parser)
    given = read(parser, [])
    assert settings_of(given).decimal_comma
    said = own_settings()
    assert said.keys() == OPTIONS.keys()
    assert find_profile(str(said["profile"])).name == given.profile
    assert said["weigh"] in get_args(Weighing)
    assert litres(str(said["bucket"])) == own_shop().bucket.volume_l
    assert parse_temperature_c(str(said["shop"])) == 18


def test_without_a_file_the_usual() -> None:
    assert own_settings() == {}
    assert own_shop() == Shop(bucket=Bucket(volume_l=30.0))
    assert own_shop().loss_per_bucket_mg == LOSS_PER_BUCKET_MG


@pytest.mark.parametrize(
    ("old", "new", "line", "said"),
    [
        ('capacity = "30 kg"', 'capacity = "30"', 8, "needs a unit"),
        ('capacity = "30 kg"', "capacity = 30", 8, "must be text in quotation marks"),
        ('capacity = "30 kg"', 'kapacity = "30 kg"', 8, "Did you mean “capacity”?"),
        ('capacity = "30 kg"', "", 6, "capacity is missing"),
        ('capacity = "30 kg"', 'capacity = "4 g"', 9, "below its capacity"),
        ('division = "5 g"', 'division = "50 kg"', 9, "division must be ≥ 1 mg, ≤ 1 kg"),
        ("checked = 2026-03-02", 'checked = "last spring"', 10, "year first; found “last spring”"),
        ("checked = 2026-03-02", "checked = 2026-03-02T10:00:00", 10, "year first"),
        ("checked = 2026-03-02", "checked = true", 10, "year first"),
        ('volume = "24 L"', 'volume = "24 gal"', 19, "Which “gal”?"),
        ('volume = "24 L"', 'volume = "0 L"', 19, "must be"),
        ('easy = "40 %"', 'easy = "90 %"', 22, "easy cannot be more than limit"),
        ('waste = "7,5 %"', 'waste = "7,5"', 26, "Did you mean “7,5 %”?"),
        (
            'backing_after = "12 min to 25 min"',
            'backing_after = "25 min to 12 min"',
            28,
            "the first is the larger",
        ),
        ("[plan]", "[[plan]]", 25, "plan must be a table"),
    ],
)
def test_every_fault_stands_on_its_line(old: str, new: str, line: int, said: str) -> None:
    write(YARD.replace(old, new, 1))
    with pytest.raises(FileRefused) as refused:
        own_shop()
    text = str(error_line(refused.value))
    assert f"settings.toml:{line}: " in text
    assert said in text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('unit = "us"', "Did you mean “units”?"),
        ("who = 3", "must be text in quotation marks"),
        ('decimal_comma = "yes"', "decimal_comma must be true or false"),
        ('scale = "floor"', "scale must be a list of tables. Write: [[scale]]"),
        ("bucket = 30", "must be text in quotation marks"),
        ("who = ", "This is not TOML"),
    ],
)
def test_options_that_cannot_be(text: str, said: str) -> None:
    write(text)
    with pytest.raises(FileRefused) as refused:
        own_settings()
    assert "settings.toml:1: " in str(error_line(refused.value))
    assert said in str(error_line(refused.value))


def test_one_scale_is_a_list_of_one() -> None:
    write('[scale]\nname = "floor"\n')
    with pytest.raises(FileRefused) as refused:
        own_shop()
    assert "settings.toml:1: scale must be a list of tables. Write: [[scale]]" in str(
        error_line(refused.value)
    )


@given(st.text(max_size=200))
def test_any_text_is_a_shop_or_a_refusal_that_can_be_said(text: str) -> None:
    try:
        shop = read_shop(text, "settings.toml")
    except FileRefused as refused:
        assert error_line(refused)  # noqa: PT017 - either outcome is right
    else:
        assert shop.bucket.limit_l > 0
