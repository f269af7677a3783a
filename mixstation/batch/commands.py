"""What a mixer may ask for. A command is decided into facts or refused; it never half-happens."""

from mixstation.batch.consistency import Remedy
from mixstation.batch.events import Source, Verdict, Weighing
from mixstation.batch.way import Way
from mixstation.frozen import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """A mass and how it is known; as in `WeightRecorded`."""

    mass_mg: int
    source: Source
    shown: str
    division_mg: int
    gross_mg: int | None = None
    residue_mg: int | None = None
    weighing: Weighing | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AcknowledgeSafety:
    """The safety text is read and the gear is on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeReference:
    """Note what stands on the scale before the pour of the step at hand.

    `coarse`: the mixer pours by this scale though a finer one is on file for so small a dose.
    """

    gross_mg: int
    division_mg: int
    confirmed: bool = False
    coarse: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FillTub:
    """The tub holds this much, not yet tipped in."""

    weight: Weight


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """This much went in (or out, where the step takes out). `confirmed` after a question about the amount."""

    weight: Weight
    confirmed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BookExtra:
    """Something went in outside the step at hand."""

    material: str
    weight: Weight
    reason: str
    confirmed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BookRemoved:
    """Some of one material came out unmixed."""

    material: str
    weight: Weight
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BookPortion:
    """A portion of the mixed bucket came out outside the step at hand."""

    weight: Weight
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EnoughIn:
    """Go on with what is in, though the step asked for more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StartTimer:
    """The paddle turns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneStep:
    """The step at hand is done. `confirmed` after a question about its time."""

    confirmed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SkipStep:
    """Leave the step at hand out."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BringForward:
    """Go to another step now."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeBack:
    """The entry of that sequence number does not count, nor what hangs on it."""

    seq: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapMaterial:
    """What that entry weighed in was this material, not the one it was booked as."""

    seq: int
    material: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Judge:
    """How the mix moves; `figure` where the step measures."""

    verdict: Verdict | None
    figure: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteTemperature:
    """The mix has this temperature, thousandths of a degree."""

    mix_milli_c: int
    shown: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause:
    """Called away."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeUp:
    """Back at the bucket."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeWeighing:
    """Another vessel goes on the scale."""

    weighing: Weighing


@dataclass(frozen=True, slots=True, kw_only=True)
class RunOut:
    """There is no more of a material."""

    material: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeWay:
    """Take this way out."""

    way: Way
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeRemedy:
    """Do what the mix wants: weigh it in, rest, mix, and judge again."""

    remedy: Remedy
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteNote:
    """The mixer's own words."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Close the batch; a concession where flags stand."""

    concession: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Discard:
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
    | NoteTemperature
    | Pause
    | TakeUp
    | ChangeWeighing
    | RunOut
    | TakeWay
    | TakeRemedy
    | WriteNote
    | Finish
    | Discard
)
