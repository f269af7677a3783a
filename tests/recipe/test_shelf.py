"""Finding recipes: those that come with the program and the user's own."""

from dataclasses import fields
from pathlib import Path

import pytest

from mixstation.folders import home_config, shipped_folder
from mixstation.recipe.file import load_recipe
from mixstation.recipe.shelf import RecipeNotFound, find_recipe, list_recipes, own_folder
from tests.recipe.texts import SOUND

SHIPPED = ["bench_top", "hearth_plate", "planter_wall"]


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def own(home: Path) -> Path:
    folder = home / "config" / "recipes"
    folder.mkdir(parents=True)
    return folder


def test_shipped_recipes_are_sound_and_found_without_a_folder_of_ones_own() -> None:
    entries = list_recipes()
    assert [entry.key for entry in entries] == SHIPPED
    assert all(
        entry.origin == "shipped" and not entry.faults and entry.name != entry.key for entry in entries
    )
    assert find_recipe("hearth_plate") == shipped_folder("recipes") / "hearth_plate.toml"


def test_an_own_recipe_hides_a_shipped_one_of_the_same_stem(own: Path) -> None:
    (own / "bench_top.toml").write_text(SOUND)
    (own / "notes.txt").write_text("no recipe")
    bench, *_ = list_recipes()
    assert (bench.key, bench.name, bench.origin, bench.path) == (
        "bench_top",
        "Sill cap",
        "own",
        own / "bench_top.toml",
    )
    assert find_recipe("bench_top") == own / "bench_top.toml"
    assert len(list_recipes()) == len(SHIPPED)


def test_a_faulty_recipe_is_listed_with_its_faults(own: Path) -> None:
    (own / "aa.toml").write_text(SOUND.replace('"31 %"', "31"))
    (own / "ab.toml").mkdir()
    first, second, *_ = list_recipes()
    assert (first.name, [fault.code for fault in first.faults]) == ("aa", ["not-text"])
    assert [fault.code for fault in second.faults] == ["file-not-ordinary"]


@pytest.mark.parametrize("asked", ["hearth plate", "Hearth-Plate", "hearth_plate.toml", " hearth_plate "])
def test_names_are_found_as_people_type_them(asked: str) -> None:
    assert find_recipe(asked).name == "hearth_plate.toml"


def test_a_path_is_a_path_and_a_plain_name_looks_on_the_shelf_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "hearth_plate").mkdir()
    assert find_recipe("hearth_plate").parent == shipped_folder("recipes")
    (tmp_path / "hearth_plate.toml").write_text(SOUND)
    assert find_recipe("hearth_plate.toml") == Path("hearth_plate.toml")
    (tmp_path / "mine").write_text(SOUND)
    assert find_recipe("mine") == Path("mine")
    assert find_recipe(str(tmp_path / "mine")) == tmp_path / "mine"


def test_a_miss_suggests_the_nearest() -> None:
    with pytest.raises(RecipeNotFound) as caught:
        find_recipe("planter_walls")
    assert caught.value.suggestion == "planter_wall"
    assert caught.value.known == tuple(SHIPPED)


@pytest.mark.parametrize("asked", ["", "\0", "x" * 10_000, "../\x1b[2J", "nothing/like.toml"])
def test_no_name_of_a_file_is_a_miss_too(asked: str) -> None:
    with pytest.raises(RecipeNotFound) as caught:
        find_recipe(asked)
    assert "\x1b" not in caught.value.asked


def test_without_the_variable_the_platform_names_the_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("MIXSTATION_HOME")
    assert home_config().name == "mixstation"
    assert own_folder() == home_config() / "recipes"


def test_a_short_name_is_one_and_the_same_material_in_all_shipped_recipes() -> None:
    """Stock goes by the short name; dose, share and a sand's dampness of the day are the recipe's own."""
    own_to_a_recipe = ("dose", "parts", "tolerance", "moisture_fraction", "absorption_fraction")
    known: dict[str, object] = {}
    for key in ("bench_top", "hearth_plate", "planter_wall"):
        for material in load_recipe(find_recipe(key)).recipe.materials:
            same = {
                field.name: getattr(material, field.name)
                for field in fields(material)
                if field.name not in own_to_a_recipe
            }
            assert known.setdefault(material.key, same) == same, key
    assert {"fibre", "cement", "sand", "emulsion", "plasticiser"} <= set(known)
