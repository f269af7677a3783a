"""Where a recipe leaves the ranges that standards and the trade give. It warns and never refuses."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import takewhile
from typing import Final

from mixstation.frozen import dataclass
from mixstation.recipe.model import (
    AddStep,
    Basis,
    Material,
    MixStep,
    Recipe,
    ReleaseStep,
    Role,
    ScrapeStep,
    SplitStep,
    Step,
)
from mixstation.recipe.proportions import Masses, ScalingError, whole_totals

PRACTICE: Final = "common practice"
GUIDES: Final = "common practice and industry guides, from memory"
PIGMENT_STANDARD: Final = "ASTM C979 §1.4"
ICE_FORMULA: Final = "ACI 305R formula for mixes with ice, from memory, fair to about 20 %"

MAX_PIGMENT: Final = Fraction(10, 100)
MIN_WATER: Final = Fraction(28, 100)
MAX_WATER: Final = Fraction(40, 100)
MIN_FIBRE: Final = Fraction(20, 1000)
MAX_FIBRE: Final = Fraction(35, 1000)
MIN_POLYMER: Final = Fraction(4, 100)
MIN_CURING_POLYMER: Final = Fraction(5, 100)
MAX_POLYMER: Final = Fraction(7, 100)
MIN_PLASTICISER: Final = Fraction(2, 1000)
MAX_PLASTICISER: Final = Fraction(10, 1000)
MAX_POZZOLAN: Final = Fraction(25, 100)
MIN_SAND: Final = Fraction(1, 2)
MAX_SAND: Final = Fraction(1)
MAX_ICE: Final = Fraction(20, 100)
MIN_PLASTICISER_MIX_S: Final = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitWarning:
    """One limit that a recipe leaves.

    Attributes:
        code: What, with "-low" or "-high" for a range.
        source: Who says so, as a person may read it.
        material: Key of the material it is about, or "".
        step: Key of the step it is about, or "".
        value: What the recipe has; None where the warning is of the order of steps.
        limit: The limit, on the same basis.
        of: What both are fractions of ("cement", "binder", "powder", "total", "water"), or "s" for seconds.
    """

    code: str
    source: str
    material: str = ""
    step: str = ""
    value: Fraction | None = None
    limit: Fraction | None = None
    of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Share:
    """A share of a recipe and the range for it."""

    code: str
    value: Fraction
    of: str
    source: str
    least: Fraction | None = None
    most: Fraction | None = None
    material: str = ""


def published_limits(recipe: Recipe) -> tuple[LimitWarning, ...]:
    """All limits that a recipe leaves.

    Args:
        recipe: Any recipe; of one that cannot be proportioned only the steps are looked at.

    Returns:
        The warnings: proportions first, then the order of steps.

    Source: Each warning names its own; "from memory" was not read in print.
    """
    try:
        masses = whole_totals(recipe, 1)
    except ScalingError:
        return tuple(_order(recipe))
    return (*_proportions(recipe, masses), *_order(recipe))


def _proportions(recipe: Recipe, masses: Masses) -> Iterator[LimitWarning]:
    for share in _shares(recipe, masses):
        low = share.least is not None and share.value < share.least
        high = share.most is not None and share.value > share.most
        if low or high:
            yield LimitWarning(
                code=share.code + ("-low" if low else "-high"),
                source=share.source,
                material=share.material,
                value=share.value,
                limit=share.least if low else share.most,
                of=share.of,
            )


def _shares(recipe: Recipe, masses: Masses) -> Iterator[_Share]:
    powder = _amount(recipe, masses, Basis.POWDER)
    cement = _amount(recipe, masses, Basis.CEMENT)
    binder = _amount(recipe, masses, Basis.BINDER)
    # Where a blend does not state its cement or binder, the powder stands for it: it is the larger, so what is
    # too much of the powder is too much for certain, and what is too little is not known.
    cement_or_powder, of_cement = (cement, "cement") if cement else (powder, "powder")
    binder_or_powder, of_binder = (binder, "binder") if binder else (powder, "powder")

    per_binder = (_amount(recipe, masses, recipe.water.of) or powder) / binder_or_powder
    key, rule = recipe.water_key, recipe.water
    least, most = rule.least * per_binder, rule.ceiling * per_binder
    if binder:
        yield _Share(code="water", value=least, of="binder", source=GUIDES, least=MIN_WATER, material=key)
    yield _Share(code="water", value=most, of=of_binder, source=GUIDES, most=MAX_WATER, material=key)

    for key, mass in _all_of(recipe, masses, Role.PIGMENT):
        yield _Share(
            code="pigment",
            value=mass / cement_or_powder,
            of=of_cement,
            source=PIGMENT_STANDARD,
            most=MAX_PIGMENT,
            material=key,
        )
    for key, mass in _all_of(recipe, masses, Role.POLYMER):
        polymer = mass / cement_or_powder
        yield _Share(
            code="polymer",
            value=polymer,
            of=of_cement,
            source=GUIDES,
            least=MIN_POLYMER if cement else None,
            most=MAX_POLYMER,
            material=key,
        )
        if cement:
            yield _Share(
                code="curing-polymer",
                value=polymer,
                of=of_cement,
                source=PRACTICE,
                least=MIN_CURING_POLYMER,
                material=key,
            )
    for material in recipe.materials:
        if material.role is Role.PLASTICISER:
            yield _Share(
                code="plasticiser",
                value=masses[material.key] / binder_or_powder,
                of=of_binder,
                source=PRACTICE,
                least=MIN_PLASTICISER if binder else None,
                # A cap in the recipe is the label's own and takes the place of the usual range's end.
                most=None if material.cap else MAX_PLASTICISER,
                material=material.key,
            )
    if cement and binder:
        pozzolan = (binder - cement) / binder
        yield _Share(code="pozzolan", value=pozzolan, of="binder", source=PRACTICE, most=MAX_POZZOLAN)
    sand = sum((masses[m.key] * m.dry_fraction for m in recipe.materials if m.role is Role.SAND), Fraction(0))
    # A blend holds sand of its own that it does not state.
    if sand and cement and all(m.role is not Role.BLEND for m in recipe.materials):
        yield _Share(
            code="sand", value=sand / cement, of="cement", source=GUIDES, least=MIN_SAND, most=MAX_SAND
        )
    for key, fibre in _all_of(recipe, masses, Role.FIBRE):
        share = fibre / sum(masses.values())
        yield _Share(
            code="fibre",
            value=share,
            of="total",
            source=GUIDES,
            least=MIN_FIBRE,
            most=MAX_FIBRE,
            material=key,
        )
    ice = sum((masses[m.key] for m in recipe.materials if m.role is Role.ICE), Fraction(0))
    share = ice / (ice + masses[recipe.water_key])
    yield _Share(code="ice", value=share, of="water", source=ICE_FORMULA, most=MAX_ICE)


def _amount(recipe: Recipe, masses: Masses, basis: Basis) -> Fraction:
    """Mass of a basis; 0 where it is nothing or a blend does not state its share of it."""
    for material in recipe.materials:
        share = material.cement_fraction if basis is Basis.CEMENT else material.binder_fraction
        if basis is not Basis.POWDER and material.is_powder and share is None:
            return Fraction(0)
    return sum((masses[m.key] * m.basis_share(basis) for m in recipe.materials), Fraction(0))


def _all_of(recipe: Recipe, masses: Masses, role: Role) -> Iterator[tuple[str, Fraction]]:
    """Key of the first material of a role and the dry mass of all; nothing where there is none."""
    found = [material for material in recipe.materials if material.role is role]
    if found:
        yield found[0].key, sum((masses[m.key] * (1 - m.water_fraction) for m in found), Fraction(0))


def _order(recipe: Recipe) -> Iterator[LimitWarning]:
    steps = recipe.steps
    fibres_in = False
    for index, step in enumerate(steps):
        match step:
            case AddStep():
                material = recipe.material(step.material)
                if material.role is Role.PLASTICISER:
                    yield from _plasticiser_order(recipe, index, step, material)
                if material.role is Role.FIBRE and not fibres_in:
                    fibres_in = True
                    if not _scraped_since_powder(recipe, steps[:index]):
                        yield LimitWarning(
                            code="no-scrape-before-fibres",
                            source=PRACTICE,
                            material=material.key,
                            step=step.key,
                        )
            case MixStep(speed="fast") if fibres_in:
                yield LimitWarning(code="fibres-mixed-fast", source=PRACTICE, step=step.key)
            case SplitStep() if fibres_in:
                yield LimitWarning(code="split-after-fibres", source=PRACTICE, step=step.key)
            case _:
                pass


def _plasticiser_order(
    recipe: Recipe, index: int, step: AddStep, material: Material
) -> Iterator[LimitWarning]:
    if any(isinstance(earlier, ReleaseStep) for earlier in recipe.steps[:index]):
        yield LimitWarning(
            code="plasticiser-after-release", source=PRACTICE, material=material.key, step=step.key
        )
        return
    later = recipe.steps[index + 1 :]
    until_water = list(takewhile(lambda one: not _brings_water(recipe, one), later))
    mix_s = sum(one.min_s for one in until_water if isinstance(one, MixStep))
    if len(until_water) < len(later) and mix_s < MIN_PLASTICISER_MIX_S:
        yield LimitWarning(
            code="plasticiser-not-mixed",
            source=PRACTICE,
            material=material.key,
            step=step.key,
            value=Fraction(mix_s),
            limit=Fraction(MIN_PLASTICISER_MIX_S),
            of="s",
        )


def _brings_water(recipe: Recipe, step: Step) -> bool:
    return isinstance(step, ReleaseStep) or (
        isinstance(step, AddStep) and recipe.material(step.material).role is Role.WATER
    )


def _scraped_since_powder(recipe: Recipe, steps: tuple[Step, ...]) -> bool:
    for step in reversed(steps):
        if isinstance(step, ScrapeStep):
            return True
        if isinstance(step, AddStep) and recipe.material(step.material).is_powder:
            return False
    return True
