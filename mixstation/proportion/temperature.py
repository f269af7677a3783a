"""Temperature of the fresh mix, and the water or ice that brings it where it is wanted.

Solids count with 0.22 of the heat of water; melting takes 79.6 °C worth of water's heat. Fair up to about a fifth
of the water as ice. A liquid polymer or admixture counts as its water among the waters and its solids among the
solids.
"""

from collections.abc import Iterable

from mixstation.coded import Caution
from mixstation.frozen import Frozen
from mixstation.proportion.error import (
    IceOverWater,
    ProportionError,
    WaterWouldBoil,
    WaterWouldFreeze,
    need_between,
    need_not_negative,
    need_positive,
)

SOLIDS_HEAT_RATIO = 0.22
"""Specific heat of cement and aggregate over that of water. Source: ACI 305R and ACI 306R, from memory."""

ICE_MELTING_C = 79.6
"""Latent heat of melting ice over the specific heat of water. Source: ACI 305R, from memory."""

SURE_ICE_FRACTION = 0.20
"""Share of the water as ice beyond which the formula is less sure. Source: Jabbar (2017), Wasit Journal of
Engineering Sciences 5(2), trials of the ACI 305R formula."""

HOT_WATER_C = 60.0
"""Mix water stays below this. Source: ACI 306R, from memory."""

CEMENT_LAST_C = 38.0
"""Water above this meets the aggregate before the cement. Source: ACI 306R, from memory."""

FILM_FORMING_C = 10.0
"""A curing polymer forms no film in a mix colder than about this. Source: Common practice, no source; the label
goes first."""


class Charge(Frozen):
    """A mass that goes into the mix at a temperature.

    Attributes:
        mass_kg: Mass, 0 or more.
        temperature_c: Temperature, −30 to 100 °C.
    """

    mass_kg: float
    temperature_c: float


class WaterTooHot(Caution, code="water-too-hot", source="from memory of ACI 306R"):
    """The water is hotter than mix water may be."""

    found_c: float
    limit_c: float


class WaterOffCement(Caution, code="water-off-cement", source="from memory of ACI 306R"):
    """The water is too hot to meet the cement."""

    found_c: float
    limit_c: float


class MixBelowFilmForming(Caution, code="mix-below-film-forming", source="the polymer's label"):
    """The mix is too cold for the polymer to form a film."""

    is_grave = True
    found_c: float
    limit_c: float


class IceOverSureShare(
    Caution,
    code="ice-over-sure-share",
    source="ACI 305R formula, from memory; fair up to about a fifth of the water as ice",
):
    """So much of the water is ice that the figure is less sure."""

    found_fraction: float
    limit_fraction: float


TemperatureCaution = WaterTooHot | WaterOffCement | MixBelowFilmForming | IceOverSureShare


def _heat(charges: Iterable[Charge]) -> tuple[float, float]:
    """Mass, and mass times temperature."""
    mass_kg = heat = 0.0
    for charge in charges:
        need_not_negative(mass_kg=charge.mass_kg)
        need_between(-30, 100, temperature_c=charge.temperature_c)
        mass_kg += charge.mass_kg
        heat += charge.mass_kg * charge.temperature_c
    return mass_kg, heat


def mix_temperature_c(*, solids: Iterable[Charge], waters: Iterable[Charge], ice_kg: float = 0.0) -> float:
    """Temperature of the fresh mix.

    Args:
        solids: Cement, sand, pozzolan and other dry matter.
        waters: Liquid water of every origin, moisture on the sand at the sand's temperature.
        ice_kg: Ice besides the liquid water, 0 or more.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive" (nothing in the mix), "out-of-range".

    Source: ACI 305R, temperature of fresh concrete, from memory.

    Example:
        >>> dry = [Charge(mass_kg=20, temperature_c=30)]
        >>> round(mix_temperature_c(solids=dry, waters=[Charge(mass_kg=4.4, temperature_c=10)]), 6)
        20.0
    """
    need_not_negative(ice_kg=ice_kg)
    solids_kg, solids_heat = _heat(solids)
    waters_kg, waters_heat = _heat(waters)
    weight_kg = SOLIDS_HEAT_RATIO * solids_kg + waters_kg + ice_kg
    need_positive(mix_kg=weight_kg)
    return (SOLIDS_HEAT_RATIO * solids_heat + waters_heat - ICE_MELTING_C * ice_kg) / weight_kg


def water_c_for(
    wanted_c: float,
    *,
    solids: Iterable[Charge],
    waters: Iterable[Charge],
    water_kg: float,
    ice_kg: float = 0.0,
) -> float:
    """Temperature the water to weigh must have for a wanted mix temperature.

    Args:
        wanted_c: Wanted mix temperature, 0 to 60 °C.
        solids: Dry matter.
        waters: Water of other origin than the water to weigh.
        water_kg: Liquid water to weigh, above 0.
        ice_kg: Ice besides, 0 or more.

    Returns:
        Water temperature in °C, 0 to 100. Hand it to `temperature_cautions`.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "out-of-range", "water-would-freeze" or
            "water-would-boil" with the temperature it would take.

    Source: ACI 305R, temperature of fresh concrete, from memory, turned round.
    """
    need_between(0, 60, wanted_c=wanted_c)
    need_positive(water_kg=water_kg)
    need_not_negative(ice_kg=ice_kg)
    solids_kg, solids_heat = _heat(solids)
    waters_kg, waters_heat = _heat(waters)
    weight_kg = SOLIDS_HEAT_RATIO * solids_kg + waters_kg + water_kg + ice_kg
    missing = wanted_c * weight_kg - SOLIDS_HEAT_RATIO * solids_heat - waters_heat + ICE_MELTING_C * ice_kg
    needed_c = missing / water_kg
    if needed_c < 0:
        raise ProportionError(WaterWouldFreeze(needed_c=needed_c, wanted_c=wanted_c))
    if needed_c > 100:
        raise ProportionError(WaterWouldBoil(needed_c=needed_c, wanted_c=wanted_c))
    return needed_c


def ice_kg_for(
    wanted_c: float,
    *,
    solids: Iterable[Charge],
    waters: Iterable[Charge],
    water_kg: float,
    water_c: float,
) -> float:
    """Ice to weigh in place of part of the water for a wanted mix temperature, kg; 0 where none is needed.

    Args:
        wanted_c: Wanted mix temperature, 0 to 60 °C.
        solids: Dry matter.
        waters: Water of other origin than the water to weigh.
        water_kg: Water to weigh, ice included, above 0.
        water_c: Temperature of its liquid part, 0 to 100 °C.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive", "out-of-range", "ice-over-water" with the ice
            it would take and the water there is.

    Source: ACI 305R, temperature of fresh concrete, from memory, turned round.
    """
    need_between(0, 60, wanted_c=wanted_c)
    need_between(0, 100, water_c=water_c)
    need_positive(water_kg=water_kg)
    solids_kg, solids_heat = _heat(solids)
    waters_kg, waters_heat = _heat(waters)
    weight_kg = SOLIDS_HEAT_RATIO * solids_kg + waters_kg + water_kg
    spare = SOLIDS_HEAT_RATIO * solids_heat + waters_heat + water_kg * water_c - wanted_c * weight_kg
    ice_kg = max(0.0, spare / (water_c + ICE_MELTING_C))
    if ice_kg > water_kg:
        raise ProportionError(IceOverWater(ice_kg=ice_kg, water_kg=water_kg))
    return ice_kg


def temperature_cautions(
    *,
    mix_c: float,
    water_c: float,
    water_kg: float,
    ice_kg: float = 0.0,
    film_forming_c: float | None = None,
) -> tuple[TemperatureCaution, ...]:
    """What to mind about a planned mix temperature, gravest first.

    Args:
        mix_c: Mix temperature planned or measured, −30 to 100 °C.
        water_c: Temperature of the liquid water to weigh, 0 to 100 °C.
        water_kg: Water to weigh, ice included, 0 or more.
        ice_kg: Ice in it, 0 or more, at most `water_kg`.
        film_forming_c: Film-forming temperature of the polymer; None without a curing polymer.

    Source: ACI 305R and ACI 306R, from memory, for ice and hot water; common practice for the polymer.

    Example:
        >>> [c.code for c in temperature_cautions(mix_c=24, water_c=45, water_kg=3)]
        ['water-off-cement']
    """
    need_between(-30, 100, mix_c=mix_c)
    need_between(0, 100, water_c=water_c)
    need_not_negative(water_kg=water_kg)
    need_between(0, water_kg, ice_kg=ice_kg)
    cautions: list[TemperatureCaution] = []
    if water_c >= HOT_WATER_C:
        cautions.append(WaterTooHot(found_c=water_c, limit_c=HOT_WATER_C))
    if water_c > CEMENT_LAST_C:
        cautions.append(WaterOffCement(found_c=water_c, limit_c=CEMENT_LAST_C))
    if film_forming_c is not None and mix_c < film_forming_c:
        cautions.append(MixBelowFilmForming(found_c=mix_c, limit_c=film_forming_c))
    if ice_kg > SURE_ICE_FRACTION * water_kg:
        cautions.append(IceOverSureShare(found_fraction=ice_kg / water_kg, limit_fraction=SURE_ICE_FRACTION))
    return tuple(cautions)
