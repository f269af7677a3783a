"""One sentence for every typed quantity that could not be read."""

from typing import assert_never

from mixstation.units import errors as of
from mixstation.units.errors import UnitsError, UnitsFault
from mixstation.wording.spoken import Plainly, spoken


def units_line(error: UnitsError) -> str:
    """The sentence for a typed quantity that could not be read."""
    return spoken(template_of(error.fault), error.fault, Plainly())


def template_of(fault: UnitsFault) -> str:
    """The words, with fields of the fault in braces."""
    match fault:
        case of.Nothing():
            return "Nothing was typed."
        case of.TooLong():
            return "That is too long."
        case of.BadCharacter():
            return "“{found}” holds a sign that is no number: type digits with . or , and a unit."
        case of.BadNumber():
            return "“{found}” is not a number: type digits, with . or , before or among them."
        case of.TooManyDigits():
            return "“{found}” has too many digits."
        case of.AmbiguousThousands():
            return "“{found}” can be {as_decimal} or {as_thousands}: type it with a point or no comma."
        case of.BadFraction():
            return "“{found}” is not a fraction such as 3/8."
        case of.UnitMissing():
            return "“{found}” needs a unit, such as {suggestion}."
        case of.UnknownUnit():
            return "“{unit}” is no unit known here; did you mean {suggestion}?"
        case of.WrongDimension():
            return "“{found}” is a {dimension}; a {wanted} is asked for, such as {suggestion}."
        case of.WhichGallon() | of.WhichTon():
            return "Which “{unit}”? Type one of: {choices}."
        case of.WhichOunce():
            return "“{unit}” can be a mass or a volume. Type one of: {choices}."
        case of.BadCompound():
            return "“{found}” cannot be read; write the larger unit first."
        case of.UnitNotWhole():
            return "In “{found}” the {unit} must be whole."
        case of.PartTooLarge():
            return "In “{found}” there are too many {unit}: at most {limit_count}."
        case of.NotPlausible():
            return "The {name} must be {bounds}; found “{found}”. Check the number and its unit."
        case _ as forgotten:
            assert_never(forgotten)
