"""An object of every kind of flag, refusal or fault there is, to speak its sentence."""

from collections.abc import Iterator
from dataclasses import fields
from fractions import Fraction
from itertools import product
from typing import Any, get_args, get_type_hints

from mixstation.proportion.error import FigureTrouble, Negative, OutOfRange

# Figures that no sentence may show as nothing, and both sides of every yes or no.
_OF_TYPE: dict[object, tuple[object, ...]] = {
    int: (7, 61_234),
    float: (21.5,),
    Fraction: (Fraction(137, 1000),),
    bool: (False, True),
    int | None: (None, 7),
    FigureTrouble: (
        Negative(name="wind_kmh", found=-3.0),
        OutOfRange(name="mix_c", found=99, least=0, most=60),
    ),
    str: ("from a text",),
}
_NAMED: dict[str, tuple[object, ...]] = {
    "material": ("water",),
    "step": ("mix-1", "release"),
    "basis": ("binder",),
    "also": ((),),
}


def samples(kind: type[Any]) -> Iterator[Any]:
    """Objects of a kind, one for each combination of sample values."""
    hints = get_type_hints(kind)
    names = [field.name for field in fields(kind)]
    values = [_NAMED.get(name) or _OF_TYPE.get(hints[name]) or get_args(hints[name]) for name in names]
    for each in product(*values):
        yield kind(**dict(zip(names, each, strict=True)))
