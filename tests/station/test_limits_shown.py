"""What is right stands in figures beside the target: only what the scale can show, never wider than what is taken."""

from itertools import pairwise

import pytest

from mixstation.batch.advice import stand
from mixstation.station.bench import Settings
from mixstation.station.view import View
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import DisplayUnits
from mixstation.wording.words import Speech
from tests.station.mixer import mix
from tests.station.yard import Yard


@pytest.mark.parametrize(
    ("low_mg", "high_mg", "division_mg", "text"),
    [
        (205_400, 211_600, 1_000, "206 to 211 g"),
        (205_000, 211_000, 1_000, "205 to 211 g"),
        (3_951_000, 4_049_000, 5_000, "3.955 to 4.045 kg"),
        (995_000, 1_005_000, 1_000, "995 g to 1.005 kg"),
        (831_600, 832_900, 1_000, "832 g"),
    ],
)
def test_limits_are_rounded_inwards_and_say_their_unit_once(
    low_mg: int, high_mg: int, division_mg: int, text: str
) -> None:
    assert Speech(units=DisplayUnits.METRIC, division_mg=division_mg).span(low_mg, high_mg) == text


def test_pounds_and_ounces_stand_whole() -> None:
    """460 g are 16.226 oz and 500 g are 17.637 oz (1 oz = 28.349523125 g, NIST SP 811)."""
    speech = Speech(units=DisplayUnits.US_POUND_OUNCE, division_mg=1_000)
    assert speech.span(460_000, 500_000) == "1 lb 0.23 oz to 1 lb 1.64 oz"


def test_every_dose_of_a_batch_says_limits_around_its_target_inside_what_is_taken() -> None:
    yard = Yard("planter_wall", "6 kg", settings=Settings(division_mg=1_000, hands_free_s=0))
    seen = {}

    def look(view: View) -> bool:
        pour, dosing = view.pour, stand(yard.run, 1_000).dosing
        if pour is not None and dosing is not None:
            seen[dosing.material, dosing.target_mg] = (pour.right, pour.target, dosing.low_mg, dosing.high_mg)
        return view.ended

    mix(yard, until=look, tick_s=1.0)
    assert len(seen) >= 6
    for right, target, low_mg, high_mg in seen.values():
        first, _, last = right.partition(" to ")
        unit = right.rpartition(" ")[2]
        first = first if not last or " " in first else f"{first} {unit}"
        ends = [parse_mass_mg(text) for text in (first, target, last or first)]
        assert all(one <= other for one, other in pairwise((low_mg, *ends, high_mg)))
