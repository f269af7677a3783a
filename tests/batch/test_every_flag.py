"""Every flag there is comes when it should, goes when it is mended, and has a sentence that says its figures."""

import re
from collections.abc import Callable
from itertools import product

import pytest

from mixstation.batch.flag import KINDS, Flag, in_order
from mixstation.batch.flag.doses import DoseMissing
from mixstation.batch.flag.weighing import ScaleSilent, TubNotWeighedBack
from mixstation.batch.flag.work import MixLong, StiffAndWarm
from mixstation.units.show import DisplayUnits
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.words import Speech
from tests.batch.every_flag import EVERY_FLAG, at_the_scale
from tests.batch.making import values_of

CODES = sorted(EVERY_FLAG)
# "0 g", "0.00 kg", "0 %": a figure that was not zero and is shown as nothing.
SHOWN_AS_NOTHING = re.compile(r"(?<![\d.])0(\.0+)? (g|kg|lb|oz|%|L|s)\b")


def test_no_flag_is_left_out_here() -> None:
    assert set(EVERY_FLAG) == {kind.code for kind in KINDS}
    assert len(EVERY_FLAG) == len(KINDS)


@pytest.mark.parametrize("code", CODES)
def test_comes_and_goes(code: str) -> None:
    case = EVERY_FLAG[code]
    bench = case.comes()
    flag = bench.flags[code]
    assert (flag.gravity, flag.about) == (case.gravity, case.about)
    case.goes(bench)
    assert (code, case.about) not in {(flag.code, flag.about) for flag in bench.advice.flags}


@pytest.mark.parametrize("code", CODES)
def test_sentence_says_it(code: str) -> None:
    bench = EVERY_FLAG[code].comes()
    for flag, units, division_mg in product(bench.advice.flags, DisplayUnits, (100, 1000, 10_000)):
        line = flag_line(bench.run, flag, Speech(units=units, division_mg=division_mg))
        assert line.strip() == line
        assert line[-1] in ".;:!" or line.endswith(")")
        assert not set("{}") & set(line)
        assert "nan" not in line.lower().split()
        assert not SHOWN_AS_NOTHING.search(line), line
        figures = [value for value in values_of(flag).values() if not isinstance(value, str | bool)]
        if figures:
            assert re.search(r"\d", line), line


def test_gravest_first_and_each_once() -> None:
    found: list[Flag] = [TubNotWeighedBack(material="c"), *two_missing(), ScaleSilent(), *two_missing()]
    found += [MixLong(step="a", took_s=9, min_s=1, max_s=2, ended=True, fibres_in=False), StiffAndWarm()]
    ordered = in_order(found)
    assert [(flag.code, flag.about) for flag in ordered] == [
        ("stiff-and-warm", ""),
        ("dose-missing", "a"),
        ("dose-missing", "b"),
        ("scale-silent", ""),
        ("tub-not-weighed-back", "c"),
        ("mix-long", "a"),
    ]


def two_missing() -> list[Flag]:
    return [DoseMissing(material="a"), DoseMissing(material="b")]


def test_what_the_kinds_of_flags_say_of_themselves() -> None:
    """What brings the ways up, what is mended by adding, and what bars a weight from taking itself."""

    def codes(says: Callable[[type[Flag]], object]) -> set[str]:
        return {kind.code for kind in KINDS if says(kind)}

    over_water, over_dose = {"water-over", "water-over-ceiling"}, {"dose-over", "dose-over-cap"}
    assert codes(lambda kind: kind.mended_by_ways) == over_water | over_dose | {"ran-out"}
    assert codes(lambda kind: kind.asks_to_add) == {
        "water-under",
        "dose-under",
        "dose-missing",
        "plasticiser-first",
        "mix-plasticiser-first",
    }
    assert codes(lambda kind: kind.bars_taking) == {"scale-unit-changed"}
    assert codes(lambda kind: kind.reach == "water-most") == over_water
    assert codes(lambda kind: kind.reach == "dose-most") == over_dose
    assert codes(lambda kind: kind.reach == "dose-least") == {"dose-under", "dose-missing", "ran-out"}
    # What a flag says less of is a flag.
    assert {kind.says_too for kind in KINDS} - {""} == {"water-over", "dose-over"}


def test_a_scale_that_does_not_tell_its_division_has_not_changed_it() -> None:
    assert "scale-unit-changed" in at_the_scale("moving", division_mg=453).codes
    assert "scale-unit-changed" not in at_the_scale("moving", division_mg=0).codes
