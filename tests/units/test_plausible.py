"""The table of plausible ranges: each row holds, and every number a person can write has one."""

import argparse
from fractions import Fraction

import pytest

from mixstation.cli.settings_file import OPTIONS
from mixstation.recipe.defaults import DENSITIES_KG_M3
from mixstation.recipe.limits import USUAL_KG_M3
from mixstation.recipe.model import Role
from mixstation.units.errors import UnitsError
from mixstation.units.plausible import RANGES, read_plausible
from tests.cli.driven import COMMANDS, drive, options_of

ABSURD = {
    "mass": ("-1 kg", "9999999 kg"),
    "volume": ("-1 L", "9999999 L"),
    "length": ("-9999999 mm", "9999999 mm"),
    "temperature": ("-300 °C", "5000 °C"),
    "time": ("-1 s", "999999 h"),
    "share": ("-1 %", "1000 %"),
    "density": ("2 kg/m3", "99999 kg/m3"),
    "speed": ("-1 km/h", "99999 km/h"),
    "number": ("-1", "9999999"),
}

NUMBERS = {
    "--powder": "mass", "--of": "mass", "--total": "mass", "--number": "number", "--bucket": "volume",
    "--shop": "temperature", "--hands-free": "time", "--division": "mass", "--waste": "share", "--loss": "mass",
    "--count": "number", "--buckets": "number", "--density": "density", "--claim": "mass", "--face": "length",
    "--faced": "length", "--slab": "length", "--disc": "length", "--ring": "length", "--tray": "length",
    "--trough": "length", "--mould": "mass", "--bags": "number", "--volume": "volume", "--water-at": "temperature",
    "--material-at": "temperature", "--wanted": "temperature", "--humidity": "share", "--wind": "speed",
    "--pan": "mass", "--moisture": "share", "--free-moisture": "share", "--in": "mass", "--stock": "mass",
    "--left": "time", "--packs": "number", "--pack": "mass",
}  # fmt: skip
"""Options that take a number, with what it is of."""

WORDS = frozenset(
    {
        "--plan", "--piece", "--weigh", "--scale", "--units", "--who", "--port", "--profile", "--pieces", "--name",
        "--bag-of", "--last-batch", "--sheet", "--sand", "--json", "--lot", "--note", "--entry", "--help", "--version",
    }
)  # fmt: skip
"""Options that take words."""


def all_options() -> dict[str, argparse.Action]:
    return {action.option_strings[-1]: action for command in COMMANDS for action in options_of(command)}


def test_every_option_is_known_to_take_a_number_or_words() -> None:
    assert all_options().keys() - WORDS - NUMBERS.keys() == set()
    assert NUMBERS.keys() <= all_options().keys()


def absurd_words(option: str, found: str) -> tuple[str, ...]:
    """A whole command with one absurd number in it."""
    match option:
        case "--of":
            return ("mix", "hearth_plate", "--of", "blend", found)
        case "--number":
            return ("mix", "hearth_plate", "--powder", "8 kg", f"--number={found}")
        case "--powder":
            return ("mix", "hearth_plate", f"--powder={found}")
        case "--in" | "--stock":
            more = () if option == "--in" else ("--in", "water=1 kg")
            return ("recover", "hearth_plate", "--powder", "8 kg", *more, option, f"water={found}")
        case "--left" | "--division":
            return ("recover", "hearth_plate", "--powder", "8 kg", "--in", "water=1 kg", f"{option}={found}")
        case "--hands-free":
            return ("mix", "hearth_plate", "--powder", "8 kg", "--plain", f"{option}={found}")
        case "--packs" | "--pack":
            packs = () if option == "--packs" else ("--packs", "1")
            return ("stock", "receive", "blend", *packs, f"{option}={found}")
        case "--slab" | "--disc" | "--ring" | "--tray" | "--trough":
            count = {"--slab": 3, "--disc": 2, "--ring": 3, "--tray": 4, "--trough": 5}[option]
            return ("plan", "hearth_plate", option + "=" + " x ".join([found.strip()] * count))
        case "--faced":
            faced = f"{found} x {found}"
            return ("plan", "hearth_plate", "--mould", "12 kg", "--face", "3 mm", f"--faced={faced}")
        case "--mould" | "--bags" | "--volume" | "--total":
            return ("plan", "hearth_plate", f"{option}={found}")
        case "--claim":
            return ("plan", "hearth_plate", "--bags", "1", "--claim", "mix", found, "12 L")
        case "--material-at":
            return ("plan", "hearth_plate", "--bags", "1", "--shop", "18 °C", option, "blend", found)
        case "--pan":
            return ("plan", "bench_top", "--bags", "1", "--pan", found, found)
        case "--water-at" | "--wanted" | "--humidity" | "--wind":
            return ("plan", "hearth_plate", "--bags", "1", "--shop", "18 °C", f"{option}={found}")
        case "--face" | "--count":
            return ("plan", "hearth_plate", "--slab", "700 x 450 x 18 mm", f"{option}={found}")
        case _:
            return ("plan", "bench_top", "--bags", "1", f"{option}={found}")


@pytest.mark.parametrize("option", NUMBERS)
def test_no_option_takes_what_cannot_be(
    option: str, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path_factory.mktemp("home")))
    for found in ABSURD[NUMBERS[option]]:
        run = drive(*absurd_words(option, found))
        assert run.code in (1, 2), (option, found, run.said)
        said = ("must be", "cannot be", "is more than", "say --plan ID")
        assert any(words in run.said for words in said), run.said


def test_every_row_has_its_reason_and_holds_its_bounds() -> None:
    for name, row in RANGES.items():
        assert row.least < row.most, name
        assert row.why, name
        assert row.holds(row.least), name
        assert row.holds(row.most), name
        assert not row.holds(row.least - 1), name
        assert not row.holds(row.most * 2 + 1), name


def test_a_bound_that_is_left_out_is_outside() -> None:
    assert RANGES["inner share"].bounds == "> 0 %, < 100 %"
    for text in ("0 %", "100 %"):
        with pytest.raises(UnitsError, match="not-plausible"):
            read_plausible("inner share", text)
    assert read_plausible("inner share", "0.000001 %") == Fraction(1, 10**8)


def test_what_a_recipe_leaves_out_is_usual_and_what_is_usual_can_be() -> None:
    for role in Role:
        least, most = USUAL_KG_M3[role]
        assert least <= DENSITIES_KG_M3[role] <= most
        assert RANGES[f"{role} density"].holds(least)
        assert RANGES[f"{role} density"].holds(most)


def test_densities_of_the_trade_are_usual() -> None:
    """Source: common practice, no source: cement 2.9 to 3.2, quartz sand 2.6 to 2.7, light fillers 0.2 to 1."""
    for role, found in ((Role.CEMENT, 2900), (Role.CEMENT, 3200), (Role.SAND, 2600), (Role.SAND, 2700)):
        assert USUAL_KG_M3[role][0] <= found <= USUAL_KG_M3[role][1]
    assert USUAL_KG_M3[Role.FILLER][0] <= 200
    assert not RANGES["blend density"].holds(279)
    assert not RANGES["cement density"].holds(279)


def test_every_setting_that_is_a_number_has_a_range() -> None:
    absurd = {"division": "0 g", "hands_free": "999999 h", "bucket": "-1 L", "shop": "5000 °C"}
    for key, option in OPTIONS.items():
        read, example = option.read, option.example
        read(example.strip('"') if example != "true" else True)
        if key in absurd:
            with pytest.raises(ValueError, match="not-plausible"):
                read(absurd[key])
    assert OPTIONS.keys() - absurd.keys() == {"units", "who", "port", "profile", "weigh", "decimal_comma"}
