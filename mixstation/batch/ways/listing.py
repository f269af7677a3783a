"""All ways out of a batch as it stands, best first."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.events import WayKind
from mixstation.batch.portion import with_rest
from mixstation.batch.run import Run
from mixstation.batch.targets import water_ratio
from mixstation.batch.way import MouldsShort, Way
from mixstation.batch.ways import goals, pour
from mixstation.batch.ways.aim import standing_aim
from mixstation.batch.ways.check import breaches
from mixstation.batch.ways.describe import Marks, discarded, kind_of, way_of
from mixstation.batch.ways.limits import Limits
from mixstation.batch.ways.mend import Mend, MendScore, as_planned, score
from mixstation.batch.ways.search import Search
from mixstation.batch.ways.situation import Situation, situation
from mixstation.proportion.lifting import LIFT_LIMIT_MG
from mixstation.recipe.model import WaterRule

_RANK: dict[WayKind, int] = {
    "hold-less": 0,
    "pour-back": 1,
    "grow": 2,
    "powder-only": 3,
    "scoop-and-grow": 4,
    "shrink": 5,
}
# Choice: off by less than this part of a half width is on target.
ON_TARGET = 1e-3
# Choice: ways that differ by less than this of the batch are one way.
ALIKE = Fraction(5, 1000)
# Choice: half widths of a band, and part of what is off, that a way must come nearer by to be one.
LEAST_MENDED = 0.1
# Choice: from this many times its size on, a batch is doubled, not mended.
MOST_MULTIPLE = 2

_Found = tuple[Way, MendScore]


def ways_out(run: Run, limits: Limits) -> tuple[Way, ...]:
    """Every sensible way out of a batch as it stands.

    Returns:
        Ways that can be taken, best first; then leaving it and discarding it, always there; then ways that a limit
        stops, with that limit. A mix that stiffens is only to be discarded; leaving it comes after.

    Raises:
        ProgrammeError: The solver failed.
    """
    return tuple(with_rest(run, way, limits.divisions_mg) for way in _ranked(run, limits))


def _ranked(run: Run, limits: Limits) -> tuple[Way, ...]:
    """The order of the ways, and why.

    Open ways with sense come first, by `_order`. Leaving it and discarding it follow, so that they stand before ways
    without sense: one that costs more than discarding, for which a new bucket is the cheaper way out, and one that
    doubles the batch, of which half would find no mould. Ways that a limit stops come last. Of two ways with one
    outcome the first stands, be the other leaving it, or barred; and what mends nothing is no way.
    """
    stands = situation(run, limits)
    thrown, left = discarded(stands), pour.left_alone(stands)
    if limits.stiffening:
        return thrown, left
    found = sorted(_unbeaten(list(_found(stands))), key=lambda each: _order(each, left))
    held = pour.water_held(stands)
    ways = [way for way, _ in found if not way.hindrances]
    sound = [way for way in ways if not _is_senseless(run, way, thrown)]
    senseless = [way for way in ways if _is_senseless(run, way, thrown)]
    hindered = [way for way, _ in found if way.hindrances]
    ranked = [*sound, *((held,) if held else ()), left, thrown, *senseless, *hindered]
    kept: list[Way] = []
    for way in ranked:
        if not any(_same_outcome(way, before, limits.divisions_mg) for before in kept):
            kept.append(way)
    return tuple(kept)


def _is_senseless(run: Run, way: Way, thrown: Way) -> bool:
    if way.cost_cents is not None and thrown.cost_cents is not None and way.cost_cents > thrown.cost_cents:
        return True
    begun_mg = sum(powder.mass_mg for powder in run.start.aim.powders)
    powders_mg = sum(
        amount.mass_mg for amount in way.totals if run.recipe.material(amount.material).is_powder
    )
    return 0 < MOST_MULTIPLE * begun_mg <= powders_mg


def _found(stands: Situation) -> Iterator[_Found]:
    if not stands.planned_mg or not stands.aimed_l:
        # Nothing is in and nothing is to come, or no batch was aimed at: there is nothing to mend.
        return
    plan = as_planned(stands)
    keeps = not breaches(stands, plan)
    on_target = keeps and _on_target(stands, plan)
    if keeps and any(pour.over_share(stands, key) and part.rest_mg for key, part in stands.parts.items()):
        marks = Marks(kind="hold-less", goal="nearest", aim=standing_aim(stands.run))
        yield way_of(stands, plan, marks), score(stands, plan)
    elif on_target and pour.standing_codes(stands):
        marks = Marks(kind=kind_of(stands, plan), goal="nearest")
        yield way_of(stands, plan, marks), score(stands, plan)
    yield from _poured(stands)
    if on_target:
        return
    nearest = _best(stands, goals.Freedom(), goals.NEAREST, "nearest")
    if nearest is None:
        yield from _harder(stands)
        return
    yield nearest
    if not keeps:
        yield from _some(_best(stands, goals.Freedom(), goals.LEAST_ADDED, "least-added"))
    if nearest[1].colour_off > ON_TARGET:
        yield from _some(_best(stands, goals.Freedom(), goals.SAME_COLOUR, "same-colour"))


def _harder(stands: Situation) -> Iterator[_Found]:
    """Nothing fits as it is: end smaller, take some out first, or say what is lacking."""
    smaller = _best(stands, goals.Freedom(any_volume=True), goals.NEAREST, "nearest")
    yield from _some(smaller)
    if stands.scoop_mg:
        scooped = _best(stands, goals.Freedom(scoop=True), goals.LEAST_WASTED, "least-wasted")
        if scooped is not None:
            yield scooped
            if scooped[1].off > ON_TARGET:
                yield from _some(_best(stands, goals.Freedom(scoop=True), goals.NEAREST, "nearest"))
        elif smaller is None:
            freedom = goals.Freedom(scoop=True, any_volume=True)
            yield from _some(_best(stands, freedom, goals.LEAST_WASTED, "least-wasted"))
    yield from _stopped(stands, smaller_will_do=smaller is None)


def _stopped(stands: Situation, *, smaller_will_do: bool) -> Iterator[_Found]:
    """The way there would be, and the limits that stop it: with least beyond the shelf, else least off the bands."""
    lacking = goals.Freedom(any_stock=True, any_volume=smaller_will_do)
    for freedom in (lacking, goals.Freedom(any_band=True, any_volume=True)):
        mend, _ = Search(stands, freedom, goals.NEAREST).found()
        if mend is None or not _mends(stands, mend):
            continue
        past = breaches(stands, mend)
        hindrances = tuple(
            hindrance for hindrance in past if not isinstance(hindrance, MouldsShort) or not smaller_will_do
        )
        if hindrances:
            gives_up = ("volume",) if len(hindrances) < len(past) else ()
            kind = kind_of(stands, mend)
            marks = Marks(kind=kind, goal="nearest", gives_up=gives_up, hindrances=hindrances)
            yield way_of(stands, mend, marks), score(stands, mend)
            return


def _poured(stands: Situation) -> Iterator[_Found]:
    excess = pour.without_excess(stands)
    if excess is None:
        return
    poured_mg, left = excess
    after = situation(replace(stands.run, content=left), stands.limits)
    mend: Mend | None = as_planned(after)
    if mend is not None and (breaches(after, mend) or not _on_target(after, mend)):
        mend, _ = Search(after, goals.Freedom(), goals.NEAREST).found()
    if mend is not None and not breaches(after, mend):
        yield pour.poured_way(stands, poured_mg, mend), score(after, mend)


def _best(stands: Situation, freedom: goals.Freedom, goal: goals.Goal, name: str) -> _Found | None:
    """The best mend for a goal, told; None where there is none that passes the check."""
    mend, _ = Search(stands, freedom, goal).found()
    if mend is None or not _mends(stands, mend):
        return None
    past = [hindrance.code for hindrance in breaches(stands, mend)]
    if past and not (freedom.any_volume and past == ["volume"]):
        return None
    marks = Marks(kind=kind_of(stands, mend), goal=name, gives_up=tuple(past))
    return way_of(stands, mend, marks), score(stands, mend)


def _some(found: _Found | None) -> tuple[_Found, ...]:
    return () if found is None else (found,)


def _on_target(stands: Situation, mend: Mend) -> bool:
    """Whether everything ends within its tolerance of its target; the powders' is part of the check."""
    totals, water = mend.totals, stands.water
    for key, band in stands.doses.items():
        away = totals[key] * band.counted - band.target * stands.basis(totals, band.of)
        if abs(away) > band.tolerance_mg and not stands.parts[key].waived:
            return False
    if water is None:
        return False
    away = stands.free_water(totals) - water.target * stands.basis(totals, water.of)
    return abs(away) <= water.tolerance_mg


def _unbeaten(found: list[_Found]) -> list[_Found]:
    """Drop what another way is better at in everything, and what is the same but for a division."""
    kept: list[_Found] = []
    for place, (way, mine) in enumerate(found):
        plain = way.kind in ("hold-less", "pour-back")
        others = [
            its
            for other, (rival, its) in enumerate(found)
            if other != place and bool(rival.hindrances) == bool(way.hindrances)
        ]
        if not plain and any(its.beats(mine) for its in others):
            continue
        if any(_alike(way, before) for before, _ in kept):
            continue
        kept.append((way, mine))
    return kept


def _same_outcome(one: Way, other: Way, divisions_mg: Mapping[str, int]) -> bool:
    """Whether two ways do and end the same, by what each scale can tell, whatever bars one of them."""
    is_thrown = "discard" in (one.kind, other.kind)
    if is_thrown or (one.pour_back_mg, one.scoop_mg) != (other.pour_back_mg, other.scoop_mg):
        return False
    pairs = zip(one.totals, other.totals, strict=True)
    return all(
        abs(mine.mass_mg - its.mass_mg) <= max(Fraction(divisions_mg[mine.material]), ALIKE * its.mass_mg)
        for mine, its in pairs
    )


def _alike(one: Way, other: Way) -> bool:
    """Whether two ways are the same to a hand at the bucket."""
    if bool(one.hindrances) != bool(other.hindrances) or one.pour_back_mg != other.pour_back_mg:
        return False
    whole = sum(amount.mass_mg for amount in one.totals)
    pairs = zip(one.totals, other.totals, strict=True)
    apart = sum(abs(mine.mass_mg - its.mass_mg) for mine, its in pairs)
    return apart + abs(one.scoop_mg - other.scoop_mg) <= ALIKE * whole


def _mends(stands: Situation, mend: Mend) -> bool:
    """Whether a mend does more than going on as planned: keeps a limit more, or comes nearer to the target."""
    recipe, plan = stands.run.recipe, as_planned(stands)
    planned, ratio = (water_ratio(recipe, each.totals) for each in (plan, mend))
    outside, planned_outside = _outside(recipe.water, ratio), _outside(recipe.water, planned)
    if not outside and pour.standing_codes(stands):
        # It ends as the recipe wants it, and settles what stands now.
        return True
    passed = {(breach.code, breach.about) for breach in breaches(stands, mend)}
    if {(breach.code, breach.about) for breach in breaches(stands, plan)} - passed:
        return True
    if outside:
        # What is right already made a little more right is no cure for the water.
        return outside < (1 - LEAST_MENDED) * planned_outside
    before, after = score(stands, plan).off, score(stands, mend).off
    return before - after > max(LEAST_MENDED, LEAST_MENDED * before)


def _outside(rule: WaterRule, ratio: Fraction | None) -> float:
    """How far outside the recipe's own band of the water ratio."""
    return 0.0 if ratio is None else float(max(rule.least - ratio, ratio - rule.most, Fraction(0)))


def _order(found: _Found, left: Way) -> tuple[bool, bool, int, float, float]:
    """What can be done in time before what cannot; what one person lifts before what takes two, unless the batch does
    anyway; then what is least work (`_RANK`), nearest to the target, and least added.
    """
    way, figures = found
    heavy = way.lifted_mg > LIFT_LIMIT_MG >= left.lifted_mg
    return "time" in way.gives_up, heavy, _RANK.get(way.kind, len(_RANK)), figures.off, figures.extra_mg
