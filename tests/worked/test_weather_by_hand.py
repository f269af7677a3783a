"""Temperature, drying and working time worked by hand."""

import pytest

from mixstation.proportion.drying import drying, evaporation_kg_m2_h
from mixstation.proportion.maturity import nurse_saul_c_h, working_minutes_band
from mixstation.proportion.temperature import (
    Charge,
    ice_kg_for,
    mix_temperature_c,
    temperature_cautions,
    water_c_for,
)

SOLIDS = (Charge(mass_kg=10, temperature_c=30), Charge(mass_kg=10, temperature_c=32))
WATER = (Charge(mass_kg=3.5, temperature_c=20),)


def test_mix_temperature() -> None:
    """Sand 10 kg at 30, cement 10 kg at 32, water 3.5 kg at 20 °C.

    Above: 0.22(300 + 320) + 70 = 206.4. Below: 0.22 × 20 + 3.5 = 7.9. 206.4/7.9 = 26.127 °C.
    """
    assert mix_temperature_c(solids=SOLIDS, waters=WATER) == pytest.approx(26.127, abs=0.0005)


def test_water_for_a_wanted_temperature() -> None:
    """25 °C: 25 × 7.9 = 197.5, less 0.22 × 620 = 136.4 leaves 61.1 for 3.5 kg: 17.457 °C."""
    needed = water_c_for(25, solids=SOLIDS, waters=[], water_kg=3.5)
    assert needed == pytest.approx(17.457, abs=0.0005)


def test_ice_for_a_wanted_temperature() -> None:
    """22 °C: 206.4 − 22 × 7.9 = 32.6 to take out; each kg of ice for water at 20 takes 99.6: 0.327 kg, 9 %."""
    ice = ice_kg_for(22, solids=SOLIDS, waters=[], water_kg=3.5, water_c=20)
    assert ice == pytest.approx(0.327, abs=0.0005)
    assert temperature_cautions(mix_c=22, water_c=20, water_kg=3.5, ice_kg=ice) == ()


@pytest.mark.parametrize(("surface_c", "humidity", "expected"), [(25, 0.5, 0.7261), (30, 0.3, 1.3622)])
def test_drying_in_a_wind_of_20_kmh(surface_c: float, humidity: float, expected: float) -> None:
    """0.315 × e(1 − r) × (0.253 + 1.2), surface as warm as the air.

    25 °C: e = 0.61 exp(432.5/262.3) = 3.1727 kPa, half of it 1.5863; × 0.315 × 1.453 = 0.7261.
    30 °C: e = 0.61 exp(519/267.3) = 4.2518 kPa, seven tenths 2.9763; × 0.457695 = 1.3622 kg/m²/h.
    """
    rate = evaporation_kg_m2_h(surface_c=surface_c, air_c=surface_c, humidity_fraction=humidity, wind_kmh=20)
    assert rate == pytest.approx(expected, abs=0.00005)


def test_drying_is_said_with_its_spread() -> None:
    """0.7261 less and more 40 %: 0.4357 and 1.0165, so the class may be one worse."""
    estimate = drying(surface_c=25, air_c=25, humidity_fraction=0.5, wind_kmh=20)
    assert estimate.min_kg_m2_h == pytest.approx(0.4357, abs=0.0001)
    assert estimate.max_kg_m2_h == pytest.approx(1.0165, abs=0.0001)
    assert (estimate.risk, estimate.worst_risk) == ("thin-skin", "any-surface")


def test_temperature_time_of_a_day() -> None:
    """Means 21, 25, 31, 33, 29, 24, 21 °C over 2, 2, 2, 2, 4, 6, 6 h: 42 + 50 + 62 + 66 + 116 + 144 + 126 = 606."""
    history = ((0, 20), (2, 22), (4, 28), (6, 34), (8, 32), (12, 26), (18, 22), (24, 20))
    assert nurse_saul_c_h(history, datum_c=0) == 606
    assert nurse_saul_c_h(history, datum_c=-10) == 606 + 24 * 10


def test_working_time_at_thirty_degrees() -> None:
    """30 min at 20 °C; rates at 30 °C 1.574 and 1.755: 19.06 and 17.09 min, less and more 20 %: 13.7 to 22.9."""
    assert working_minutes_band(30, 20, 30) == pytest.approx((13.67, 22.88), abs=0.01)
