"""Why a command changes nothing: every refusal there is, and the small guards every decision shares.

The sentences are in `mixstation/wording/refusal_lines.py`.
"""

from fractions import Fraction
from types import UnionType
from typing import Literal

from mixstation.batch.events import Fact, StepDone, StepSkipped, TimerStarted, Weighing
from mixstation.batch.run import Run, RunStep
from mixstation.coded import Coded, PlainCode
from mixstation.recipe.model import RestStep


class Plain(PlainCode):
    """Refusals that need no figure: of the batch, and of an answer the station cannot take."""

    BATCH_OVER = "batch-over"
    NO_REASON = "no-reason"
    NO_STEP = "no-step"
    OTHER_STEP = "other-step"
    NOT_A_MASS = "not-a-mass"
    NOTHING_TO_WEIGH = "nothing-to-weigh"
    NEEDS_ANSWER = "needs-answer"
    NOT_STARTED = "not-started"
    NO_SUCH_STEP = "no-such-step"
    ALREADY_THERE = "already-there"
    CAME_OUT_SINCE = "came-out-since"
    NOT_THROUGH = "not-through"
    EARLIER_SHARE_FIRST = "earlier-share-first"
    TAKE_OUT_FIRST = "take-out-first"
    SETS = "sets"
    WAY_BEGUN = "way-begun"
    WAY_HINDERED = "way-hindered"
    STEPS_LEFT = "steps-left"
    STAYS = "stays"
    NOT_STEADY = "not-steady"
    NO_READING = "no-reading"
    TUB_STILL_FULL = "tub-still-full"
    TUB_NOT_ON = "tub-not-on"
    TUB_HOLDS = "tub-holds"
    VESSEL_OFF = "vessel-off"
    QUESTION_CHANGED = "question-changed"
    NOT_A_CHOICE = "not-a-choice"
    NOTHING_TO_TAKE_BACK = "nothing-to-take-back"
    NOTHING_TYPED = "nothing-typed"
    NOT_WHOLE = "not-whole"
    NOT_THE_SAME = "not-the-same"
    NO_WAYS = "no-ways"


class AskedOnce(Coded):
    """What is asked about once: the same command with a yes (of a batch to be closed: with a concession) goes through.

    Attributes:
        also: What else would go through with the same yes.
    """

    also: tuple["Asked", ...] = ()


class FarOver(AskedOnce, code="far-over"):
    """Far more than is asked for."""

    mass_mg: int
    target_mg: int
    material: str


class FarUnder(AskedOnce, code="far-under"):
    """Far less than is asked for."""

    mass_mg: int
    target_mg: int
    material: str


class FarOverPlan(AskedOnce, code="far-over-plan"):
    """Far more would be in than is planned in all."""

    then_mg: int
    planned_mg: int


class MoreThanFilled(AskedOnce, code="more-than-filled"):
    """More than a tub was filled with."""

    mass_mg: int
    filled_mg: int


class OverCeiling(AskedOnce, code="over-ceiling"):
    """The water would end over its ceiling."""

    ratio: Fraction
    ceiling_ratio: Fraction


class OverCap(AskedOnce, code="over-cap"):
    """A dose would end over its limit."""

    fraction: Fraction
    cap_fraction: Fraction
    source: str


class BucketDiffers(AskedOnce, code="bucket-differs"):
    """The bucket is not as heavy as the entries say."""

    by_mg: Fraction
    expected_mg: Fraction

    @property
    def off_mg(self) -> Fraction:
        """By how much, either way."""
        return abs(self.by_mg)


class NothingOn(AskedOnce, code="nothing-on"):
    """The scale shows too little for what is to stand on it."""

    gross_mg: int
    weighing: Weighing


class OtherVessel(AskedOnce, code="other-vessel"):
    """The scale shows another vessel than is to stand on it.

    Attributes:
        kind: What it weighs as much as; "" where nothing is known that does.
        name: Its name on file, or "".
        expected_mg: What the scale should show, by the file; 0 where nothing of the sort is on file.
    """

    gross_mg: int
    weighing: Weighing
    kind: Literal["", "bucket", "tub"]
    name: str
    expected_mg: int


class SupplyShort(AskedOnce, code="supply-short"):
    """The supply on the scale is lighter than what is to come from it."""

    gross_mg: int
    needed_mg: int


class SetDown(AskedOnce, code="set-down"):
    """What stands on the scale came there at once, as a vessel does that is set down."""

    mass_mg: int
    weighing: Weighing


class TubLighter(AskedOnce, code="tub-lighter"):
    """A tub is lighter than before it was filled: more than was filled in has left it."""

    mass_mg: int
    by_mg: int


class TubWaits(AskedOnce, code="tub-waits"):
    """A tub comes onto the scale while one filled before is not tipped in yet: another, or that one emptied."""

    mass_mg: int
    material: str


class TooSoon(AskedOnce, code="too-soon"):
    """A mixing or a rest is not through."""

    took_s: int
    min_s: int


class FlagsStand(AskedOnce, code="flags-stand"):
    """The batch is to be closed with checks open."""

    open_count: int


class OnFinerScale(Coded, code="weighed-apart"):
    """There is a finer scale for this material."""

    material: str
    scale: str


class MoreThanIn(Coded, code="more-than-in"):
    """More would come out than is in."""

    mass_mg: int
    in_mg: int


class UnknownMaterial(Coded, code="unknown-material"):
    """The recipe has no such material, or it is the one that was booked."""

    found: str


class NothingIn(Coded, code="nothing-in"):
    """Nothing of it is in yet."""

    material: str


class CannotTakeBack(Coded, code="cannot-take-back"):
    """The entry is none that can be taken back."""

    seq: int


class CupSize(Coded, code="cup-size"):
    """No cup of mix is weighed in one of that volume."""

    least_ul: int
    most_ul: int


class NoMixDensity(Coded, code="no-mix-density"):
    """No mix has that density."""

    found_kg_m3: int
    least_kg_m3: int
    most_kg_m3: int


class NoMixTemperature(Coded, code="no-mix-temperature"):
    """No mix has that temperature."""

    mix_milli_c: int


class NoSpread(Coded, code="no-spread"):
    """No spread test comes out so."""

    across_mm: Fraction
    least_mm: Fraction
    most_mm: Fraction


class OutOfRound(Coded, code="out-of-round"):
    """The two diameters of a spread differ by more than a level plate leaves."""

    by_mm: Fraction


class NoFigure(Coded, code="no-figure"):
    """No test of that method comes out so."""

    figure: int
    least: int
    most: int


class PlacedBeforeWater(Coded, code="placed-before-water"):
    """The mix is said to have been placed before its first water went in."""

    placed_s: int
    water_s: int


class NothingToType(Coded, code="nothing-to-type"):
    """A number was typed where Enter alone answers."""

    typed: str
    enter: str


Asked = (
    FarOver
    | FarUnder
    | FarOverPlan
    | MoreThanFilled
    | OverCeiling
    | OverCap
    | BucketDiffers
    | NothingOn
    | OtherVessel
    | SupplyShort
    | SetDown
    | TubLighter
    | TubWaits
    | TooSoon
    | FlagsStand
)
Refused = (
    OnFinerScale
    | MoreThanIn
    | UnknownMaterial
    | NothingIn
    | CannotTakeBack
    | CupSize
    | NoMixDensity
    | NoMixTemperature
    | NoSpread
    | OutOfRound
    | NoFigure
    | PlacedBeforeWater
    | NothingToType
)
Refusal = Plain | Asked | Refused


class RefusedError(Exception):
    """Raised inside a decision; `decide` hands out its refusal."""

    def __init__(self, refusal: Refusal) -> None:
        """Keep the refusal."""
        super().__init__(refusal.code)
        self.refusal = refusal


def said(text: str) -> str:
    """A reason without its margins; refused when empty."""
    if not text.strip():
        raise RefusedError(Plain.NO_REASON)
    return text.strip()


def any_step(run: Run) -> RunStep:
    """The step at hand; refused when all are through."""
    if run.step is None:
        raise RefusedError(Plain.NO_STEP)
    return run.step


def refuse_full_tub(run: Run) -> None:
    """What would leave a filled tub to itself is refused: it is tipped in, or its filling is taken back."""
    if run.tub is not None:
        raise RefusedError(Plain.TUB_HOLDS)


def at_hand(run: Run, kind: type | UnionType) -> RunStep:
    """The step at hand; refused when it is of another kind."""
    step = any_step(run)
    if not isinstance(step, kind):
        raise RefusedError(Plain.OTHER_STEP)
    return step


def through(run: Run, *facts: Fact) -> tuple[Fact, ...]:
    """Facts that end the step at hand, with the timer of a rest that begins by itself."""
    ended = {fact.step for fact in facts if isinstance(fact, StepDone | StepSkipped)}
    following = next((step for step in run.steps if step.key not in run.finished | ended), None)
    if isinstance(following, RestStep) and following.key not in run.timers:
        return (*facts, TimerStarted(step=following.key))
    return facts
