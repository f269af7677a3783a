"""Flags on what the batch will end at: the water ratio, the doses, the powders, the stock."""

from fractions import Fraction

from mixstation.batch.flag.kind import MaterialFlag
from mixstation.batch.terms import Gravity
from mixstation.recipe.model import Basis


class WaterOverCeiling(MaterialFlag, code="water-over-ceiling"):
    """The water ratio will end over the recipe's ceiling."""

    worsens = "ratio"
    grave = "stop"
    mended_by_ways = True
    says_too = "water-over"
    reach = "water-most"
    ratio: Fraction
    most_ratio: Fraction
    ceiling_ratio: Fraction


class WaterOver(MaterialFlag, code="water-over"):
    """The water ratio will end over its band, beyond doubt."""

    worsens = "ratio"
    grave = "stop"
    mended_by_ways = True
    reach = "water-most"
    ratio: Fraction
    least_ratio: Fraction
    most_ratio: Fraction
    expanded_ratio: float


class WaterUnsure(MaterialFlag, code="water-unsure"):
    """The scales cannot tell whether the water ratio will end over its band."""

    worsens = "ratio"
    ratio: Fraction
    most_ratio: Fraction
    expanded_ratio: float


class WaterHigh(MaterialFlag, code="water-high"):
    """The water ratio will end above its target, inside the band."""

    worsens = "ratio"
    grave = "note"
    ratio: Fraction
    target_ratio: Fraction
    most_ratio: Fraction


class WaterUnder(MaterialFlag, code="water-under"):
    """The water ratio ended under its band."""

    worsens = "ratio"
    falls = True
    asks_to_add = True
    ratio: Fraction
    least_ratio: Fraction
    expanded_ratio: float
    found_right: bool
    fibres_in: bool
    found_loose: bool = False

    @property
    def gravity(self) -> Gravity:
        """Found right, it may be under by what the scales cannot tell; more, and it compacts and bonds worse."""
        told = self.found_right and self.ratio + Fraction(self.expanded_ratio) >= self.least_ratio
        return "note" if told else "warn"


class DoseOverCap(MaterialFlag, code="dose-over-cap"):
    """A dose will end over the limit its maker or a standard sets."""

    worsens = "fraction"
    grave = "stop"
    mended_by_ways = True
    says_too = "dose-over"
    reach = "dose-most"
    place = "over"
    fraction: Fraction
    cap_fraction: Fraction
    source: str


class DoseFlag(MaterialFlag):
    """A dose outside its band."""

    fraction: Fraction
    least_fraction: Fraction
    most_fraction: Fraction
    basis: Basis


class DoseOver(DoseFlag, code="dose-over"):
    """A dose will end over its band."""

    worsens = "fraction"
    grave = "stop"
    mended_by_ways = True
    reach = "dose-most"
    place = "over"


class DoseUnder(DoseFlag, code="dose-under"):
    """A dose ended under its band."""

    worsens = "fraction"
    falls = True
    asks_to_add = True
    reach = "dose-least"
    place = "under"


class DoseMissing(MaterialFlag, code="dose-missing"):
    """None of a material went in."""

    asks_to_add = True
    reach = "dose-least"
    place = "under"


class PowderFlag(MaterialFlag):
    """A powder off its total."""

    worsens = "off_mg"
    final_mg: Fraction
    total_mg: Fraction

    @property
    def off_mg(self) -> Fraction:
        """By how much, either way."""
        return abs(self.final_mg - self.total_mg)


class PowderOver(PowderFlag, code="powder-over"):
    """A powder will end over its total."""

    place = "over"


class PowderUnder(PowderFlag, code="powder-under"):
    """A powder ended under its total."""

    place = "under"


class RanOut(MaterialFlag, code="ran-out"):
    """A material ran out short of its total."""

    worsens = "short_mg"
    grave = "stop"
    mended_by_ways = True
    reach = "dose-least"
    place = "under"
    short_mg: Fraction


class StockShort(MaterialFlag, code="stock-short"):
    """There is less on hand than is still to go in."""

    worsens = "short_mg"
    short_mg: Fraction


DoseFlags = (
    WaterOverCeiling
    | WaterOver
    | WaterUnsure
    | WaterHigh
    | WaterUnder
    | DoseOverCap
    | DoseOver
    | DoseUnder
    | DoseMissing
    | PowderOver
    | PowderUnder
    | RanOut
    | StockShort
)
