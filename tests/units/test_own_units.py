"""What a scale of its own shows. 1 lb is 453.59237 g and 16 oz: NIST SP 811 (2008), B.8."""

import pytest

from mixstation.units.own_units import own_units
from mixstation.units.show import DisplayUnits

METRIC, US, OUNCES = DisplayUnits.METRIC, DisplayUnits.US, DisplayUnits.US_POUND_OUNCE


@pytest.mark.parametrize(
    ("units", "unit", "division_mg", "shows"),
    [
        # A pocket scale in steps of 0.01 g, 0.1 g, 1 g, in a shop that reads pounds.
        (US, "", 10, METRIC),
        (US, "", 100, METRIC),
        (US, "", 1_000, METRIC),
        (OUNCES, "", 500, METRIC),
        # Steps of 0.01 lb, 0.005 lb, 0.1 oz are no round part of a gram.
        (US, "", 4_536, US),
        (US, "", 2_268, US),
        (OUNCES, "", 2_835, OUNCES),
        (METRIC, "", 2_835, OUNCES),
        (METRIC, "", 4_536, US),
        (METRIC, "", 100, METRIC),
        # What its entry says goes before all else.
        (US, "g", 2_268, METRIC),
        (METRIC, "oz", 100, OUNCES),
        (METRIC, "lb", 100, US),
        # Neither: as the shop reads.
        (US, "", 333, US),
        (METRIC, "", 333, METRIC),
    ],
)
def test_the_entry_then_the_division_then_the_shop(
    units: DisplayUnits, unit: str, division_mg: int, shows: DisplayUnits
) -> None:
    assert own_units(units, unit, division_mg) is shows
