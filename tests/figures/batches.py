"""The ledger of batches: what each command of many batches comes to, and how the batch stands after it.

`python -m tests.figures` works it out anew. A line of a batch says what was done, what came of it and what is asked
next; its digits stand for the rest (`SECTIONS`), so that any figure that changes is located.
"""

from fractions import Fraction
from random import Random
from typing import Any

from mixstation.batch.events import Amount, WeighedApart
from tests.figures.bench import Player, begun
from tests.figures.drawn import plays
from tests.figures.mixes import MIXES, Mix, made
from tests.figures.scripts import SCRIPTS

FILE = "batches.jsonl"
DRAWN_COUNT = 12
DIVISIONS_MG = (1000, 1000, 100, 453, 5000, 20_000)


def cases() -> tuple[str, ...]:
    """Every batch's name."""
    return (*SCRIPTS, *(f"drawn {seed}" for seed in range(1, DRAWN_COUNT + 1)))


def figures(name: str) -> Any:
    """What is kept of a batch: a line a command."""
    return played(name).lines


def played(name: str) -> Player:
    """A batch played to its end."""
    if name in SCRIPTS:
        return SCRIPTS[name]()
    seed = int(name.split()[1])
    dice = Random(seed)
    player = _begun(dice, seed)
    plays(dice, player)
    return player


def _begun(dice: Random, seed: int) -> Player:
    """A batch with all that may be known before the first water."""
    mixes = list(MIXES.values())
    recipe, powders = mixes[seed % len(mixes)]() if seed % 3 else made(dice)
    division = DIVISIONS_MG[seed % len(DIVISIONS_MG)]
    return begun(
        (recipe, powders),
        division,
        acknowledged=dice.random() < 0.8,
        weighing=("bucket", "bucket", "tub", "supply")[seed // 2 % 4],
        bucket_l=dice.choice((40.0, 40.0, 9.0, 5.0, 120.0)),
        fill_limit=dice.choice((0.6, 0.66, 0.9)),
        needed_l=dice.choice((0.0, 0.0, 4.0)),
        shop_c=dice.choice((None, 5.0, 20.0, 31.5)),
        stock=_stock(dice, (recipe, powders)),
        weighed_apart=_apart(dice, recipe_keys=[item.key for item in recipe.materials if item.dose]),
    )


def _stock(dice: Random, of: Mix) -> tuple[Amount, ...]:
    if dice.random() < 0.5:
        return ()
    share = dice.choice((Fraction(9, 10), Fraction(1), Fraction(3)))
    return tuple(Amount(material=key, mass_mg=round(mass * share)) for key, mass in of[1].items())


def _apart(dice: Random, recipe_keys: list[str]) -> tuple[WeighedApart, ...]:
    return tuple(
        WeighedApart(material=key, scale="fine", division_mg=dice.choice((10, 100, 500)))
        for key in recipe_keys
        if dice.random() < 0.3
    )
