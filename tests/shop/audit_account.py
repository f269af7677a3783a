"""Checked against what truly is in the bucket, whatever stood on the scale and whichever key was pressed."""

from dataclasses import dataclass, field
from fractions import Fraction

from mixstation.batch.advice import Net, Standing, stand
from mixstation.batch.events import Entry, ReferenceTaken, WeightRecorded
from mixstation.batch.run import Run
from mixstation.station.view import View
from mixstation.units.parse import parse_mass_mg
from mixstation.wording.view_lines import SCALE_WORDS
from tests.shop.audit_events import Circumstance
from tests.shop.bench import Bench
from tests.shop.broken import hold

FAR = 9
"""So many times what was asked for is ten times it, by a slipped mark and what a hand is off besides."""

DOUBTS = frozenset({"bucket-heavier", "bucket-lighter", "scale-key-pressed"})
"""Flags by which the record says that what is booked may not be what is in."""


@dataclass(slots=True, kw_only=True)
class Begun:
    """What truly was in the bucket when a step's first start reading was taken."""

    content: dict[str, Fraction]
    blurred: int
    worked_ms: int
    division_mg: int


@dataclass(slots=True)
class AccountAudit:
    """Holds each weight from the scale against what went into the bucket, not against what moved on the scale."""

    bench: Bench
    begun: dict[str, Begun] = field(default_factory=dict)
    _last_in: tuple[str, int] | None = None

    def kept(
        self,
        run: Run,
        before: Run,
        entry: Entry,
        *,
        told: Circumstance,
        counted_mg: int,
        worked_ms: int,
        allowed_mg: float,
    ) -> None:
        """An entry has just been kept.

        Args:
            run: The run after it.
            before: The run before it.
            entry: The entry.
            told: What brought it about.
            counted_mg: Part of what is on the scale that a start reading was told to count into the dose.
            worked_ms: Simulated time gone by.
            allowed_mg: The error of two readings of this scale over the time they are apart.
        """
        fact, bench = entry.fact, self.bench
        self._slipped(before, entry, told)
        # A start reading taken anew begins nothing: what came in since the first belongs to the step.
        if isinstance(fact, ReferenceTaken) and fact.step not in self.begun:
            begins = self.begun[fact.step] = self._now(fact.division_mg, worked_ms)
            key = getattr(before.step, "material", "")
            # Told to be part of the dose, it was poured before.
            begins.content[key] = begins.content.get(key, Fraction(0)) - counted_mg
        if not isinstance(fact, WeightRecorded) or fact.step is None:
            return
        begun = self.begun.pop(fact.step, None)
        if (
            fact.source != "scale"
            or begun is None
            or self._cannot_be_known(fact.material, fact.weighing or "", begun)
        ):
            return
        went_in = {key: bench.now_in_mg(key) - begun.content[key] for key in bench.content}
        # From the wrong bag it is as heavy, and the hand's to say.
        if any(abs(mass - fact.mass_mg) <= 2 * allowed_mg for mass in went_in.values()):
            return
        truly_mg = float(went_in[fact.material])
        what = f"{fact.mass_mg} mg of {fact.material} booked by {told.by}, {truly_mg:.0f} mg went in"
        hold("I35", told.by != "tick", what)
        hold("I36", {code for code, _ in run.raised} & DOUBTS, what)

    def shown(self, view: View, standing: Standing, net: Net | None, *, allowed_mg: float) -> None:
        """A view has just been made: what it asks for in big digits is no more than the rest.

        Args:
            view: As a front end gets it.
            standing: What it was made from.
            net: Likewise, None where there is no live weight.
            allowed_mg: The error of two readings of this scale.
        """
        step, pour, figure = standing.step, view.pour, view.figure
        begun = None if step is None else self.begun.get(step.key)
        if step is None or begun is None or pour is None or figure is None or standing.phase != "pour":
            self._last_in = None
            return
        if view.scale.state == SCALE_WORDS["other-unit"]:
            # What it showed until its unit was known was of another.
            self._last_in = None
            return
        material = getattr(step, "material", "")
        target_mg = parse_mass_mg(pour.target)
        over = net is not None and net.net_mg > target_mg
        asked_mg = 0 if over else parse_mass_mg(figure.plain.removeprefix(figure.label))
        if net is not None:
            self._last_in = step.key, net.net_mg
        if self.bench.untold or self.bench.mix_untold or begun.blurred != self.bench.blurred:
            return
        in_mg = self.bench.now_in_mg(material) - begun.content[material]
        if net is not None and net.steady and not self.bench.pouring:
            rest_mg = max(Fraction(0), target_mg - in_mg)
            hold("I40", asked_mg <= rest_mg + 2 * allowed_mg, f"{figure.plain}, {float(in_mg):.0f} mg is in")
        elif not view.scale.fresh and self._last_in is not None and self._last_in[0] == step.key:
            rest_mg = max(Fraction(0), Fraction(target_mg - self._last_in[1]))
            what = f"{figure.plain} after {self._last_in[1]} mg was shown to be in"
            hold("I40", asked_mg <= rest_mg + 2 * allowed_mg, what)

    def forget(self) -> None:
        """The program started again: what it had shown and not stored is gone."""
        self._last_in = None

    def _slipped(self, before: Run, entry: Entry, told: Circumstance) -> None:
        """What is far from what was asked for is booked by its number alone, not by an Enter."""
        fact = entry.fact
        if not isinstance(fact, WeightRecorded) or fact.source != "typed" or fact.step is None:
            return
        asked = stand(before, fact.division_mg or 1).dosing
        if asked is None or not asked.target_mg:
            return
        times = Fraction(fact.mass_mg, asked.target_mg)
        # The rest of a dose is small, and all that its tolerance leaves is right.
        if times >= FAR and fact.mass_mg > asked.high_mg:
            twice = told.typed.strip() and not told.question.startswith("main/")
            hold("I39", twice, f"{fact.mass_mg} mg for {asked.target_mg} mg booked by an Enter")

    def _cannot_be_known(self, material: str, weighing: str, begun: Begun) -> bool:
        """Whether something went on that nobody told and no scale could: it may have come into this very pour."""
        bench = self.bench
        untold = bench.untold if weighing == "bucket" else bench.untold & {material}
        return bench.mix_untold or bool(untold) or begun.blurred != bench.blurred

    def _now(self, division_mg: int, worked_ms: int) -> Begun:
        content = {key: self.bench.now_in_mg(key) for key in self.bench.content}
        return Begun(
            content=content, blurred=self.bench.blurred, worked_ms=worked_ms, division_mg=division_mg
        )
