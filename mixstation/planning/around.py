"""What a planning talk knows of the shop and the day."""

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from mixstation.frozen import dataclass
from mixstation.units.show import DisplayUnits

if TYPE_CHECKING:
    from mixstation.plan.job_parts import Shop
    from mixstation.plan.stock import StockLine
    from mixstation.recipe.file import LoadedRecipe


@dataclass(frozen=True, slots=True, kw_only=True)
class StockHeld:
    """The stock where it is kept.

    Attributes:
        lines: What is on hand.
        known: Materials that are kept count of; of others nothing is known.
    """

    lines: "tuple[StockLine, ...]"
    known: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """What is there before the first question.

    Attributes:
        units: What the person reads and types in.
        decimal_comma: A comma in a typed number is always a decimal mark.
        shop: Scales, bucket and the usual.
        recipes: Recipes of the shelf that can be used, by key, in the order to offer them.
        stock: The stock, or None where it is not kept.
        shop_c: Air temperature as the settings have it, or None.
        today: The day.
    """

    units: DisplayUnits
    shop: "Shop"
    recipes: "Mapping[str, LoadedRecipe]"
    decimal_comma: bool = False
    stock: StockHeld | None = None
    shop_c: float | None = None
    today: date | None = None
