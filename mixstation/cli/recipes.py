"""`mixstation recipes …`: the shelf of recipes."""

import sys
from collections.abc import Iterable, Sequence

from mixstation.cli.parser import Parser
from mixstation.recipe.file import LoadedRecipe, load_recipe
from mixstation.recipe.limits import LimitWarning, odd_densities
from mixstation.recipe.model import Recipe
from mixstation.recipe.shelf import find_recipe, list_recipes, own_folder
from mixstation.wording import recipe_lines as says


def run(words: Sequence[str]) -> int:
    """List the shelf, or read one recipe and say all that is wrong or outside published limits."""
    parser = Parser(prog="mixstation recipes", description="The shelf of recipes.")
    parser.add_argument(
        "recipe", nargs="?", help="a name or a file to read; without one, the shelf is listed"
    )
    given = parser.parse_args(words)
    return _read(given.recipe) if given.recipe else _list()


def _list() -> int:
    entries = list_recipes()
    width = max((len(entry.key) for entry in entries), default=0)
    for entry in entries:
        state = says.FAULTY.format(key=entry.key) if entry.faults else ""
        print(f"{entry.key:<{width}}  {entry.name}  ({entry.origin}){state}")
    print(says.OWN_FOLDER.format(folder=own_folder()))
    return 0


def _read(name: str) -> int:
    loaded = load_recipe(find_recipe(name))
    print("\n".join(says.recipe_said(loaded.recipe)))
    _say(loaded.recipe, loaded.warnings)
    return 0


def say_odd_densities(loaded: LoadedRecipe) -> str:
    """Say which densities of a recipe are hardly ever so; gives it to show once more, "" where there are none."""
    return _say(loaded.recipe, odd_densities(loaded.recipe))


def _say(recipe: Recipe, warnings: Iterable[LimitWarning]) -> str:
    lines = [says.warning_line(recipe, warning) for warning in warnings]
    for line in lines:
        print(says.CHECK.format(line=line), file=sys.stderr)
    return " ".join(lines)
