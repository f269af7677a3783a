"""Every refusal the batch can give has a sentence; what a mixer is asked about once is marked so."""

import ast
from collections.abc import Iterator
from pathlib import Path

import mixstation.batch
from mixstation.wording.refusal_lines import known_codes

# The same command with `confirmed` (or, for the last, with a concession) goes through.
ASKED = {
    "far-over",
    "far-under",
    "far-over-plan",
    "more-than-filled",
    "over-ceiling",
    "over-cap",
    "bucket-differs",
    "too-soon",
    "flags-stand",
}


def refusals() -> Iterator[tuple[str, bool]]:
    """Code of every refusal in the code, and whether it asks."""
    for path in sorted(Path(mixstation.batch.__path__[0]).glob("*.py")):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(call, ast.Call) and getattr(call.func, "id", "") in ("RefusedError", "_question"):
                (code,) = (each.value for each in call.args if isinstance(each, ast.Constant))
                asks = getattr(call.func, "id", "") == "_question"
                yield str(code), asks or any(keyword.arg == "asks" for keyword in call.keywords)


def test_every_refusal_has_its_sentence() -> None:
    codes = {code for code, _ in refusals()}
    assert len(codes) > 20
    assert codes <= known_codes()


def test_what_is_asked_about_is_known() -> None:
    assert {code for code, asks in refusals() if asks} == ASKED
    assert all(asks for code, asks in refusals() if code in ASKED)
