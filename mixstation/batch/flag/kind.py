"""What every flag is made of: a type whose fields are the values of its sentence, and what its kind alone says.

Rules: what is so of every flag of a kind (its code, whether a way out mends it, what accepting it lets pass) stands
with the kind; whoever asks for it names no code. The sentences are in `mixstation/wording/flag_lines.py`.
"""

from fractions import Fraction
from typing import ClassVar, Literal

from mixstation.batch.terms import Gravity
from mixstation.coded import Coded

GRAVITIES: tuple[Gravity, ...] = ("stop", "warn", "note")
"""Gravest first."""

# Choice: less than a hundredth of a figure is no change a hand could have meant.
_WORSE_BY = Fraction(1, 100)

# What end of a band reaches further once the mixer has accepted a flag.
Reach = Literal["", "dose-most", "dose-least", "water-most"]
# Where a flag says that a material stands in its band.
BandPlace = Literal["", "over", "under"]


class BatchFlag(Coded):
    """One thing the mixer should know.

    Attributes:
        grave: How grave it is as a rule: "stop" (do not go on before deciding), "warn", "note".
        mended_by_ways: A way out can mend it, so that the ways come up when it does.
        asks_to_add: Its sentence says to add something, which is no help to a mix that sets or is past its time.
        bars_taking: No weight takes itself while it stands.
        says_too: Code of the flag that says less of the same, left standing with it; "" for none.
        reach: Which end of a band reaches as far as the batch stands once it was accepted; "" for none.
        clears_itself: It tells how things are at this moment and goes with that, so that it is never put away.
        worsens: The field whose figure says how bad it is; "" where it has none.
        falls: Whether that figure falls as it gets worse.
        worse_by: By what part of it the figure must get worse to count.
        too_late: Of one that asks to add: nothing may go in any more.
    """

    grave: ClassVar[Gravity] = "warn"
    mended_by_ways: ClassVar[bool] = False
    asks_to_add: ClassVar[bool] = False
    bars_taking: ClassVar[bool] = False
    says_too: ClassVar[str] = ""
    reach: ClassVar[Reach] = ""
    place: ClassVar[BandPlace] = ""
    clears_itself: ClassVar[bool] = False
    worsens: ClassVar[str] = ""
    falls: ClassVar[bool] = False
    worse_by: ClassVar[Fraction] = _WORSE_BY
    too_late: bool = False

    @property
    def gravity(self) -> Gravity:
        """How grave this one is."""
        return self.grave

    @property
    def can_be_put_away(self) -> bool:
        """Whether it may leave the screen once it was read; what bars the way stays on it."""
        return self.gravity != "stop" and not self.clears_itself

    @property
    def figure(self) -> Fraction | None:
        """How bad it is, the more the worse, in the unit of its own field; None where no figure says it."""
        if not self.worsens:
            return None
        figure = Fraction(getattr(self, self.worsens)).limit_denominator(10**6)
        return -figure if self.falls else figure

    def is_worse_than(self, gravity: Gravity, figure: Fraction | None) -> bool:
        """Whether it is graver, or its figure worse, than when it was as bad as that."""
        if self.gravity != gravity:
            return GRAVITIES.index(self.gravity) < GRAVITIES.index(gravity)
        now = self.figure
        return now is not None and figure is not None and now > figure + abs(figure) * self.worse_by


class MaterialFlag(BatchFlag):
    """A flag about a material."""

    material: str


class StepFlag(BatchFlag):
    """A flag about a step."""

    step: str

    @property
    def about(self) -> str:
        """The step's key."""
        return self.step
