"""What happened at the bucket: past-tense facts, each stamped, never edited.

Rules: a fact holds only what a person or an instrument did or chose; masses are integer milligrams; what can
be worked out from earlier facts is not stored. Taking back is itself a fact that names the entries it voids.
"""

from fractions import Fraction
from typing import Literal

from mixstation.batch.terms import Aim as Aim
from mixstation.batch.terms import Amount as Amount
from mixstation.batch.terms import DoseAim as DoseAim
from mixstation.batch.terms import Got as Got
from mixstation.batch.terms import Gravity as Gravity
from mixstation.batch.terms import Lot as Lot
from mixstation.batch.terms import Mixed as Mixed
from mixstation.batch.terms import ScaleOnFile as ScaleOnFile
from mixstation.batch.terms import Source as Source
from mixstation.batch.terms import Stamp as Stamp
from mixstation.batch.terms import Verdict as Verdict
from mixstation.batch.terms import WayKind as WayKind
from mixstation.batch.terms import WeighedApart as WeighedApart
from mixstation.batch.terms import Weighing as Weighing
from mixstation.frozen import Frozen
from mixstation.plan.vessels import VesselOnFile as VesselOnFile
from mixstation.recipe.model import Recipe
from mixstation.units.settings import Settings


class BatchStarted(Frozen):
    """Holds all that is known before the first water.

    Attributes:
        recipe_hash: SHA-256 of that text, hex.
        recipe: The recipe as understood by the program that started the batch.
        fill_limit: Largest part of the bucket to fill.
        bucket_number: 1 for the first bucket of the job.
        needed_l: Volume of mix the moulds still need from this bucket, litres; 0 if not planned.
        lots: All that is on hand of each material, as far as they bear a mark.
        stock: What there is of each material; a material not named is not limited.
        vessels: Buckets and tubs whose empty mass is known; () where none is.
        settings: How it is shown and weighed; None for a batch begun before that was kept.
        like: What an earlier batch of the colour got, or None.
        fibres_apart: Whether fibres are weighed into a tub, to be rained in while the paddle turns.
        sand_unsaid: Whether nobody was asked yet how damp its sand is.
    """

    kind: Literal["batch-started"] = "batch-started"
    batch_id: str
    piece: str
    recipe_text: str
    recipe_hash: str
    recipe: Recipe
    aim: Aim
    weighing: Weighing
    scale: ScaleOnFile | None
    bucket_l: float
    fill_limit: float
    bucket_number: int
    bucket_count: int
    needed_l: float
    stock: tuple[Amount, ...]
    lots: tuple[Lot, ...]
    shop_c: float | None
    program: str
    weighed_apart: tuple[WeighedApart, ...] = ()
    vessels: tuple[VesselOnFile, ...] = ()
    settings: Settings | None = None
    like: Got | None = None
    sand_unsaid: bool = False
    fibres_apart: bool = False


class LotOpened(Frozen):
    """From here on a material comes out of this lot; "" where it is not known."""

    kind: Literal["lot-opened"] = "lot-opened"
    material: str
    lot: str


class SandFound(Frozen):
    """How damp a sand is today.

    Attributes:
        moisture: All water in it, of its dry mass.
    """

    kind: Literal["sand-found"] = "sand-found"
    material: str
    moisture: Fraction


class SafetyAcknowledged(Frozen):
    """The mixer has the safety text behind them and gear on."""

    kind: Literal["safety-acknowledged"] = "safety-acknowledged"


class ReferenceTaken(Frozen):
    """What stood on the scale before the pour: bucket so far, empty tub, or full supply."""

    kind: Literal["reference-taken"] = "reference-taken"
    step: str
    weighing: Weighing
    gross_mg: int
    division_mg: int


class KeyPressed(Frozen):
    """A key of the scale moved what it shows while nothing moved on it.

    Attributes:
        step: The step that was being weighed, or None between pours.
        key: "tare" or "zero"; "gross" where a tare was taken off again.
        by_mg: What it shows more since, below 0 where less.
        counted_mg: What was in of the dose at hand, and still counts.
        unsure_mg: How far that may be off, for something was being poured; 0 where nothing was.
    """

    kind: Literal["key-pressed"] = "key-pressed"
    step: str | None
    key: Literal["tare", "zero", "gross"]
    by_mg: int
    counted_mg: int
    unsure_mg: int = 0


class TubFilled(Frozen):
    """A tub holds `mass_mg` net of the step's material, not yet tipped in."""

    kind: Literal["tub-filled"] = "tub-filled"
    step: str
    mass_mg: int
    source: Source
    shown: str
    division_mg: int


class WeightRecorded(Frozen):
    """A material went into the bucket.

    Attributes:
        step: The step it was for, or None for an addition outside the recipe.
        mass_mg: Net mass that went in, above 0.
        shown: The text the person typed or the scale showed.
        division_mg: Of the display, or of the digits typed.
        gross_mg: What the scale then showed with the vessel on it, or None.
        residue_mg: What stuck to the tub and was weighed back, below 0 where old residue came out with it;
            None where no tub was weighed back.
        weighing: How it was weighed, None when typed.
    """

    kind: Literal["weight-recorded"] = "weight-recorded"
    step: str | None
    material: str
    mass_mg: int
    source: Source
    shown: str
    division_mg: int
    gross_mg: int | None = None
    residue_mg: int | None = None
    weighing: Weighing | None = None
    reason: str = ""


class MaterialRemoved(Frozen):
    """One material came out unmixed: water poured back, a clump of fibre picked out."""

    kind: Literal["material-removed"] = "material-removed"
    step: str | None
    material: str
    mass_mg: int
    source: Source
    shown: str
    division_mg: int
    reason: str


class PortionTaken(Frozen):
    """A portion of the mixed bucket came out, of the composition of the whole.

    `layer` names the layer it is for ("face coat"); "" when it was only to make room or was lost. `place_next`: that it
    is placed is asked next.
    """

    kind: Literal["portion-taken"] = "portion-taken"
    step: str | None
    layer: str
    mass_mg: int
    source: Source
    shown: str
    division_mg: int
    reason: str = ""
    place_next: bool = False


class TimerStarted(Frozen):
    """The paddle turns, or the rest begins."""

    kind: Literal["timer-started"] = "timer-started"
    step: str


class StepDone(Frozen):
    """The mixer is through with a step."""

    kind: Literal["step-done"] = "step-done"
    step: str


class StepSkipped(Frozen):
    """A step was left out, and why."""

    kind: Literal["step-skipped"] = "step-skipped"
    step: str
    reason: str


class StepBroughtForward(Frozen):
    """The mixer went to a step before the ones ahead of it were done."""

    kind: Literal["step-brought-forward"] = "step-brought-forward"
    step: str


class EntryTakenBack(Frozen):
    """The named entries no longer count; they stay in the record."""

    kind: Literal["entry-taken-back"] = "entry-taken-back"
    seqs: tuple[int, ...]
    reason: str


class ConsistencyJudged(Frozen):
    """How the mix moves; `figure` in the method's own unit, None by trowel.

    Attributes:
        across_um: The two diameters that a spread is the mean of, micrometres; () where it is no spread.
    """

    kind: Literal["consistency-judged"] = "consistency-judged"
    step: str | None
    verdict: Verdict
    figure: int | None = None
    across_um: tuple[int, ...] = ()


class ReleaseGoesOn(Frozen):
    """Held-back water is let in, in steps, though the mix was found right: less than its band wants is in."""

    kind: Literal["release-goes-on"] = "release-goes-on"
    step: str


class TemperatureTaken(Frozen):
    """Temperature of the mix, thousandths of a degree Celsius."""

    kind: Literal["temperature-taken"] = "temperature-taken"
    step: str | None
    mix_milli_c: int
    shown: str


class DensityMeasured(Frozen):
    """A cup of known volume was filled level with mix and weighed; it was weighed out of the record's masses."""

    kind: Literal["density-measured"] = "density-measured"
    mass_mg: int
    cup_ul: int
    source: Source
    shown: str
    division_mg: int


class BatchPaused(Frozen):
    """The mixer was called away."""

    kind: Literal["batch-paused"] = "batch-paused"
    reason: str


class BatchTakenUp(Frozen):
    """The mixer is back at the bucket."""

    kind: Literal["batch-taken-up"] = "batch-taken-up"


class WeighingChanged(Frozen):
    """Another vessel stands on the scale from here on."""

    kind: Literal["weighing-changed"] = "weighing-changed"
    weighing: Weighing


class SupplyRanOut(Frozen):
    """There is no more of a material than what is in."""

    kind: Literal["supply-ran-out"] = "supply-ran-out"
    material: str


class WayTaken(Frozen):
    """A way out was chosen.

    Attributes:
        aim: What to steer to from here; for the bucket after anything taken out.
        pour_back_mg: Of the water in the bucket, to pour back now.
        scoop_mg: Of the mixed bucket, to take out now.
        make_up: Materials to top up now, in this order, to the share already due.
        gives_up: Flag codes that the way knowingly leaves standing.
    """

    kind: Literal["way-taken"] = "way-taken"
    way: WayKind
    aim: Aim
    pour_back_mg: int
    scoop_mg: int
    make_up: tuple[str, ...]
    mix_s: int
    gives_up: tuple[str, ...]
    said: str


class RemedyTaken(Frozen):
    """What the mix wants was taken: it is weighed in, rested, mixed, and judged anew.

    Attributes:
        material: To bring to its whole total now, or None.
        aimed: What that total is steered to from here: its dose on its own basis, of the water the ratio; else None.
    """

    kind: Literal["remedy-taken"] = "remedy-taken"
    material: str | None
    aimed: Fraction | None
    rest_s: int
    mix_s: int
    said: str


class FlagRaised(Frozen):
    """A flag was put before the mixer."""

    kind: Literal["flag-raised"] = "flag-raised"
    code: str
    about: str
    gravity: Gravity
    said: str


class FlagPutAway(Frozen):
    """A flag was read and put away: it comes back only if it gets worse than it was then.

    Attributes:
        figure: How bad it was, in the unit of its own figure; None where it has none.
        said: What was read.
    """

    kind: Literal["flag-put-away"] = "flag-put-away"
    code: str
    about: str
    gravity: Gravity
    figure: Fraction | None
    said: str


class ScaleChanged(Frozen):
    """The link to the scale changed its state.

    Attributes:
        step: The step that was being weighed, or None.
        heard_mg: What had been weighed for it when the scale was last heard; 0 where nothing had.
        factor: What it shows from now on is so many times what it weighs; 1 but in another unit.
    """

    kind: Literal["scale-changed"] = "scale-changed"
    state: str
    detail: str
    step: str | None = None
    heard_mg: int = 0
    factor: float = 1.0


class NoteWritten(Frozen):
    """The mixer's own words."""

    kind: Literal["note-written"] = "note-written"
    text: str


class ProgramResumed(Frozen):
    """The program started again with this batch open; `settings` where it is shown or weighed otherwise from here."""

    kind: Literal["program-resumed"] = "program-resumed"
    program: str
    settings: Settings | None = None


class ClockStepped(Frozen):
    """The wall clock jumped against the boot clock."""

    kind: Literal["clock-stepped"] = "clock-stepped"
    by_ms: int


class BatchFinished(Frozen):
    """All steps are through.

    Attributes:
        accepted: Names the flags that stood and were accepted.
        placed_before_s: How long before it was closed the last of the mix was placed; None where that was not said.
    """

    kind: Literal["batch-finished"] = "batch-finished"
    accepted: tuple[str, ...]
    concession: str
    placed_before_s: int | None = None


class BatchDiscarded(Frozen):
    """The mix was thrown away."""

    kind: Literal["batch-discarded"] = "batch-discarded"
    reason: str


Fact = (
    BatchStarted
    | SafetyAcknowledged
    | LotOpened
    | SandFound
    | ReferenceTaken
    | KeyPressed
    | TubFilled
    | WeightRecorded
    | MaterialRemoved
    | PortionTaken
    | TimerStarted
    | StepDone
    | StepSkipped
    | StepBroughtForward
    | EntryTakenBack
    | ConsistencyJudged
    | ReleaseGoesOn
    | TemperatureTaken
    | DensityMeasured
    | BatchPaused
    | BatchTakenUp
    | WeighingChanged
    | SupplyRanOut
    | WayTaken
    | RemedyTaken
    | FlagRaised
    | FlagPutAway
    | ScaleChanged
    | NoteWritten
    | ProgramResumed
    | ClockStepped
    | BatchFinished
    | BatchDiscarded
)
MovedMass = WeightRecorded | MaterialRemoved | PortionTaken
"""What brought mass into the bucket or took it out."""


class Entry(Frozen):
    """One line of the journal: a fact, when, and its place in the batch (from 1, without gaps)."""

    seq: int
    stamp: Stamp
    fact: Fact
