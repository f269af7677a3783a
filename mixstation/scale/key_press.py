"""Whether a key of the scale moved what it shows, from its readings alone: tare, zero, gross again, another unit.

A key moves the display between two readings; a load never does, for the cell and its filter take their time. So a jump
counts only where what is shown before it and after it lies on a track of its own, and only where the line's own mark
turns to net or gross with it, or it ends at nothing, or is as large as a jump before it or a vessel that is known, or
is as one unit to another.
"""

from collections import deque
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Final, Literal

from mixstation.frozen import Frozen
from mixstation.scale.reading import Reading
from mixstation.units.tables import ROUNDING_MG, UNITS_BY_KEY

Key = Literal["tare", "zero", "gross", "unit"]

# Choice: so many readings after a jump must go on from it before it is believed.
AFTER_COUNT: Final = 3
# Choice: two readings further apart than this may have missed how a load came or went.
QUICK_S: Final = 0.3
# Choice: a smaller jump, in divisions, is told neither from noise nor from a hand on the rim.
LEAST_DIVISIONS: Final = 20
# Choice: a ratio that the divisions leave more doubtful than this tells no unit.
RATIO_TOLERANCE: Final = Fraction(5, 100)
# Choice: what falls or rises faster is a load that comes or goes, and no pour.
LOAD_MG_S: Final = 1_500_000
# Choice: so long a display may still creep to the weight of a load.
SETTLES_S: Final = 1.5
_KEPT_COUNT: Final = 128
_UNITS: Final = ("kg", "g", "lb", "oz")


class KeyPress(Frozen):
    """One key pressed.

    Attributes:
        by_mg: What the scale shows more since, below 0 where less.
        shown_mg: What it showed first.
        unsure_mg: How far `by_mg` may be off, because something was being poured.
        factor: What it shows since is so many times what it would show; 1 but for another unit.
        sure: Whether nothing else can look like it.
    """

    key: Key
    by_mg: int
    shown_mg: int
    unsure_mg: int = 0
    factor: Fraction = Fraction(1)
    sure: bool = True


class KeyWatch:
    """Looks at every reading of one scale once. Used from one thread."""

    def __init__(self) -> None:
        """Nothing was heard yet."""
        self._readings: deque[Reading] = deque(maxlen=_KEPT_COUNT)
        self._judged = 0
        self._jumps_mg: list[int] = []
        self._curves = False

    def pressed(self, recent: Sequence[Reading], vessels_mg: Sequence[int] = ()) -> KeyPress | None:
        """The next key that was pressed, or None.

        Args:
            recent: The newest readings as the scale sent them, oldest first.
            vessels_mg: Empty vessels that are known.
        """
        newest = self._readings[-1].serial if self._readings else 0
        self._readings.extend(each for each in recent if each.serial > newest)
        seen = list(self._readings)
        for place in range(1, len(seen) - AFTER_COUNT + 1):
            if seen[place].serial <= self._judged:
                continue
            self._judged = seen[place].serial
            before, after = seen[:place], seen[place : place + AFTER_COUNT]
            self._curves = self._curves or _is_curve(seen[place - 1 : place + AFTER_COUNT])
            press = self._press(before, after, vessels_mg)
            if press is not None:
                if press.key != "unit":
                    self._jumps_mg.append(press.by_mg)
                return press
        return None

    def _press(
        self, before: Sequence[Reading], after: Sequence[Reading], vessels_mg: Sequence[int]
    ) -> KeyPress | None:
        last, first = before[-1], after[0]
        if last.mass_mg is None or first.mass_mg is None or last.unit != first.unit:
            return None
        gap_s = first.at_s - last.at_s
        flow_mg_s = _flow_mg_s(before)
        quick = gap_s <= QUICK_S
        due_mg = last.mass_mg + (round(flow_mg_s * gap_s) if quick else 0)
        unsure_mg = (
            round(abs(flow_mg_s) * gap_s) if quick and abs(flow_mg_s) * gap_s > first.division_mg else 0
        )
        by_mg = first.mass_mg - due_mg
        division_mg = max(last.division_mg, first.division_mg) + ROUNDING_MG
        turned = _turned(last, after)
        if turned and abs(by_mg) > division_mg:
            return KeyPress(key=turned, by_mg=by_mg, shown_mg=first.mass_mg, unsure_mg=unsure_mg)
        if abs(by_mg) < max(LEAST_DIVISIONS * division_mg, 4 * unsure_mg) or _loads(before):
            return None
        found = KeyPress(key="zero", by_mg=by_mg, shown_mg=first.mass_mg, unsure_mg=unsure_mg)
        near_mg = 2 * division_mg + unsure_mg
        if abs(first.mass_mg) <= division_mg + unsure_mg:
            return replace(found, sure=quick and self._curves) if _goes_on(after, flow_mg_s) else None
        factor = _factor(last, first, due_mg, unsure_mg)
        if factor is not None and quick and _goes_on(after, flow_mg_s * float(factor)):
            return replace(found, key="unit", factor=factor)
        known_mg = [-jump_mg for jump_mg in self._jumps_mg] + list(vessels_mg)
        if (
            quick
            and self._curves
            and by_mg > 0
            and any(abs(by_mg - each) <= near_mg for each in known_mg)
            and _goes_on(after, flow_mg_s)
        ):
            return replace(found, key="gross")
        return None


def _turned(last: Reading, after: Sequence[Reading]) -> Literal["tare", "gross"] | None:
    """Which way the line's own mark went, and stayed."""
    marks = {each.tare_mark for each in after}
    if last.tare_mark == "gross" and marks == {"net"}:
        return "tare"
    return "gross" if last.tare_mark == "net" and marks == {"gross"} else None


def _flow_mg_s(before: Sequence[Reading]) -> float:
    """How fast the last few rise; 0 where they move as no pour does."""
    few = [each for each in before[-4:] if each.mass_mg is not None]
    span_s = few[-1].at_s - few[0].at_s if len(few) > 1 else 0.0
    flow = ((few[-1].mass_mg or 0) - (few[0].mass_mg or 0)) / span_s if span_s > 0 else 0.0
    return flow if abs(flow) < LOAD_MG_S else 0.0


def _loads(before: Sequence[Reading]) -> bool:
    """Whether a load was coming or going just before."""
    near = [each for each in before if before[-1].at_s - each.at_s <= SETTLES_S]
    return any(abs(_step_mg_s(one, other)) >= LOAD_MG_S for one, other in pairwise(near))


def _goes_on(after: Sequence[Reading], flow_mg_s: float) -> bool:
    """Whether what follows a jump moves no faster than what went before it: it is not on its way elsewhere."""
    first = after[0]
    for each in after[1:]:
        if each.mass_mg is None:
            return False
        most_mg = 1.5 * abs(flow_mg_s) * (each.at_s - first.at_s) + 2 * each.division_mg + ROUNDING_MG
        if abs(each.mass_mg - (first.mass_mg or 0)) > most_mg:
            return False
    return True


def _is_curve(readings: Sequence[Reading]) -> bool:
    """Whether a load came or went over several readings: this scale shows the curve of one."""
    steps = [_step_mg_s(one, other) for one, other in pairwise(readings)]
    fast = [step for step in steps if abs(step) >= LOAD_MG_S / 4]
    return (
        len(fast) >= 2
        and max(map(abs, fast)) >= LOAD_MG_S
        and (all(step > 0 for step in fast) or all(step < 0 for step in fast))
    )


def _step_mg_s(one: Reading, other: Reading) -> float:
    if one.mass_mg is None or other.mass_mg is None:
        return 0.0
    return (other.mass_mg - one.mass_mg) / max(other.at_s - one.at_s, 0.001)


def _factor(last: Reading, first: Reading, due_mg: int, unsure_mg: int) -> Fraction | None:
    """How one unit is to another, where the jump is as that; None where it is none, or the divisions tell it too badly.

    Source: Definition: the pound is 0.45359237 kg, the ounce a sixteenth of it.
    """
    if due_mg == 0 or last.tare_mark != first.tare_mark:
        return None
    for one in _UNITS:
        for other in _UNITS:
            factor = UNITS_BY_KEY[one].factor / UNITS_BY_KEY[other].factor
            # A stream that runs steadily leaves a third of what ran in between unsure.
            slack_mg = (Fraction(last.division_mg, 2) + Fraction(unsure_mg, 3)) * factor + first.division_mg
            due = due_mg * factor
            if (
                factor != 1
                and slack_mg <= abs(due) * RATIO_TOLERANCE
                and abs((first.mass_mg or 0) - due) <= slack_mg
            ):
                return factor
    return None
