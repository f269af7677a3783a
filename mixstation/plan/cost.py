"""What a batch costs, from the price of each pack."""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.recipe.model import Recipe, Role

_MG_PER_KG = 1_000_000


class CostLine(Frozen):
    """One material's cost, exact, in hundredths of the currency."""

    material: str
    cents: Fraction


class Cost(Frozen):
    """What a batch costs.

    Attributes:
        currency: Of all sums; "" if the recipe names none.
        lines: Materials with a price, in the recipe's order.
        total_cents: Sum of the lines, rounded once, halves to even.
        per_kg_cents: Of all that is weighed in; None for no mass.
        unpriced: Keys of materials without a price; the sums leave them out.
    """

    currency: str
    lines: tuple[CostLine, ...]
    total_cents: int
    per_kg_cents: int | None
    unpriced: tuple[str, ...]

    @property
    def exact_cents(self) -> Fraction:
        """Sum of the lines, exact. Source: Definition."""
        return sum((line.cents for line in self.lines), Fraction(0))

    def share_cents(self, share: Fraction) -> int:
        """A part of the whole cost, 0 to 1, such as one piece's by volume; hundredths, halves to even."""
        return round(self.exact_cents * share)


def cost_of(recipe: Recipe, masses_mg: Mapping[str, Fraction | int]) -> Cost:
    """Cost of masses, each part of a pack at the pack's price; water and ice without a price cost nothing."""
    lines, unpriced = [], []
    for material in recipe.materials:
        mass_mg = masses_mg.get(material.key, 0)
        if mass_mg <= 0:
            continue
        if material.price_cents is not None and material.pack_mg:
            cents = Fraction(mass_mg) * material.price_cents / material.pack_mg
            lines.append(CostLine(material=material.key, cents=cents))
        elif material.role not in (Role.WATER, Role.ICE):
            unpriced.append(material.key)
    exact = sum((line.cents for line in lines), Fraction(0))
    total_mg = sum(masses_mg.values(), Fraction(0))
    return Cost(
        currency=recipe.currency,
        lines=tuple(lines),
        total_cents=round(exact),
        per_kg_cents=round(exact * _MG_PER_KG / total_mg) if total_mg else None,
        unpriced=tuple(unpriced),
    )
