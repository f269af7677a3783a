"""What may be written for an option, on the command line and in the settings file alike."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from mixstation.recipe.quantities import QuantityError, one_of, words, written
from mixstation.units.errors import UnitsError
from mixstation.units.plausible import read_plausible
from mixstation.units.show import DisplayUnits

WEIGH: Final = ("bucket", "tub", "supply")


def typed(name: str, unit: str) -> Callable[[object], str]:
    """Reader of a quantity that stays as it was typed, once it is known to be within its range.

    Args:
        name: Its row in `mixstation.units.plausible`.
        unit: Of a bare number.
    """

    def read(value: object) -> str:
        text = written(value)
        try:
            read_plausible(name, text, unit)
        except UnitsError as error:
            raise QuantityError(error.code, **error.values) from None
        return text

    return read


def true_or_false(value: object) -> bool:
    """Nothing but `true` or `false`."""
    if not isinstance(value, bool):
        raise QuantityError("not-true", found=str(value)[:60])
    return value


OPTIONS: Final[Mapping[str, tuple[Callable[[object], object], str]]] = MappingProxyType(
    {
        "units": (one_of(*map(str, DisplayUnits)), '"metric"'),
        "who": (words(60), '"Ida"'),
        "port": (words(200), '"/dev/ttyUSB0"'),
        "profile": (words(200), '"value-unit-line"'),
        "division": (typed("division", "g"), '"5 g"'),
        "hands_free": (typed("hands-free time", "s"), '"4 s"'),
        "bucket": (typed("bucket volume", "L"), '"30 L"'),
        "weigh": (one_of(*WEIGH), '"bucket"'),
        "shop": (typed("shop temperature", "°C"), '"18 °C"'),
        "decimal_comma": (true_or_false, "true"),
    }
)
"""By key of the settings file: what reads its value, and what may be written."""
