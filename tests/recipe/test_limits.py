"""Warnings where a recipe leaves published or usual ranges."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.recipe.file import read_recipe
from mixstation.recipe.limits import LimitWarning, published_limits
from tests.recipe.texts import SOUND, changed

PLASTICISER = """\
[[material]]
key = "plasticiser"
name = "Plasticiser"
role = "plasticiser"
dose = "{dose}"
of = "binder"
"""
FIRST_STEP = '[[step]]\nadd = "water"\n'
RELEASE = '[[step]]\nrelease = "water"\n'


def warnings(text: str) -> tuple[LimitWarning, ...]:
    return read_recipe(text, "some.toml").warnings


def codes(*changes: tuple[str, str]) -> list[str]:
    return [warning.code for warning in warnings(changed(*changes))]


def with_pigment(dose: str, more: str = "") -> tuple[tuple[str, str], ...]:
    table = f'[[material]]\nkey = "ochre"\nname = "Ochre"\nrole = "pigment"\ndose = "{dose}"\nof = "cement"\n{more}'
    return (FIRST_STEP, table + FIRST_STEP), ('add = "emulsion"', 'add = ["emulsion", "ochre"]')


def with_plasticiser(dose: str, at: str = 'add = "powders"', more: str = "") -> tuple[tuple[str, str], ...]:
    table = PLASTICISER.format(dose=dose) + more
    return (FIRST_STEP, table + FIRST_STEP), (at, f'add = "plasticiser"\n[[step]]\n{at}')


def test_the_sound_recipe_scrapes_before_its_fibres_and_is_within_all() -> None:
    assert warnings(SOUND) == ()


# ASTM C979 §1.4 [std]: pigment not over 10 % of cement. The other ranges: common practice, no source; [mem].
@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (with_pigment("10 %"), []),
        (with_pigment("10.01 %"), ["pigment-high"]),
        (with_pigment("12 %", 'water = "20 %"\n'), []),
        (with_pigment("12 %", 'water = "20 %"\ncounts = "solids"\n'), ["pigment-high"]),
        ((('least = "31 %"', 'least = "28 %"'),), []),
        ((('least = "31 %"', 'least = "27.9 %"'),), ["water-low"]),
        ((('ceiling = "38 %"', 'ceiling = "40 %"'),), []),
        ((('ceiling = "38 %"', 'ceiling = "40.1 %"'),), ["water-high"]),
        ((('dose = "3 %"', 'dose = "2 %"'),), []),
        ((('dose = "3 %"', 'dose = "1.9 %"'),), ["fibre-low"]),
        ((('dose = "3 %"', 'dose = "3.5 %"'),), []),
        ((('dose = "3 %"', 'dose = "3.6 %"'),), ["fibre-high"]),
        ((('dose = "5.5 %"', 'dose = "5 %"'),), []),
        ((('dose = "5.5 %"', 'dose = "4.9 %"'),), ["curing-polymer-low"]),
        ((('dose = "5.5 %"', 'dose = "3.9 %"'),), ["polymer-low", "curing-polymer-low"]),
        ((('dose = "5.5 %"', 'dose = "7.1 %"'),), ["polymer-high"]),
        (with_plasticiser("0.2 %"), []),
        (with_plasticiser("0.19 %"), ["plasticiser-low"]),
        (with_plasticiser("1 %"), []),
        (with_plasticiser("1.1 %"), ["plasticiser-high"]),
        (with_plasticiser("1.1 %", more='cap = "1.5 %"\ncap_source = "its label"\n'), []),
        ((("parts = 9", "parts = 5"),), []),
        ((("parts = 9", "parts = 4.9"),), ["sand-low"]),
        ((("parts = 9", "parts = 10"),), []),
        ((("parts = 9", "parts = 10.1"),), ["sand-high"]),
    ],
)
def test_ranges(changes: tuple[tuple[str, str], ...], expected: list[str]) -> None:
    assert codes(*changes) == expected


@pytest.mark.parametrize(("parts", "expected"), [("3.3", []), ("3.4", ["pozzolan-high"])])
def test_pozzolan(parts: str, expected: list[str]) -> None:
    table = f'[[material]]\nkey = "metakaolin"\nname = "Metakaolin"\nrole = "pozzolan"\nparts = "{parts}"\n'
    assert codes((FIRST_STEP, table + FIRST_STEP)) == expected


@pytest.mark.parametrize(("dose", "expected"), [("5 %", []), ("7 %", ["ice-high"])])
def test_ice(dose: str, expected: list[str]) -> None:
    table = f'[[material]]\nkey = "ice"\nname = "Ice"\nrole = "ice"\ndose = "{dose}"\nof = "binder"\n'
    assert (
        codes((FIRST_STEP, table + FIRST_STEP), ('add = "emulsion"', 'add = ["emulsion", "ice"]')) == expected
    )


def with_two_pigments(ochre: str, black: str, *caps: str) -> list[LimitWarning]:
    tables = "".join(
        f'[[material]]\nkey = "{key}"\nname = "{key}"\nrole = "pigment"\ndose = "{dose}"\nof = "cement"\n{cap}'
        for key, dose, cap in zip(("ochre", "black"), (ochre, black), (*caps, "", ""), strict=False)
    )
    text = changed(
        (FIRST_STEP, tables + FIRST_STEP), ('add = "emulsion"', 'add = ["emulsion", "ochre", "black"]')
    )
    return list(warnings(text))


CAP = 'cap = "{most}"\ncap_source = "{source}"\n'


class TestBlend:
    """ASTM C979 §1.4 [std]: a blend is held to 10 % of cement and to the own limit of every pigment in it."""

    def test_two_that_are_each_within_are_too_much_together(self) -> None:
        assert with_two_pigments("6 %", "4 %") == []
        (warning,) = with_two_pigments("6 %", "4.1 %")
        assert (warning.code, warning.value, warning.limit) == (
            "pigment-high",
            Fraction(101, 1000),
            Fraction(10, 100),
        )

    def test_the_own_limit_of_one_holds_all(self) -> None:
        caps = (CAP.format(most="8 %", source="label A"), CAP.format(most="6 %", source="label B"))
        assert with_two_pigments("4 %", "2 %", *caps) == []
        (warning,) = with_two_pigments("4 %", "3 %", *caps)
        assert (warning.code, warning.material) == ("pigment-blend-high", "black")
        assert (warning.value, warning.limit) == (Fraction(7, 100), Fraction(6, 100))
        assert warning.source == "ASTM C979 §1.4, label B"

    def test_a_single_pigment_answers_to_its_own_cap_alone(self) -> None:
        assert codes(*with_pigment("5 %", CAP.format(most="6 %", source="label"))) == []


@pytest.mark.parametrize(
    ("tolerance", "expected"),
    [
        ("3 %", []),
        ("-3 % +4 %", []),
        ("-3 % +4.1 %", ["tolerance-high"]),
        ("-3.1 % +1 %", ["tolerance-high"]),
    ],
)
def test_a_tolerance_is_held_to_the_widest_of_the_standards(tolerance: str, expected: list[str]) -> None:
    """ASTM C94 ±1 %, small batches −0/+4 %; EN 206 ±3 % [mem]."""
    cement = 'role = "cement"\n'
    assert codes((cement, f'{cement}tolerance = "{tolerance}"\n')) == expected


def test_a_warning_says_how_much_of_what_and_who_says_so() -> None:
    (warning,) = warnings(changed(*with_pigment("11 %")))
    assert warning == LimitWarning(
        code="pigment-high",
        material="ochre",
        value=Fraction(11, 100),
        limit=Fraction(10, 100),
        of="cement",
        source="ASTM C979 §1.4",
    )


def test_water_of_another_basis_is_compared_on_the_binder() -> None:
    # Of 19 parts of powder 10 are binder, so 14 % of powder is 26.6 % of binder and 22 % is 41.8 %.
    text = changed(('of = "binder"', 'of = "powder"'), ('"33 %"', '"17 %"'), ('"31 %"', '"14 %"'))
    text = text.replace('"35 %"', '"20 %"').replace('"38 %"', '"22 %"')
    assert [(warning.code, warning.of, warning.value) for warning in warnings(text)] == [
        ("water-low", "binder", Fraction(266, 1000)),
        ("water-high", "binder", Fraction(418, 1000)),
    ]


def test_of_a_blend_that_hides_its_cement_only_an_excess_is_sure() -> None:
    blend = changed(('role = "cement"', 'role = "blend"'), ('of = "cement"', 'of = "powder"'))
    blend = blend.replace('of = "binder"', 'of = "powder"')
    assert [
        (w.code, w.of) for w in warnings(blend.replace('"31 %"', '"20 %"').replace('"5.5 %"', '"1 %"'))
    ] == []
    over = blend.replace('ceiling = "38 %"', 'ceiling = "41 %"').replace('"5.5 %"', '"7.5 %"')
    assert [(w.code, w.of) for w in warnings(over)] == [("water-high", "powder"), ("polymer-high", "powder")]


class TestOrder:
    """Common practice, no source."""

    def test_scrape_between_powder_and_fibres(self) -> None:
        scrape = '[[step]]\nscrape = "sides and bottom"\n\n'
        without = changed((scrape, ""))
        assert [(w.code, w.material, w.step) for w in warnings(without)] == [
            ("no-scrape-before-fibres", "fibre", "7")
        ]
        early = changed((scrape, ""), (RELEASE, scrape + RELEASE))
        assert warnings(early) == ()
        before_powder = changed(
            (scrape, ""), ('[[step]]\nadd = "powders"', scrape + '[[step]]\nadd = "powders"')
        )
        assert [w.code for w in warnings(before_powder)] == ["no-scrape-before-fibres"]

    def test_fibres_want_the_slow_paddle(self) -> None:
        assert codes(('speed = "slow"', 'speed = "fast"')) == ["fibres-mixed-fast"]

    def test_a_face_coat_is_split_off_before_fibres(self) -> None:
        split = '[[step]]\nsplit = "face coat"\nfraction = "25 %"\n\n'
        moved = changed((split, ""), ("[[step]]\ntemperature", split + "[[step]]\ntemperature"))
        assert [w.code for w in warnings(moved)] == ["split-after-fibres"]

    def test_plasticiser_goes_before_the_held_back_water(self) -> None:
        assert codes(*with_plasticiser("0.5 %", 'split = "face coat"')) == ["plasticiser-after-release"]

    @pytest.mark.parametrize(
        ("mix", "expected"), [("10 s to 20 s", []), ("9 s to 20 s", ["plasticiser-not-mixed"])]
    )
    def test_plasticiser_is_given_its_time_before_water(self, mix: str, expected: list[str]) -> None:
        late = with_plasticiser("0.5 %", f'mix = "{mix}"')
        text = changed(('mix = "60 s to 90 s"', f'mix = "{mix}"'))
        for old, new in late:
            assert text.count(old) == 1
            text = text.replace(old, new)
        assert [warning.code for warning in warnings(text)] == expected

    def test_a_recipe_that_cannot_be_proportioned_is_checked_for_its_order(self) -> None:
        recipe = read_recipe(changed(('speed = "slow"', 'speed = "fast"')), "some.toml").recipe
        broken = replace(recipe, water=replace(recipe.water, target=Fraction(0)))
        assert [warning.code for warning in published_limits(broken)] == ["fibres-mixed-fast"]
