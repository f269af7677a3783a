"""Every formula refuses what it cannot answer for, by code."""

import inspect
import math
from collections.abc import Callable

import pytest

from mixstation.proportion import (
    conformity,
    consistency,
    correction,
    density,
    drying,
    maturity,
    pigment,
    strength,
    temperature,
    volume,
    water,
    weighing,
)
from mixstation.proportion.error import (
    ProportionError,
    need_between,
    need_finite,
    need_not_negative,
    need_positive,
)

WARM = temperature.Charge(mass_kg=10, temperature_c=20)

# each formula with arguments it accepts; every float of them is then spoilt in turn
ACCEPTED: tuple[tuple[Callable[..., object], dict[str, object]], ...] = (
    (water.liquid_water_kg, {"mass_kg": 1.0, "solids_fraction": 0.5}),
    (water.sand_water_kg, {"dry_kg": 1.0, "moisture_fraction": 0.03, "absorption_fraction": 0.01}),
    (water.moist_sand_kg, {"dry_kg": 1.0, "moisture_fraction": 0.03}),
    (water.dry_sand_kg, {"moist_kg": 1.0, "moisture_fraction": 0.03}),
    (water.sand_moisture_fraction, {"wet_kg": 1.1, "dry_kg": 1.0}),
    (water.emulsion_kg, {"cement_kg": 8.0, "polymer_fraction": 0.05, "solids_fraction": 0.5}),
    (water.fibre_kg, {"slurry_kg": 8.0, "fibre_fraction": 0.03}),
    (water.water_to_weigh_kg, {"water_ratio": 0.35, "basis_kg": 8.0, "carried_kg": 0.4}),
    (water.water_ratios, {"added_kg": 2.0, "carried_kg": 0.4, "binder_kg": 9.0, "cement_kg": 8.0}),
    (volume.density_from_gravity_kg_m3, {"gravity_ratio": 3.1, "water_kg_m3": 1000.0}),
    (volume.absolute_volume_l, {"mass_kg": 3.0, "density_kg_m3": 3100.0}),
    (density.measured_density_kg_m3, {"full_kg": 5.0, "empty_kg": 1.0, "volume_l": 2.0}),
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
    (weighing.class_iii_error_g, {"load_g": 100.0, "interval_g": 1.0}),
    (weighing.class_iii_least_load_g, {"interval_g": 1.0}),
    (
        conformity.conformity_probability_fraction,
        {"value_g": 50.0, "uncertainty_g": 0.4, "min_g": 49.0, "max_g": 51.0},
    ),
    (conformity.verdict, {"value_g": 50.0, "uncertainty_g": 0.4, "min_g": 49.0, "max_g": 51.0}),
    (conformity.smallest_dose_g, {"division_g": 1.0, "tolerance_fraction": 0.03}),
    (consistency.spread_mm, {"first_mm": 220.0, "second_mm": 215.0}),
    (consistency.ring_reached, {"diameter_mm": 120.0}),
    (correction.growth_ratio, {"actual_kg": 2.2, "target_kg": 2.0}),
    (correction.powder_growth_ratio, {"actual_all_water_kg": 2.2, "target_all_water_kg": 2.0}),
    (
        correction.powder_growth_to_limit_ratio,
        {"all_water_kg": 4.2, "basis_kg": 10.0, "max_water_ratio": 0.4},
    ),
    (correction.shrink_ratio, {"available_kg": 4.0, "target_kg": 5.0}),
    (correction.surplus_after_shrink_kg, {"in_already_kg": 3.0, "target_kg": 3.0, "shrink_ratio": 0.9}),
    (pigment.check_pigment, {"doses": [], "cement_kg": 8.0}),
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
    assert caught.value.code == "not-finite"


@pytest.mark.parametrize(
    ("formula", "arguments", "name"), [spoilt for spoilt in SPOILT if spoilt.values[2] not in MAY_BE_NEGATIVE]
)
def test_refuses_below_nought(
    formula: Callable[..., object], arguments: dict[str, object], name: str
) -> None:
    with pytest.raises(ProportionError) as caught:
        formula(**{**arguments, name: -0.001})
    assert caught.value.code in {"negative", "not-positive", "out-of-range"}
    assert caught.value.values["name"]
    assert caught.value.values["found"] == -0.001


def test_every_formula_with_a_plain_number_is_in_the_table() -> None:
    modules = (
        conformity,
        consistency,
        correction,
        density,
        drying,
        maturity,
        pigment,
        strength,
        temperature,
        volume,
        water,
        weighing,
    )
    public = {
        function.__name__
        for module in modules
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__ and not name.startswith("_")
    }
    elsewhere = {
        "batch_volume_l",
        "fresh_density_kg_m3",
        "sand_by_absolute_volume_kg",
        "claimed_yield",
        "mix_temperature_c",
        "drying",
        "equivalent_age_h",
        "separate_additions_uncertainty_g",
        "flow_percent",
        "ring_diameter_mm",
    }
    assert public == {formula.__name__ for formula, _ in ACCEPTED} | elsewhere


def test_an_error_keeps_its_code_and_values() -> None:
    error = ProportionError("negative", name="sand_kg", found=-1.0)
    assert error.code == "negative"
    assert error.values == {"name": "sand_kg", "found": -1.0}
    assert "negative" in str(error)


def test_the_checks_accept_their_bounds() -> None:
    need_finite(any_c=-300.0)
    need_not_negative(mass_kg=0.0)
    need_positive(mass_kg=1e-9)
    need_between(0, 1, least_fraction=0.0, most_fraction=1.0)


def test_the_checks_name_what_they_refuse() -> None:
    with pytest.raises(ProportionError) as caught:
        need_between(0, 1, first_fraction=0.5, second_fraction=1.5)
    assert caught.value.values == {"name": "second_fraction", "found": 1.5, "least": 0, "most": 1}
    with pytest.raises(ProportionError) as caught:
        need_positive(mass_kg=0.0)
    assert caught.value.code == "not-positive"
