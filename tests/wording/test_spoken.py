"""Every template names only fields its object has, and each value is said by its unit."""

from fractions import Fraction
from typing import Any, get_args

import pytest

from mixstation.batch import refusal
from mixstation.batch.flag import KINDS
from mixstation.batch.refusal import Asked, AskedOnce, Plain, Refused
from mixstation.coded import Coded
from mixstation.units.show import DisplayUnits
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.refusal_lines import confirm_words, refusal_line
from mixstation.wording.spoken import spoken
from mixstation.wording.words import OfBatch, Speech
from tests.batch.making import SPEECH, blend
from tests.wording.samples import samples

RUN = blend().run
# The same command with `confirmed` (or, for the last, with a concession) goes through.
ASKED = {
    "far-over",
    "far-under",
    "far-over-plan",
    "more-than-filled",
    "over-ceiling",
    "over-cap",
    "bucket-differs",
    "nothing-on",
    "other-vessel",
    "supply-short",
    "set-down",
    "tub-lighter",
    "tub-waits",
    "too-soon",
    "flags-stand",
}


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.code)
def test_every_flag_can_be_said_with_its_own_fields(kind: type[Any]) -> None:
    for flag in samples(kind):
        line = flag_line(RUN, flag, SPEECH)
        assert line[-1] in ".)"
        assert not set("{}") & set(line)


@pytest.mark.parametrize("kind", get_args(Asked) + get_args(Refused), ids=lambda kind: kind.code)
def test_every_refusal_can_be_said_with_its_own_fields(kind: type[Any]) -> None:
    for refused in samples(kind):
        line = refusal_line(RUN, refused, SPEECH)
        assert line[-1] == "."
        assert not set("{}") & set(line)


def test_every_plain_refusal_has_a_sentence_of_its_own() -> None:
    lines = [refusal_line(RUN, plain, SPEECH) for plain in Plain]
    assert len(set(lines)) == len(Plain)


def test_what_is_asked_about_is_known_and_has_its_yes() -> None:
    kinds = get_args(Asked)
    assert {kind.code for kind in kinds} == ASKED
    assert all(issubclass(kind, AskedOnce) for kind in kinds)
    assert not any(issubclass(kind, AskedOnce) for kind in get_args(Refused))
    for kind in kinds:
        for asked in samples(kind):
            assert all(confirm_words(asked, out=out) for out in (False, True))


def test_every_refusal_there_is_stands_in_the_union_with_a_code_of_its_own() -> None:
    made = {each for each in vars(refusal).values() if isinstance(each, type) and issubclass(each, Coded)}
    kinds = get_args(Asked) + get_args(Refused)
    assert made - {Coded, AskedOnce} == set(kinds)
    codes = [kind.code for kind in kinds] + [plain.code for plain in Plain]
    assert len(codes) == len(set(codes))


class Figures(Coded, code="figures"):
    """One of each unit."""

    dose_mg: Fraction = Fraction(7_432_400)
    division_mg: int = 1000
    ratio: Fraction = Fraction(1381, 10_000)
    most_ratio: Fraction = Fraction(1380, 10_000)
    cap_fraction: Fraction = Fraction(12, 1000)
    took_s: int = 125
    mix_c: float = 21.5
    mix_milli_c: int = 21_500
    volume_l: float = 6.0234
    open_count: int = 1
    beyond_furlong: int = 1
    material: str = "water"
    shown: str = "a\x1b[2J {b}"


@pytest.mark.parametrize(
    ("template", "said"),
    [
        ("{dose_mg}", "7.43 kg"),
        ("{dose_mg:fine}", "7.432 kg"),
        ("{dose_mg:rough}", "7.4 kg"),
        ("{division_mg}", "1 g"),
        ("{ratio} over {most_ratio}", "0.138 over 0.138"),
        ("{ratio:from most_ratio} over {most_ratio:from ratio}", "0.1381 over 0.1380"),
        ("{cap_fraction:2}", "1.2 %"),
        ("{took_s:min} min", "2 min"),
        ("{mix_c} {mix_milli_c}", "21.5 °C 21.5 °C"),
        ("{volume_l}", "6.02 L"),
        ("{open_count:check is|checks are} open", "1 check is open"),
        ("{material}", "Water"),
    ],
)
def test_a_value_is_said_by_the_end_of_its_name(template: str, said: str) -> None:
    voice = OfBatch(run=RUN, speech=Speech(units=DisplayUnits.METRIC, division_mg=10_000))
    assert spoken(template, Figures(), voice) == said


def test_a_name_without_a_field_or_a_known_unit_is_no_sentence() -> None:
    voice = OfBatch(run=RUN, speech=SPEECH)
    with pytest.raises(AttributeError):
        spoken("{least_mg}", Figures(), voice)
    with pytest.raises(ValueError, match="furlong"):
        spoken("{beyond_furlong}", Figures(), voice)


def test_foreign_text_in_a_sentence_is_cleaned_and_no_template() -> None:
    line = spoken("{shown}", Figures(), OfBatch(run=RUN, speech=SPEECH))
    assert "\x1b" not in line
    assert line.endswith("{b}")
