"""What a formula says when it cannot answer, and the checks every formula makes of what it is given.

Rules: a formula refuses what its arguments' ranges do not hold: "not-finite" for NaN and infinity, "negative" where it
says 0 or more, "not-positive" where it says above 0, "out-of-range" where it names both ends. Its docstring names only
what it refuses besides.
"""

import math


class ProportionError(ValueError):
    """A formula was given something it cannot answer for.

    Attributes:
        code: Short kebab-case name of the trouble.
        values: What was found and what was expected, by name.
    """

    def __init__(self, code: str, **values: float | str) -> None:
        """Keep the code and its values."""
        super().__init__(code, values)
        self.code = code
        self.values = values


def need_finite(**amounts: float) -> None:
    """Refuse NaN and infinity.

    Raises:
        ProportionError: "not-finite", with the name and the number.
    """
    for name, amount in amounts.items():
        if not math.isfinite(amount):
            raise ProportionError("not-finite", name=name, found=amount)


def need_not_negative(**amounts: float) -> None:
    """Refuse NaN, infinity and anything below nought.

    Raises:
        ProportionError: "not-finite" or "negative", with the name and the number.
    """
    need_finite(**amounts)
    for name, amount in amounts.items():
        if amount < 0:
            raise ProportionError("negative", name=name, found=amount)


def need_positive(**amounts: float) -> None:
    """Refuse NaN, infinity, nought and anything below it.

    Raises:
        ProportionError: "not-finite" or "not-positive", with the name and the number.
    """
    need_finite(**amounts)
    for name, amount in amounts.items():
        if amount <= 0:
            raise ProportionError("not-positive", name=name, found=amount)


def need_between(least: float, most: float, **amounts: float) -> None:
    """Refuse NaN and anything outside a closed range.

    Raises:
        ProportionError: "not-finite" or "out-of-range", with the name, the number and the range.
    """
    need_finite(**amounts)
    for name, amount in amounts.items():
        if not least <= amount <= most:
            raise ProportionError("out-of-range", name=name, found=amount, least=least, most=most)
