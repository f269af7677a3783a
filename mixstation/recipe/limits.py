"""Where a recipe leaves the ranges that standards and the trade give. It warns and never refuses."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import takewhile
from types import MappingProxyType
from typing import Final, assert_never

from mixstation.frozen import Frozen
from mixstation.proportion.batching import widest_tolerance
from mixstation.proportion.pigment import most_pigment_mg
from mixstation.proportion.temperature import SURE_ICE_FRACTION
from mixstation.recipe import model
from mixstation.recipe.defaults import GROUPS_OF
from mixstation.recipe.pigments import blend_caps
from mixstation.recipe.proportions import Masses, ScalingError, basis_mass, whole_totals

PRACTICE: Final = "common practice"
GUIDES: Final = "common practice and industry guides, from memory"


class Usual(Frozen):
    """A usual range, and who says so.

    Attributes:
        source: As a person may read it; "from memory" was not read in print.
    """

    least: Fraction | None = None
    most: Fraction | None = None
    source: str


PIGMENT_SOURCE: Final = "ASTM C979 §1.4"
WATER: Final = Usual(least=Fraction(28, 100), most=Fraction(40, 100), source=GUIDES)
FIBRE: Final = Usual(least=Fraction(20, 1000), most=Fraction(35, 1000), source=GUIDES)
POLYMER: Final = Usual(least=Fraction(4, 100), most=Fraction(7, 100), source=GUIDES)
MIN_CURING_POLYMER: Final = Fraction(5, 100)
"""From here on a polymer takes the place of seven days' wet curing. Source: Common practice, no source."""
CURING_POLYMER: Final = Usual(least=MIN_CURING_POLYMER, source=PRACTICE)
PLASTICISER: Final = Usual(least=Fraction(2, 1000), most=Fraction(10, 1000), source=PRACTICE)
POZZOLAN: Final = Usual(most=Fraction(25, 100), source=PRACTICE)
SAND: Final = Usual(least=Fraction(1, 2), most=Fraction(1), source=GUIDES)
ICE: Final = Usual(
    most=Fraction(SURE_ICE_FRACTION).limit_denominator(100),
    source="ACI 305R formula for mixes with ice, from memory, fair to about 20 %",
)
MIN_PLASTICISER_MIX_S: Final = 10
"""What a plasticiser takes to act. Source: Common practice, no source."""
USUAL_KG_M3: Final[Mapping[model.Role, tuple[int, int]]] = MappingProxyType(
    {
        model.Role.WATER: (970, 1030),
        model.Role.ICE: (900, 930),
        model.Role.BLEND: (2400, 3200),
        model.Role.CEMENT: (2800, 3250),
        model.Role.POZZOLAN: (1800, 3000),
        model.Role.SAND: (2400, 2900),
        model.Role.FILLER: (150, 3000),
        model.Role.POLYMER: (950, 1300),
        model.Role.PLASTICISER: (1000, 1400),
        model.Role.RETARDER: (1000, 1400),
        model.Role.FIBRE: (900, 2900),
        model.Role.PIGMENT: (1100, 5500),
    }
)
"""What the particles or the liquid usually weigh. Source: Common practice, no source: Portland cements 3.0 to 3.2 and
with limestone or slag from 2.85, natural sand 2.5 to 2.7, light fillers of expanded glass from 0.2, pigments from a
dispersion to iron oxide."""


class LimitWarning(Frozen):
    """One limit that a recipe leaves.

    Attributes:
        code: What, with "-low" or "-high" for a range.
        source: Who says so, as a person may read it.
        material: Key of the material it is about, or "".
        step: Key of the step it is about, or "".
        value: What the recipe has; None where the warning is of the order of steps.
        limit: The limit, on the same basis.
        of: What both are fractions of ("cement", "binder", "powder", "total", "water"), or their unit: "s", "kg/m3".
    """

    code: str
    source: str
    material: str = ""
    step: str = ""
    value: Fraction | None = None
    limit: Fraction | None = None
    of: str = ""


class _Share(Frozen):
    """A share of a recipe and the range for it."""

    code: str
    value: Fraction
    of: str
    usual: Usual
    material: str = ""


def published_limits(recipe: model.Recipe) -> tuple[LimitWarning, ...]:
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
        return (*odd_densities(recipe), *_order(recipe))
    return (*odd_densities(recipe), *_proportions(recipe, masses), *_order(recipe))


def odd_densities(recipe: model.Recipe) -> Iterator[LimitWarning]:
    """Densities that a material of its role can have and hardly ever has: a digit may be missing or too many."""
    for material in recipe.materials:
        least, most = USUAL_KG_M3[material.role]
        low = material.density_kg_m3 < least
        if low or material.density_kg_m3 > most:
            yield LimitWarning(
                code="density-low" if low else "density-high",
                source=PRACTICE,
                material=material.key,
                value=Fraction(material.density_kg_m3),
                limit=Fraction(least if low else most),
                of="kg/m3",
            )


def _proportions(recipe: model.Recipe, masses: Masses) -> Iterator[LimitWarning]:
    for share in (*_shares(recipe, masses), *_tolerances(recipe)):
        least, most = share.usual.least, share.usual.most
        low = least is not None and share.value < least
        high = most is not None and share.value > most
        if low or high:
            yield LimitWarning(
                code=share.code + ("-low" if low else "-high"),
                source=share.usual.source,
                material=share.material,
                value=share.value,
                limit=least if low else most,
                of=share.of,
            )


def _shares(recipe: model.Recipe, masses: Masses) -> Iterator[_Share]:
    powder = _amount(recipe, masses, model.Basis.POWDER)
    cement = _amount(recipe, masses, model.Basis.CEMENT)
    binder = _amount(recipe, masses, model.Basis.BINDER)
    # Where a blend does not state its cement or binder, the powder stands for it: it is the larger, so what is
    # too much of the powder is too much for certain, and what is too little is not known.
    cement_or_powder, of_cement = (cement, "cement") if cement else (powder, "powder")
    binder_or_powder, of_binder = (binder, "binder") if binder else (powder, "powder")

    per_binder = (_amount(recipe, masses, recipe.water.of) or powder) / binder_or_powder
    key, rule = recipe.water_key, recipe.water
    driest, wettest = rule.least * per_binder, rule.ceiling * per_binder
    if binder:
        yield _Share(code="water", value=driest, of="binder", usual=replace(WATER, most=None), material=key)
    yield _Share(code="water", value=wettest, of=of_binder, usual=replace(WATER, least=None), material=key)

    for key, mass in _all_of(recipe, masses, model.Role.PIGMENT):
        caps = blend_caps(recipe, masses)
        own = {one: cap.fraction * basis_mass(recipe, masses, cap.of) for one, cap in caps.items()}
        most = most_pigment_mg(cement_or_powder, own.values())
        ruling = next((one for one, limit in own.items() if limit == most), "")
        yield _Share(
            code="pigment-blend" if ruling else "pigment",
            value=mass / cement_or_powder,
            of=of_cement,
            usual=Usual(
                most=most / cement_or_powder,
                source=f"{PIGMENT_SOURCE}, {caps[ruling].source}" if ruling else PIGMENT_SOURCE,
            ),
            material=ruling or key,
        )
    for key, mass in _all_of(recipe, masses, model.Role.POLYMER):
        polymer = mass / cement_or_powder
        usual = POLYMER if cement else replace(POLYMER, least=None)
        yield _Share(code="polymer", value=polymer, of=of_cement, usual=usual, material=key)
        if cement:
            yield _Share(
                code="curing-polymer", value=polymer, of=of_cement, usual=CURING_POLYMER, material=key
            )
    for material in recipe.materials:
        if material.role is model.Role.PLASTICISER:
            yield _Share(
                code="plasticiser",
                value=masses[material.key] / binder_or_powder,
                of=of_binder,
                usual=Usual(
                    least=PLASTICISER.least if binder else None,
                    # A cap in the recipe is the label's own and takes the place of the usual range's end.
                    most=None if material.cap else PLASTICISER.most,
                    source=PLASTICISER.source,
                ),
                material=material.key,
            )
    if cement and binder:
        yield _Share(code="pozzolan", value=(binder - cement) / binder, of="binder", usual=POZZOLAN)
    sand = sum(
        (masses[m.key] * m.dry_fraction for m in recipe.materials if m.role is model.Role.SAND), Fraction(0)
    )
    # A blend holds sand of its own that it does not state.
    if sand and cement and all(m.role is not model.Role.BLEND for m in recipe.materials):
        yield _Share(code="sand", value=sand / cement, of="cement", usual=SAND)
    for key, fibre in _all_of(recipe, masses, model.Role.FIBRE):
        share = fibre / sum(masses.values())
        yield _Share(code="fibre", value=share, of="total", usual=FIBRE, material=key)
    ice = sum((masses[m.key] for m in recipe.materials if m.role is model.Role.ICE), Fraction(0))
    yield _Share(code="ice", value=ice / (ice + masses[recipe.water_key]), of="water", usual=ICE)


def _tolerances(recipe: model.Recipe) -> Iterator[_Share]:
    """Tolerances against the widest that a batching standard gives for such a material."""
    for material in recipe.materials:
        widest = widest_tolerance(GROUPS_OF[material.role])
        sides = (
            (material.tolerance.under, widest.under_percent),
            (material.tolerance.over, widest.over_percent),
        )
        for value, most_percent in sides:
            usual = Usual(most=most_percent / 100, source=widest.source)
            yield _Share(code="tolerance", value=value, of="target", usual=usual, material=material.key)


def _amount(recipe: model.Recipe, masses: Masses, basis: model.Basis) -> Fraction:
    """Mass of a basis; 0 where it is nothing or a blend does not state its share of it."""
    for material in recipe.materials:
        share = material.cement_fraction if basis is model.Basis.CEMENT else material.binder_fraction
        if basis is not model.Basis.POWDER and material.is_powder and share is None:
            return Fraction(0)
    return sum((masses[m.key] * m.basis_share(basis) for m in recipe.materials), Fraction(0))


def _all_of(recipe: model.Recipe, masses: Masses, role: model.Role) -> Iterator[tuple[str, Fraction]]:
    """Key of the first material of a role and the dry mass of all; nothing where there is none."""
    found = [material for material in recipe.materials if material.role is role]
    if found:
        yield found[0].key, sum((masses[m.key] * (1 - m.water_fraction) for m in found), Fraction(0))


def _order(recipe: model.Recipe) -> Iterator[LimitWarning]:
    steps = recipe.steps
    fibres_in = False
    for index, step in enumerate(steps):
        match step:
            case model.AddStep():
                material = recipe.material(step.material)
                if material.role is model.Role.PLASTICISER:
                    yield from _plasticiser_order(recipe, index, step, material)
                if material.role is model.Role.FIBRE and not fibres_in:
                    fibres_in = True
                    if not _scraped_since_powder(recipe, steps[:index]):
                        yield LimitWarning(
                            code="no-scrape-before-fibres",
                            source=PRACTICE,
                            material=material.key,
                            step=step.key,
                        )
            case model.MixStep():
                if fibres_in and step.speed == "fast":
                    yield LimitWarning(code="fibres-mixed-fast", source=PRACTICE, step=step.key)
            case model.SplitStep():
                if fibres_in:
                    yield LimitWarning(code="split-after-fibres", source=PRACTICE, step=step.key)
            case (
                model.ReleaseStep()
                | model.ScrapeStep()
                | model.RestStep()
                | model.ConsistencyStep()
                | model.TemperatureStep()
                | model.NoteStep()
            ):
                pass
            case _ as forgotten:
                assert_never(forgotten)


def _plasticiser_order(
    recipe: model.Recipe, index: int, step: model.AddStep, material: model.Material
) -> Iterator[LimitWarning]:
    if any(isinstance(earlier, model.ReleaseStep) for earlier in recipe.steps[:index]):
        yield LimitWarning(
            code="plasticiser-after-release", source=PRACTICE, material=material.key, step=step.key
        )
        return
    later = recipe.steps[index + 1 :]
    until_water = list(takewhile(lambda one: not _brings_water(recipe, one), later))
    mix_s = sum(one.min_s for one in until_water if isinstance(one, model.MixStep))
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


def _brings_water(recipe: model.Recipe, step: model.Step) -> bool:
    return isinstance(step, model.ReleaseStep) or (
        isinstance(step, model.AddStep) and recipe.material(step.material).role is model.Role.WATER
    )


def _scraped_since_powder(recipe: model.Recipe, steps: tuple[model.Step, ...]) -> bool:
    for step in reversed(steps):
        if isinstance(step, model.ScrapeStep):
            return True
        if isinstance(step, model.AddStep) and recipe.material(step.material).is_powder:
            return False
    return True
