"""Every warning about a published limit has its sentence, with value, limit, basis, source and what to do."""

from fractions import Fraction

import pytest

from mixstation.recipe.file import read_recipe
from mixstation.recipe.limits import LimitWarning, published_limits
from mixstation.wording.recipe_lines import LIMITS_SAID, warning_line
from tests.recipe.texts import SOUND, changed
from tests.wording.source_codes import made_in, modules

RECIPE = read_recipe(SOUND, "cap.toml").recipe


def test_every_code_has_a_sentence() -> None:
    limits = modules("recipe/limits.py")
    whole = {made.code for made in made_in(limits, {"LimitWarning": "code"})}
    shares = {made.code for made in made_in(limits, {"_Share": "code"})}
    assert len(whole) == 7
    assert len(shares) == 11
    ends = {
        f"{code}-{end}"
        for code in shares
        for end in ("low", "high")
        # Only these have both ends.
        if end == "high" or code in ("water", "polymer", "plasticiser", "sand", "fibre")
    } - {"curing-polymer-high"} | {"curing-polymer-low"}
    assert set(LIMITS_SAID) == whole | ends


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            'dose = "3 %"',
            'dose = "4.2 %"',
            "Fibre is 4.2 % of the whole mix; usual is 3.5 % at most (common practice and industry guides",
        ),
        (
            'ceiling = "38 %"',
            'ceiling = "43 %"',
            "The ceiling lets the water up to 0.430 of cement and pozzolan; usual is 0.400 at most",
        ),
        (
            'dose = "5.5 %"',
            'dose = "4.5 %"',
            "The polymer's solids are 4.5 % of cement; from 5 % on they take the place of seven days' wet curing",
        ),
    ],
)
def test_a_recipe_outside_a_limit(old: str, new: str, expected: str) -> None:
    recipe = read_recipe(changed((old, new)), "cap.toml").recipe
    lines = [warning_line(recipe, warning) for warning in published_limits(recipe)]
    assert any(line.startswith(expected) for line in lines), lines


def test_value_and_limit_are_told_apart() -> None:
    warning = LimitWarning(
        code="water-high",
        source="common practice",
        material="water",
        value=Fraction(40001, 100000),
        limit=Fraction(2, 5),
        of="binder",
    )
    assert "0.40001 of cement and pozzolan; usual is 0.40000" in warning_line(RECIPE, warning)


@pytest.mark.parametrize("code", sorted(LIMITS_SAID))
def test_every_sentence_is_whole(code: str) -> None:
    of = "s" if code == "plasticiser-not-mixed" else "cement"
    warning = LimitWarning(
        code=code,
        source="its source",
        material="fibre",
        step="7",
        value=Fraction(1, 8),
        limit=Fraction(9),
        of=of,
    )
    line = warning_line(RECIPE, warning)
    assert "(its source)" in line
    assert "{" not in line
    assert line.endswith(".")
