"""How damp the sand is: asked once before the first water where nobody said it; the answer moves water and sand."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.events import SandFound
from mixstation.batch.targets import project
from mixstation.plan.sand import with_moisture
from mixstation.recipe.file import LoadedRecipe, load_recipe
from mixstation.recipe.shelf import find_recipe
from mixstation.station.bench import Settings
from tests.station.mixer import mix
from tests.station.recipes import quick
from tests.station.view_checks import check
from tests.station.yard import Yard


def _top() -> LoadedRecipe:
    return load_recipe(find_recipe("bench_top"))


def _asked(settings: Settings | None = None) -> Yard:
    yard = Yard(_top(), sand_unsaid=True, settings=settings)
    yard.put_gear_on()
    return yard


def test_it_is_asked_only_of_a_recipe_with_sand_whose_dampness_nobody_said() -> None:
    told = _top()
    told = replace(told, recipe=with_moisture(told.recipe, "sand", Fraction(3, 100)))
    for yard in (Yard(quick(), sand_unsaid=True), Yard(told, sand_unsaid=True), Yard(_top())):
        yard.put_gear_on()
        assert "/sand/" not in yard.question.ident


def test_the_answer_moves_the_targets_as_the_recipe_does() -> None:
    """4 % on the sand: the same batch as of a recipe that says 4 %."""
    yard = _asked()
    check(yard.view)
    assert "damp" in yard.question.ask
    dry = project(yard.run).totals
    yard.come_back()
    yard.press(typed="4")
    assert yard.facts[-1] == SandFound(material="sand", moisture=Fraction(1, 25))
    told = _top()
    other = Yard(replace(told, recipe=with_moisture(told.recipe, "sand", Fraction(1, 25))))
    found, expected = project(yard.run).totals, project(other.run).totals
    assert found.keys() == expected.keys()
    for key, total in expected.items():
        assert abs(found[key] - total) <= 1, key
    # By hand: the sand is heavier by 4 % of its dry mass, and what it brings is not poured.
    assert found["sand"] == pytest.approx(float(dry["sand"]) * 1.04, abs=1)
    assert found["water"] == pytest.approx(float(dry["water"] - dry["sand"] * Fraction(4, 100)), abs=2)
    yard.come_back()
    assert project(yard.run).totals == found
    mix(yard)
    assert yard.run == yard.stored()
    assert [fact.kind for fact in yard.facts].count("sand-found") == 1


def test_enter_is_dry() -> None:
    yard = _asked()
    dry = project(yard.run)
    yard.press()
    assert project(yard.run) == dry
    assert "/sand/" not in yard.question.ident


def test_no_sand_holds_forty_per_cent() -> None:
    yard = _asked()
    yard.press(typed="40")
    assert "/sand/" in yard.question.ident
    assert not any(isinstance(fact, SandFound) for fact in yard.facts)


def test_a_decimal_comma_is_read() -> None:
    yard = _asked()
    yard.press(typed="3,5")
    assert yard.run.sands == {"sand": Fraction(7, 200)}
