"""The one table of what a number that a person writes can be: beyond it the number is a slip, not a matter of taste.

A row has what is written, its dimension, the least and the most ("> " and "< " leave the bound itself out), and why.
"""

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import Final, Literal

from mixstation.frozen import Frozen
from mixstation.units.errors import NotPlausible, UnitsError
from mixstation.units.numbers import read_mixed_number
from mixstation.units.quantity import read_quantity
from mixstation.units.tables import Dimension

Kind = Dimension | Literal["number"]

# No quantity can be typed as finely as this in any unit.
_NEXT_TO: Final = Fraction(1, 10**9)


class Range(Frozen):
    """What one written number can be.

    Attributes:
        name: What is written, in words.
        kind: Its dimension; "number" for a bare one.
        from_text: The least that can be, as a person writes it.
        to_text: The most that can be.
        why: Why no less and no more.
    """

    name: str
    kind: Kind
    from_text: str
    to_text: str
    why: str

    @property
    def least(self) -> Fraction:
        """The least that can be, in the base unit of `mixstation.units.tables`."""
        return _bound(self.kind, self.from_text)

    @property
    def most(self) -> Fraction:
        """The most that can be, in the base unit of `mixstation.units.tables`."""
        return _bound(self.kind, self.to_text)

    @property
    def bounds(self) -> str:
        """Both as a person reads them."""
        return f"{_said(self.from_text, '≥')}, {_said(self.to_text, '≤')}"

    def read(self, text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
        """Read a quantity, whatever it comes to; see `read_quantity`."""
        return _read(self.kind, text, default, comma_is_decimal=comma_is_decimal)

    def holds(self, amount: Fraction | int | float) -> bool:
        """Whether an amount, in the base unit, can be."""
        return self.least <= amount <= self.most


def read_plausible(
    name: str, text: str, default: str | None = None, *, comma_is_decimal: bool = False
) -> Fraction:
    """Read a typed quantity that must be within its range.

    Args:
        name: Its row in `RANGES`.
        text: What was typed.
        default: Key of the unit of a bare number; None asks for one.
        comma_is_decimal: A comma is known to be a decimal mark.

    Returns:
        The quantity in the base unit, exact but for a mass, which is in whole milligrams, halves to even.

    Raises:
        UnitsError: It cannot be read, or "not-plausible".

    Example:
        >>> read_plausible("hands-free time", "4", "s")
        Fraction(4, 1)
    """
    limits = RANGES[name]
    amount = limits.read(text, default, comma_is_decimal=comma_is_decimal)
    if not limits.holds(amount):
        raise not_plausible(name, text)
    return amount


def not_plausible(name: str, found: str) -> UnitsError:
    """The error for what is outside its range."""
    return UnitsError(NotPlausible(found=found.strip(), name=name, bounds=RANGES[name].bounds))


def _read(kind: Kind, text: str, default: str | None = None, *, comma_is_decimal: bool = False) -> Fraction:
    if kind == "number":
        return read_mixed_number(text, comma_is_decimal=comma_is_decimal)
    amount = read_quantity(text, kind, default, comma_is_decimal=comma_is_decimal)
    # A mass is whole milligrams, as everywhere.
    return Fraction(round(amount)) if kind == "mass" else amount


@cache
def _bound(kind: Kind, text: str) -> Fraction:
    """A bound is read when it is first asked for: reading all would be felt at every start."""
    if text.startswith("> "):
        return _read(kind, text[2:]) + _NEXT_TO
    if text.startswith("< "):
        return _read(kind, text[2:]) - _NEXT_TO
    return _read(kind, text)


def _said(bound: str, sign: str) -> str:
    return bound if bound[:2] in ("> ", "< ") else f"{sign} {bound}"


_ROWS: Final[tuple[tuple[str, Kind, str, str, str], ...]] = (
    # A recipe.
    ("share", "share", "> 0 %", "100 %", "a part of something, all of it at most"),
    ("inner share", "share", "> 0 %", "< 100 %", "neither none of something nor all of it"),
    ("water ratio", "share", "> 0 %", "< 100 %", "with as much water as powder it is a slurry"),
    ("water share", "share", "0 %", "99 %", "something else is in what is not plain water"),
    ("dampness", "share", "0 %", "30 %", "sand holds no more without running"),
    ("air", "share", "0 %", "30 %", "a foam, and no mix that is trowelled, beyond"),
    ("tolerance", "share", "0 %", "20 %", "a dose that may be off by more is no dose"),
    ("parts", "number", "> 0", "100000", "parts are of one, a hundred or a thousand"),
    ("price", "number", "0", "1000000", "of a pack; the dearest pigment is far below"),
    ("density", "density", "100 kg/m3", "8000 kg/m3", "from expanded glass or perlite to iron"),
    ("water density", "density", "900 kg/m3", "1200 kg/m3", "from near boiling to brine"),
    ("ice density", "density", "850 kg/m3", "1000 kg/m3", "with air in it, or half melted"),
    ("blend density", "density", "600 kg/m3", "4000 kg/m3", "from one with light filler to one with barite"),
    ("cement density", "density", "2400 kg/m3", "3600 kg/m3", "from much limestone or ash in it to much iron"),
    ("pozzolan density", "density", "500 kg/m3", "4000 kg/m3", "from hollow spheres of ash to ground slag of metals"),
    ("sand density", "density", "150 kg/m3", "5500 kg/m3", "from expanded glass to iron ore"),
    ("filler density", "density", "100 kg/m3", "5500 kg/m3", "from perlite to iron ore"),
    ("polymer density", "density", "300 kg/m3", "2000 kg/m3", "from a fluffed powder to one filled with chalk"),
    ("plasticiser density", "density", "300 kg/m3", "2000 kg/m3", "from a fluffed powder to a salt"),
    ("retarder density", "density", "300 kg/m3", "2500 kg/m3", "from a fluffed powder to a salt"),
    ("fibre density", "density", "800 kg/m3", "8000 kg/m3", "from polypropylene to steel"),
    ("pigment density", "density", "300 kg/m3", "8000 kg/m3", "from loose black to lead and iron oxides"),
    ("pack", "mass", "1 g", "2000 kg", "from a sample to a big bag"),
    ("film forming", "temperature", "-20 °C", "60 °C", "polymers for cement form films between 0 and 30 °C"),
    ("mix temperature", "temperature", "0 °C", "60 °C", "it freezes below and scalds above"),
    ("working time", "time", "5 min", "4 h", "no time to place, or no set that day"),
    ("stripping time", "time", "2 h", "14 d", "no cement is hard sooner, and none takes longer in a shop that cures"),
    ("sealing time", "time", "12 h", "90 d", "what is hardly stripped is wet, and longer is a store and no cure"),
    ("mixing time", "time", "1 s", "30 min", "a paddle that runs longer breaks the fibre"),
    ("resting time", "time", "10 s", "2 h", "shorter is no rest, longer is setting"),
    ("spread", "length", "50 mm", "500 mm", "the cone is 50 mm and more wide, the glass plate no wider"),
    ("flow", "share", "0 %", "300 %", "the table is 255 mm wide, the mould 100 mm: 155 % at its rim"),
    ("rings", "number", "0", "20", "a plate has a ring every 10 mm or so"),
    # The shop, and how it is weighed.
    ("scale capacity", "mass", "1 g", "5000 kg", "from a pocket balance to a platform for pallets"),
    ("division", "mass", "1 mg", "1 kg", "from an analytical balance to a platform"),
    ("bucket volume", "volume", "0.5 L", "1000 L", "from a cup to more than a mixer lifts"),
    ("empty bucket", "mass", "0 g", "500 kg", "a mixer's drum weighs no more"),
    ("empty vessel", "mass", "1 g", "500 kg", "from a cup to a mixer's drum"),
    ("tub", "mass", "0 g", "100 kg", "what one weighs out into is lifted by hand"),
    ("fill", "share", "0.1 %", "100 %", "no bucket holds more than it holds"),
    ("loss", "mass", "0 g", "50 kg", "what sticks to the largest drum"),
    ("waste", "share", "0 %", "100 %", "as much again as is cast"),
    ("window", "time", "1 min", "2 h", "a face coat stiffens within its working time"),
    ("hands-free time", "time", "0 s", "60 s", "who waits longer for a weight presses Enter"),
    ("shop temperature", "temperature", "-20 °C", "50 °C", "nobody mixes beyond"),
    # A batch, a piece and a job.
    ("batch mass", "mass", "1 g", "2500 kg", "what the largest bucket holds"),
    ("mass in the bucket", "mass", "> 0 g", "2500 kg", "what the largest bucket holds"),
    ("working time left", "time", "0 s", "4 h", "the longest working time a recipe can have"),
    ("job mass", "mass", "1 g", "10000 kg", "a hundred buckets"),
    ("job volume", "volume", "100 mL", "10000 L", "a hundred of the largest buckets that a paddle mixes"),
    ("size", "length", "0.1 mm", "20 m", "no yard lifts a longer piece"),
    ("face coat", "length", "0 mm", "500 mm", "a face is a skin; 0 where there is none"),
    ("place", "length", "-20 m", "20 m", "as the sizes of a piece"),
    ("distance", "length", "0 mm", "20 m", "from an edge or a corner of the piece"),
    ("corner count", "number", "3", "20", "at the screen; a pieces file takes more"),
    ("cut-out count", "number", "1", "8", "at the screen; a pieces file takes more"),
    ("piece count", "number", "1", "1000", "more is several jobs"),
    ("bucket count", "number", "1", "100", "more is several jobs"),
    ("bag count", "number", "> 0", "1000", "twenty pallets"),
    ("whole bag count", "number", "1", "1000", "twenty pallets"),
    ("mould water", "mass", "1 g", "1000 kg", "a mould of a cubic metre"),
    ("mould water temperature", "temperature", "0 °C", "40 °C", "water that a hand can fill in"),
    ("fresh density", "density", "500 kg/m3", "5000 kg/m3", "from foamed to barite concrete"),
    ("claimed mass", "mass", "1 g", "2500 kg", "a bag, up to what the largest bucket holds"),
    ("claimed volume", "volume", "1 mL", "1000 L", "as the bucket"),
    ("water temperature", "temperature", "0 °C", "80 °C", "ice below; hotter water flash-sets cement"),
    ("material temperature", "temperature", "-20 °C", "80 °C", "from a frozen shed to cement fresh from the mill"),
    ("humidity", "share", "0 %", "100 %", "air holds no more"),
    ("wind", "speed", "0 km/h", "150 km/h", "a hurricane"),
    ("pan mass", "mass", "1 g", "100 kg", "a pan on a kitchen scale up to one on a platform"),
    ("moisture", "share", "0 %", "30 %", "sand holds no more without running"),
    # The stock.
    ("stock mass", "mass", "0 g", "1000000 kg", "a shipload"),
    ("pack count", "number", "1", "10000", "a shipload"),
    # The scale's line.
    ("asking interval", "time", "0.02 s", "10 s", "no scale answers faster; slower says nothing of a pour"),
    ("watching time", "time", "0 s", "7 d", "longer without a limit is asked for by leaving it out"),
    # At the bucket.
    ("typed weight", "mass", "-2500 kg", "2500 kg", "what the largest bucket holds; a sign is judged by what is asked"),
    ("cup", "volume", "50 mL", "20 L", "below, the wet rim decides; above, nobody levels it"),
    ("wet density", "density", "1000 kg/m3", "3000 kg/m3", "water below, and above what no mortar reaches"),
    ("measured temperature", "temperature", "-5 °C", "70 °C", "a mix is water: it freezes below, steams above"),
)  # fmt: skip

RANGES: Final[Mapping[str, Range]] = MappingProxyType(
    {
        name: Range(name=name, kind=kind, from_text=least, to_text=most, why=why)
        for name, kind, least, most, why in _ROWS
    }
)
"""By name. Source: Common practice, no source, unless the row's reason is a definition; flow: the sizes of the flow
table and mould of ASTM C1437 and C230, from memory."""
