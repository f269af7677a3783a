"""Planted bugs about vessels, options, second buckets and slipped marks; each is what the program once did."""

from collections.abc import Callable
from typing import Any

from mixstation.batch import decide_weighing
from mixstation.station import order, work
from mixstation.units.settings import Settings
from tests.shop.planted import Planted


def _instead(answer: Any) -> Callable[[Any], Any]:
    return lambda _: lambda *_given, **_more: answer


MIX_UPS = (
    Planted(
        name="a supply that is lifted off is a dose",
        rules=("I35", "I36"),
        owner=work,
        member="ZERO_DIVISIONS",
        bug=lambda _: -(10**9),
        mood="wild",
        seed=140,
    ),
    Planted(
        name="a batch taken up again is weighed by what is said then",
        rules=("I37",),
        owner=Settings,
        member="with_anew",
        bug=lambda _: lambda _own, said, _options: said,
        mood="wild",
        seed=1,
    ),
    Planted(
        name="a second bucket aims at the recipe",
        rules=("I38",),
        owner=order,
        member="aim_like",
        bug=lambda _: lambda start, _unsure: start.aim,
        seed=11,
    ),
    Planted(
        name="a typed weight however far off is booked",
        rules=("I39",),
        owner=decide_weighing,
        member="_far_off",
        bug=_instead(None),
        seed=29,
    ),
)
