"""A settings file that is damaged is said, and bars no way to a bucket."""

from pathlib import Path

import pytest

from mixstation.cli.settings_file import OPTIONS, as_far_as_read, read_settings, settings_path
from mixstation.cli.shop_file import read_shop
from mixstation.toml.lines import FileRefused
from mixstation.wording.error_lines import error_line
from tests.cli.driven import drive

SOUND = """who = "Ida"
hands_free = "6 s"
division = "5 g"

[[scale]]
name = "floor"
capacity = "30 kg"
division = "5 g"

[[scale]]
name = "bench"
capacity = "3 kg"
division = "1 g"

[bucket]
volume = "24 L"
"""
DAMAGE = (
    ('hands_free = "6 s"', 'hands_free = "999999 h"', {"who": "Ida", "division": "5 g", "bucket": "24 L"}, 2),
    ('hands_free = "6 s"', "hands_free = ", {"who": "Ida", "division": "5 g", "bucket": "24 L"}, 2),
    ('division = "5 g"', 'division = "0 g"', {"who": "Ida", "hands_free": "6 s", "bucket": "24 L"}, 2),
    ('who = "Ida"', 'whom = "Ida"', {"hands_free": "6 s", "division": "5 g", "bucket": "24 L"}, 2),
    ('capacity = "30 kg"', "", None, 1),
    ('capacity = "30 kg"', 'capacity = "30', None, 1),
    ('volume = "24 L"', 'volume = "0 L"', {"who": "Ida", "hands_free": "6 s", "division": "5 g"}, 2),
)
MIX = ("mix", "hearth_plate", "--powder", "8 kg", "--plain")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    settings_path().parent.mkdir(parents=True)
    return tmp_path


@pytest.mark.parametrize(("old", "new", "options", "scale_count"), DAMAGE)
def test_what_can_be_read_counts(
    old: str, new: str, options: dict[str, str] | None, scale_count: int
) -> None:
    settings_path().write_text(SOUND.replace(old, new, 1), "utf-8")
    found, faults = as_far_as_read(read_settings)
    shop, more = as_far_as_read(read_shop)
    assert faults or more
    assert options is None or found == options
    assert len(shop.scales) == scale_count


@pytest.mark.parametrize(("old", "new", "options", "scale_count"), DAMAGE)
def test_the_way_to_a_bucket_and_back_stays_open(
    old: str, new: str, options: dict[str, str] | None, scale_count: int
) -> None:
    del scale_count
    settings_path().write_text(SOUND.replace(old, new, 1), "utf-8")
    for words in (MIX, ("resume", "--plain")):
        went = drive(*words)
        assert went.code == 0, went.said
        assert "start again and go on from there" in went.said
        if options is not None and words is MIX:
            # Once beside the command, and once with the batch.
            assert went.said.count("The settings file is damaged") >= 2
            assert "settings.toml:" in went.said
    assert options is None or "who" not in options or drive("records").code == 0


def test_a_sound_file_and_none_say_nothing() -> None:
    assert as_far_as_read(read_settings) == ({}, ())
    settings_path().write_text(SOUND, "utf-8")
    assert "damaged" not in drive(*MIX).said


def test_what_is_no_file_at_all_is_said() -> None:
    settings_path().mkdir()
    went = drive(*MIX)
    assert went.code == 0
    assert "no ordinary file" in went.said


@pytest.mark.parametrize("key", OPTIONS)
def test_a_hint_is_of_its_own_key_and_can_be_taken(key: str) -> None:
    for wrong in ("3", '"\\u0000"', "[]"):
        if wrong == '"\\u0000"' and key in ("who", "port", "profile"):
            continue
        with pytest.raises(FileRefused) as refused:
            read_settings(f"{key} = {wrong}\n", "settings.toml")
        line = str(error_line(refused.value)).splitlines()[0]
        if "Write: " in line:
            hint = line.rpartition("Write: ")[2]
            assert hint.startswith(f"{key} = "), line
            assert key in read_settings(hint + "\n", "settings.toml")
        else:
            assert "It can be" in line or "can only be" in line or "must be true" in line, line
