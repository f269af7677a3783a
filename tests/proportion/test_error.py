"""Every formula refuses what it cannot answer for, by code."""

import inspect
import math
from collections.abc import Callable

import pytest

from mixstation.proportion import (
    density,
    drying,
    maturity,
    strength,
    temperature,
    volume,
    weighing,
)
from mixstation.proportion.error import (
    FigureTrouble,
    Negative,
    OutOfRange,
    ProportionError,
    need_between,
    need_finite,
    need_not_negative,
    need_positive,
)

WARM = temperature.Charge(mass_kg=10, temperature_c=20)

# each formula with arguments it accepts; every float of them is then spoilt in turn
ACCEPTED: tuple[tuple[Callable[..., object], dict[str, object]], ...] = (
    (volume.absolute_volume_l, {"mass_kg": 3.0, "density_kg_m3": 3100.0}),
    (volume.volume_with_air_l, {"solid_l": 9.5, "air_fraction": 0.05}),
    (volume.claimed_yield, {"mass_kg": 26.0, "computed_l": 12.0, "claimed_l": 9.0}),
    (density.wet_density_kg_m3, {"mass_kg": 4.2, "volume_l": 2.0}),
    (density.air_free_density_kg_m3, {"density_kg_m3": 2115.0, "air_fraction": 0.06}),
    (density.yield_l, {"mass_kg": 20.0, "density_kg_m3": 2100.0}),
    (density.relative_yield_ratio, {"made_l": 9.0, "designed_l": 10.0}),
    (density.gravimetric_air_fraction, {"air_free_kg_m3": 2200.0, "measured_kg_m3": 2100.0}),
    (density.water_density_kg_m3, {"temperature_c": 20.0}),
    (
        temperature.water_c_for,
        {"wanted_c": 20.0, "solids": [WARM], "waters": [], "water_kg": 3.0, "ice_kg": 0.0},
    ),
    (
        temperature.ice_kg_for,
        {"wanted_c": 18.0, "solids": [WARM], "waters": [], "water_kg": 3.0, "water_c": 20.0},
    ),
    (
        temperature.temperature_cautions,
        {"mix_c": 20.0, "water_c": 20.0, "water_kg": 3.0, "ice_kg": 0.1},
    ),
    (drying.saturation_vapour_kpa, {"temperature_c": 20.0}),
    (
        drying.evaporation_kg_m2_h,
        {"surface_c": 20.0, "air_c": 20.0, "humidity_fraction": 0.5, "wind_kmh": 5.0},
    ),
    (drying.drying_risk, {"rate_kg_m2_h": 0.2}),
    (maturity.energy_rate_ratio, {"temperature_c": 20.0}),
    (maturity.constant_rate_ratio, {"temperature_c": 20.0}),
    (maturity.nurse_saul_c_h, {"history": [(0.0, 20.0), (1.0, 20.0)], "datum_c": 0.0}),
    (maturity.working_minutes_band, {"label_minutes": 30.0, "at_c": 20.0, "mix_c": 25.0}),
    (strength.strength_change_fractions, {"change_ratio": 0.01}),
    (weighing.reading_uncertainty_g, {"division_g": 1.0}),
    (weighing.net_uncertainty_g, {"division_g": 1.0}),
    (weighing.smallest_dose_g, {"division_g": 1.0, "tolerance_fraction": 0.03}),
)

# where below nought means something: water that sand drinks, cold, less water, a net just under zero
MAY_BE_NEGATIVE = {
    "carried_kg",
    "temperature_c",
    "surface_c",
    "air_c",
    "at_c",
    "mix_c",
    "datum_c",
    "change_ratio",
    "value_g",
    "min_g",
    "max_g",
}

SPOILT = [
    pytest.param(formula, arguments, name, id=f"{formula.__name__}-{name}")
    for formula, arguments in ACCEPTED
    for name, value in arguments.items()
    if isinstance(value, float)
]


@pytest.mark.parametrize(("formula", "arguments"), ACCEPTED, ids=lambda value: getattr(value, "__name__", ""))
def test_the_arguments_to_be_spoilt_are_accepted(
    formula: Callable[..., object], arguments: dict[str, object]
) -> None:
    formula(**arguments)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize(("formula", "arguments", "name"), SPOILT)
def test_refuses_what_is_no_number(
    formula: Callable[..., object], arguments: dict[str, object], name: str, bad: float
) -> None:
    with pytest.raises(ProportionError) as caught:
        formula(**{**arguments, name: bad})
    assert caught.value.why.code == "not-finite"


@pytest.mark.parametrize(
    ("formula", "arguments", "name"), [spoilt for spoilt in SPOILT if spoilt.values[2] not in MAY_BE_NEGATIVE]
)
def test_refuses_below_nought(
    formula: Callable[..., object], arguments: dict[str, object], name: str
) -> None:
    with pytest.raises(ProportionError) as caught:
        formula(**{**arguments, name: -0.001})
    assert caught.value.why.code in {"negative", "not-positive", "out-of-range"}
    assert isinstance(caught.value.why, FigureTrouble)
    assert caught.value.why.name
    assert caught.value.why.found == -0.001


def test_every_formula_with_a_plain_number_is_in_the_table() -> None:
    modules = (density, drying, maturity, strength, temperature, volume, weighing)
    public = {
        function.__name__
        for module in modules
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__ and not name.startswith("_")
    }
    elsewhere = {
        "mix_temperature_c",
        "drying",
        "equivalent_age_h",
        "separate_additions_uncertainty_g",
    }
    assert public == {formula.__name__ for formula, _ in ACCEPTED} | elsewhere


def test_an_error_keeps_what_was_found() -> None:
    error = ProportionError(Negative(name="sand_kg", found=-1.0))
    assert error.why == Negative(name="sand_kg", found=-1.0)
    assert error.why.code == "negative"
    assert "negative" in str(error)


def test_the_checks_accept_their_bounds() -> None:
    need_finite(any_c=-300.0)
    need_not_negative(mass_kg=0.0)
    need_positive(mass_kg=1e-9)
    need_between(0, 1, least_fraction=0.0, most_fraction=1.0)


def test_the_checks_name_what_they_refuse() -> None:
    with pytest.raises(ProportionError) as caught:
        need_between(0, 1, first_fraction=0.5, second_fraction=1.5)
    assert caught.value.why == OutOfRange(name="second_fraction", found=1.5, least=0, most=1)
    with pytest.raises(ProportionError) as caught:
        need_positive(mass_kg=0.0)
    assert caught.value.why.code == "not-positive"
