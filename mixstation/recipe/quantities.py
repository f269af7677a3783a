"""One written value of a recipe file: text in, an exact figure or a code out.

Every reader takes whatever stood in the file and raises only `QuantityError`; bounds are those beyond which a
figure is a slip, not a matter of taste.
"""

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Final, TypeVar

from mixstation.proportion.consistency import LAST_RING
from mixstation.recipe.model import Tolerance
from mixstation.toml_lines import suggestion
from mixstation.units.clean import clean
from mixstation.units.errors import UnitsError
from mixstation.units.numbers import read_number
from mixstation.units.parse import (
    parse_density_kg_m3,
    parse_fraction,
    parse_length_mm,
    parse_mass_mg,
    parse_seconds,
    parse_temperature_c,
)

Range = tuple[Fraction, Fraction]
Read = Callable[[object], Fraction]
_Read = TypeVar("_Read")

RESERVED_KEYS: Final = frozenset({"powders", "rest"})
MAX_KEY_CHARACTER_COUNT: Final = 40
_KEY_CHARACTERS: Final = frozenset("abcdefghijklmnopqrstuvwxyz0123456789-_")
_SHOWN_CHARACTER_COUNT: Final = 60
_MAX_SHOWN_DIGITS: Final = 15
_MAX_ADDED_COUNT: Final = 26


class QuantityError(ValueError):
    """A written value that cannot be used.

    Attributes:
        code: A code of `mixstation.units.errors.CODES`, or of this module: "not-text", "not-number", "not-whole",
            "not-true", "empty", "too-long", "key-form", "key-reserved", "not-one-of", "named-twice",
            "out-of-range", "one-sided", "range-missing", "range-order".
        values: Texts for the sentence, cleaned.
    """

    def __init__(self, code: str, **values: str) -> None:
        """Keep the code and its cleaned values."""
        self.code = code
        self.values = {name: clean(value, _SHOWN_CHARACTER_COUNT) for name, value in values.items()}
        super().__init__(code)


def written(value: object) -> str:
    """The value as text; a bare number or anything else is refused, since its unit is not known."""
    if not isinstance(value, str):
        raise QuantityError("not-text", found=_shown(value))
    return value


def words(limit: int) -> Callable[[object], str]:
    """Reader of a text of 1 to `limit` characters, cleaned."""

    def read(value: object) -> str:
        text = written(value).strip()
        if not text:
            raise QuantityError("empty")
        if len(text) > limit:
            raise QuantityError("too-long", length=str(len(text)), limit=str(limit))
        return clean(text, limit, keep_lines=True)

    return read


def key(value: object) -> str:
    """A short name: lower-case letters, digits, "-" and "_"."""
    text = written(value)
    if not text or len(text) > MAX_KEY_CHARACTER_COUNT or not _KEY_CHARACTERS.issuperset(text):
        raise QuantityError("key-form", found=text, limit=str(MAX_KEY_CHARACTER_COUNT))
    if text in RESERVED_KEYS:
        raise QuantityError("key-reserved", found=text)
    return text


def one_of(*choices: str) -> Callable[[object], str]:
    """Reader of one of a few words."""

    def read(value: object) -> str:
        if value not in choices or not isinstance(value, str):
            raise not_one_of(value, choices)
        return value

    return read


def not_one_of(value: object, choices: Iterable[str]) -> QuantityError:
    """What to say of a word that is none of the choices."""
    choices = tuple(choices)
    near = suggestion(value[:_SHOWN_CHARACTER_COUNT].lower(), choices) if isinstance(value, str) else ""
    return QuantityError("not-one-of", found=_shown(value), suggestion=near, choices=", ".join(choices))


def yes(value: object) -> bool:
    """Nothing but `true`."""
    if value is not True:
        raise QuantityError("not-true", found=_shown(value))
    return True


def sides_and_bottom(value: object) -> bool:
    """`true` or the words "sides and bottom"."""
    return value is True or bool(one_of("sides and bottom")(value))


def parts(value: object) -> Fraction:
    """Parts by mass, as a number or as text; above 0."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise QuantityError("not-number", found=_shown(value))
    number = _units(read_number, _shown(value))
    if not 0 < number <= 100_000:
        raise QuantityError("out-of-range", found=_shown(value), bounds="> 0, ≤ 100000", suggestion="")
    return number


def added(value: object) -> tuple[str, ...]:
    """One key, "powders", or a list of keys, each named once."""
    names = tuple(written(item) for item in value) if isinstance(value, list) else (written(value),)
    if not names:
        raise QuantityError("empty")
    if len(names) > _MAX_ADDED_COUNT:
        raise QuantityError("too-many", count=str(len(names)), limit=str(_MAX_ADDED_COUNT))
    for index, name in enumerate(names):
        if name in names[:index]:
            raise QuantityError("named-twice", found=name)
    return names


def share_or_rest(value: object) -> Fraction | None:
    """A share, or None for "rest": all that is still to come."""
    return None if value == "rest" else share(value)


def price_cents(value: object) -> Fraction:
    """A price with at most two decimals, in hundredths."""
    text = written(value)
    cents = _units(read_number, text) * 100
    if cents < 0 or cents.denominator != 1:
        raise QuantityError("out-of-range", found=text, bounds="≥ 0, 0.01", suggestion="")
    return cents


def bounded(
    parse: Callable[[str], Fraction | int],
    bounds: str,
    least: Fraction | int,
    most: Fraction | int,
    *,
    strict: bool = False,
) -> Read:
    """Reader of a quantity within bounds.

    Args:
        parse: One of the parsers of `mixstation.units`.
        bounds: The bounds as a person reads them.
        least: Lower bound in the parser's unit.
        most: Upper bound.
        strict: The bounds themselves are outside.
    """

    def read(value: object) -> Fraction:
        text = written(value)
        amount = Fraction(_units(parse, text))
        inside = least < amount < most if strict else least <= amount <= most
        if not inside:
            raise QuantityError(
                "out-of-range", found=text, bounds=bounds, suggestion=_as_percent(text, parse)
            )
        return amount

    return read


def ratio(value: object) -> Fraction:
    """A water ratio: "33 %", "0.33", or as a bag's label gives it, "3.4 kg per 25 kg"."""
    text = written(value)
    above, per, below = text.partition(" per ")
    if not per:
        return bounded(parse_fraction, "> 0 %, < 100 %", 0, 1, strict=True)(text)
    water_mg, pack_mg = _units(parse_mass_mg, above), _units(parse_mass_mg, below)
    if not 0 < water_mg < pack_mg:
        raise QuantityError("out-of-range", found=text, bounds="> 0 %, < 100 %", suggestion="")
    return Fraction(water_mg, pack_mg)


def tolerance(value: object) -> Tolerance:
    """A tolerance, "1 %" both ways or "-0 % +4 %"."""
    text = written(value).replace("−", "-").strip().removeprefix("±")
    under, plus, over = text.partition("+")
    if plus and under.startswith("-"):
        return Tolerance(under=_off(under[1:]), over=_off(over))
    if plus or under.startswith("-"):
        raise QuantityError("one-sided", found=text)
    both = _off(text)
    return Tolerance(under=both, over=both)


def span(parse_end: Read) -> Callable[[object], Range]:
    """Reader of "60 s to 120 s" or "60 to 120 s"."""

    def read(value: object) -> Range:
        text = written(value)
        first, to, last = (part.strip() for part in text.partition(" to "))
        if not to:
            raise QuantityError("range-missing", found=text)
        high = parse_end(last)
        try:
            low = parse_end(first)
        except QuantityError as error:
            if error.code != "unit-missing":
                raise
            low = parse_end(f"{first} {last.lstrip('0123456789., ')}")
        if low > high:
            raise QuantityError("range-order", found=text)
        return low, high

    return read


def whole(limit: int) -> Read:
    """Reader of a bare whole number from 0 to `limit`, as text."""
    inside = bounded(read_number, f"≥ 0, ≤ {limit}", 0, limit)

    def read(value: object) -> Fraction:
        number = inside(value)
        if number.denominator != 1:
            raise QuantityError("not-whole", found=_shown(value), unit="")
        return number

    return read


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**_MAX_SHOWN_DIGITS:
        # Python refuses to print an integer of many thousand digits.
        return "9" * _MAX_SHOWN_DIGITS
    return str(value) if isinstance(value, str | int | float) else type(value).__name__


def _as_percent(text: str, parse: object) -> str:
    # A bare "80" is eighty wholes; what was meant is all but certain.
    bare = text.strip()
    return f"{bare} %" if parse is parse_fraction and bare and "%" not in bare and "/" not in bare else ""


def _units(parse: Callable[[str], _Read], text: str) -> _Read:
    try:
        return parse(text)
    except UnitsError as error:
        raise QuantityError(error.code, **error.values) from None


share = bounded(parse_fraction, "> 0 %, ≤ 100 %", Fraction(1, 10**9), 1)
inner_share = bounded(parse_fraction, "> 0 %, < 100 %", 0, 1, strict=True)
"""Of something else: neither none of it nor all."""
water_share = bounded(parse_fraction, "≥ 0 %, ≤ 99 %", 0, Fraction(99, 100))
dampness = bounded(parse_fraction, "≥ 0 %, ≤ 30 %", 0, Fraction(30, 100))
air = bounded(parse_fraction, "≥ 0 %, ≤ 30 %", 0, Fraction(30, 100))
density_kg_m3 = bounded(parse_density_kg_m3, "≥ 100 kg/m3, ≤ 20000 kg/m3", 100, 20_000)
pack_mg = bounded(parse_mass_mg, "≥ 1 g, ≤ 2000 kg", 1_000, 2_000_000_000)
film_forming_c = bounded(parse_temperature_c, "≥ -20 °C, ≤ 60 °C", -20, 60)
mix_temperature_c = bounded(parse_temperature_c, "≥ 0 °C, ≤ 60 °C", 0, 60)
working_s = bounded(parse_seconds, "≥ 5 min, ≤ 4 h", 5 * 60, 4 * 3_600)
mixing_s = bounded(parse_seconds, "≥ 1 s, ≤ 30 min", 1, 30 * 60)
resting_s = bounded(parse_seconds, "≥ 10 s, ≤ 2 h", 10, 2 * 3_600)
spread_mm = bounded(parse_length_mm, "≥ 50 mm, ≤ 500 mm", 50, 500)
flow_fraction = bounded(parse_fraction, "≥ 0 %, ≤ 300 %", 0, 3)
ring_count = whole(LAST_RING)
_off = bounded(parse_fraction, "≥ 0 %, ≤ 20 %", 0, Fraction(20, 100))
