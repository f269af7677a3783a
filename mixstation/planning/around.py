"""What a planning talk knows of the shop and the day, and the stock as a plan or a bucket finds it."""

from collections.abc import Mapping
from contextlib import closing
from datetime import date
from pathlib import Path

from mixstation.frozen import Frozen
from mixstation.plan.job_parts import Shop
from mixstation.plan.stock import StockLine
from mixstation.recipe.file import LoadedRecipe
from mixstation.record.journal_there import journal_there
from mixstation.record.stock_draws import Drawn, draw_missed, kept_count_of
from mixstation.record.stock_ledger import FILE_NAME, StockLedger
from mixstation.units.show import DisplayUnits


class StockHeld(Frozen):
    """The stock where it is kept; of materials that are not `known` nothing is."""

    lines: tuple[StockLine, ...]
    known: frozenset[str]


class Around(Frozen):
    """What is there before the first question.

    Attributes:
        decimal_comma: A comma in a typed number is always a decimal mark.
        recipes: Recipes of the shelf that can be used, by key, in the order to offer them.
        shop_c: Air temperature as the settings have it, or None.
    """

    units: DisplayUnits
    shop: Shop
    recipes: Mapping[str, LoadedRecipe]
    decimal_comma: bool = False
    stock: StockHeld | None = None
    shop_c: float | None = None
    today: date | None = None


def stock_held(folder: Path, *, catching_up: bool = True) -> StockHeld | None:
    """What is on hand once batches that have not taken theirs have done so; None where stock is not kept.

    Args:
        catching_up: Look at the journal for such batches; not in a process that has it open to write.

    Raises:
        StorageError: The stock could not be read.
    """
    if not (folder / FILE_NAME).exists():
        return None
    with closing(StockLedger.open(folder)) as ledger:
        if catching_up:
            catch_up(folder, ledger)
        known = kept_count_of(ledger.movements())
        return StockHeld(lines=ledger.on_hand(), known=known) if known else None


def catch_up(folder: Path, ledger: StockLedger) -> tuple[Drawn, ...]:
    """Take off what ended batches used while the stock could not be written.

    Raises:
        StorageError: The journal could not be opened, or the stock not be written.
    """
    with journal_there(folder) as journal:
        return () if journal is None else draw_missed(journal, ledger)
