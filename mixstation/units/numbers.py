"""Typed numbers, read exactly; nothing is guessed.

The grammar is ASCII only: a sign, up to seven digits, then a point or a comma with one to six digits.
Digits may lack before the mark (".4"), never after it: in "4." one may have been lost.
Python's own `float` takes "1_000", "nan" and digits of other scripts, so it is never asked.
"""

from fractions import Fraction

from mixstation.units.errors import (
    AmbiguousThousands,
    BadFraction,
    BadNumber,
    Nothing,
    TooLong,
    TooManyDigits,
    UnitsError,
)

MAX_TEXT_LENGTH = 1_000
MAX_WHOLE_DIGITS = 7
MAX_DECIMAL_DIGITS = 6
MAX_VULGAR_DIGITS = 3
DIGITS = frozenset("0123456789")


def read_number(text: str, *, comma_is_decimal: bool = False) -> Fraction:
    """Read one typed number with a decimal point or comma.

    Args:
        text: The number alone; spaces around it are allowed.
        comma_is_decimal: The person has said that a comma is a decimal mark, so "1,234" needs no question.

    Returns:
        The number, exact.

    Raises:
        UnitsError: "empty", "too-long", "bad-number", "too-many-digits", or "ambiguous-thousands" for one to
            three digits, a comma and exactly three digits, where the first digit is not 0.

    Source: Choice: a factor of a thousand is worth one question.

    Example:
        >>> read_number("6,4"), read_number(".4")
        (Fraction(32, 5), Fraction(2, 5))
    """
    body = text.strip(" ")
    if not body:
        raise UnitsError(Nothing())
    if len(body) > MAX_TEXT_LENGTH:
        raise UnitsError(TooLong(length_count=len(body), limit_count=MAX_TEXT_LENGTH))
    sign, unsigned = (body[0], body[1:]) if body[0] in "+-" else ("", body)
    mark = "," if "," in unsigned else "."
    whole, found_mark, decimals = unsigned.partition(mark)
    if not _is_digits(whole + decimals) or (found_mark and not decimals):
        raise UnitsError(BadNumber(found=body))
    if len(whole) > MAX_WHOLE_DIGITS or len(decimals) > MAX_DECIMAL_DIGITS:
        raise UnitsError(
            TooManyDigits(
                found=body, whole_limit_count=MAX_WHOLE_DIGITS, decimal_limit_count=MAX_DECIMAL_DIGITS
            )
        )
    reads_as_thousands = found_mark == "," and len(decimals) == 3 and 0 < len(whole) <= 3 and whole[0] != "0"
    if reads_as_thousands and not comma_is_decimal:
        as_decimal, as_thousands = f"{sign}{whole}.{decimals}", f"{sign}{whole}{decimals}"
        raise UnitsError(AmbiguousThousands(found=body, as_decimal=as_decimal, as_thousands=as_thousands))
    value = Fraction(int(whole + decimals), 10 ** len(decimals))
    return -value if sign == "-" else value


def read_mixed_number(text: str, *, comma_is_decimal: bool = False) -> Fraction:
    """Read an unsigned number that may also be a vulgar fraction: "3/8" or "1 3/8".

    Args:
        text: The number alone.
        comma_is_decimal: As for `read_number`, which reads everything without a stroke.

    Returns:
        The number, exact.

    Raises:
        UnitsError: As `read_number`; "bad-fraction" when the fraction is not a proper one ("11/2" is more
            often a lost space than eleven halves) or has more than three digits above or below.

    Source: Definition.

    Example:
        >>> read_mixed_number("1 3/8")
        Fraction(11, 8)
    """
    if "/" not in text or len(text) > MAX_TEXT_LENGTH:
        return read_number(text, comma_is_decimal=comma_is_decimal)
    before, _, below = text.strip(" ").partition("/")
    whole, _, above = before.rpartition(" ")
    readable = all(_is_digits(part) and len(part) <= MAX_VULGAR_DIGITS for part in (above, below))
    if not readable or int(above) >= int(below):
        raise UnitsError(BadFraction(found=text))
    fraction = Fraction(int(above), int(below))
    if not whole:
        return fraction
    if not _is_digits(whole.strip(" ")):
        raise UnitsError(BadFraction(found=text))
    return read_number(whole) + fraction


def _is_digits(text: str) -> bool:
    return bool(text) and DIGITS.issuperset(text)
