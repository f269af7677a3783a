"""Names that would be taken for each other, wherever a person gives names."""

import unicodedata
from pathlib import Path

import pytest

from mixstation.cli.settings_file import settings_path
from mixstation.cli.shop_file import read_shop
from mixstation.plan.piece_file import read_pieces
from mixstation.recipe.file import read_recipe
from mixstation.recipe.shelf import own_folder
from mixstation.toml.lines import FileRefused
from mixstation.units.alike import _LOOKS, alike, first_alike
from tests.cli.driven import drive
from tests.recipe.texts import SOUND, changed

TWINS = (
    ("Sand", "sand"),
    ("Grün", unicodedata.normalize("NFD", "Grün")),
    ("sand", "sаnd"),
    ("ＳＡＮＤ", "sand"),
    ("fine  sand", "fine sand"),
    ("STRASSE", "straße"),
    ("sand-G", "sand-Ԍ"),
    ("lot 0", "lot O"),
    ("pail 1", "pail l"),
    ("bag", "baɡ"),
    ("vault", "ѵault"),
)
SCALE = '[[scale]]\nname = "{}"\ncapacity = "30 kg"\ndivision = "5 g"\n'
PIECE = '[[piece]]\nname = "{}"\nshape = "disc"\ndiameter = "400 mm"\nthickness = "15 mm"\n'


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    return tmp_path


@pytest.mark.parametrize(("one", "other"), TWINS)
def test_twins_are_alike(one: str, other: str) -> None:
    assert alike(one) == alike(other)
    assert first_alike(one, [one, "gravel", other]) == other


def test_others_are_not() -> None:
    assert alike("sand 1") != alike("sand 2")
    assert alike("sand") != alike("sänd")
    assert first_alike("sand", ["sand", "gravel"]) is None


def test_each_look_alike_is_a_letter_that_stays_as_it_is() -> None:
    for letter, looks in _LOOKS.items():
        assert chr(letter).islower() or chr(letter) in "01"
        assert alike(chr(looks)) == chr(looks)
        assert unicodedata.name(chr(letter)).split()[0] in ("CYRILLIC", "GREEK", "LATIN", "DIGIT")


@pytest.mark.parametrize(("one", "other"), TWINS)
def test_scales_and_pieces_with_both_places(one: str, other: str) -> None:
    for read, text in ((read_shop, SCALE), (read_pieces, PIECE)):
        with pytest.raises(FileRefused) as refused:
            read(text.format(one) + text.format(other), "file.toml")  # type: ignore[operator]
        (fault,) = refused.value.faults
        assert (fault.code, fault.line, fault.told.first_line) == ("name-twice", text.count("\n") + 2, 2)


def test_materials_of_a_recipe() -> None:
    name = read_recipe(SOUND, "cap.toml").recipe.materials[0].name
    second = read_recipe(SOUND, "cap.toml").recipe.materials[1].name
    with pytest.raises(FileRefused) as refused:
        read_recipe(changed((f'name = "{second}"', f'name = "{name.upper()}"')), "cap.toml")
    assert [fault.code for fault in refused.value.faults] == ["name-twice"]


def test_recipes_on_the_shelf() -> None:
    own_folder().mkdir(parents=True)
    for stem in ("Sill_Cap", "sill_cap", "sill_cаp"):
        (own_folder() / f"{stem}.toml").write_text(SOUND, "utf-8")
    asked = drive("recipes", "sill-cap")
    assert asked.code == 1
    assert "Sill_Cap.toml" in asked.said
    assert "sill_cаp.toml" in asked.said
    assert drive("recipes").said.count("FAULTY") == 3


def test_stock_and_its_lots() -> None:
    assert drive("stock", "receive", "blend", "25 kg", "--lot", "A7").code == 0
    twin = drive("stock", "receive", "blеnd", "25 kg", "--new")
    assert twin.code == 2
    assert "looks like “blend”" in " ".join(twin.said.split())
    lot = drive("stock", "receive", "blend", "25 kg", "--lot", "а7")
    assert lot.code == 2
    assert "looks like “A7”" in " ".join(lot.said.split())
    assert drive("stock", "receive", "blend", "25 kg", "--lot", "A7").code == 0
    assert drive("stock", "receive", "tint", "2 kg", "--new").code == 0
    assert drive("stock", "receive", "Tint", "2 kg", "--new").code == 2
    assert not settings_path().exists()
