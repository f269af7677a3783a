"""Watches the scale: what it says now, what its link went through, and how long a pour runs on."""

from collections.abc import Callable

from mixstation.batch.advice import Net
from mixstation.batch.moment import Live
from mixstation.scale.reading import Link, Reading
from mixstation.scale.steadiness import steady

# Choice: where to start and how far learning may go, seconds.
FIRST_PREACT_S, MIN_PREACT_S, MAX_PREACT_S = 0.5, 0.1, 2.0
# Choice: how much of a new pour goes into what was learned.
LEARNING = 0.3
# Choice: what rises slower than this, divisions a second, is noise or the last trickle and teaches nothing.
LEAST_FLOW_DIVISIONS_S = 3


class ScaleWatch:
    """The link as the station sees it. Used from one thread.

    Attributes:
        preact_s: How long a pour runs on after the hand was told to stop, learned.
    """

    def __init__(self, link: Link) -> None:
        """Start the link."""
        self._link = link
        self._state = ""
        self._shown = ""
        self._stop_at: tuple[int, float] | None = None
        self.preact_s = FIRST_PREACT_S
        link.start()

    def tell(self, heard: Callable[[], None]) -> None:
        """Have `heard` called, in the link's thread, when there is something new to look at."""
        self._link.tell(heard)

    def live(self, now_s: float) -> Live:
        """What the scale says now, judged; `now_s` is by the clock the link stamps its readings with."""
        readings = self._link.recent()
        status = self._link.status()
        judged = steady(readings, now_s)
        state = judged.state if status.state in ("live", "opening") else "stale"
        newest = readings[-1] if readings else None
        self._shown = newest.text if newest is not None else ""
        # A frame that shows no weight has no digits to tell a division from.
        weighed = (reading.division_mg for reading in reversed(readings) if reading.mass_mg is not None)
        return Live(
            mass_mg=None if state in ("stale", "fault", "none") else judged.mass_mg,
            division_mg=next(weighed, 0),
            state=state,
            flow_mg_s=judged.flow_mg_s,
            shown=self._shown,
            serial=newest.serial if newest is not None else 0,
            unread=status.unread,
        )

    def recent(self) -> tuple[Reading, ...]:
        """The newest readings, oldest first."""
        return self._link.recent()

    def moved(self) -> bool:
        """Whether the scale shows something else than it did at the last look."""
        newest = self._link.latest()
        return newest is not None and newest.text != self._shown

    def changed(self) -> tuple[str, str] | None:
        """The link's new state and its detail, once for each change."""
        status = self._link.status()
        if status.state == self._state or status.state == "opening":
            return None
        self._state = status.state
        return status.state, status.detail or status.port

    def link_state(self) -> str:
        """How the link stands."""
        return self._link.status().state

    def learn(self, net: Net | None, live: Live) -> None:
        """See how far a pour runs on after "stop" was said, and steer the next one by it."""
        flow_mg_s = abs(live.flow_mg_s)
        if net is None:
            self._stop_at = None
        elif (
            net.cue == "stop"
            and self._stop_at is None
            and flow_mg_s > LEAST_FLOW_DIVISIONS_S * live.division_mg
        ):
            self._stop_at = (net.net_mg, flow_mg_s)
        elif net.steady and self._stop_at is not None:
            at_mg, flow = self._stop_at
            self._stop_at = None
            if net.net_mg >= at_mg:
                ran_on_s = min(MAX_PREACT_S, max(MIN_PREACT_S, (net.net_mg - at_mg) / flow))
                self.preact_s += LEARNING * (ran_on_s - self.preact_s)

    def stop(self) -> None:
        """Release the port."""
        self._link.stop()
