"""A mend told in full: what to do now, where it ends, what it costs and gives up."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from mixstation.batch.events import Aim, Amount, WayKind
from mixstation.batch.reconcile import lifted_mg
from mixstation.batch.run import Run
from mixstation.batch.targets import dose_now, water_ratio
from mixstation.batch.uncertainty import ratio_uncertainty
from mixstation.batch.way import Hindrance, Way
from mixstation.batch.ways.aim import aim_for, standing_aim
from mixstation.batch.ways.mend import Mend, planned_rest
from mixstation.batch.ways.situation import VOLUME_SLACK, Situation, only_liquid
from mixstation.frozen import Frozen
from mixstation.proportion.strength import FARTHEST_CHANGE_RATIO, strength_change_fractions
from mixstation.recipe.model import AddStep, Basis, Material, ReleaseStep, Role, SplitStep
from mixstation.recipe.proportions import basis_mass, volume_l

# Choice: long enough to work an addition in evenly, short enough for fibres at slow speed.
MIX_S = 60
# Choice: to fetch, weigh and tip one addition, and to weigh a portion out.
ADDITION_S = 45
TAKE_OUT_S = 60
# Choice: a change of the water ratio below this is not spoken of as a change of strength.
SMALLEST_CHANGE = 0.002

_LIQUIDS = frozenset({Role.WATER, Role.POLYMER, Role.PLASTICISER, Role.RETARDER})


class Marks(Frozen):
    """What is said of a way besides its masses."""

    kind: WayKind
    goal: str
    aim: Aim | None = None
    pour_back_mg: int = 0
    gives_up: tuple[str, ...] = ()
    hindrances: tuple[Hindrance, ...] = ()


def way_of(situation: Situation, mend: Mend, marks: Marks) -> Way:
    """Tell a mend in full."""
    run, limits, totals = situation.run, situation.limits, mend.totals
    recipe = run.recipe
    additions = additions_now(run, situation, mend)
    mix_s = MIX_S if additions and not only_liquid(run) else 0
    takes_s = 0 if limits.stiffening else _takes_s(situation, mend, marks)
    ratio = water_ratio(recipe, totals)
    working_left_s = None if limits.working_left_s is None else limits.working_left_s - takes_s
    late = takes_s > 0 and working_left_s is not None and working_left_s < 0
    topped_up = {amount.material for amount in additions}
    return Way(
        kind=marks.kind,
        goal=marks.goal,
        aim=marks.aim or aim_for(run, mend.left, totals, topped_up),
        pour_back_mg=marks.pour_back_mg,
        scoop_mg=mend.scoop_mg,
        additions=additions,
        totals=tuple(Amount(material=key, mass_mg=round(total)) for key, total in totals.items()),
        mix_s=mix_s,
        ratio=ratio,
        expanded=2 * ratio_uncertainty(run, totals, limits.divisions_mg),
        volume_l=volume_l(recipe, totals),
        cost_cents=cost_cents(situation, mend),
        wasted_mg=mend.scoop_mg,
        short_l=short_l(situation, volume_l(recipe, totals)),
        strength_percent=strength_percent(run, totals, ratio),
        colour_percent=colour_percent(run, totals),
        takes_s=takes_s,
        working_left_s=working_left_s,
        lifted_mg=round(lifted_mg(run, sum(totals.values(), Fraction(0)))),
        gives_up=(*marks.gives_up, *(("time",) if late else ())),
        hindrances=marks.hindrances,
    )


def _takes_s(situation: Situation, mend: Mend, marks: Marks) -> int:
    """Least time of a mend: what goes in now and what is still to come, mixed once, and taking out."""
    added = [key for key, part in situation.parts.items() if 2 * mend.added[key] >= part.division_mg]
    mixed = bool(added) and not (only_liquid(situation.run) and all(map(situation.is_liquid, added)))
    takes_out = bool(mend.scoop_mg or marks.pour_back_mg)
    return ADDITION_S * len(added) + MIX_S * mixed + TAKE_OUT_S * takes_out


def discarded(situation: Situation) -> Way:
    """Throw the bucket away: what that costs."""
    everything = {key: part.content_mg for key, part in situation.parts.items()}
    nothing = dict.fromkeys(everything, Fraction(0))
    thrown = Mend(scoop_mg=round(situation.in_bucket_mg), left=nothing, added=nothing)
    return Way(
        kind="discard",
        goal="",
        aim=standing_aim(situation.run),
        pour_back_mg=0,
        scoop_mg=0,
        additions=(),
        totals=tuple(Amount(material=key, mass_mg=0) for key in everything),
        mix_s=0,
        ratio=None,
        expanded=0.0,
        volume_l=0.0,
        cost_cents=cost_cents(situation, thrown),
        wasted_mg=thrown.scoop_mg,
        short_l=short_l(situation, 0.0),
        strength_percent=None,
        colour_percent=(),
        takes_s=0,
        working_left_s=situation.limits.working_left_s,
        lifted_mg=0,
        gives_up=(),
        hindrances=(),
    )


def short_l(situation: Situation, ends_l: float) -> float:
    """Volume the moulds lack, litres; 0 where nobody said what they need."""
    return max(0.0, situation.needed_l - ends_l) if situation.limits.needed_l else 0.0


def kind_of(situation: Situation, mend: Mend) -> WayKind:
    """What sort of way a mend of a mixed bucket is, or one that takes nothing out."""
    if mend.scoop_mg:
        return "scoop-and-grow"
    recipe, totals = situation.run.recipe, mend.totals
    if volume_l(recipe, totals) < situation.aimed_l * (1 - VOLUME_SLACK):
        return "shrink"
    extra = [key for key in totals if mend.added[key] > planned_rest(situation, key)]
    if not extra:
        return "hold-less"
    if all(recipe.material(key).is_powder for key in extra) and not _on_target(situation, totals):
        return "powder-only"
    return "grow"


def _on_target(situation: Situation, totals: Mapping[str, Fraction]) -> bool:
    water, recipe = situation.water, situation.run.recipe
    ratio = water_ratio(recipe, totals)
    if water is None or ratio is None:
        return False
    return abs(ratio - water.target) * basis_mass(recipe, totals, water.of) <= water.fine_mg


def additions_now(run: Run, situation: Situation, mend: Mend) -> tuple[Amount, ...]:
    """What goes in at once: what no later step brings, liquids first and fibres last.

    A material with a step still to come waits for it, unless a portion is split off before that.
    """
    now = []
    for key, part in situation.parts.items():
        if run.pending(key) and not _split_comes_first(run, key):
            continue
        share = run.due(key) if run.pending(key) else Fraction(1)
        exact = min(mend.added[key], share * mend.totals[key] - mend.left[key])
        mass = round(exact / part.division_mg) * part.division_mg
        if mass > 0:
            now.append(Amount(material=key, mass_mg=mass))
    order = [step.material for step in run.recipe.steps if isinstance(step, AddStep | ReleaseStep)]
    return tuple(sorted(now, key=lambda amount: _place(run.recipe.material(amount.material), order)))


def _split_comes_first(run: Run, key: str) -> bool:
    for step in run.steps:
        if step.key not in run.finished:
            if isinstance(step, SplitStep):
                return True
            if isinstance(step, AddStep | ReleaseStep) and step.material == key:
                return False
    return False


def _place(material: Material, order: Sequence[str]) -> tuple[int, int]:
    """Never plasticiser onto dry powder, and fibres into a finished slurry; otherwise the recipe's own order."""
    group = 0 if material.role in _LIQUIDS else 2 if material.role is Role.FIBRE else 1
    return group, order.index(material.key) if material.key in order else len(order)


def cost_cents(situation: Situation, mend: Mend) -> int | None:
    """Price of what is added beyond the plan and of what is taken out; None where no price is known."""
    total, known = Fraction(0), False
    for key, part in situation.parts.items():
        material = part.material
        if material.price_cents is None or not material.pack_mg:
            continue
        known = True
        extra = max(Fraction(0), mend.added[key] - part.rest_mg)
        lost = part.content_mg - mend.left[key]
        total += (extra + lost) * material.price_cents / material.pack_mg
    return round(total) if known else None


def strength_percent(
    run: Run, totals: Mapping[str, Fraction], ratio: Fraction | None
) -> tuple[float, float] | None:
    """Indicative change of strength against the ratio aimed at first; None where there is next to none.

    Source: see `strength_change_fractions`, which speaks of water over cement or binder; a ratio on powder is
        turned into one on binder where the recipe states the binder.
    """
    if ratio is None:
        return None
    recipe = run.recipe
    change = float(ratio - run.start.aim.water_ratio)
    if recipe.water.of is Basis.POWDER:
        binder = basis_mass(recipe, totals, Basis.BINDER)
        if not binder:
            return None
        change *= float(basis_mass(recipe, totals, Basis.POWDER) / binder)
    if abs(change) < SMALLEST_CHANGE:
        return None
    within = max(-FARTHEST_CHANGE_RATIO, min(FARTHEST_CHANGE_RATIO, change))
    low, high = strength_change_fractions(within)
    return 100 * low, 100 * high


def colour_percent(run: Run, totals: Mapping[str, Fraction]) -> tuple[tuple[str, float], ...]:
    """Change of each pigment's dose against the one aimed at first, percent."""
    aimed = {aim.material: aim.fraction for aim in run.start.aim.doses}
    shifts = []
    for material in run.recipe.materials:
        target = aimed.get(material.key, Fraction(0))
        if material.role is Role.PIGMENT and target:
            ends_at = dose_now(run.recipe, material, totals)
            if ends_at is not None:
                shifts.append((material.key, float(100 * (ends_at / target - 1))))
    return tuple(shifts)
