"""The form of a batch record: what every part holds. All amounts are text with their unit; "" where there is none.

Masses that were read are exact; in US units the metric mass stands behind in brackets. Times are local with their
offset from UTC.
"""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

FORM = 1
"""Raised when a part is removed or changes its meaning."""

Ending = Literal["open", "finished", "discarded"]
AgainstBounds = Literal["", "under", "inside", "over", "cannot-tell"]


class Head(TypedDict):
    """The batch as a whole; `outcome_said` holds the concession or the reason for discarding it."""

    batch: str
    piece: str
    bucket: str
    outcome: Ending
    outcome_said: str
    concession: str
    began: str
    first_water: str
    ended: str
    who: list[str]
    programs: list[str]
    weighing: str
    bucket_volume: str
    shop_temperature: str
    safety_read: str


class RecipeUsed(TypedDict):
    """The recipe the batch was started with; `hash` is the SHA-256 of `text` in UTF-8."""

    key: str
    name: str
    revision: str
    note: str
    hash: str
    text: str


class WeighedBeside(TypedDict):
    """A material of which a weight was typed from a finer scale than the main one."""

    material: str
    scale: str
    division: str


class ScaleUsed(TypedDict):
    """The main scale on file, `checked` as the mixer put it, the divisions weights were read to, and what was weighed
    beside it.
    """

    name: str
    capacity: str
    division: str
    checked: str
    divisions_read: list[str]
    beside: list[WeighedBeside]


class Ratio(TypedDict):
    """Water over one basis; `water` is "added" for plain water alone, "all" with what other materials bring."""

    water: Literal["added", "all"]
    of: str
    ratio: str
    steers: bool


class Water(TypedDict):
    """The water ratio that was steered by, at the end, or by plan while open; `expanded` is its uncertainty, k = 2."""

    of: str
    ratio: str
    expanded: str
    target: str
    least: str
    most: str
    ceiling: str
    place: AgainstBounds
    said: str
    added: str
    all: str
    basis: str
    ratios: list[Ratio]


class DoseReached(TypedDict):
    """A dose of what is in the bucket, on its own basis and count."""

    fraction: str
    of: str
    counts: str
    target: str
    least: str
    most: str
    cap: str
    cap_source: str


class MaterialUsed(TypedDict):
    """One material: what went in and came out, and what is in the bucket at the end against what was aimed at."""

    key: str
    name: str
    role: str
    lots: list[str]
    went_in: str
    taken_out: str
    in_bucket: str
    target: str
    deviation: str
    deviation_percent: str
    tolerance: str
    place: AgainstBounds
    dose: DoseReached | None


class LayerTaken(TypedDict):
    """A portion taken out of the mixed bucket."""

    layer: str
    mass: str
    volume: str


class Cup(TypedDict):
    """What a cup of mix told by its weight: density, air, and the volume all of it makes."""

    density: str
    air: str
    volume: str


class Made(TypedDict):
    """How much was made; volumes by absolute volume with the recipe's air, density from both; what a cup measured."""

    weighed_in: str
    portions: list[LayerTaken]
    in_bucket: str
    volume: str
    density: str
    cup: Cup | None
    volume_needed: str
    cost: str
    without_price: list[str]


class StepWorked(TypedDict):
    """One step as it was worked; `place` is of the time it took against `bounds`."""

    key: str
    said: str
    state: Literal["done", "left out", "not done"]
    at: str
    bounds: str
    took: str
    place: AgainstBounds
    out_of_order: bool
    reason: str


class TakenBack(TypedDict):
    """Who took an entry back, and why."""

    by_entry: int
    time: str
    who: str
    reason: str


class EntryKept(TypedDict):
    """One entry, as it was made."""

    number: int
    kind: str
    time: str
    since_first_water: str
    who: str
    said: str
    target: str
    tolerance: str
    actual: str
    deviation: str
    place: AgainstBounds
    source: str
    shown: str
    gross: str
    reason: str
    late: bool
    taken_back: TakenBack | None


class FlagKept(TypedDict):
    """A flag that was put before the mixer, how grave and with what figures it ended, and what became of it."""

    number: int
    time: str
    since_first_water: str
    code: str
    about: str
    gravity: str
    said: str
    outcome: Literal["passed", "stands", "accepted", "given up"]
    concession: str


class Told(TypedDict):
    """Something said at a moment: a way out taken, a judgement, a temperature, a note; not what was taken back."""

    number: int
    time: str
    since_first_water: str
    said: str


class Suggestion(TypedDict):
    """What to do with the piece, and who says so."""

    said: str
    source: str


class FinishedPiece(TypedDict):
    """Space to write on once the piece has dried."""

    colour: str
    voids: str
    cracks: str
    density_measured: str
    change_next_time: str


class Proof(TypedDict):
    """What the journal held of the batch when the record was made: how many entries, and the hash over all of them.

    `short` is the beginning of `chain` as it stands on the page.
    """

    entries: int
    chain: str
    short: str


class Record(TypedDict):
    """A whole batch record; one of an earlier program has no proof."""

    form: int
    head: Head
    recipe: RecipeUsed
    scale: ScaleUsed
    water: Water
    materials: list[MaterialUsed]
    made: Made
    steps: list[StepWorked]
    ways: list[Told]
    consistency: list[Told]
    temperatures: list[Told]
    flags: list[FlagKept]
    notes: list[Told]
    entries: list[EntryKept]
    after_the_pour: list[Suggestion]
    finished_piece: FinishedPiece
    cautions: list[str]
    proof: NotRequired[Proof]
