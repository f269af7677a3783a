"""Batches gone wrong by the hundred from one seed, quicker than drawing them one by one."""

from collections.abc import Iterator
from fractions import Fraction
from random import Random

from mixstation.batch.run import Run
from mixstation.batch.ways import Limits
from tests.batch.ways.bucket import BLEND, BLEND_KG, RAW, RAW_KG, begin, limits, work

WRONG = ("0.7", "0.95", "1.05", "1.1", "1.25", "1.5", "2")


def batches(seed: int, blends: float = 0.3) -> Iterator[tuple[Run, Limits]]:
    """Endless batches stopped somewhere, poured with small errors and one large one, that part of them of blend."""
    dice = Random(seed)
    while True:
        recipe, powders_kg = (BLEND, BLEND_KG) if dice.random() < blends else (RAW, RAW_KG)
        run = begin(recipe, powders_kg, bucket_l=dice.choice((12.0, 16.0, 30.0, 60.0)))
        found = limits(run, needed_l=dice.choice((0.0, 4.0)))
        keys = [step.key for step in recipe.steps]
        stop = dice.randrange(1, len(keys))
        factors = {key: Fraction(round(dice.gauss(1000, 5)), 1000) for key in keys}
        factors[dice.choice(keys[:stop])] = Fraction(dice.choice(WRONG))
        yield work(run, found.divisions_mg, until=keys[stop], factors=factors), found
