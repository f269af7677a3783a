"""One frame into what it says and back, and what it says into an exact mass."""

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from mixstation.frozen import Frozen
from mixstation.scale.faults import FrameCode
from mixstation.scale.fields import Gathered, Shown, Unfit, Unsayable
from mixstation.scale.profile import LineFraming, Profile
from mixstation.units.tables import UNITS_BY_KEY


class Refusal(Frozen):
    """Why a frame is not a reading.

    Attributes:
        at: Place of the character, from 0.
        field: Place of the field, from 0; the number of fields for "left-over".
    """

    code: FrameCode
    at: int
    field: int


def decode(frame: bytes, profile: Profile) -> Shown | Refusal:
    """What one frame says, or why it is refused, as it is unless its fields use it up."""
    text = frame.decode("latin-1")
    gathered = Gathered(profile.unit)
    at = 0
    for index, field in enumerate(profile.fields):
        try:
            at = field.read(text, at, gathered)
        except Unfit as unfit:
            return Refusal(code=unfit.code, at=unfit.at, field=index)
    if at != len(text):
        return Refusal(code="left-over", at=at, field=len(profile.fields))
    fault = gathered.fault
    return Shown(
        count=None if fault else -gathered.count if gathered.negative else gathered.count,
        decimals=gathered.decimals,
        unit=gathered.unit,
        motion=gathered.motion,
        fault=fault,
        tare_mark=gathered.tare_mark,
    )


def encode(shown: Shown, profile: Profile) -> bytes:
    """Write a frame as a scale of this profile would, line end included; what it has no field for is left unsaid.

    Raises:
        Unsayable: The profile has no way to show this number, unit or fault.
    """
    text = ""
    for field in profile.fields:
        text += field.write(shown, text)
    frame = text.encode("latin-1")
    back = decode(frame, profile)
    if not isinstance(back, Shown) or not _says(back, shown):
        raise Unsayable
    return frame + profile.framing.end if isinstance(profile.framing, LineFraming) else frame


def weigh(shown: Shown, last_digit_step: Mapping[str, int]) -> tuple[int | None, int]:
    """The mass a frame says, None under a fault, and the display's division, at least 1; to the nearest milligram.

    Args:
        last_digit_step: By unit, what the last digit counts in; 1 for a unit not named.

    Source: NIST SP 811 (2008), Appendix B.8 for the factors; halves go to the even milligram.

    Example:
        >>> weigh(Shown(count=-1250, decimals=2, unit="lb"), {"lb": 5})
        (-5669905, 22680)
    """
    above, below = _last_place_mg(shown.unit, shown.decimals)
    division_mg = max(1, _divided(last_digit_step.get(shown.unit, 1) * above, below))
    return None if shown.count is None else _divided(shown.count * above, below), division_mg


def _says(back: Shown, shown: Shown) -> bool:
    return (
        back.fault == shown.fault
        and back.unit == shown.unit
        and (back.count, back.decimals if back.fault is None else shown.decimals)
        == (shown.count, shown.decimals)
        and back.motion in (shown.motion, "unsaid")
        and back.tare_mark in (shown.tare_mark, "unsaid")
    )


@lru_cache(maxsize=64)
def _last_place_mg(unit: str, decimals: int) -> tuple[int, int]:
    last_place = UNITS_BY_KEY[unit].factor / 10**decimals
    return last_place.numerator, last_place.denominator


def _divided(above: int, below: int) -> int:
    return above if below == 1 else round(Fraction(above, below))
