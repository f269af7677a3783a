"""The hand of the demonstration: it sees what the screen shows and pours into the emulated scale as a person would."""

import threading
import time

from mixstation.scale.emulator import EmulatedScale
from mixstation.station.view import Desk, Pour
from mixstation.units.parse import parse_mass_mg

# Choice: a calm hand; a dose takes about this long, and it looks for a moment before it begins.
DOSE_S, LOOK_S, TICK_S = 5.0, 1.0, 0.05
SLOW_PART = 3


class DemoHand:
    """Pours what the screen asks for, slows and stops on its cues. Runs in a thread of its own."""

    def __init__(self, desk: Desk, scale: EmulatedScale, bucket_mg: int = 1_240_000) -> None:
        """Put the bucket on the scale.

        Args:
            desk: What is looked at.
            scale: What is poured into.
            bucket_mg: Mass of the empty bucket.
        """
        self._desk = desk
        self._scale = scale
        self._stop = threading.Event()
        self._seen = ""
        self._since_s = 0.0
        self._rate_mg_s = 0
        scale.put_mg(bucket_mg)
        self._thread = threading.Thread(target=self._run, name="demo-hand", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Let go."""
        self._stop.set()
        self._thread.join(1.0)

    def _run(self) -> None:
        while not self._stop.wait(TICK_S):
            view = self._desk.view()
            if view.question.ident != self._seen:
                self._seen, self._since_s = view.question.ident, time.monotonic()
                self._turn(0)
            if view.pour is not None and view.pour.fraction is not None and not view.question.grave:
                self._pour(view.pour, takes_out=view.figure is not None and "take-out" in view.question.ident)
            else:
                self._turn(0)

    def _pour(self, pour: Pour, *, takes_out: bool) -> None:
        if time.monotonic() - self._since_s < LOOK_S:
            return
        full = max(2_000, round(parse_mass_mg(pour.target) / DOSE_S)) * (-1 if takes_out else 1)
        rates = {"pour": full, "slow": full // SLOW_PART}
        self._turn(rates.get(pour.cue, 0))

    def _turn(self, rate_mg_s: int) -> None:
        """Change the stream only when it is to change."""
        if rate_mg_s == self._rate_mg_s:
            return
        self._scale.stop_pour()
        if rate_mg_s:
            self._scale.pour(rate_mg_s)
        self._rate_mg_s = rate_mg_s
