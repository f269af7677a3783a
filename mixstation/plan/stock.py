"""What a batch takes from stock, what has to be bought; arithmetic on what is on hand."""

import math
from collections.abc import Iterable, Iterator, Mapping

from mixstation.frozen import Frozen
from mixstation.plan.cautions import SeveralLots, Short
from mixstation.recipe.model import Recipe, Role

COLOUR_ROLES = frozenset({Role.BLEND, Role.CEMENT, Role.POZZOLAN, Role.PIGMENT})


class StockLine(Frozen):
    """One lot of one material on hand.

    Attributes:
        material: Key, the same in every recipe of the shop.
        lot: Lot or bag mark; "" where none is known.
        mass_mg: All of it: full packs and the open one; below 0 where more was used than was ever entered.
        pack_mg: Net mass of a full pack; 0 for loose material.
    """

    material: str
    lot: str
    mass_mg: int
    pack_mg: int = 0

    @property
    def full_count(self) -> int:
        """Full packs. Source: Definition: at most one pack of a lot is open."""
        return max(0, self.mass_mg) // self.pack_mg if self.pack_mg else 0

    @property
    def open_mg(self) -> int:
        """What is in the open pack, milligrams. Source: Definition."""
        return self.mass_mg - self.full_count * self.pack_mg


class Draw(Frozen):
    """What is taken of one lot."""

    lot: str
    mass_mg: int
    opened_count: int


class StockTake(Frozen):
    """What a batch takes of one material.

    Attributes:
        draws: Lot by lot, in the order to take them.
        short_mg: What is missing; 0 if there is enough.
        buy_count: Packs to buy; None where the size of a pack is not known.
    """

    material: str
    need_mg: int
    draws: tuple[Draw, ...]
    left_mg: int
    short_mg: int
    buy_count: int | None


def take(material: str, need_mg: int, lines: Iterable[StockLine], *, pack_mg: int | None = None) -> StockTake:
    """Take a mass from the lots on hand: open packs first, then lots in their order.

    Args:
        lines: Stock, other materials are passed over; the oldest lot first.
        pack_mg: Net mass of a pack to buy, or None.

    Source: Definition; open packs first is common practice, no source.

    Example:
        >>> stock = [StockLine(material="sand", lot="A", mass_mg=60_000_000, pack_mg=25_000_000)]
        >>> [(draw.mass_mg, draw.opened_count) for draw in take("sand", 30_000_000, stock).draws]
        [(30000000, 1)]
    """
    own = [line for line in lines if line.material == material and line.mass_mg > 0]
    taken = dict.fromkeys(range(len(own)), 0)
    left_mg = need_mg
    for only_open in (True, False):
        for at, line in enumerate(own):
            there_mg = (line.open_mg if only_open else line.mass_mg) - taken[at]
            part_mg = min(left_mg, max(0, there_mg))
            taken[at] += part_mg
            left_mg -= part_mg
    draws = tuple(
        Draw(lot=line.lot, mass_mg=taken[at], opened_count=_opened(line, taken[at]))
        for at, line in enumerate(own)
        if taken[at]
    )
    on_hand_mg = sum(line.mass_mg for line in own)
    buy = None if not pack_mg else math.ceil(left_mg / pack_mg)
    return StockTake(
        material=material,
        need_mg=need_mg,
        draws=draws,
        left_mg=on_hand_mg - (need_mg - left_mg),
        short_mg=left_mg,
        buy_count=buy,
    )


def take_all(
    recipe: Recipe, masses_mg: Mapping[str, int], lines: Iterable[StockLine]
) -> tuple[StockTake, ...]:
    """Take every material of a batch but the water, in the recipe's order, where some is needed."""
    held = tuple(lines)
    return tuple(
        take(material.key, masses_mg[material.key], held, pack_mg=material.pack_mg)
        for material in recipe.materials
        if material.role not in (Role.WATER, Role.ICE) and masses_mg.get(material.key, 0) > 0
    )


def stock_cautions(recipe: Recipe, takes: Iterable[StockTake]) -> Iterator[Short | SeveralLots]:
    """What is short, and where two lots may show as two colours.

    Source: Common practice, no source: cement and pigment differ from lot to lot.
    """
    for each in takes:
        if each.short_mg:
            yield Short(
                material=each.material,
                short_mg=each.short_mg,
                need_mg=each.need_mg,
                buy_count=each.buy_count,
            )
        if len(each.draws) > 1 and recipe.material(each.material).role in COLOUR_ROLES:
            lots = ", ".join(draw.lot or "without a mark" for draw in each.draws)
            yield SeveralLots(material=each.material, lots=lots)


def on_hand_mg(lines: Iterable[StockLine]) -> dict[str, int]:
    """Mass on hand by material, all lots together. Source: Definition."""
    totals: dict[str, int] = {}
    for line in lines:
        totals[line.material] = totals.get(line.material, 0) + line.mass_mg
    return totals


def _opened(line: StockLine, taken_mg: int) -> int:
    if not line.pack_mg:
        return 0
    return math.ceil(max(0, taken_mg - line.open_mg) / line.pack_mg)
