"""One written value of a file: text in, an exact figure or a code out.

Every reader takes whatever stood in the file and raises only `QuantityError`; bounds are those beyond which a
figure is a slip, not a matter of taste.
"""

from collections.abc import Callable, Iterable
from datetime import date, datetime
from fractions import Fraction
from typing import Final, TypeVar

from mixstation.coded import Told
from mixstation.toml.faults_of_files import (
    BadPrice,
    BadValue,
    KeyForm,
    NotOneOf,
    OfChoices,
    OutOfRange,
    TooMany,
)
from mixstation.toml.lines import suggestion
from mixstation.units.clean import clean
from mixstation.units.errors import Nothing, TooLong, UnitMissing, UnitNotWhole, UnitsError, cleaned
from mixstation.units.numbers import read_number
from mixstation.units.parse import parse_mass_mg
from mixstation.units.plausible import RANGES

Range = tuple[Fraction, Fraction]
Read = Callable[[object], Fraction]
_Read = TypeVar("_Read")
_Choices = TypeVar("_Choices", bound=OfChoices)

RESERVED_KEYS: Final = frozenset({"powders", "rest"})
MAX_KEY_CHARACTER_COUNT: Final = 40
_KEY_CHARACTERS: Final = frozenset("abcdefghijklmnopqrstuvwxyz0123456789-_")
_SHOWN_CHARACTER_COUNT: Final = 60
# Choice: all roles of a material, or the names of some thirty materials.
_LISTED_CHARACTER_COUNT: Final = 400
_MAX_SHOWN_DIGITS: Final = 15
_MAX_ADDED_COUNT: Final = 26


class QuantityError(ValueError):
    """A written value that cannot be used.

    Attributes:
        told: What is wrong, its texts cleaned: of `mixstation.toml.faults_of_files`, of `mixstation.units.errors`, or
            of the faults of one kind of file.
    """

    def __init__(self, told: Told) -> None:
        """Keep what is wrong."""
        limit = _LISTED_CHARACTER_COUNT if isinstance(told, OfChoices) else _SHOWN_CHARACTER_COUNT
        self.told = cleaned(told, limit)
        super().__init__(told.code)


def written(value: object) -> str:
    """The value as text; a bare number or anything else is refused, since its unit is not known."""
    if not isinstance(value, str):
        raise QuantityError(BadValue(code="not-text", found=_shown(value)))
    return value


def words(limit: int) -> Callable[[object], str]:
    """Reader of a text of 1 to `limit` characters, cleaned."""

    def read(value: object) -> str:
        return clean(_of_length(written(value).strip(), limit), limit, keep_lines=True)

    return read


def key(value: object) -> str:
    """A short name: lower-case letters, digits, "-" and "_"."""
    text = written(value)
    if not text or len(text) > MAX_KEY_CHARACTER_COUNT or not _KEY_CHARACTERS.issuperset(text):
        raise QuantityError(KeyForm(found=text, limit_count=MAX_KEY_CHARACTER_COUNT))
    if text in RESERVED_KEYS:
        raise QuantityError(BadValue(code="key-reserved", found=text))
    return text


def one_of(*choices: str) -> Callable[[object], str]:
    """Reader of one of a few words."""

    def read(value: object) -> str:
        if value not in choices or not isinstance(value, str):
            raise QuantityError(none_of(value, choices, NotOneOf))
        return value

    return read


def none_of(value: object, choices: Iterable[str], kind: type[_Choices]) -> _Choices:
    """What to say of a word that is none of the choices, as a fault of the kind."""
    choices = tuple(choices)
    near = suggestion(value[:_SHOWN_CHARACTER_COUNT].lower(), choices) if isinstance(value, str) else ""
    # A line end, say, is shown as it is written.
    shown = ", ".join(choice if choice.isprintable() else repr(choice)[1:-1] for choice in choices)
    found = clean(_shown(value), _SHOWN_CHARACTER_COUNT)
    return kind(found=found, suggestion=near, choices=clean(shown, _LISTED_CHARACTER_COUNT))


def yes(value: object) -> bool:
    """Nothing but `true`."""
    if value is not True:
        raise QuantityError(BadValue(code="not-true", found=_shown(value)))
    return True


def true_or_false(value: object) -> bool:
    """`true` or `false`."""
    if not isinstance(value, bool):
        raise QuantityError(BadValue(code="not-true-or-false", found=_shown(value)))
    return value


def sides_and_bottom(value: object) -> bool:
    """`true` or the words "sides and bottom"."""
    return value is True or bool(one_of("sides and bottom")(value))


def count(least: int, most: int) -> Callable[[object], int]:
    """Reader of a bare whole number within bounds."""

    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise QuantityError(UnitNotWhole(found=_shown(value), unit=""))
        if not least <= value <= most:
            raise QuantityError(OutOfRange(found=_shown(value), bounds=f"from {least} to {most}"))
        return value

    return read


def line_bytes(limit: int) -> Callable[[object], bytes]:
    """Reader of 1 to `limit` characters up to U+00FF, one for each byte on a scale's line."""

    def read(value: object) -> bytes:
        text = _of_length(written(value), limit)
        try:
            return text.encode("latin-1")
        except UnicodeEncodeError:
            raise QuantityError(BadValue(code="not-latin", found=text)) from None

    return read


def day(value: object) -> date:
    """A day, bare or as text."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    text = words(20)(value) if isinstance(value, str) else _shown(value)
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise QuantityError(BadValue(code="day-form", found=text)) from None


def parts(value: object) -> Fraction:
    """Parts by mass, as a number or as text; above 0."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise QuantityError(BadValue(code="not-number", found=_shown(value)))
    number = _units(read_number, _shown(value))
    if not RANGES["parts"].holds(number):
        raise QuantityError(OutOfRange(found=_shown(value), bounds=RANGES["parts"].bounds))
    return number


def added(value: object) -> tuple[str, ...]:
    """One key, "powders", or a list of keys, each named once."""
    names = tuple(written(item) for item in value) if isinstance(value, list) else (written(value),)
    if not names:
        raise QuantityError(Nothing())
    if len(names) > _MAX_ADDED_COUNT:
        raise QuantityError(TooMany(found_count=len(names), limit_count=_MAX_ADDED_COUNT))
    for index, name in enumerate(names):
        if name in names[:index]:
            raise QuantityError(BadValue(code="named-twice", found=name))
    return names


def share_or_rest(value: object) -> Fraction | None:
    """A share, or None for "rest": all that is still to come."""
    return None if value == "rest" else share(value)


def price_cents(value: object) -> Fraction:
    """A price with at most two decimals, in hundredths."""
    text = written(value)
    cents = _units(read_number, text) * 100
    if not RANGES["price"].holds(cents / 100) or cents.denominator != 1:
        raise QuantityError(BadPrice(found=text))
    return cents


def bounded(
    parse: Callable[[str], Fraction | int],
    bounds: str,
    least: Fraction | int,
    most: Fraction | int,
    *,
    is_share: bool = False,
) -> Read:
    """Reader of a quantity within bounds.

    Args:
        parse: One of the parsers of `mixstation.units`.
        bounds: The bounds as a person reads them.
        least: Lower bound in the parser's unit.
        most: Upper bound.
        is_share: A bare number may have been meant in per cent.
    """

    def read(value: object) -> Fraction:
        text = written(value)
        amount = Fraction(_units(parse, text))
        if not least <= amount <= most:
            near = _as_percent(text) if is_share else ""
            raise QuantityError(OutOfRange(found=text, bounds=bounds, suggestion=near))
        return amount

    return read


def shown_mass_mg(value: object) -> int:
    """A mass as a scale shows it, of either sign; a comma is its decimal mark."""
    return _units(lambda text: parse_mass_mg(text, comma_is_decimal=True), written(value))


def within(name: str) -> Read:
    """Reader of a quantity within its range in `mixstation.units.plausible`."""
    limits = RANGES[name]
    return bounded(limits.read, limits.bounds, limits.least, limits.most, is_share=limits.kind == "share")


def ratio(value: object) -> Fraction:
    """A water ratio: "33 %", "0.33", or as a bag's label gives it, "3.4 kg per 25 kg"."""
    text = written(value)
    above, per, below = text.partition(" per ")
    if not per:
        return within("water ratio")(text)
    water_mg, pack_mg = _units(parse_mass_mg, above), _units(parse_mass_mg, below)
    if not 0 < water_mg < pack_mg:
        raise QuantityError(OutOfRange(found=text, bounds=RANGES["water ratio"].bounds))
    return Fraction(water_mg, pack_mg)


def tolerance(value: object) -> Range:
    """A tolerance, "1 %" both ways or "-0 % +4 %": how far under, and how far over."""
    text = written(value).replace("−", "-").strip().removeprefix("±")
    under, plus, over = text.partition("+")
    if plus and under.startswith("-"):
        return _off(under[1:]), _off(over)
    if plus or under.startswith("-"):
        raise QuantityError(BadValue(code="one-sided", found=text))
    both = _off(text)
    return both, both


def span(parse_end: Read) -> Callable[[object], Range]:
    """Reader of "60 s to 120 s" or "60 to 120 s"."""

    def read(value: object) -> Range:
        text = written(value)
        first, to, last = (part.strip() for part in text.partition(" to "))
        if not to:
            raise QuantityError(BadValue(code="range-missing", found=text))
        high = parse_end(last)
        try:
            low = parse_end(first)
        except QuantityError as error:
            if not isinstance(error.told, UnitMissing):
                raise
            low = parse_end(f"{first} {last.lstrip('0123456789., ')}")
        if low > high:
            raise QuantityError(BadValue(code="range-order", found=text))
        return low, high

    return read


def whole(name: str) -> Read:
    """Reader of a bare whole number within its range, as text."""
    inside = within(name)

    def read(value: object) -> Fraction:
        number = inside(value)
        if number.denominator != 1:
            raise QuantityError(UnitNotWhole(found=_shown(value), unit=""))
        return number

    return read


def _of_length(text: str, limit: int) -> str:
    if not text:
        raise QuantityError(Nothing())
    if len(text) > limit:
        raise QuantityError(TooLong(length_count=len(text), limit_count=limit))
    return text


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**_MAX_SHOWN_DIGITS:
        # Python refuses to print an integer of many thousand digits.
        return "9" * _MAX_SHOWN_DIGITS
    if isinstance(value, list | dict):
        return "a list" if isinstance(value, list) else "a table"
    return str(value) if isinstance(value, str | int | float) else type(value).__name__


def _as_percent(text: str) -> str:
    # A bare "80" is eighty wholes; what was meant is all but certain.
    bare = text.strip()
    return f"{bare} %" if bare and "%" not in bare and "/" not in bare else ""


def _units(parse: Callable[[str], _Read], text: str) -> _Read:
    try:
        return parse(text)
    except UnitsError as error:
        raise QuantityError(error.fault) from None


share = within("share")
inner_share = within("inner share")
"""Of something else: neither none of it nor all."""
water_share = within("water share")
dampness = within("dampness")
air = within("air")
density_kg_m3 = within("density")
pack_mg = within("pack")
film_forming_c = within("film forming")
mix_temperature_c = within("mix temperature")
working_s = within("working time")
strip_s = within("stripping time")
seal_s = within("sealing time")
mixing_s = within("mixing time")
resting_s = within("resting time")
spread_mm = within("spread")
flow_fraction = within("flow")
ring_count = whole("rings")
poll_interval_s = within("asking interval")
_off = within("tolerance")
