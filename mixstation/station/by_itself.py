"""What happens to a batch without an answer: late facts stored, changes around it noted, and what is due."""

from mixstation.batch.commands import Command, StartTimer, TakeReference
from mixstation.batch.events import ClockStepped, FlagRaised, ScaleChanged
from mixstation.station.clocks import WallClock
from mixstation.station.hands_free import HandsFree
from mixstation.station.reference import reference_now
from mixstation.station.work import Work
from mixstation.wording.flag_lines import flag_line


class ByItself:
    """Looks after a batch between answers."""

    def __init__(self, work: Work) -> None:
        """Look after this batch."""
        self._work = work
        self._wall = WallClock()
        self._hands_free = HandsFree(work.settings.hands_free_s)

    def note(self) -> None:
        """Store what was held, and keep what has changed around the batch."""
        work = self._work
        work.keeper.flush()
        by_ms = self._wall.step_ms(work.now())
        if by_ms and not work.run.ended:
            # Before anything is reckoned from a clock that was set.
            work.keep(ClockStepped(by_ms=by_ms))
        work.look()
        change = work.watch.changed() if work.watch is not None else None
        if work.run.ended:
            return
        if change is not None:
            work.keep(ScaleChanged(state=change[0], detail=change[1]))

    def due(self, *, asking: bool) -> Command | None:
        """What is to be carried out now.

        Args:
            asking: Something beside the step at hand is being asked of the mixer.
        """
        work = self._work
        return (
            self._rest()
            or (None if asking else self._reference())
            or self._hands_free.due(work.scene, work.moment.mono_ms, asking=asking)
        )

    def raise_flags(self) -> bool:
        """Every flag that is put before the mixer goes into the record, once; whether a grave one is new."""
        work = self._work
        run, scene = work.run, work.scene
        new = [flag for flag in scene.advice.flags if (flag.code, flag.about) not in run.raised]
        if not new or run.ended:
            return False
        work.keep(
            *(
                FlagRaised(
                    code=flag.code,
                    about=flag.about,
                    gravity=flag.gravity,
                    said=flag_line(run, flag, scene.speech),
                )
                for flag in new
            )
        )
        return any(flag.gravity == "stop" for flag in new)

    def _rest(self) -> Command | None:
        """A rest begins when it is at hand, however that came about."""
        standing = self._work.scene.advice.standing
        step = standing.step
        begins = standing.phase == "resting" and step is not None and step.key not in self._work.run.timers
        return StartTimer() if begins else None

    def _reference(self) -> Command | None:
        scene = self._work.scene
        gross_mg = reference_now(scene, self._work.booked_serial)
        if gross_mg is None or scene.live is None:
            return None
        return TakeReference(gross_mg=gross_mg, division_mg=scene.live.division_mg)
