"""What can be wrong with a recipe file besides what any file can have: a type of each kind, whose fields its sentence
names.

The sentences are in `mixstation/wording/recipe_faults.py`. A recipe that cannot be proportioned is told with a kind of
`mixstation/recipe/proportions.py`.
"""

from typing import Literal

from mixstation.coded import Coded, PlainCode
from mixstation.frozen import Frozen
from mixstation.toml.faults_of_files import OfChoices


class Plain(PlainCode):
    """Kinds that need no value."""

    SOLIDS_UNKNOWN = "solids-unknown"
    CEMENT_OVER_BINDER = "cement-over-binder"
    CURRENCY_MISSING = "currency-missing"
    WATER_MISSING = "water-missing"
    BUCKET_EMPTY = "bucket-empty"


MaterialCode = Literal["amount-missing", "nothing-held-back", "never-added"]
EarlierCode = Literal["add-after-release", "nothing-left", "release-twice"]
BesideCode = Literal["step-twofold", "both-given", "needs-key"]


class OfMaterial(Frozen):
    """A step or a material that lacks what it needs."""

    code: MaterialCode
    material: str


class AfterEarlier(Frozen):
    """A step for which an earlier one leaves nothing."""

    code: EarlierCode
    material: str
    first_line: int


class Beside(Frozen):
    """Two keys that do not go together, or one that does not go without the other."""

    code: BesideCode
    other: str


class KeyTwice(Coded, code="key-twice"):
    """A key that an earlier one has."""

    found: str
    first_line: int


class WaterTwice(Coded, code="water-twice"):
    """A second water."""

    first_line: int


class RecipeTwice(Coded, code="recipe-twice"):
    """Files whose names look the same; the paths of the others."""

    others: str


class BandOrder(Coded, code="band-order"):
    """An amount below the one that must be smaller."""

    low_key: str
    low: str
    high: str


class PackFigureNotOfPowder(Coded, code="pack-figure-not-of-powder"):
    """Water per pack in a recipe whose water is not of the powder."""

    basis: str


class UnknownMaterial(OfChoices, code="unknown-material"):
    """A step names what the recipe does not have."""


class StepKindMissing(Coded, code="step-kind-missing"):
    """A step that does not say what is done."""

    suggestion: str
    choices: str


class ShareOverWhole(Coded, code="share-over-whole"):
    """More of a material is added than there is; shares are in percent, as a person writes them."""

    material: str
    found: str
    total: str


class ShareShort(Coded, code="share-short"):
    """Not all of a material is added; shares are in percent, as a person writes them."""

    material: str
    total: str
    missing: str


class ReleaseNotWater(Coded, code="release-not-water"):
    """What is released is no water."""

    found: str
    role: str


class ReleaseOverHeldBack(Coded, code="release-over-held-back"):
    """More is released than is held back; both in percent, as a person writes them."""

    found: str
    held_back: str


class TooEarly(Coded, code="too-early"):
    """A step before what it needs is in."""

    missing: str


class OfTotalNotFibre(Coded, code="of-total-not-fibre"):
    """Something else than fibre is dosed on the whole mix."""

    role: str


class KeyNotForRole(Coded, code="key-not-for-role"):
    """A key that is for other roles."""

    role: str
    roles: str


class DensityOfRole(Coded, code="density-of-role"):
    """A density that no material of its role has."""

    role: str
    found: str
    bounds: str


class OverCap(Coded, code="over-cap"):
    """A dose over the material's own limit, which is in percent of the dose's basis."""

    limit: str
    source: str


class BasisUnknown(Coded, code="basis-unknown"):
    """A powder does not say how much of it counts to a basis; `missing` is the key that would."""

    material: str
    basis: str
    missing: str


RecipeFault = (
    Plain
    | OfMaterial
    | AfterEarlier
    | Beside
    | KeyTwice
    | WaterTwice
    | RecipeTwice
    | BandOrder
    | PackFigureNotOfPowder
    | UnknownMaterial
    | StepKindMissing
    | ShareOverWhole
    | ShareShort
    | ReleaseNotWater
    | ReleaseOverHeldBack
    | TooEarly
    | OfTotalNotFibre
    | KeyNotForRole
    | DensityOfRole
    | OverCap
    | BasisUnknown
)
