"""A scale that is not there: what stands on it, how its cell settles, its keys and its display.

It keeps its own exact account of everything poured, against which a record can be held. Time passes only when
`advance` is called, in steps of 10 ms, so that the same calls with the same seed show the same weights.
"""

import math
import random
from collections import deque
from dataclasses import dataclass
from fractions import Fraction
from threading import RLock
from typing import Final

from mixstation.frozen import Frozen
from mixstation.scale.fields import Shown
from mixstation.scale.reading import Fault
from mixstation.units.tables import UNITS_BY_KEY

TICK_MS: Final = 10
# OIML R 76-1, 4.2.3, from memory: no indication above the capacity by more than 9 e.
OVERLOAD_DIVISION_COUNT: Final = 9
UNDERLOAD_DIVISION_COUNT: Final = 20
_TICK_S: Final = TICK_MS / 1000


class Display(Frozen):
    """How one unit is shown: digits after the mark, and what the last one counts in."""

    unit: str
    decimals: int
    step: int = 1

    @property
    def division_mg(self) -> Fraction:
        """Smallest step shown, milligrams, exact."""
        return UNITS_BY_KEY[self.unit].factor * Fraction(self.step, 10**self.decimals)


class Poured(Frozen):
    """One pour: when it began and what left the hand, milligrams; negative where it came out."""

    at_s: float
    mass_mg: int


class Make(Frozen):
    """What does not change about a scale.

    Attributes:
        displays: One for each unit its unit key goes through, the first shown when it is switched on.
        lag_s: Time constant of the cell and its filter.
        noise_mg: Standard deviation of the noise.
        fall_s: Time a stream takes from the hand to the bucket.
        steady_s: How long the weight must keep within a division to be marked steady.
        drift_mg_s: How fast the zero wanders.
        auto_off_s: Switches itself off after so long without a change; 0 for never.
        tracks_zero: Takes small slow changes near zero for drift and removes them.
    """

    capacity_mg: int = 30_000_000
    displays: tuple[Display, ...] = (Display(unit="kg", decimals=3), Display(unit="lb", decimals=3, step=2))
    lag_s: float = 0.15
    noise_mg: float = 100.0
    fall_s: float = 0.2
    steady_s: float = 0.5
    drift_mg_s: float = 0.0
    auto_off_s: float = 0.0
    tracks_zero: bool = False


@dataclass(slots=True, kw_only=True)
class _Stream:
    begun: int
    rate_mg_s: int
    most_mg: int | None
    ended: int | None = None

    def gone_mg(self, tick: int) -> int:
        """What has passed by a tick, rounded towards none."""
        ticks = max(0, (tick if self.ended is None else min(tick, self.ended)) - self.begun)
        gone_mg = abs(self.rate_mg_s) * ticks * TICK_MS // 1000
        if self.most_mg is not None:
            gone_mg = min(gone_mg, self.most_mg)
        return gone_mg if self.rate_mg_s >= 0 else -gone_mg


class EmulatedScale:
    """A bench scale with a vessel on it. Every method may be called from any thread."""

    def __init__(self, make: Make | None = None, seed: int = 0) -> None:
        """Switched on, empty and plugged in; `seed` is of its noise."""
        self.make = make or Make()
        self._lock = RLock()
        self._random = random.Random(seed)
        self._displays = list(self.make.displays)
        self._follow = 1 - math.exp(-_TICK_S / self.make.lag_s) if self.make.lag_s > 0 else 1.0
        self._fall = round(self.make.fall_s / _TICK_S)
        self._tick = 0
        self._owed_s = 0.0
        self._put_mg = 0
        self._lifted = False
        self._streams: list[_Stream] = []
        self._in_air: list[_Stream] = []
        self._sensed_mg = 0.0
        self._drift_mg = 0.0
        self._zero_mg = 0.0
        self._tare_mg = 0.0
        self._noise_scale = 1.0
        self._recent_mg: deque[float] = deque(maxlen=max(1, round(self.make.steady_s / _TICK_S)))
        self._frozen: Shown | None = None
        self._is_on = True
        self._is_plugged = True
        self._is_garbled = False
        self._quiet_tick = 0
        self._quiet_mg = 0.0

    @property
    def now_s(self) -> float:
        """Seconds advanced so far."""
        return self._tick * _TICK_S

    @property
    def is_garbled(self) -> bool:
        """Whether its line spoils what it carries."""
        return self._is_garbled

    @property
    def is_plugged(self) -> bool:
        """Whether its line is plugged in."""
        return self._is_plugged

    @property
    def poured(self) -> list[Poured]:
        """Every pour so far, the running one as far as it has come."""
        with self._lock:
            return [
                Poured(at_s=stream.begun * _TICK_S, mass_mg=stream.gone_mg(self._tick))
                for stream in self._streams
            ]

    @property
    def load_mg(self) -> int:
        """What truly stands on it now, milligrams."""
        with self._lock:
            landing_mg = sum(stream.gone_mg(self._tick - self._fall) for stream in self._in_air)
            return 0 if self._lifted else self._put_mg + landing_mg

    @property
    def is_pouring(self) -> bool:
        """Whether a stream has not come to its end."""
        with self._lock:
            return any(self._runs(stream) for stream in self._in_air)

    def put_mg(self, mass_mg: int) -> None:
        """Set something on it (a bucket), or take it away (negative); not counted as poured."""
        with self._lock:
            self._put_mg += mass_mg

    def pour(self, rate_mg_s: int, *, total_mg: int | None = None, seconds: float | None = None) -> None:
        """Begin to pour into what stands on it; a pour still running ends.

        Args:
            rate_mg_s: Milligrams a second; negative to pour out of it.
            total_mg: Ends by itself after so much.
            seconds: Ends by itself after so long; with neither, at `stop_pour`.
        """
        with self._lock:
            self.stop_pour()
            limits_mg = [] if total_mg is None else [abs(total_mg)]
            limits_mg += [] if seconds is None else [round(abs(rate_mg_s) * seconds)]
            stream = _Stream(begun=self._tick, rate_mg_s=rate_mg_s, most_mg=min(limits_mg, default=None))
            self._streams.append(stream)
            self._in_air.append(stream)

    def pour_at_once(self, mass_mg: int) -> None:
        """Put in (or scoop out, negative) a mass in one go; counted as poured."""
        self.pour(round(mass_mg * 1000 / TICK_MS), total_mg=mass_mg)

    def stop_pour(self) -> None:
        """Close the hand; what is in the air still lands."""
        with self._lock:
            for stream in self._in_air:
                if self._runs(stream):
                    stream.ended = self._tick

    def lift(self) -> None:
        """Take the vessel off with all that is in it."""
        with self._lock:
            self._lifted = True

    def place(self) -> None:
        """Put the vessel back."""
        with self._lock:
            self._lifted = False

    def press_zero(self) -> None:
        """Zero key: what it senses now is shown as zero, and its tare is forgotten."""
        with self._lock:
            self._zero_mg, self._tare_mg = self._sensed_mg + self._drift_mg, 0.0
            self._touch()

    def press_tare(self) -> None:
        """Tare key: what it shows now becomes tare; weights are net from here on."""
        with self._lock:
            self._tare_mg = self._sensed_mg + self._drift_mg - self._zero_mg
            self._touch()

    def press_unit(self) -> None:
        """Unit key: on to the next unit."""
        with self._lock:
            self._displays.append(self._displays.pop(0))
            self._touch()

    def press_on(self) -> None:
        """Switch on: begins in the first unit, with what stands on it as zero."""
        with self._lock:
            self._is_on = True
            self._displays = list(self.make.displays)
            self.press_zero()

    def change_division(self, decimals: int, step: int) -> None:
        """Show the present unit in other steps from here on."""
        with self._lock:
            self._displays[0] = Display(unit=self._displays[0].unit, decimals=decimals, step=step)

    def shake(self, factor: float) -> None:
        """Multiply the noise (a drill on the bench); 1 for quiet."""
        self._noise_scale = factor

    def freeze(self) -> None:
        """The display hangs: it goes on sending what it shows now."""
        with self._lock:
            self._frozen = self.shown()

    def thaw(self) -> None:
        """The display follows again."""
        self._frozen = None

    def garble(self) -> None:
        """Pull its plug half out: bytes come, with bits wrong."""
        self._is_garbled = True

    def clear(self) -> None:
        """Seat its plug again."""
        self._is_garbled = False

    def unplug(self) -> None:
        """Pull its plug."""
        self._is_plugged = False

    def replug(self) -> None:
        """Plug it in again."""
        self._is_plugged = True

    def advance(self, dt_s: float) -> None:
        """Let time pass, 0 s or more; what is less than a step of 10 ms is kept for the next call."""
        with self._lock:
            self._owed_s += dt_s
            # Sums of tenths and hundredths fall short of a whole step by rounding alone.
            ticks = int(self._owed_s / _TICK_S + 1e-6)
            self._owed_s -= ticks * _TICK_S
            division_mg = float(self._displays[0].division_mg)
            for _ in range(ticks):
                self._step(division_mg)

    def shown(self) -> Shown | None:
        """What the display says now; None while it is off."""
        with self._lock:
            if not self._is_on:
                return None
            if self._frozen is not None:
                return self._frozen
            display = self._displays[0]
            fault = self._fault(float(display.division_mg))
            net_mg = self._recent_mg[-1] if self._recent_mg else 0.0
            spread_mg = max(self._recent_mg, default=0.0) - min(self._recent_mg, default=0.0)
            is_steady = len(self._recent_mg) == self._recent_mg.maxlen and spread_mg <= display.division_mg
            return Shown(
                count=None if fault else round(Fraction(net_mg) / display.division_mg) * display.step,
                decimals=display.decimals,
                unit=display.unit,
                motion="steady" if is_steady else "moving",
                fault=fault,
                tare_mark="net" if self._tare_mg else "gross",
            )

    def _runs(self, stream: _Stream) -> bool:
        return stream.ended is None and (
            stream.most_mg is None or abs(stream.gone_mg(self._tick)) < stream.most_mg
        )

    def _fault(self, division_mg: float) -> Fault | None:
        if self._sensed_mg > self.make.capacity_mg + OVERLOAD_DIVISION_COUNT * division_mg:
            return "overload"
        return "underload" if self._sensed_mg < -UNDERLOAD_DIVISION_COUNT * division_mg else None

    def _step(self, division_mg: float) -> None:
        self._tick += 1
        self._land()
        self._sensed_mg += (self.load_mg - self._sensed_mg) * self._follow
        self._drift_mg += self.make.drift_mg_s * _TICK_S
        noise_mg = self._random.gauss(0.0, 1.0) * self.make.noise_mg * self._noise_scale
        net_mg = self._sensed_mg + self._drift_mg - self._zero_mg - self._tare_mg
        if self.make.tracks_zero and abs(net_mg) < division_mg / 2:
            most_mg = division_mg / 2 * _TICK_S
            self._zero_mg += max(-most_mg, min(most_mg, net_mg))
        self._recent_mg.append(net_mg + noise_mg)
        if abs(self._sensed_mg - self._quiet_mg) > division_mg:
            self._touch()
        elif self.make.auto_off_s and (self._tick - self._quiet_tick) * _TICK_S >= self.make.auto_off_s:
            self._is_on = False

    def _land(self) -> None:
        """Count streams that have come down wholly among what was put on."""
        for stream in tuple(self._in_air):
            mass_mg = stream.gone_mg(self._tick)
            if not self._runs(stream) and stream.gone_mg(self._tick - self._fall) == mass_mg:
                self._in_air.remove(stream)
                self._put_mg += mass_mg

    def _touch(self) -> None:
        self._quiet_tick, self._quiet_mg = self._tick, self._sensed_mg
