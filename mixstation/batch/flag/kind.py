"""What every flag is made of: a type whose fields are the values of its sentence, and what its kind alone says.

Rules: what is so of every flag of a kind (its code, whether a way out mends it, what accepting it lets pass) stands
with the kind; whoever asks for it names no code. The sentences are in `mixstation/wording/flag_lines.py`.
"""

from typing import ClassVar, Literal

from mixstation.batch.terms import Gravity
from mixstation.coded import Coded

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
        too_late: Of one that asks to add: nothing may go in any more.
    """

    grave: ClassVar[Gravity] = "warn"
    mended_by_ways: ClassVar[bool] = False
    asks_to_add: ClassVar[bool] = False
    bars_taking: ClassVar[bool] = False
    says_too: ClassVar[str] = ""
    reach: ClassVar[Reach] = ""
    place: ClassVar[BandPlace] = ""
    too_late: bool = False

    @property
    def gravity(self) -> Gravity:
        """How grave this one is."""
        return self.grave


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
