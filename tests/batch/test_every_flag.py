"""Every flag there is comes when it should, goes when it is mended, and has a sentence that says its figures."""

import ast
import re
from pathlib import Path

import pytest

import mixstation.batch
from mixstation.batch.flag import Flag, in_order
from mixstation.units.show import DisplayUnits
from mixstation.wording.flag_lines import flag_line, known_codes
from mixstation.wording.words import Speech
from tests.batch.every_flag import EVERY_FLAG

CODES = sorted(EVERY_FLAG)
# "0 g", "0.00 kg", "0 %": a figure that was not zero and is shown as nothing.
SHOWN_AS_NOTHING = re.compile(r"(?<![\d.])0(\.0+)? (g|kg|lb|oz|%|L|s)\b")


def raised_in_the_code() -> set[str]:
    """Codes of all flags made anywhere in the batch, by reading the code."""
    codes: set[str] = set()
    for path in Path(mixstation.batch.__path__[0]).glob("*.py"):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "Flag":
                (made,) = (keyword.value for keyword in call.keywords if keyword.arg == "code")
                codes |= _words(made)
            elif isinstance(call, ast.Assign) and getattr(call.targets[0], "id", "") == "code":
                codes |= _words(call.value)
    return codes


def _words(made: ast.expr) -> set[str]:
    if isinstance(made, ast.Constant):
        return {str(made.value)}
    if isinstance(made, ast.IfExp):
        return _words(made.body) | _words(made.orelse)
    if isinstance(made, ast.JoinedStr):
        end = made.values[-1]
        assert isinstance(end, ast.Constant)
        return {f"{verb}{end.value}" for verb in ("mix", "rest")}
    return set()


def test_no_flag_is_left_out_here() -> None:
    assert set(EVERY_FLAG) == raised_in_the_code()


def test_every_flag_has_a_sentence_and_every_sentence_a_flag() -> None:
    assert known_codes() == set(EVERY_FLAG)


@pytest.mark.parametrize("code", CODES)
def test_comes_and_goes(code: str) -> None:
    case = EVERY_FLAG[code]
    bench = case.comes()
    flag = bench.flags[code]
    assert (flag.gravity, flag.about) == (case.gravity, case.about)
    case.goes(bench)
    assert (code, case.about) not in {(flag.code, flag.about) for flag in bench.advice.flags}


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("units", list(DisplayUnits))
@pytest.mark.parametrize("division_mg", [100, 1000, 10_000])
def test_sentence_says_it(code: str, units: DisplayUnits, division_mg: int) -> None:
    bench = EVERY_FLAG[code].comes()
    for flag in bench.advice.flags:
        line = flag_line(bench.run, flag, Speech(units=units, division_mg=division_mg))
        assert line.strip() == line
        assert line[-1] in ".;:!" or line.endswith(")")
        assert not set("{}") & set(line)
        assert "nan" not in line.lower().split()
        assert not SHOWN_AS_NOTHING.search(line), line
        if any(not isinstance(value, str) for _, value in flag.values):
            assert re.search(r"\d", line), line


def test_gravest_first_and_each_once() -> None:
    def flag(code: str, gravity: str, about: str = "") -> Flag:
        return Flag(code=code, about=about, gravity=gravity)  # type: ignore[arg-type]

    found = [
        flag("c", "note"),
        flag("b", "warn"),
        flag("a", "stop"),
        flag("b", "warn"),
        flag("b", "warn", "x"),
    ]
    ordered = in_order(found)
    assert [(each.code, each.about) for each in ordered] == [("a", ""), ("b", ""), ("b", "x"), ("c", "")]
    assert len(ordered) == 4
