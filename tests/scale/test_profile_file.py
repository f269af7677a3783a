"""Profiles from files: what is shipped, and what is refused, at which line."""

from pathlib import Path

import pytest

from mixstation.scale.faults import SampleRefused
from mixstation.scale.profile import EnclosedFraming, LeadFraming, Poll, Profile
from mixstation.scale.profile_file import load_profile
from mixstation.scale.profile_folder import all_profiles, find_profile, own_folder, profile_paths
from mixstation.toml.lines import FileFault, FileRefused

from .conftest import PROFILES

GOOD = """\
title = "Weight and unit"
fields = [
  { kind = "number" },
  { kind = "spaces" },
  { kind = "unit", of = { kg = "kg" } },
]

[frame]
kind = "line"

[[sample]]
frame = "12.5 kg"
mass = "12.5 kg"

[[refuse]]
frame = "12.5"
"""


def faults(tmp_path: Path, text: str) -> tuple[FileFault, ...]:
    path = tmp_path / "some.toml"
    path.write_text(text)
    with pytest.raises(FileRefused) as caught:
        load_profile(path)
    return caught.value.faults


def changed(old: str, new: str) -> str:
    assert old in GOOD
    return GOOD.replace(old, new, 1)


def test_good_file_loads(tmp_path: Path) -> None:
    path = tmp_path / "some.toml"
    path.write_text(GOOD)
    profile = load_profile(path)
    assert profile.name == "some"
    assert profile.serial.baud == 9600
    assert [data for data, _ in profile.samples] == [b"12.5 kg"]


@pytest.mark.parametrize(
    ("old", "new", "line", "code"),
    [
        ('title = "Weight and unit"', "", 0, "key-missing"),
        ("title", 'titel = "x"\ntitle', 1, "unknown-key"),
        ('title = "Weight and unit"', "title = 5", 1, "not-text"),
        ('title = "Weight and unit"', 'title = ""', 1, "empty"),
        ('kind = "number"', 'kind = "nummer"', 3, "not-one-of"),
        ('kind = "number"', 'kind = "number", widht = 8', 3, "unknown-key"),
        ('kind = "number"', 'kind = "number", width = 99', 3, "out-of-range"),
        ('kind = "number"', 'kind = "number", width = "8"', 3, "not-whole"),
        ('kind = "number"', 'kind = "number", width = true', 3, "not-whole"),
        ('kind = "number"', 'kind = "number", signed = 1', 3, "not-true-or-false"),
        ('kind = "number"', 'kind = "number", instead = {OL = "steady"}', 3, "instead-without-fault"),
        ('kind = "number"', 'kind = "number", instead = {}', 3, "text-count"),
        ('kind = "number"', 'kind = "number", decimal_mark = "none"', 3, "key-missing"),
        ('kind = "number"', 'kind = "number", decimals = 2', 3, "unknown-key"),
        ('kind = "spaces"', 'kind = "spaces", least = 3, most = 2', 4, "out-of-range"),
        ('kind = "spaces"', 'kind = "spaces", least = 0, most = 0', 4, "out-of-range"),
        ('kind = "number"', 'kind = "literal"', 3, "key-missing"),
        ('kind = "number"', 'kind = "skip", count = 4', 2, "number-count"),
        ('kind = "spaces"', 'kind = "choice", of = {S = "stedy"}', 4, "meaning-unknown"),
        ('kind = "spaces"', 'kind = "choice", of = {"\u20ac" = "steady"}', 4, "not-latin"),
        ('kind = "spaces"', 'kind = "check", method = "xor"', 2, "check-byte-place"),
        ('{ kind = "spaces" }', '"spaces"', 4, "not-tables"),
        ('{ kg = "kg" }', '{ kg = "kilo" }', 5, "not-one-of"),
        ('{ kg = "kg" }', '"kg"', 5, "not-a-table"),
        ('  { kind = "unit", of = { kg = "kg" } },', "", 2, "unit-unsaid"),
        ('kind = "line"', 'kind = "lines"', 9, "not-one-of"),
        ('kind = "line"', 'kind = "lead"\nlead = "="\nlength = 3\nafter = 2', 11, "lead-length"),
        ("[frame]", '[poll]\nrequest = "W"\ninterval = "fast"\n[frame]', 10, "bad-number"),
        ("[frame]", '[poll]\nrequest = "W"\ninterval = "1 min"\n[frame]', 10, "out-of-range"),
        ("[frame]", '[serial]\nparity = "evn"\n[frame]', 9, "not-one-of"),
        ('frame = "12.5 kg"', 'frame = "12.5 lb"', 12, "sample-refused"),
        ('frame = "12.5 kg"', 'frame = "12.5 kg\\r\\n12.5 kg"', 12, "sample-frames"),
        ('mass = "12.5 kg"', 'mass = "12.6 kg"', 13, "sample-differs"),
        ('mass = "12.5 kg"', 'mass = "12500 g"', 12, "sample-differs"),
        ('mass = "12.5 kg"', 'mass = "12.5 kg"\nmotion = "steady"', 14, "sample-differs"),
        ('mass = "12.5 kg"', 'mass = "12.5 kg"\ndivision = "1 g"', 14, "sample-differs"),
        ('mass = "12.5 kg"', 'mass = "much"', 13, "bad-number"),
        ('mass = "12.5 kg"', "", 12, "sample-empty"),
        ('frame = "12.5"', 'frame = "12.6 kg"', 16, "refuse-read"),
        ('[[refuse]]\nframe = "12.5"', "", 0, "key-missing"),
        ('[[sample]]\nframe = "12.5 kg"\nmass = "12.5 kg"', "", 0, "key-missing"),
        ('kind = "line"', 'kind = "line', 9, "toml-syntax"),
    ],
)
def test_each_fault_stands_on_its_line(tmp_path: Path, old: str, new: str, line: int, code: str) -> None:
    found = faults(tmp_path, changed(old, new))
    assert (line, code) in [(fault.line, fault.code) for fault in found]


def test_fault_says_what_to_write(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, changed('kind = "number"', 'kind = "number", widht = 8'))
    assert fault.line_text == '  { kind = "number", widht = 8 },'
    assert (fault.key, fault.place) == ("widht", "fields[1].widht")
    assert fault.told.suggestion == "width"


def test_all_faults_come_together(tmp_path: Path) -> None:
    text = changed('kind = "line"', 'kind = "lines"').replace('kind = "spaces"', 'kind = "space"')
    assert [(fault.line, fault.code) for fault in faults(tmp_path, text)] == [
        (4, "not-one-of"),
        (9, "not-one-of"),
    ]


def test_a_sample_with_a_key_that_cannot_be_read_is_tried_all_the_same(tmp_path: Path) -> None:
    text = changed('mass = "12.5 kg"', 'mass = "much"\nmotion = "steady"\ntare_mark = "nett"')
    assert [(fault.line, fault.code) for fault in faults(tmp_path, text)] == [
        (13, "bad-number"),
        (14, "sample-differs"),
        (15, "not-one-of"),
    ]


def test_of_fields_that_cannot_be_read_none_is_said_to_be_missing(tmp_path: Path) -> None:
    found = faults(tmp_path, changed('kind = "number"', 'kind = "nummer"').replace('{ kg = "kg" }', "{}"))
    assert [(fault.line, fault.code) for fault in found] == [(3, "not-one-of"), (5, "text-count")]


def test_a_sample_that_fails_says_where(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, changed('frame = "12.5 kg"', 'frame = "12.5 lb"'))
    assert (fault.key, fault.place, fault.example) == ("frame", "sample[1].frame", '"..."')
    assert fault.told == SampleRefused(frame="12.5 lb", reason="unit-unknown", at_number=6, field_number=3)


def test_shipped_profiles_cover_the_shapes() -> None:
    assert set(PROFILES) == set(profile_paths())
    framings = {type(profile.framing).__name__ for profile in PROFILES.values()}
    assert framings == {"LineFraming", EnclosedFraming.__name__, LeadFraming.__name__}
    assert PROFILES["polled-line"].poll == Poll(request=b"W\r\n", interval_s=0.1)


def test_shipped_profiles_show_each_fault_and_motion(profile: Profile) -> None:
    samples = [shown for _, shown in profile.samples]
    assert any(shown.fault for shown in samples)
    assert any(shown.count is not None and shown.count < 0 for shown in samples)


class TestFolders:
    def test_own_profile_hides_a_shipped_one(self) -> None:
        folder = own_folder()
        folder.mkdir(parents=True)
        (folder / "value-unit-line.toml").write_text(GOOD)
        (folder / "bench.toml").write_text(GOOD)
        assert find_profile("value-unit-line").title == "Weight and unit"
        assert {"bench", "polled-line"} < set(profile_paths())

    def test_a_bad_profile_stops_no_other(self) -> None:
        folder = own_folder()
        folder.mkdir(parents=True)
        (folder / "bad.toml").write_text("title = ")
        profiles, found = all_profiles()
        assert {profile.name for profile in profiles} == set(PROFILES)
        assert [fault.code for fault in found] == ["toml-syntax"]

    def test_by_path(self, tmp_path: Path) -> None:
        (tmp_path / "mine.toml").write_text(GOOD)
        assert find_profile(str(tmp_path / "mine.toml")).name == "mine"

    def test_unknown_name_suggests(self) -> None:
        with pytest.raises(FileRefused) as caught:
            find_profile("poled-line")
        (fault,) = caught.value.faults
        assert (fault.code, fault.told.suggestion) == ("profile-unknown", "polled-line")
