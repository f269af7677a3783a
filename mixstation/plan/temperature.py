"""How warm the mix will be, what water or ice would change it, how long it stays workable, how fast its face dries."""

from collections.abc import Iterator, Mapping
from dataclasses import field
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.plan import cautions as told
from mixstation.plan.cautions import OfDay
from mixstation.plan.faults import Temperature, refused
from mixstation.proportion.drying import Drying, drying
from mixstation.proportion.error import (
    FigureTrouble,
    IceOverWater,
    ProportionError,
    WaterWouldBoil,
    WaterWouldFreeze,
)
from mixstation.proportion.maturity import REFERENCE_C, working_minutes_band
from mixstation.proportion.temperature import (
    HOT_WATER_C,
    Charge,
    TemperatureCaution,
    ice_kg_for,
    mix_temperature_c,
    temperature_cautions,
    water_c_for,
)
from mixstation.recipe.model import Recipe, Role

_MG_PER_KG = 1_000_000

HOTTEST_WATER_C = HOT_WATER_C - 1
"""Warmest water a plan asks for. Source: Choice: a degree for the thermometer below ACI 306R, from memory."""

SHORT_WORKING_MIN = 15.0
"""A batch that may stiffen sooner leaves no time for the steps. Source: Choice."""


class Climate(Frozen):
    """The shop and the materials on the day.

    Attributes:
        water_c: Mix water as it comes, °C; None for the shop's.
        material_c: Temperature of materials that are not as warm as the shop, by key, °C.
        humidity_fraction: Relative humidity, 0 to 1, or None.
    """

    shop_c: float
    water_c: float | None = None
    material_c: Mapping[str, float] = field(default_factory=dict)
    wanted_c: float | None = None
    humidity_fraction: float | None = None
    wind_kmh: float = 0.0


class TemperaturePlan(Frozen):
    """What the day does to the mix.

    Attributes:
        mix_c: Predicted mix temperature, °C, with the water as it comes.
        reached_c: Mix temperature that all else is reckoned for, °C: the wanted one, or the warmest that water which
            does not scald the cement gives, or the one above where nothing is wanted or it cannot be cooled so far.
        water_for_wanted_c: Water temperature that gives the wanted mix, °C, at most `HOTTEST_WATER_C`; None where not
            asked for or not possible.
        ice_for_wanted_fraction: Part of the water to weigh as ice, the rest as it comes; the recipe's own ice counts
            as such water and as such ice. None as above, 0 where none is needed.
        working_min: Least and most working time at `reached_c`.
    """

    mix_c: float
    reached_c: float
    water_for_wanted_c: float | None
    ice_for_wanted_fraction: float | None
    working_min: tuple[float, float]
    drying: Drying | None
    cautions: tuple[OfDay, ...]


def plan_temperature(
    recipe: Recipe, masses_mg: Mapping[str, Fraction | int], climate: Climate
) -> TemperaturePlan:
    """Predict the mix temperature and what follows from it.

    Raises:
        PlanRefused: "temperature" where a temperature is outside what the formulas answer for.

    Source: ACI 305R mix temperature; Menzel drying; see `mixstation.proportion`.
    """
    try:
        return _plan(recipe, masses_mg, climate)
    except ProportionError as error:
        if not isinstance(error.why, FigureTrouble):
            raise
        raise refused(Temperature(figure=error.why)) from None


def _plan(recipe: Recipe, masses_mg: Mapping[str, Fraction | int], climate: Climate) -> TemperaturePlan:
    water_c = climate.shop_c if climate.water_c is None else climate.water_c
    solids: list[Charge] = []
    waters: list[Charge] = []
    ice_kg = 0.0
    for key, mass_mg in masses_mg.items():
        material = recipe.material(key)
        mass_kg = float(mass_mg) / _MG_PER_KG
        if material.role is Role.ICE:
            ice_kg += mass_kg
        elif key != recipe.water_key:
            at_c = climate.material_c.get(key, climate.shop_c)
            # The whole moisture of sand is as warm as the sand, whether its pores keep it or not.
            wet = 1 - material.dry_fraction if material.is_powder else material.water_fraction
            solids.append(Charge(mass_kg=mass_kg * float(1 - wet), temperature_c=at_c))
            waters.append(Charge(mass_kg=mass_kg * float(wet), temperature_c=at_c))
    water_kg = float(masses_mg[recipe.water_key]) / _MG_PER_KG
    own_water = Charge(mass_kg=water_kg, temperature_c=water_c)
    with_ice_kg = water_kg + ice_kg
    mix_c = mix_temperature_c(solids=solids, waters=[*waters, own_water], ice_kg=ice_kg)

    wanted_c = climate.wanted_c
    needed_c = ice_fraction = None
    reached_c = mix_c
    ways: list[OfDay] = []
    if wanted_c is not None and water_kg > 0:
        needed_c = _water_c(wanted_c, solids, waters, water_kg, ice_kg)
        ice_fraction = _ice_fraction(wanted_c, solids, waters, with_ice_kg, water_c)
        # Less ice than the recipe has warms the mix; none at all may not be enough.
        ice_reaches = ice_fraction is not None and (wanted_c < mix_c or ice_fraction > 0)
        if needed_c is not None or ice_reaches:
            reached_c = wanted_c
            if ice_fraction:
                ways += _cautions(
                    recipe, masses_mg, wanted_c, water_c, with_ice_kg, ice_fraction * with_ice_kg
                )
            if needed_c is not None and wanted_c > mix_c:
                ways += _cautions(recipe, masses_mg, wanted_c, needed_c, with_ice_kg, ice_kg)
        elif wanted_c < mix_c:
            ways.append(told.WantedTooCold(wanted_c=wanted_c, mix_c=mix_c))
        else:
            hot_water = Charge(mass_kg=water_kg, temperature_c=HOTTEST_WATER_C)
            reached_c = mix_temperature_c(solids=solids, waters=[*waters, hot_water], ice_kg=ice_kg)
            ways.append(
                told.WantedOutOfReach(wanted_c=wanted_c, reached_c=reached_c, water_c=HOTTEST_WATER_C)
            )
            ways += _cautions(recipe, masses_mg, reached_c, HOTTEST_WATER_C, with_ice_kg, ice_kg)

    working = working_minutes_band(recipe.working_min, REFERENCE_C, reached_c)
    face = None
    if climate.humidity_fraction is not None:
        face = drying(
            surface_c=reached_c,
            air_c=climate.shop_c,
            humidity_fraction=climate.humidity_fraction,
            wind_kmh=climate.wind_kmh,
        )
    own = _cautions(recipe, masses_mg, reached_c, water_c, with_ice_kg, ice_kg)
    cautions = {found.code: found for found in (*own, *ways, *_day(recipe, climate, working, face))}
    return TemperaturePlan(
        mix_c=mix_c,
        reached_c=reached_c,
        water_for_wanted_c=needed_c,
        ice_for_wanted_fraction=ice_fraction,
        working_min=working,
        drying=face,
        cautions=tuple(sorted(cautions.values(), key=lambda found: not found.is_grave)),
    )


def _water_c(
    wanted_c: float, solids: list[Charge], waters: list[Charge], water_kg: float, ice_kg: float
) -> float | None:
    """None for water that would freeze, boil, or be too hot to ask for."""
    try:
        needed_c = water_c_for(wanted_c, solids=solids, waters=waters, water_kg=water_kg, ice_kg=ice_kg)
    except ProportionError as error:
        if isinstance(error.why, WaterWouldFreeze | WaterWouldBoil):
            return None
        raise
    return needed_c if needed_c <= HOTTEST_WATER_C else None


def _ice_fraction(
    wanted_c: float, solids: list[Charge], waters: list[Charge], water_kg: float, water_c: float
) -> float | None:
    """Of the water to weigh, ice included; None where all of it as ice would not do."""
    try:
        ice_kg = ice_kg_for(wanted_c, solids=solids, waters=waters, water_kg=water_kg, water_c=water_c)
    except ProportionError as error:
        if isinstance(error.why, IceOverWater):
            return None
        raise
    return ice_kg / water_kg


def _film_forming_c(recipe: Recipe, masses_mg: Mapping[str, Fraction | int]) -> float | None:
    figures = [
        material.film_forming_c
        for material in recipe.materials
        if material.film_forming_c is not None and masses_mg.get(material.key, 0) > 0
    ]
    return max(figures, default=None)


def _cautions(
    recipe: Recipe,
    masses_mg: Mapping[str, Fraction | int],
    mix_c: float,
    water_c: float,
    water_kg: float,
    ice_kg: float,
) -> tuple[TemperatureCaution, ...]:
    return temperature_cautions(
        mix_c=mix_c,
        water_c=water_c,
        water_kg=water_kg,
        ice_kg=ice_kg,
        film_forming_c=_film_forming_c(recipe, masses_mg),
    )


def _day(
    recipe: Recipe, climate: Climate, working: tuple[float, float], face: Drying | None
) -> Iterator[OfDay]:
    film_c = max((m.film_forming_c for m in recipe.materials if m.film_forming_c is not None), default=None)
    if film_c is not None and climate.shop_c < film_c:
        yield told.AirBelowFilmForming(found_c=climate.shop_c, limit_c=film_c)
    if working[0] < SHORT_WORKING_MIN:
        yield told.WorkingTimeShort(least_min=working[0])
    if face is not None and face.risk != "low":
        kind = told.DryingThinSkin if face.risk == "thin-skin" else told.DryingAnySurface
        yield kind(rate_kg_m2_h=face.rate_kg_m2_h)
