"""Doses too small for the scale are said in the mixer's own units, with digits enough to weigh them by."""

from fractions import Fraction

import pytest

from mixstation.batch.flag.weighing import BucketFull, DoseBelowDivision, DoseSmallForScale
from mixstation.batch.flag.work import MixShort
from mixstation.recipe.model import MixStep, ReleaseStep
from mixstation.units.show import DisplayUnits
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.words import Speech
from tests.batch.making import clouded


# 7.4 g is 0.016314 lb or 0.26103 oz: NIST SP 811, 453.59237 g to the pound and 28.349523125 g to the ounce.
@pytest.mark.parametrize(
    ("units", "dose", "least"),
    [
        (DisplayUnits.METRIC, "7.4 g", "27 g"),
        (DisplayUnits.US, "0.016314 lb", "0.0595 lb"),
        (DisplayUnits.US_POUND_OUNCE, "0.26103 oz", "0.952 oz"),
    ],
)
def test_a_dose_too_small_for_the_scale(units: DisplayUnits, dose: str, least: str) -> None:
    flag = DoseSmallForScale(material="buff", dose_mg=Fraction(7_400), division_mg=1_000, least_mg=27_000)
    line = flag_line(clouded().run, flag, Speech(units=units, division_mg=1_000))
    assert line.startswith(f"Buff: {dose} is too small for this scale (good from {least}).")


@pytest.mark.parametrize(
    ("units", "dose", "division"),
    [
        (DisplayUnits.METRIC, "0.43 g", "1 g"),
        (DisplayUnits.US, "0.000948 lb", "0.002 lb"),
        (DisplayUnits.US_POUND_OUNCE, "0.01517 oz", "0.04 oz"),
    ],
)
def test_a_dose_the_scale_cannot_show(units: DisplayUnits, dose: str, division: str) -> None:
    flag = DoseBelowDivision(material="buff", dose_mg=Fraction(430), division_mg=1_000)
    line = flag_line(clouded().run, flag, Speech(units=units, division_mg=1_000))
    assert line.startswith(f"Buff: {dose} is less than this scale can show ({division}).")


# 21.5 and 20 L over 3.785411784 L to the US gallon (NIST SP 811).
@pytest.mark.parametrize(
    ("units", "ends", "limit"),
    [(DisplayUnits.METRIC, "21.5 L", "20 L"), (DisplayUnits.US, "5.68 US gal", "5.283 US gal")],
)
def test_a_bucket_too_small(units: DisplayUnits, ends: str, limit: str) -> None:
    flag = BucketFull(volume_l=21.5, limit_l=20.0, spills=False)
    line = flag_line(clouded().run, flag, Speech(units=units, division_mg=1_000))
    assert line.startswith(f"The mix will be {ends}; this bucket is to hold {limit}.")


def test_a_mixing_too_short_is_told_apart_from_another() -> None:
    run = clouded().run
    speech = Speech(units=DisplayUnits.METRIC, division_mg=1_000)
    mixes = [step.key for step in run.steps if isinstance(step, MixStep)]
    release = next(step.key for step in run.steps if isinstance(step, ReleaseStep))
    lines = [
        flag_line(run, MixShort(step=key, took_s=18, min_s=60, max_s=90), speech)
        for key in (*mixes[:2], release)
    ]
    assert lines == [
        "The first mix took 18 s; it should be at least 1 min.",
        "The second mix took 18 s; it should be at least 1 min.",
        "The mix of the held-back Water took 18 s; it should be at least 1 min.",
    ]
