"""One sentence for every typed quantity that could not be read."""

from collections.abc import Mapping

from mixstation.units.errors import UnitsError


def units_line(error: UnitsError) -> str:
    """The sentence for a typed quantity that could not be read."""
    return _QUANTITIES[error.code].format(**error.values)


_QUANTITIES: Mapping[str, str] = {
    "empty": "Nothing was typed.",
    "too-long": "That is too long.",
    "bad-character": "“{found}” holds a sign that is no number: type digits with . or , and a unit.",
    "bad-number": "“{found}” is not a number: type digits, with . or , before or among them.",
    "too-many-digits": "“{found}” has too many digits.",
    "ambiguous-thousands": "“{found}” can be {as_decimal} or {as_thousands}: type it with a point or no comma.",
    "bad-fraction": "“{found}” is not a fraction such as 3/8.",
    "unit-missing": "“{found}” needs a unit, such as {suggestion}.",
    "unknown-unit": "“{unit}” is no unit known here; did you mean {suggestion}?",
    "wrong-dimension": "“{found}” is a {dimension}; a {wanted} is asked for, such as {suggestion}.",
    "which-gallon": "Which “{unit}”? Type one of: {choices}.",
    "which-ton": "Which “{unit}”? Type one of: {choices}.",
    "oz-is-mass-or-volume": "“{unit}” can be a mass or a volume. Type one of: {choices}.",
    "bad-compound": "“{found}” cannot be read; write the larger unit first.",
    "not-whole": "In “{found}” the {unit} must be whole.",
    "not-plausible": "The {name} must be {bounds}; found “{found}”. Check the number and its unit.",
    "part-too-large": "In “{found}” there are too many {unit}: at most {limit}.",
}
