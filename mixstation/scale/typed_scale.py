"""Typed words for an emulated scale: what a hand at the bench would do."""

from collections.abc import Callable, Mapping
from typing import Final

from mixstation.scale.emulator import EmulatedScale
from mixstation.units.clean import clean
from mixstation.units.errors import UnitsError
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import fixed

DEFAULT_RATE_MG_S: Final = 50_000

_DEEDS: Final[Mapping[str, Callable[[EmulatedScale], None]]] = {
    "hold": EmulatedScale.stop_pour,
    "lift": EmulatedScale.lift,
    "place": EmulatedScale.place,
    "zero": EmulatedScale.press_zero,
    "tare": EmulatedScale.press_tare,
    "unit": EmulatedScale.press_unit,
    "on": EmulatedScale.press_on,
    "freeze": EmulatedScale.freeze,
    "thaw": EmulatedScale.thaw,
    "unplug": EmulatedScale.unplug,
    "replug": EmulatedScale.replug,
}
SCALE_WORDS: Final = f"put 650 g, pour 500 g, pour 500 g at 40 g/s, {', '.join(_DEEDS)}, sum, stop"


def obey(scale: EmulatedScale, line: str) -> str | None:
    """Do what a line says.

    Args:
        scale: To act on.
        line: One of `SCALE_WORDS`; masses as anywhere, negative to take out.

    Returns:
        One line in answer; None for "stop".
    """
    word, _, rest = line.strip().lower().partition(" ")
    if word == "stop":
        return None
    try:
        if word in _DEEDS and not rest:
            _DEEDS[word](scale)
        elif word == "put":
            scale.put_mg(parse_mass_mg(rest))
        elif word == "pour":
            mass, _, rate = rest.partition(" at ")
            total_mg = parse_mass_mg(mass)
            rate_mg_s = parse_mass_mg(rate.removesuffix("/s")) if rate else DEFAULT_RATE_MG_S
            scale.pour(abs(rate_mg_s) if total_mg >= 0 else -abs(rate_mg_s), total_mg=total_mg)
        elif word not in ("sum", ""):
            return f"Not understood: {clean(line.strip(), 60)}. Type: {SCALE_WORDS}"
    except UnitsError as error:
        return f"Not a mass: {clean(rest, 60)} ({error.code}). Write for example: {word} 500 g"
    poured_mg = sum(pour.mass_mg for pour in scale.poured)
    return f"{word or 'sum'}: poured {fixed(poured_mg / 1000, 1)} g in all"
