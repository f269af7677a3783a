"""What a mixer may ask for. A command is decided into facts or refused; it never half-happens."""

from typing import Literal

from mixstation.batch.consistency import Remedy
from mixstation.batch.events import Source, Verdict, Weighing
from mixstation.batch.way import Way
from mixstation.frozen import Frozen


class Weight(Frozen):
    """A mass and how it is known; as in `WeightRecorded`.

    `at_once`: it came onto the scale as a vessel does that is set down, not as a pour.
    """

    mass_mg: int
    source: Source
    shown: str
    division_mg: int
    gross_mg: int | None = None
    residue_mg: int | None = None
    weighing: Weighing | None = None
    at_once: bool = False


class AcknowledgeSafety(Frozen):
    """The safety text is read and the gear is on."""


class TakeReference(Frozen):
    """Note what stands on the scale before the pour of the step at hand.

    `coarse`: the mixer pours by this scale though a finer one is on file for so small a dose. `instead`: the start
    readings before it were none, for the vessel was not on the scale. `full_tub`: whether a tub filled before waits
    beside the scale, or is this one, emptied; "" where that was not asked yet.
    """

    gross_mg: int
    division_mg: int
    confirmed: bool = False
    coarse: bool = False
    instead: bool = False
    full_tub: Literal["", "waits", "emptied"] = ""


class FillTub(Frozen):
    """The tub holds this much, not yet tipped in."""

    weight: Weight


class Book(Frozen):
    """This much went in (or out, where the step takes out). `confirmed` after a question about the amount."""

    weight: Weight
    confirmed: bool = False


class BookExtra(Frozen):
    """Something went in outside the step at hand."""

    material: str
    weight: Weight
    reason: str
    confirmed: bool = False


class BookRemoved(Frozen):
    """Some of one material came out unmixed."""

    material: str
    weight: Weight
    reason: str


class BookPortion(Frozen):
    """A portion of the mixed bucket came out outside the step at hand."""

    weight: Weight
    reason: str


class EnoughIn(Frozen):
    """Go on with what is in, though the step asked for more."""


class StartTimer(Frozen):
    """The paddle turns."""


class DoneStep(Frozen):
    """The step at hand is done. `confirmed` after a question about its time."""

    confirmed: bool = False


class SkipStep(Frozen):
    """Leave the step at hand out."""

    reason: str


class BringForward(Frozen):
    """Go to another step now."""

    step: str


class TakeBack(Frozen):
    """The entry of that sequence number does not count, nor what hangs on it."""

    seq: int
    reason: str


class SwapMaterial(Frozen):
    """What that entry weighed in was this material, not the one it was booked as."""

    seq: int
    material: str
    reason: str


class Judge(Frozen):
    """How the mix moves; `figure` where the step measures, or the diameters of a spread, micrometres."""

    verdict: Verdict | None
    figure: int | None = None
    across_um: tuple[int, ...] = ()


class LetWaterIn(Frozen):
    """Let held-back water in, a step at a time, into a mix that was found right with too little in."""


class NoteTemperature(Frozen):
    """The mix has this temperature, thousandths of a degree."""

    mix_milli_c: int
    shown: str


class MeasureDensity(Frozen):
    """A cup of so many microlitres, filled level with mix, weighs this net."""

    cup_ul: int
    weight: Weight


class Pause(Frozen):
    """Called away."""

    reason: str


class TakeUp(Frozen):
    """Back at the bucket."""


class ChangeWeighing(Frozen):
    """Another vessel goes on the scale."""

    weighing: Weighing


class RunOut(Frozen):
    """There is no more of a material."""

    material: str


class TakeWay(Frozen):
    """Take this way out."""

    way: Way
    said: str


class TakeRemedy(Frozen):
    """Do what the mix wants: weigh it in, rest, mix, and judge again."""

    remedy: Remedy
    said: str


class PutFlagAway(Frozen):
    """A flag that stands was read and leaves the screen; `said` is what was read."""

    flag: str
    about: str
    said: str


class WriteNote(Frozen):
    """The mixer's own words."""

    text: str


class Finish(Frozen):
    """Close the batch; a concession where flags stand.

    `placed_before_s`: how long ago the last of the mix was placed; None where that is not said.
    """

    concession: str = ""
    placed_before_s: int | None = None


class Discard(Frozen):
    """Throw the mix away."""

    reason: str


Command = (
    AcknowledgeSafety
    | TakeReference
    | FillTub
    | Book
    | BookExtra
    | BookRemoved
    | BookPortion
    | EnoughIn
    | StartTimer
    | DoneStep
    | SkipStep
    | BringForward
    | TakeBack
    | SwapMaterial
    | Judge
    | LetWaterIn
    | NoteTemperature
    | MeasureDensity
    | Pause
    | TakeUp
    | ChangeWeighing
    | RunOut
    | TakeWay
    | TakeRemedy
    | PutFlagAway
    | WriteNote
    | Finish
    | Discard
)
