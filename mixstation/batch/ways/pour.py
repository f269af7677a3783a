"""Ways that need no search: pouring liquid back while nothing dry is in, holding the water, leaving it."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.dose_flags import dose_flags, room_flags, water_flags
from mixstation.batch.dosing import SHARE_TOLERANCE
from mixstation.batch.events import Aim
from mixstation.batch.run import Run
from mixstation.batch.targets import project
from mixstation.batch.way import Way
from mixstation.batch.ways.aim import standing_aim
from mixstation.batch.ways.describe import Marks, way_of
from mixstation.batch.ways.mend import Mend, as_planned, mend_of
from mixstation.batch.ways.situation import Situation, only_liquid, situation
from mixstation.recipe.model import AddStep, ReleaseStep, Role
from mixstation.recipe.proportions import basis_mass, free_water


def share_due(run: Run, material: str) -> Fraction:
    """Share of a total that should be in once the step at hand is through, if that is one of the material's."""
    step = run.step
    if isinstance(step, AddStep) and step.material == material:
        return run.brings_to(step)
    return run.due(material)


def over_share(stands: Situation, key: str) -> Fraction:
    """How much more of a material is in than its share due, by more than a share may miss; else 0."""
    part, run = stands.parts[key], stands.run
    due = share_due(run, key) * stands.projection.totals[key]
    over = part.content_mg - due
    return over if due and over > max(SHARE_TOLERANCE * due, Fraction(part.division_mg)) else Fraction(0)


def left_alone(stands: Situation) -> Way:
    """Go on as if nothing had happened; where the mix sets, with nothing more going in."""
    codes = standing_codes(stands)
    if not stands.limits.stiffening:
        marks = Marks(kind="leave", goal="", aim=standing_aim(stands.run), gives_up=codes)
        return way_of(stands, as_planned(stands), marks)
    run = stands.run
    brings = {step.key for step in run.steps if isinstance(step, AddStep | ReleaseStep)}
    at_end = situation(replace(run, finished=run.finished | brings, forward=""), stands.limits)
    codes = (*dict.fromkeys((*codes, *standing_codes(at_end))), "stiffening")
    marks = Marks(kind="leave", goal="", aim=standing_aim(run), gives_up=codes)
    return way_of(stands, mend_of(stands, 0, {}), marks)


def water_held(stands: Situation) -> Way | None:
    """Too much plasticiser: leave it, and let in no more water than the lower end of the band needs."""
    run, water = stands.run, stands.water
    key = run.recipe.water_key
    over = [
        name
        for name, band in stands.doses.items()
        if stands.parts[name].material.role is Role.PLASTICISER
        and stands.projection.finals[name] * band.counted
        > band.target * basis_mass(run.recipe, stands.projection.finals, band.of) + band.tolerance_mg
    ]
    if not over or water is None or not run.pending(key):
        return None
    dry = {**stands.projection.finals, key: run.content[key]}
    ratio = max(
        water.least + water.guard, free_water(run.recipe, dry) / basis_mass(run.recipe, dry, water.of)
    )
    if ratio >= water.target - water.guard:
        return None
    aim = standing_aim(run)
    held = replace(run, aim=Aim(powders=aim.powders, doses=aim.doses, water_ratio=ratio), kept=Fraction(1))
    after = situation(held, stands.limits)
    marks = Marks(kind="leave", goal="hold-water", aim=held.aim, gives_up=standing_codes(after))
    return way_of(stands, as_planned(after), marks)


def without_excess(stands: Situation) -> tuple[int, Mapping[str, Fraction]] | None:
    """What to pour back while only liquid is in, and what is then left.

    Returns:
        Milligrams (of plain water where nothing else is in, else of the liquid as it is) and the content left by
        material; None where nothing can or need be poured back.
    """
    run = stands.run
    if not only_liquid(run):
        return None
    key = run.recipe.water_key
    others = [name for name, mass in run.content.items() if mass and name != key]
    if all(run.recipe.material(name).role is Role.ICE for name in others):
        division = stands.parts[key].division_mg
        poured = round(over_share(stands, key) / division) * division
        left = {**run.content, key: run.content[key] - poured}
        return (poured, left) if 0 < poured <= run.content[key] else None
    if any(run.recipe.material(name).role is Role.ICE for name in others):
        return None
    keep = min(1 - over_share(stands, name) / run.content[name] for name, mass in run.content.items() if mass)
    division = max(part.division_mg for part in stands.parts.values())
    poured = round((1 - keep) * run.in_bucket_mg / division) * division
    if not 0 < poured < run.in_bucket_mg:
        return None
    share = 1 - poured / run.in_bucket_mg
    return poured, {name: mass * share for name, mass in run.content.items()}


def poured_way(stands: Situation, poured_mg: int, mend: Mend) -> Way:
    """Tell a pouring back; `mend` says what is left and what goes in from then on."""
    water = stands.run.recipe.water_key
    plain = all(mend.left[key] == mass for key, mass in stands.run.content.items() if key != water)
    marks = Marks(kind="pour-back", goal="", pour_back_mg=poured_mg if plain else 0)
    return way_of(stands, replace(mend, scoop_mg=0 if plain else poured_mg), marks)


def standing_codes(stands: Situation) -> tuple[str, ...]:
    """Codes of the flags that stand if nothing else is done."""
    run = stands.run
    projection = project(run, stands.limits.divisions_mg[run.recipe.water_key])
    flags = (*water_flags(run, projection), *dose_flags(run, projection), *room_flags(run, projection))
    return tuple(dict.fromkeys(flag.code for flag in flags if flag.gravity != "note"))
