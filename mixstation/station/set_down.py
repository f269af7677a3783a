"""Whether what stands on the scale came there at once: a vessel is set down, a material is poured.

It sees only what the scale showed since the start reading; a rise that nobody saw, the program being off or the cable
out, may have been either and counts as set down.
"""

from collections import deque
from collections.abc import Sequence
from fractions import Fraction
from math import floor

from mixstation.batch.events import ReferenceTaken
from mixstation.scale.reading import Reading
from mixstation.units.tables import ROUNDING_MG

# Choice: the lightest vessel. What stood there before it (a cloth, a trowel) is lighter than the vessel.
LEAST_MG = 50_000
LEAST_DIVISIONS = 20
# Choice: the most of what stands there; the rest is a hand that steadies the vessel, or the first drops after it.
MOST_OF_IT = Fraction(4, 5)
# Choice: a filter takes so long to show a step; a jug pours 0.4 kg a second, so that a heavy vessel may take longer.
LIGHT_S, HEAVY_S, HEAVY_MG = 0.9, 1.2, 600_000
# Choice: what has not moved more than a thirtieth for so long stands.
STANDS_S, STANDS_SHARE = 0.4, Fraction(1, 30)
# Choice: so long a display may still creep to its weight.
SETTLES_S = 3.0
# Choice: at ten readings a second a minute and a half, longer than a first dose takes.
_KEPT_COUNT = 1000


class SetDown:
    """Watches one start reading after the other. Used from one thread."""

    def __init__(self) -> None:
        """Nothing is watched yet."""
        self._since: ReferenceTaken | None = None
        self._seen: deque[Reading] = deque(maxlen=_KEPT_COUNT)
        self._stood: Reading | None = None
        self._first: Reading | None = None
        self._settled = False

    def stood_mg(self, reference: ReferenceTaken | None, recent: Sequence[Reading]) -> int | None:
        """What the scale showed with the vessel that was set down since the start reading, or None where none was.

        Args:
            reference: The start reading to watch, or None where there is nothing to doubt.
            recent: The newest readings, oldest first.
        """
        if reference is None:
            self._since = self._stood = self._first = None
            self._seen.clear()
            return None
        if reference != self._since:
            self._since, self._stood, self._first = reference, None, None
            self._seen.clear()
        newest = self._seen[-1].serial if self._seen else 0
        new = [each for each in recent if each.serial > newest and each.mass_mg is not None]
        self._seen.extend(new)
        if new:
            self._look(reference.gross_mg)
        return None if self._stood is None else self._stood.mass_mg

    def _look(self, begins_mg: int) -> None:
        newest = self._seen[-1]
        rise_mg = (newest.mass_mg or 0) - begins_mg
        if rise_mg < max(LEAST_MG, LEAST_DIVISIONS * newest.division_mg, begins_mg):
            # It was lifted off again, or is not there yet.
            self._stood = self._first = None
        elif self._first is None:
            if self._stands(rise_mg) and self._came_at_once(begins_mg, rise_mg):
                self._stood = self._first = newest
                self._settled = False
        elif not self._settled and newest.at_s - self._first.at_s <= SETTLES_S:
            if self._is_near(newest, rise_mg):
                self._stood = newest
            self._settled = self._spread_mg() <= newest.division_mg + ROUNDING_MG

    def _is_near(self, newest: Reading, rise_mg: int) -> bool:
        """Whether the vessel alone can show that: nobody has poured yet."""
        assert self._first is not None
        return abs((newest.mass_mg or 0) - (self._first.mass_mg or 0)) <= rise_mg * STANDS_SHARE

    def _stands(self, rise_mg: int) -> bool:
        """Whether it has hardly moved for a while."""
        newest = self._seen[-1]
        still_mg = max(floor(rise_mg * STANDS_SHARE), newest.division_mg + ROUNDING_MG)
        return newest.at_s - self._seen[0].at_s > STANDS_S and self._spread_mg() <= still_mg

    def _spread_mg(self) -> int:
        newest = self._seen[-1]
        last = (each for each in self._seen if newest.at_s - each.at_s <= STANDS_S)
        masses = [each.mass_mg for each in last if each.mass_mg is not None]
        return max(masses) - min(masses)

    def _came_at_once(self, begins_mg: int, rise_mg: int) -> bool:
        """Whether nearly all of it came within a moment, or between two readings."""
        within_s = HEAVY_S if rise_mg >= HEAVY_MG else LIGHT_S
        seen = list(self._seen)
        first = 0
        # What stood there before the start reading does not count, and what came before the first look came unseen.
        over_mg = [0, *(max(0, (each.mass_mg or 0) - begins_mg) for each in seen)]
        seen.insert(0, seen[0])
        for place, later in enumerate(seen):
            while first < place - 1 and later.at_s - seen[first].at_s > within_s:
                first += 1
            if over_mg[place] - over_mg[first] >= rise_mg * MOST_OF_IT:
                return True
        return False
