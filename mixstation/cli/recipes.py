"""`mixstation recipes …`: the shelf of recipes."""

import sys
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from mixstation.cli.parser import Parser

if TYPE_CHECKING:
    from mixstation.recipe.file import LoadedRecipe
    from mixstation.recipe.limits import LimitWarning
    from mixstation.recipe.model import Recipe


def run(words: Sequence[str]) -> int:
    """List the shelf, or read one recipe and say all that is wrong or outside published limits."""
    parser = Parser(prog="mixstation recipes", description="The shelf of recipes.")
    parser.add_argument(
        "recipe", nargs="?", help="a name or a file to read; without one, the shelf is listed"
    )
    given = parser.parse_args(words)
    return _read(given.recipe) if given.recipe else _list()


def _list() -> int:
    from mixstation.recipe.shelf import list_recipes, own_folder

    entries = list_recipes()
    width = max((len(entry.key) for entry in entries), default=0)
    for entry in entries:
        state = f"  FAULTY: mixstation recipes {entry.key}" if entry.faults else ""
        print(f"{entry.key:<{width}}  {entry.name}  ({entry.origin}){state}")
    print(f"\nYour own recipes go into {own_folder()}")
    return 0


def _read(name: str) -> int:
    from mixstation.recipe.file import load_recipe
    from mixstation.recipe.shelf import find_recipe
    from mixstation.units.show import show_percent, show_ratio
    from mixstation.wording.counted import counted
    from mixstation.wording.spoken import BASIS_WORDS

    loaded = load_recipe(find_recipe(name))
    recipe = loaded.recipe
    print(f"{recipe.name}, revision {recipe.revision}")
    water = recipe.water
    band = f"{show_ratio(water.least)} to {show_ratio(water.most)}"
    print(f"water: {show_ratio(water.target)} of {BASIS_WORDS[water.of]}, band {band}")
    for material in recipe.materials:
        if material.dose is not None:
            print(
                f"{material.name}: {show_percent(material.dose.fraction, 2)} of {BASIS_WORDS[material.dose.of]}"
            )
        elif material.parts is not None:
            print(f"{material.name}: {float(material.parts):g} parts")
    print(counted(len(recipe.steps), "step"))
    _say(recipe, loaded.warnings)
    return 0


def say_odd_densities(loaded: "LoadedRecipe") -> str:
    """Say which densities of a recipe are hardly ever so; gives it to show once more, "" where there are none."""
    from mixstation.recipe.limits import odd_densities

    return _say(loaded.recipe, odd_densities(loaded.recipe))


def _say(recipe: "Recipe", warnings: "Iterable[LimitWarning]") -> str:
    from mixstation.wording.recipe_lines import warning_line

    lines = [warning_line(recipe, warning) for warning in warnings]
    for line in lines:
        print(f"CHECK  {line}", file=sys.stderr)
    return " ".join(lines)
