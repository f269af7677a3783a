"""The ledger of ways out: troubles at the bucket, and all the ways that are offered for each, in their order.

`python -m tests.figures` works it out anew.
"""

from collections.abc import Callable, Mapping
from dataclasses import fields
from functools import cache, partial
from itertools import islice
from typing import Any

from mixstation.batch.events import Amount
from mixstation.batch.run import Run
from mixstation.batch.way import Way
from mixstation.batch.ways import Limits, limits_of, ways_out
from mixstation.batch.ways.check import breaches
from mixstation.batch.ways.mend import as_planned, score
from mixstation.batch.ways.situation import situation
from tests.batch.every_flag import EVERY_FLAG
from tests.batch.making import Bench
from tests.batch.ways.bucket import limits
from tests.batch.ways.chance import batches
from tests.figures import ways_drawn
from tests.figures.compared import digest, plain
from tests.figures.troubles import TROUBLES

FILE = "ways.jsonl"
# Of the batches by chance those whose ways are of every sort.
CHANCES = (1, 3, 8, 10, 12, 31, 32, 46, 56)
# Of the troubles drawn those that between them tell the most changes of the program apart.
DRAWN = (0, 1, 2, 3, 7, 9, 10, 11, 12, 14, 15, 17, 19, 24, 27, 35, 42, 43)
# What is kept, in digits, of where the batch may end, in this order.
BANDS = (
    "parts",
    "projection",
    "water",
    "doses",
    "powders",
    "shares",
    "pigment_caps",
    "waters",
    "scoop_mg",
    "needed_l",
)
SEED = 11

Trouble = tuple[Run, Limits]


def cases() -> tuple[str, ...]:
    """Every trouble's name."""
    return tuple(_TROUBLES)


def figures(name: str) -> Any:
    """What is kept of a trouble: what bounds it, and every way."""
    run, found = _TROUBLES[name]()
    stands = situation(run, found)
    plan = as_planned(stands)
    return {
        "limits": plain(found),
        "bands": " ".join(digest(plain(getattr(stands, part)), 6) for part in BANDS),
        "as planned": plain([score(stands, plan), breaches(stands, plan)]),
        "ways": [_told(way) for way in ways_out(run, found)],
    }


def _told(way: Way) -> dict[str, Any]:
    """A way, what is nothing left out, amounts by material."""
    told = {each.name: getattr(way, each.name) for each in fields(way)}
    return {name: _short(value) for name, value in told.items() if value not in ((), "", None)}


def _short(value: Any) -> Any:
    if isinstance(value, tuple) and value and isinstance(value[0], Amount):
        return {each.material: each.mass_mg for each in value}
    if hasattr(value, "water_ratio"):
        doses = {each.material: str(each.fraction) for each in value.doses}
        return [str(value.water_ratio), _short(value.powders), doses]
    return plain(value)


def _flagged(code: str) -> Callable[[], Trouble]:
    """The batch on which a flag stands, by its own scales."""

    def trouble() -> Trouble:
        bench = EVERY_FLAG[code].comes()
        return bench.run, _of(bench)

    return trouble


def _of(bench: Bench) -> Limits:
    run = bench.run
    divisions = {key: run.division_of(key, bench.division_mg) for key in run.content}
    return limits_of(run, divisions, 1500, stiffening=bench.advice.sets)


def _drawn(place: int) -> Callable[[], Trouble]:
    return lambda: _by_chance()[place]


@cache
def _by_chance() -> tuple[Trouble, ...]:
    return tuple(islice(batches(SEED), max(CHANCES) + 1))


def _by_hand(make: Callable[[], tuple[Run, Mapping[str, object]]]) -> Callable[[], Trouble]:
    def trouble() -> Trouble:
        run, bounds = make()
        return run, limits(run, **bounds)

    return trouble


_TROUBLES: Mapping[str, Callable[[], Trouble]] = {
    **{name: _by_hand(make) for name, make in TROUBLES.items()},
    **{f"flag {code}": _flagged(code) for code, case in EVERY_FLAG.items() if case.gravity == "stop"},
    **{f"chance {place}": _drawn(place) for place in CHANCES},
    **{f"drawn {seed}": partial(ways_drawn.trouble, seed) for seed in DRAWN},
}
