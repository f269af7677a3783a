"""A steady weight inside its tolerance takes itself after a while."""

from mixstation.batch.commands import Book, Command, FillTub
from mixstation.batch.events import EntryTakenBack
from mixstation.station.main_talk import steady_weight
from mixstation.station.passive import newest_deed
from mixstation.station.scene import Scene


class HandsFree:
    """Waits for a weight to have stood long enough."""

    def __init__(self, after_s: float) -> None:
        """Take after so many seconds; 0 for never."""
        self._after_s = after_s
        self._since_ms: int | None = None

    def due(self, scene: Scene, mono_ms: int, *, asking: bool) -> Command | None:
        """What is to be booked now, or None.

        Args:
            scene: The moment.
            mono_ms: Of the clock that stands still in suspend.
            asking: Something else is being asked of the mixer.
        """
        weight = steady_weight(scene)
        if weight is None or asking or not self._after_s or not _is_plain(scene):
            self._since_ms = None
            return None
        if self._since_ms is None:
            self._since_ms = mono_ms
        if mono_ms - self._since_ms < self._after_s * 1000:
            return None
        filling = scene.advice.standing.phase == "tub-fill"
        return FillTub(weight=weight) if filling else Book(weight=weight)


def _is_plain(scene: Scene) -> bool:
    """Inside the tolerance of something asked for, on a scale that is fine enough for it, in the unit it was begun in,
    and not just taken back.
    """
    net, dosing = scene.advice.net, scene.advice.standing.dosing
    coarse = dosing is not None and scene.run.finer_scale(dosing.material, scene.advice.standing.division_mg)
    return (
        net is not None
        and not coarse
        and net.place == "inside"
        and net.net_mg > 0
        and bool(scene.target_mg)
        and not any(flag.bars_taking for flag in scene.advice.flags)
        and not isinstance(newest_deed(scene.run), EntryTakenBack)
    )
