"""Checked against what truly is in the bucket, whatever stood on the scale and whichever key was pressed."""

from dataclasses import dataclass, field
from fractions import Fraction

from mixstation.batch.events import Entry, ReferenceTaken, WeightRecorded
from mixstation.batch.run import Run
from tests.shop.bench import Bench
from tests.shop.broken import hold

DOUBTS = frozenset({"bucket-heavier", "bucket-lighter"})
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

    def kept(self, run: Run, entry: Entry, *, by: str, worked_ms: int, allowed_mg: float) -> None:
        """An entry has just been kept.

        Args:
            run: The run after it.
            entry: The entry.
            by: "tick" or what was pressed.
            worked_ms: Simulated time gone by.
            allowed_mg: The error of two readings of this scale over the time they are apart.
        """
        fact, bench = entry.fact, self.bench
        if isinstance(fact, ReferenceTaken):
            # A start reading taken anew begins nothing: what came in since the first belongs to the step.
            self.begun.setdefault(fact.step, self._now(fact.division_mg, worked_ms))
        if not isinstance(fact, WeightRecorded) or fact.step is None:
            return
        begun = self.begun.pop(fact.step, None)
        if fact.source != "scale" or begun is None or self._cannot_be_known(fact.material, begun):
            return
        went_in = {key: bench.now_in_mg(key) - begun.content[key] for key in bench.content}
        # From the wrong bag it is as heavy, and the hand's to say.
        if any(abs(mass - fact.mass_mg) <= 2 * allowed_mg for mass in went_in.values()):
            return
        what = f"{fact.mass_mg} mg of {fact.material} booked by {by}, {float(went_in[fact.material]):.0f} mg went in"
        hold("I35", by != "tick", what)
        hold("I36", {code for code, _ in run.raised} & DOUBTS, what)

    def _cannot_be_known(self, material: str, begun: Begun) -> bool:
        bench = self.bench
        return bench.mix_untold or material in bench.untold or begun.blurred != bench.blurred

    def _now(self, division_mg: int, worked_ms: int) -> Begun:
        content = {key: self.bench.now_in_mg(key) for key in self.bench.content}
        return Begun(
            content=content, blurred=self.bench.blurred, worked_ms=worked_ms, division_mg=division_mg
        )
