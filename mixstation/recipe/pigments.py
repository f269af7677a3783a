"""The pigments of a recipe as one blend: what they hold dry, and the limits they keep together."""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.proportion.pigment import TOTAL_CAP_FRACTION, most_pigment_mg
from mixstation.recipe.model import Basis, Cap, Recipe, Role
from mixstation.recipe.proportions import basis_mass


def pigment_shares(recipe: Recipe) -> dict[str, Fraction]:
    """Dry pigment in one unit of weighed mass of each pigment, by its key. Source: Definition."""
    return {
        material.key: 1 - material.water_fraction
        for material in recipe.materials
        if material.role is Role.PIGMENT
    }


def pigment_basis(recipe: Recipe) -> Basis:
    """What pigment is a part of: cement, or powder where a blend does not state its cement. Source: Choice: see
    `mixstation.recipe.limits`.
    """
    known = all(material.cement_fraction is not None for material in recipe.materials if material.is_powder)
    return Basis.CEMENT if known and any(m.cement_fraction for m in recipe.materials) else Basis.POWDER


def blend_caps(recipe: Recipe, masses_mg: Mapping[str, Fraction]) -> dict[str, Cap]:
    """What each pigment of a blend allows all of it together, as dry pigment.

    Args:
        masses_mg: Weighed mass by material key; a pigment of no mass sets no limit.

    Returns:
        By the pigment's key; empty for a single pigment, whose own cap stands by itself.

    Source: ASTM C979/C979M-16, section 1.4.
    """
    shares = pigment_shares(recipe)
    used = [recipe.material(key) for key in shares if masses_mg[key]]
    return {
        material.key: Cap(
            fraction=material.cap.fraction * shares[material.key] / material.counted_share,
            of=material.cap.of,
            source=material.cap.source,
        )
        for material in used
        if len(used) > 1 and material.cap is not None
    }


def pigment_caps(recipe: Recipe, masses_mg: Mapping[str, Fraction]) -> tuple[Cap, ...]:
    """Every limit all pigment together keeps, dry: the standard's and those of `blend_caps`.

    Source: ASTM C979/C979M-16, section 1.4.
    """
    general = Cap(fraction=TOTAL_CAP_FRACTION, of=pigment_basis(recipe), source="ASTM C979 §1.4")
    return (general, *blend_caps(recipe, masses_mg).values())


def pigment_over_mg(recipe: Recipe, masses_mg: Mapping[str, Fraction]) -> Fraction:
    """How far all pigment together is over what a mix may hold.

    Returns:
        Dry pigment, milligrams; negative where there is room.

    Source: `mixstation.proportion.pigment.most_pigment_mg`.
    """
    caps = blend_caps(recipe, masses_mg).values()
    own_mg = [cap.fraction * basis_mass(recipe, masses_mg, cap.of) for cap in caps]
    total_mg = sum((share * masses_mg[key] for key, share in pigment_shares(recipe).items()), Fraction(0))
    return total_mg - most_pigment_mg(basis_mass(recipe, masses_mg, pigment_basis(recipe)), own_mg)
