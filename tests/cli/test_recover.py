"""`mixstation recover` by words and by JSON: what is told, what is answered, what is refused."""

import io
import json
import re
from pathlib import Path
from typing import Any

import pytest

from mixstation.cli.main import main
from mixstation.toml.lines import MAX_FILE_BYTE_COUNT
from mixstation.units.parse import parse_mass_mg
from mixstation.wording.safety import IN_SHORT

# Too much of the water for 7 kg of blend, half of which is in: its ratio would end at 1.25/7 = 0.1786, over the
# ceiling of 3.6/25 = 0.144. At the band's 3.45/25 = 0.138 it takes 9.058 kg of blend, 5.558 kg more than is in.
TOLD = {"recipe": "hearth_plate", "powder": "7 kg", "in": {"water": "1.25 kg", "blend": "3,5 kg"}}
WORDS = ("hearth_plate", "--powder", "7 kg", "--in", "water=1.25 kg", "--in", "blend=3,5 kg")


class Out:
    """What the command said to words and to standard input."""

    def __init__(self, capsys: pytest.CaptureFixture[str], *words: str, given: bytes = b"") -> None:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(given), encoding="utf-8"))
            try:
                self.code: object = main(["recover", *words])
            except SystemExit as left:
                self.code = left.code
        said = capsys.readouterr()
        self.out, self.err = said.out, said.err

    @property
    def words(self) -> str:
        """All it said, on one line."""
        return " ".join(f"{self.out} {self.err} {self.code}".split())


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))


def told(**more: object) -> bytes:
    return json.dumps(TOLD | more).encode()


def ways(got: Out) -> list[dict[str, Any]]:
    assert got.code == 0, got.words
    answer = json.loads(got.out)
    assert set(answer) == {"ways", "safety"}
    assert answer["safety"] == IN_SHORT
    return list(answer["ways"])


def kg(way: dict[str, Any], material: str) -> float:
    return parse_mass_mg(way["totals"][material]) / 1e6


def test_by_words(capsys: pytest.CaptureFixture[str]) -> None:
    got = Out(capsys, *WORDS)
    assert got.code == 0
    lines = got.out.splitlines()
    assert lines[0] == IN_SHORT
    numbered = [line for line in lines[1:] if not line.startswith(" ")]
    assert [line.split()[0] for line in numbered] == [str(number) for number in range(1, len(numbered) + 1)]
    assert numbered[0].startswith("1  Raise the totals: Water to 1.250 kg, White casting blend to 9.")
    assert numbered[-2].startswith(
        f"{len(numbered) - 1}  Leave it. Water ends at 0.179 ± 0.001, outside the band."
    )
    # All that is in: 1.25 + 3.5 kg.
    assert numbered[-1].endswith("Discard it: 4.75 kg is lost.")


def test_units_are_those_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    # 4.75 kg is 10.472 lb.
    for units in ("us", "us-pound-ounce"):
        got = Out(capsys, *WORDS, "--units", units, "--bucket", "6 US qt").out
        assert " US gal" in got
        assert " kg" not in got
        assert not re.search(r"\d L\b", got)
    assert "Discard it: 10.472 lb is lost." in Out(capsys, *WORDS, "--units", "us").out


def test_volumes_are_the_same_in_litres_and_gallons(capsys: pytest.CaptureFixture[str]) -> None:
    """A US gallon is 3.785411784 L (NIST SP 811)."""
    metric, us = (Out(capsys, *WORDS, "--units", units).out for units in ("metric", "us"))
    litres = [float(found) for found in re.findall(r"makes ([\d.]+) L", metric)]
    gallons = [float(found) for found in re.findall(r"makes ([\d.]+) US gal", us)]
    assert litres
    assert gallons == [pytest.approx(found / 3.785411784, abs=0.0008) for found in litres]


def test_json_from_a_file_and_from_input_is_the_same_and_closes(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "told.json"
    path.write_bytes(told())
    found = ways(Out(capsys, "--json", str(path)))
    assert ways(Out(capsys, "--json", "-", given=told())) == found
    first = found[0]
    assert (first["way"], first["can_be_taken"], first["barred_by"]) == ("grow", True, [])
    assert kg(first, "water") == 1.25
    assert 3.1 / 25 <= 1.25 / kg(first, "blend") <= 3.45 / 25
    for way in found:
        if way["way"] != "discard":
            assert float(way["water_ratio"]) == pytest.approx(kg(way, "water") / kg(way, "blend"), abs=6e-5)
    # 2.8 % of the whole mix, in whole grams.
    fibre = kg(first, "fibre")
    assert 0.026 <= fibre / (kg(first, "water") + kg(first, "blend") + fibre) <= 0.030
    assert found[-1]["way"] == "discard"
    assert found[-1]["wasted"] == "4.75 kg"


def test_words_add_to_what_the_json_says(capsys: pytest.CaptureFixture[str]) -> None:
    without = {key: value for key, value in TOLD.items() if key != "powder"}
    words = ("--powder", "7 kg", "--json", "-")
    assert ways(Out(capsys, *words, given=json.dumps(without).encode())) == ways(
        Out(capsys, "--json", "-", given=told())
    )


def test_a_way_that_the_stock_bars_is_named_with_what_is_short(capsys: pytest.CaptureFixture[str]) -> None:
    found = ways(Out(capsys, "--json", "-", given=told(stock={"blend": "2 kg"})))
    barred = [way for way in found if way["barred_by"]]
    assert [way["way"] for way in barred] == ["grow"]
    assert not barred[0]["can_be_taken"]
    short_kg = kg(barred[0], "blend") - 3.5 - 2
    assert barred[0]["barred_by"] == [f"Barred: you have {short_kg:.3f} kg too little White casting blend."]
    # What can be done comes first.
    assert [way["can_be_taken"] for way in found] == sorted(
        (way["can_be_taken"] for way in found), reverse=True
    )
    got = Out(capsys, *WORDS, "--stock", "blend=2 kg")
    assert got.out.count("Barred: ") == 1


SHOP_FILE = """
[[scale]]
name = "floor scale"
capacity = "60 kg"
division = "50 g"

[[scale]]
name = "fine scale"
capacity = "2 kg"
division = "0.5 g"

[bucket]
volume = "9 L"
limit = "1/2"
"""


def in_steps(way: dict[str, Any], material: str, step_mg: int) -> bool:
    return parse_mass_mg(way["totals"][material]) % step_mg == 0


def test_scales_and_bucket_are_those_on_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    first = ways(Out(capsys, "--json", "-", given=told()))[0]
    assert not in_steps(first, "blend", 50_000)
    config = tmp_path / "home" / "config"
    config.mkdir(parents=True)
    (config / "settings.toml").write_text(SHOP_FILE)
    found = ways(Out(capsys, "--json", "-", given=told()))
    # Half of 9 L: what would make 4.85 L and more does not go in.
    grown = next(way for way in found if way["way"] == "grow")
    assert any("too full" in line for line in grown["barred_by"])
    wide = ways(Out(capsys, "--json", "-", given=told(bucket="30 L")))[0]
    assert (wide["way"], wide["can_be_taken"]) == ("grow", True)
    # The blend in the steps of the large scale; the fibre, too little for it, in those of the fine one.
    assert in_steps(wide, "blend", 50_000)
    assert in_steps(wide, "fibre", 500)
    assert not in_steps(wide, "fibre", 50_000)
    # A division that is told is that of the scale there is, for everything.
    coarse = ways(Out(capsys, "--json", "-", given=told(bucket="30 L", division="50 g")))[0]
    assert in_steps(coarse, "fibre", 50_000)


def test_nothing_goes_into_a_mix_that_stiffens(capsys: pytest.CaptureFixture[str]) -> None:
    for words, given in (((), told(stiffening=True)), (("--stiffening",), told())):
        found = ways(Out(capsys, "--json", "-", *words, given=given))
        assert {way["way"] for way in found} == {"discard", "leave"}
        assert {way["takes"] for way in found} == {"0 s"}


def test_every_way_says_the_minutes_it_takes_and_those_left(capsys: pytest.CaptureFixture[str]) -> None:
    """Blend and fibre are still to be weighed in, 45 s each, and a minute of mixing: 150 s."""
    grow = ways(Out(capsys, "--json", "-", given=told(left="9 min")))[0]
    assert (grow["way"], grow["takes"], grow["working_time_left"]) == ("grow", "150 s", "390 s")
    assert "takes at least 2 min 30 s; 6 min of working time left after it" in grow["detail"]
    untold = ways(Out(capsys, "--json", "-", given=told()))[0]
    assert (untold["takes"], untold["working_time_left"]) == ("150 s", None)
    assert "takes at least 2 min 30 s" in untold["detail"]


@pytest.mark.parametrize(("left", "past"), [("0 min", "2 min 30 s"), ("2 min", "30 s"), ("149 s", "1 s")])
def test_a_way_that_takes_longer_than_is_left_is_barred(
    capsys: pytest.CaptureFixture[str], left: str, past: str
) -> None:
    found = ways(Out(capsys, "--json", "-", given=told(left=left)))
    assert [(way["way"], way["can_be_taken"]) for way in found] == [
        ("discard", True),
        ("grow", False),
        ("grow", False),
        ("leave", False),
    ]
    for way in found[1:]:
        assert way["barred_by"] == [f"Barred: it would end {past} past the working time you told."]
        assert f"takes at least 2 min 30 s; {past} past the working time" in way["detail"]
        # The time was told: nothing is estimated.
        assert not any("estimate" in line for line in way["detail"])


def test_a_way_that_just_fits_is_open(capsys: pytest.CaptureFixture[str]) -> None:
    found = ways(Out(capsys, "--json", "-", given=told(left="150 s")))
    assert (found[0]["way"], found[0]["can_be_taken"]) == ("grow", True)
    assert "takes at least 2 min 30 s; no working time left after it" in found[0]["detail"]


def test_a_way_that_adds_nothing_takes_no_time(capsys: pytest.CaptureFixture[str]) -> None:
    found = ways(Out(capsys, "--json", "-", given=told(left="0 min")))
    assert (found[0]["way"], found[0]["takes"]) == ("discard", "0 s")
    assert not any("takes" in line for line in found[0]["detail"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("hearth_plate",), "say powder, in"),
        ((), "say recipe, powder, in"),
        ((*WORDS, "--in", "lime=1 kg"), "this recipe has no lime; it has blend, fibre, water"),
        ((*WORDS, "--stock", "lime=1 kg"), "this recipe has no lime; it has blend, fibre, water"),
        ((*WORDS, "--in", "fibre"), "'fibre': write MATERIAL=MASS"),
        ((*WORDS, "--in", "water=100 g"), "'water' is said twice"),
        ((*WORDS, "--in", "fibre=0 g"), "must be > 0 g"),
        ((*WORDS, "--division", "0 g"), "must be ≥ 1 mg"),
        ((*WORDS, "--bucket", "0 L"), "must be ≥ 0.5 L"),
        ((*WORDS, "--stock", "blend=-1 kg"), "must be ≥ 0 g"),
        ((*WORDS, "--left", "soon"), "“soon”"),
        ((*WORDS, "--in", "fibre=9999999 kg"), "≤ 2500 kg; found “9999999 kg”"),
        (("hearth_plat", *WORDS[1:]), "There is no recipe “hearth_plat”"),
        ((WORDS[0], "--powder", "7 litres", *WORDS[3:]), "mass"),
    ],
)
def test_words_that_cannot_be_answered(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    got = Out(capsys, *words)
    assert got.code in (1, 2)
    assert said in got.words
    assert got.out == ""


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (b"", "not JSON"),
        (b"{", "not JSON"),
        (b"[" * 100_000, "not JSON"),
        (b"\xff{}", "not UTF-8"),
        (b"[]", "must be an object of"),
        (told(colour="red"), "must be an object of"),
        (told(powder=7), '"powder" must be text with its unit'),
        (told(powder="1e999999999 kg"), "“e” is no unit known here"),
        (told(**{"in": {"water": "１ kg"}}), "holds a sign that is no number"),
        (b'{"powder": ' + b"9" * 5_000 + b"}", "not JSON"),
        (told(powder=float("nan")), '"powder" must be text with its unit'),
        (told(stiffening="no"), '"stiffening" must be true or false'),
        (told(**{"in": {"water": 1}}), '"in" must be an object of masses as text'),
        (told(**{"in": ["water"]}), '"in" must be an object of masses as text'),
        (told(**{"in": {}}), "say in"),
        (told(**{"in": {"lime\x1b[2J": "1 kg"}}), "this recipe has no lime\ufffd[2J"),
        (told(**{"in": {"\ud800": "1 kg"}}), "this recipe has no \ufffd"),
        (b'{"powder": "7 kg", "powder": "8 kg"}', "'powder' is said twice"),
        (b'{"in": {"water": "1 kg", "water": "2 kg"}}', "'water' is said twice"),
        (b" " * (MAX_FILE_BYTE_COUNT + 1), "more than 256 KiB"),
    ],
)
def test_rubbish_is_refused_in_words(capsys: pytest.CaptureFixture[str], given: bytes, said: str) -> None:
    got = Out(capsys, "--json", "-", given=given)
    assert got.code not in (0, None)
    assert said in got.words
    assert got.out == ""
    assert "\x1b" not in got.words


def test_files_that_cannot_be_read(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.json"
    wrong.write_bytes(b"\xff")
    large = tmp_path / "large.json"
    large.write_bytes(told() + b"\n" * MAX_FILE_BYTE_COUNT)
    for path, said in (
        (tmp_path / "none.json", "There is no such file."),
        (tmp_path, "This is no ordinary file"),
        (wrong, "UTF-8"),
        (large, "larger than 262144 bytes"),
    ):
        got = Out(capsys, "--json", str(path))
        assert got.code == 1
        assert said in got.words, got.words
        assert str(path) in got.words
