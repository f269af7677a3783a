"""`mixstation plan` and `mix --plan` by words: what is printed, what is kept, what is refused."""

import json
from pathlib import Path

import pytest

from mixstation.cli.main import main
from mixstation.cli.plan_words import sizes_mm
from mixstation.planning.kept import kept_ids
from mixstation.units.errors import UnitsError
from mixstation.wording.plan_sections import TAKE_OUT_HEAD
from mixstation.wording.safety import IN_SHORT

PLATE = ("hearth_plate", "--slab", "700 x 450 x 18 mm", "--face", "3 mm", "--name", "hearth plate")

SETTINGS = """
[[scale]]
name = "floor"
capacity = "30 kg"
division = "5 g"
checked = 2026-03-02

[[scale]]
name = "bench"
capacity = "3 kg"
division = "1 g"
checked = 2026-03-02

[bucket]
volume = "20 L"
empty = "900 g"
"""

PIECES = """
[[piece]]
name = "planter wall"
count = 4
shape = "slab"
length = "900 mm"
width = "350 mm"
thickness = "14 mm"
face_coat = "3 mm"
"""


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def settings(home: Path) -> None:
    (home / "config").mkdir(parents=True)
    (home / "config" / "settings.toml").write_text(SETTINGS, "utf-8")


class Out:
    """What a command said."""

    def __init__(self, capsys: pytest.CaptureFixture[str], *words: str) -> None:
        try:
            self.code: object = main([*words])
        except SystemExit as left:
            self.code = left.code
        said = capsys.readouterr()
        self.out, self.err = said.out, said.err


def test_a_plan_with_its_drawing(capsys: pytest.CaptureFixture[str]) -> None:
    got = Out(capsys, "plan", *PLATE, "--count", "2", "--shop", "16 °C", "--bucket", "20 L")
    assert got.code == 0
    assert got.out.startswith("hearth plate, from above\n|<-")
    for words in ("700 mm", "Weigh out", TAKE_OUT_HEAD, "The mix will be about 16 °C", "Cost"):
        assert words in got.out


@pytest.mark.usefixtures("settings")
def test_scales_and_bucket_come_from_the_settings(capsys: pytest.CaptureFixture[str]) -> None:
    got = Out(capsys, "plan", "planter_wall", "--slab", "700 x 450 x 18 mm", "--count", "2")
    assert "floor, in the bucket" in got.out
    assert "bench, in a tub" in got.out
    assert "bucket 2" in got.out
    small = Out(capsys, "plan", "planter_wall", "--slab", "300 x 200 x 12 mm")
    assert "bench, in a tub, as a dilution" in small.out


def test_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    got = Out(capsys, "plan", *PLATE, "--json")
    data = json.loads(got.out)
    # 700 × 450 × 18 mm.
    assert data["pieces"][0]["volume"] == "5.67 L"
    assert data["recipe"]["key"] == "hearth_plate"
    assert data["safety"] == IN_SHORT


def test_without_a_scale_it_says_which_file_it_looked_in(
    capsys: pytest.CaptureFixture[str], home: Path
) -> None:
    said = " ".join(Out(capsys, "plan", *PLATE).out.split())
    assert f"Put your scale on file, in {home / 'config' / 'settings.toml'}: small doses" in said


@pytest.mark.parametrize(
    ("words", "volume"),
    [
        (("--slab", "70 cm x 450 x 18 mm"), "5.67 L"),
        (("--slab", "700×450×18"), "5.67 L"),
        (("--slab", "28 x 18 x 3/4 in"), "6.1943 L"),
        (("--disc", "400 x 20"), "2.5133 L"),
        (("--ring", "400 x 200 x 20 mm"), "1.885 L"),
        (("--tray", "700 x 450 x 25 x 12 mm"), "4.1313 L"),
        (("--trough", "500 x 200 x 200 x 100 x 20 mm"), "4.112 L"),
        (("--mould", "4 kg at 20 °C"), "4.0072 L"),
    ],
)
def test_simple_pieces(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], volume: str) -> None:
    got = Out(capsys, "plan", "hearth_plate", *words, "--json")
    assert json.loads(got.out)["pieces"][0]["volume"] == volume, got.err


@pytest.mark.parametrize(
    ("words", "key", "amount"),
    [
        (("--bags", "1/2"), "blend", "12500 g"),
        (("--bags", "2", "--bag-of", "fibre"), "fibre", "10000 g"),
    ],
)
def test_by_bags(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], key: str, amount: str) -> None:
    data = json.loads(Out(capsys, "plan", "hearth_plate", *words, "--json").out)
    assert data["totals"][key] == amount


def test_by_mass_volume_and_stock(capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(Out(capsys, "plan", "hearth_plate", "--total", "9 kg", "--json").out)
    assert sum(float(text.removesuffix(" g")) for text in data["totals"].values()) == pytest.approx(
        9000, abs=3
    )
    data = json.loads(Out(capsys, "plan", "hearth_plate", "--volume", "5 L", "--waste", "0 %", "--json").out)
    assert data["volume"]["moulds"] == "5.0001 L"
    assert Out(capsys, "stock", "receive", "blend", "10 kg").code == 0
    assert Out(capsys, "stock", "receive", "fibre", "2 kg").code == 0
    data = json.loads(Out(capsys, "plan", "hearth_plate", "--all-stock", "--json").out)
    assert (data["limited by"], data["totals"]["blend"]) == ("blend", "10000 g")
    assert {take["material"]: take["left"] for take in data["stock"]}["blend"] == "0 g"


def test_pieces_from_a_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "walls.toml"
    path.write_text(PIECES, "utf-8")
    data = json.loads(Out(capsys, "plan", "planter_wall", "--pieces", str(path), "--json").out)
    assert (data["pieces"][0]["name"], data["pieces"][0]["count"]) == ("planter wall", 4)
    path.write_text(PIECES.replace("14 mm", "14"), "utf-8")
    got = Out(capsys, "plan", "planter_wall", "--pieces", str(path))
    assert got.code == 1
    assert f"{path}:8: " in got.err


def test_sand_by_pan_test_figure_and_free_moisture(capsys: pytest.CaptureFixture[str]) -> None:
    def sand(*words: str) -> tuple[float, float]:
        data = json.loads(Out(capsys, "plan", "planter_wall", "--bags", "1", *words, "--json").out)
        return tuple(float(data["totals"][key].removesuffix(" g")) for key in ("sand", "water"))  # type: ignore[return-value]

    # 22.5 kg of dry sand to a 25 kg bag of cement, 10 : 9.
    for words, moisture in [
        (("--pan", "515", "500"), 0.030),
        (("--moisture", "4 %"), 0.040),
        (("--free-moisture", "1.4 %"), 0.020),
    ]:
        wet_g, water_g = sand(*words)
        assert wet_g == pytest.approx(22_500 * (1 + moisture), abs=2)
        dry_g, more_water_g = sand("--moisture", "0.6 %")
        assert water_g == pytest.approx(more_water_g - (wet_g - dry_g), abs=3)
    got = Out(capsys, "plan", "planter_wall", "--bags", "1", "--pan", "500", "515")
    assert got.code == 1
    assert "is no pan test" in got.err


def test_the_day(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--shop", "28 °C", "--water-at", "12 °C", "--material-at", "blend", "31 °C", "--wanted", "20 °C")
    got = Out(capsys, "plan", *PLATE, *words, "--humidity", "35 %", "--wind", "12 km/h", "--json")
    day = json.loads(got.out)["temperature"]
    assert day["mix"] not in (None, "28 °C")
    assert day["water for the wanted mix"] or day["or part of the water as ice"]
    assert day["drying"]["risk"]


def test_a_claim_that_cannot_be(capsys: pytest.CaptureFixture[str]) -> None:
    got = Out(capsys, "plan", *PLATE, "--claim", "mix", "20 kg", "8 L")
    assert "Do not plan by the claim." in got.out
    got = Out(capsys, "plan", *PLATE, "--claim", "bag", "20 kg", "8 L")
    assert "not of “bag”" in got.err


def test_a_sheet_to_print(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    sheet = tmp_path / "weigh.html"
    got = Out(capsys, "plan", *PLATE, "--count", "9", "--bucket", "12 L", "--sheet", str(sheet))
    assert str(sheet) in got.err
    assert sheet.read_text("utf-8").startswith("<!DOCTYPE html>")
    assert (tmp_path / "weigh-2.html").exists()
    got = Out(capsys, "plan", *PLATE, "--sheet", str(tmp_path / "none" / "weigh.html"))
    assert got.code == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("hearth_plate", "--ring", "300 x 400 x 20 mm"), "The hole must be smaller."),
        (("hearth_plate", "--slab", "700 x 450"), "write length x width x thickness"),
        (("hearth_plate", "--slab", "700 x 450 x 18 kg"), "is a mass"),
        (("hearth_plate",), "say both a recipe and what is cast"),
        (("--slab", "700 x 450 x 18 mm"), "say both a recipe and what is cast"),
        (("hearth_plat", "--bags", "1"), "Did you mean “hearth_plate”?"),
        (("hearth_plate", "--bags", "1", "--bag-of", "cement"), "has no material “cement”"),
        (("hearth_plate", "--volume", "9000 L"), "a zero too many"),
        (("hearth_plate", "--all-stock"), "No material of this recipe is in the stock."),
        (("hearth_plate", "--bags", "1", "--buckets", "0"), "buckets cannot be"),
        (("hearth_plate", "--bags", "1", "--moisture", "2 %"), "is no sand of this recipe"),
    ],
)
def test_what_cannot_be_planned_is_said(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    got = Out(capsys, "plan", *words)
    assert got.code != 0
    assert said in " ".join(f"{got.err} {got.code}".split())
    assert "Traceback" not in got.err


def test_kept_listed_shown_and_due(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    assert "No plan is kept." in Out(capsys, "plan", "list").out
    got = Out(capsys, "plan", *PLATE, "--count", "2", "--bucket", "20 L", "--keep")
    (plan_id,) = kept_ids(home / "data" / "plans")
    assert f"mixstation mix --plan {plan_id}" in got.err
    listed = Out(capsys, "plan", "list").out
    assert listed.startswith(plan_id)
    assert "0 of 2 buckets mixed  2 × hearth plate, Hearth plate" in listed
    assert (
        Out(capsys, "plan", "show", plan_id[-4:]).out.splitlines()
        == got.out.splitlines()[got.out.splitlines().index("Hearth plate, revision 3") :]
    )
    shown = json.loads(Out(capsys, "plan", "show", plan_id, "--json").out)
    assert (shown["recipe"]["key"], shown["safety"]) == ("hearth_plate", IN_SHORT)
    assert "No plan “zz” is kept." in Out(capsys, "plan", "show", "zz").err
    (home / "data" / "plans" / f"{plan_id}.json").write_text("{", "utf-8")
    assert "damaged" in Out(capsys, "plan", "list").err
    assert "damaged" in Out(capsys, "mix", "--plan", plan_id).err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--plan", "zz"), "No plan “zz” is kept."),
        (("hearth_plate", "--plan", "zz"), "--plan ID alone"),
        (("--powder", "5 kg"), "say a recipe with how much of it"),
        (("hearth_plate", "--powder", "5 kg", "--scale", "attic"), "no scale “attic” is on file"),
    ],
)
def test_words_to_mix_by_that_cannot_be(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    got = Out(capsys, "mix", *words)
    assert got.code != 0
    assert said in got.err


def test_a_bucket_the_plan_does_not_have(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    Out(capsys, "plan", *PLATE, "--keep")
    (plan_id,) = kept_ids(home / "data" / "plans")
    got = Out(capsys, "mix", "--plan", plan_id, "--number", "9")
    assert f"plan {plan_id} has buckets 1 to 1" in got.err


def test_sizes() -> None:
    names = ("a", "b", "c")
    assert sizes_mm("700 x 450 x 18 mm", names, "mm") == [700, 450, 18]
    assert sizes_mm("0,7 m × 45 cm × 18", names, "mm") == [700, 450, 18]
    assert sizes_mm("28 X 18 x 3/4", names, "in") == pytest.approx([711.2, 457.2, 19.05])
    assert sizes_mm("2 ft 3 in x 12 in x 1 1/2 in", names, "mm") == pytest.approx([685.8, 304.8, 38.1])
    with pytest.raises(UnitsError):
        sizes_mm("700 x x 18", names, "mm")
    with pytest.raises(SystemExit):
        sizes_mm("700", names, "mm")
