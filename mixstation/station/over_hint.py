"""While the live weight is past its tolerance, the first way out is already on screen."""

from dataclasses import replace
from fractions import Fraction

from mixstation.batch.run import Run
from mixstation.station.scene import Scene
from mixstation.station.work import Work
from mixstation.wording.ways import way_line


class OverHint:
    """Works the first way out anew as the pour runs on, never before "stop" has been shown.

    Attributes:
        line: The way in words, "" while nothing is over.
    """

    def __init__(self) -> None:
        self.line = ""
        self._looked: tuple[int, str, int] | None = None

    def look(self, work: Work) -> None:
        """Look at the moment."""
        scene = work.scene
        looked = _looked(scene)
        before, self._looked = self._looked, looked
        if looked is None:
            self.line = ""
        elif before is not None and (looked != before or not self.line):
            ways = work.ways(_poured(scene))
            self.line = way_line(ways[0], scene.run, scene.speech.units) if ways else ""


def _looked(scene: Scene) -> tuple[int, str, int] | None:
    """What a hint was worked out for: it is worth another after every tenth of the dose, or once it stands still."""
    net, dosing = scene.advice.net, scene.advice.standing.dosing
    if net is None or dosing is None or net.place != "over":
        return None
    part = max(1, dosing.target_mg) // (50 if net.steady else 10)
    return net.net_mg // max(1, part), dosing.material, len(scene.run.entries)


def _poured(scene: Scene) -> Run:
    """The batch with what is on its way already in."""
    run, net, dosing = scene.run, scene.advice.net, scene.advice.standing.dosing
    assert net is not None
    assert dosing is not None
    mass = run.content[dosing.material] + Fraction(net.net_mg)
    return replace(run, content={**run.content, dosing.material: mass})
