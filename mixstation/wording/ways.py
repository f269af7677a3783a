"""The ways out in words: what to do as one line, and what each costs and gives up."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any, assert_never

from mixstation.batch.dose_flags import dose_flags
from mixstation.batch.flag.doses import DoseOverCap
from mixstation.batch.ratio_place import RatioPlace, expanded_up, place_of_ratio
from mixstation.batch.run import Run
from mixstation.batch.targets import project
from mixstation.batch.way import (
    BucketOver,
    CapOver,
    DoseOff,
    EndsLate,
    Hindrance,
    MouldsShort,
    PigmentBlendOver,
    StockLacks,
    WaterOff,
    Way,
)
from mixstation.proportion.lifting import LIFT_LIMIT_MG
from mixstation.proportion.strength import FARTHEST_CHANGE_RATIO
from mixstation.recipe.model import Role
from mixstation.units.show import DisplayUnits, fixed, show_duration, show_ratio, show_volume_l
from mixstation.units.show_mass import show_mass
from mixstation.wording.spoken import spoken
from mixstation.wording.words import OfBatch, Speech, name_of

_OPENINGS: Mapping[str, str] = {
    "hold-less": "Go on; what is still to come makes up for it",
    "shrink": "Make less: go on with what there is",
    "leave": "Leave it",
    "discard": "Discard it",
}
BEYOND_TELLING = "so far off that its strength cannot be estimated: discard it"
_ENDS: Mapping[RatioPlace, str] = {
    "inside": "inside",
    "cannot-tell": "at the edge of the band",
    "under": "outside the band",
    "over": "outside the band",
}
AFTER_LAYER = " after the face coat is out"
_GROWS = ("grow", "powder-only")
_RAISES = (*_GROWS, "scoop-and-grow")
# By code of a flag, or of what is no flag.
GIVES_UP: Mapping[str, str] = {
    "water-over": "the water ratio stays over its band",
    "water-over-ceiling": "the water ratio stays over its ceiling",
    "water-under": "the water ratio stays under its band",
    "water-unsure": "the scale cannot tell whether the water is inside its band",
    "water-high": "the water stays above its target, inside its band",
    "dose-over": "{about} stays over its band",
    "dose-under": "{about} stays under its band",
    "dose-over-cap": "{about} stays over its limit",
    "powder-over": "{about} stays over its total",
    "powder-under": "{about} stays under its total",
    "ran-out": "{about} stays short",
    "time": "it ends past the earlier estimate of the working time",
    "volume": "the moulds will not be full",
    "bucket-full": "the bucket is fuller than it should be",
    "dose-missing": "{about} stays out",
    "stock-short": "there is too little {about} for the rest",
    "stiffening": "the mix stiffens: placing it is against practice, nothing may go in",
}
# Said in the line itself where a batch is left as it is.
_GRAVE = frozenset({"dose-over", "dose-over-cap", "ran-out"})


def way_line(way: Way, run: Run, units: DisplayUnits) -> str:
    """What to do, and where it ends.

    Args:
        way: One of the ways out.
        run: The batch it was worked out for.
        units: What the mixer reads in.
    """
    if way.kind == "discard":
        return f"Discard it: {show_mass(way.wasted_mg, units)} is lost."
    stands = _stands_wrong(way, run)
    done = _done(way, run, units) + (f": {'; '.join(stands)}" if stands else "")
    # A mix that sets is not judged by its water any more.
    return f"{done}." if "stiffening" in way.gives_up else f"{done}. {_ends(way, run)}"


def way_detail(way: Way, run: Run, units: DisplayUnits) -> tuple[str, ...]:
    """What it makes, costs and gives up; most important first."""
    lines = [*(hindrance_line(hindrance, run, units) for hindrance in way.hindrances)]
    cost = f"costs about {way.cost_cents / 100:.2f} {run.recipe.currency}".rstrip() if way.cost_cents else ""
    if way.kind == "discard":
        return (*lines, cost) if cost else tuple(lines)
    if way.kind in _GROWS and not way.scoop_mg and (rest := to_add(way, run, units)):
        lines.append(f"still to add in all: {rest}")
    # Less than half a per cent either way would read as none.
    told = "stiffening" not in way.gives_up
    if told and way.strength_percent is not None and max(map(abs, way.strength_percent)) >= 0.5:
        lines.append(_strength(way.strength_percent) if _can_be_told(way, run) else BEYOND_TELLING)
    lines += [
        _colour(name_of(run.recipe, key), change) for key, change in way.colour_percent if abs(change) >= 1
    ]
    lines += [f"gives up: {_given_up(code, way, run)}" for code in way.gives_up]
    if way.lifted_mg > LIFT_LIMIT_MG:
        lifted, limit = (show_mass(mass_mg, units) for mass_mg in (way.lifted_mg, LIFT_LIMIT_MG))
        lines.append(f"lift with two: the bucket comes to {lifted}; one person lifts {limit} at most")
    made = f"makes {show_volume_l(way.volume_l, units)}"
    if way.short_l > 0:
        made += f", {_volume(way.short_l, units)} short of the moulds"
    lost = f"{show_mass(way.wasted_mg, units)} is lost" if way.wasted_mg else ""
    return (*lines, "; ".join(filter(None, (made, lost, cost))), *_time(way))


def _volume(volume_l: float, units: DisplayUnits) -> str:
    """A volume that is short or over: never told as nothing."""
    return show_volume_l(max(volume_l, 0.01), units)


def _time(way: Way) -> tuple[str, ...]:
    """What it takes at least, and what of the working time is left then."""
    told = [f"takes at least {show_duration(way.takes_s)}"] if way.takes_s else []
    left = way.working_left_s
    if left is not None and left < 0 and way.takes_s:
        told.append(f"{show_duration(-left)} past the working time")
    elif left is not None and "stiffening" not in way.gives_up:
        after = f"{left // 60} min of" if left >= 60 else "no"
        told.append(f"{after} working time left after it")
    return ("; ".join(told),) if told else ()


def hindrance_line(hindrance: Hindrance, run: Run, units: DisplayUnits) -> str:
    """What bars a way, and by how much."""
    voice = OfBatch(run=run, speech=Speech(units=units, division_mg=1))
    return f"Barred: {spoken(_bars(hindrance), hindrance, voice)}."


def _bars(hindrance: Hindrance) -> str:
    match hindrance:
        case StockLacks():
            return "you have {short_mg:fine} too little {material}"
        case BucketOver():
            return "the bucket would be {over_l:some} too full"
        case MouldsShort():
            return "the moulds would be {short_l:some} short"
        case EndsLate():
            return "it would end {past_s} past the working time you told"
        case WaterOff():
            side = "over" if hindrance.off_ratio > 0 else "under"
            return "the water ratio would be {by_ratio} " + side + " its band"
        case DoseOff():
            side = "over" if hindrance.off_mg > 0 else "under"
            return "{material} would be {by_mg:fine} " + side + " its band"
        case CapOver():
            return "{material} would be {over_mg:fine} over its limit"
        case PigmentBlendOver():
            return "all pigment together would be {over_mg:fine} over its limit (ASTM C979)"
        case _ as forgotten:
            assert_never(forgotten)


def _done(way: Way, run: Run, units: DisplayUnits) -> str:
    """The acts of a way in order."""
    acts = []
    if way.kind in _OPENINGS:
        acts.append(_OPENINGS[way.kind])
    if way.goal == "hold-water":
        acts.append("hold the rest of the water back")
    if way.pour_back_mg:
        water = run.recipe.water_key
        acts.append(f"pour {_mass(way, water, way.pour_back_mg, units)} of {name_of(run.recipe, water)} back")
    if way.scoop_mg and way.kind == "pour-back":
        acts.append(f"stir, pour {show_mass(way.scoop_mg, units)} of the liquid back")
    elif way.scoop_mg:
        acts.append(f"mix until even, take {show_mass(way.scoop_mg, units)} of the mix out")
    if way.additions:
        added = ", ".join(
            f"{_mass(way, amount.material, amount.mass_mg, units)} {name_of(run.recipe, amount.material)}"
            for amount in way.additions
        )
        acts.append(
            f"mix {added} apart into a plain slurry, fold it in" if _is_slurry(way, run) else f"add {added}"
        )
    if way.kind in _RAISES and not way.additions:
        acts.append(f"raise the totals: {', '.join(_totals(way, run, units).values())}")
    if way.kind == "powder-only" and _keeps_plasticiser(way, run):
        acts.append("no more plasticiser")
    if way.mix_s:
        acts.append(f"mix {show_duration(way.mix_s)}")
    if way.kind in _RAISES and way.additions:
        raised = [
            text for key, text in _totals(way, run, units).items() if run.recipe.material(key).is_powder
        ]
        acts += [f"and raise {', '.join(raised)}"] if raised else []
    text = ", ".join(acts)
    return text[:1].upper() + text[1:]


def _is_slurry(way: Way, run: Run) -> bool:
    """Whether what a way adds is mixed apart: powder, and fibres are in."""
    return run.fibres_in and any(run.recipe.material(amount.material).is_powder for amount in way.additions)


def _keeps_plasticiser(way: Way, run: Run) -> bool:
    """Whether the recipe has a plasticiser and the way adds none."""
    totals = {amount.material: amount.mass_mg for amount in way.totals}
    plasticisers = [item.key for item in run.recipe.materials if item.role is Role.PLASTICISER]
    return bool(plasticisers) and all(totals[key] <= run.content[key] for key in plasticisers)


def _totals(way: Way, run: Run, units: DisplayUnits) -> dict[str, str]:
    """New totals of what is still to come and changes by the way, by material."""
    before = project(run).totals
    told = {amount.material: amount.mass_mg for amount in way.rest.totals}
    return {
        amount.material: f"{name_of(run.recipe, amount.material)} to "
        + _mass(way, amount.material, told.get(amount.material, amount.mass_mg), units)
        for amount in way.totals
        if run.pending(amount.material)
        and abs(amount.mass_mg - before[amount.material]) * 200 > amount.mass_mg
    }


def to_add(way: Way, run: Run, units: DisplayUnits) -> str:
    """Everything a way still puts in, whether now or in the steps to come; "" for nothing."""
    return ", ".join(
        f"{_mass(way, amount.material, amount.mass_mg, units)} {name_of(run.recipe, amount.material)}"
        + (AFTER_LAYER if amount.material in way.rest.after_layer else "")
        for amount in way.rest.added
    )


def _mass(way: Way, material: str, mass_mg: int, units: DisplayUnits) -> str:
    """A mass of a material as its own scale shows it."""
    known = (amount.mass_mg for amount in way.divisions if amount.material == material)
    return show_mass(mass_mg, units, next(known, None))


def _ends(way: Way, run: Run) -> str:
    if way.ratio is None:
        return ""
    rule = run.recipe.water
    verdict = _ENDS[place_of_ratio(way.ratio, way.expanded, rule.least, rule.most)]
    return f"Water ends at {show_ratio(way.ratio)} ± {show_ratio(expanded_up(way.expanded))}, {verdict}."


def _colour(name: str, change: float) -> str:
    return f"{name} {abs(change):.0f} % {'more' if change > 0 else 'less'} than aimed at; the colour shifts"


def _can_be_told(way: Way, run: Run) -> bool:
    """Whether the water ratio is near enough to its target for a word on strength."""
    return way.ratio is None or abs(way.ratio - run.recipe.water.target) < Fraction(FARTHEST_CHANGE_RATIO)


def _strength(change: tuple[float, float]) -> str:
    low, high = sorted(abs(value) for value in change)
    word = "less" if sum(change) < 0 else "more"
    return f"strength about {low:.0f} to {high:.0f} % {word} than at the target; indicative only"


def _stands_wrong(way: Way, run: Run) -> list[str]:
    """What is gravely wrong besides the water where a batch is left as it is."""
    if way.kind != "leave":
        return []
    if "stiffening" in way.gives_up:
        return ["it sets; placing it is against practice"]
    return [_given_up(code, way, run) for code in way.gives_up if code in _GRAVE]


def _given_up(code: str, way: Way, run: Run) -> str:
    after = replace(run, aim=way.aim, kept=Fraction(1))
    flags = [flag for flag in dose_flags(after, project(after)) if flag.code == code]
    names = " and ".join(name_of(run.recipe, flag.about) for flag in flags)
    source = next((f" ({flag.source})" for flag in flags if isinstance(flag, DoseOverCap)), "")
    return GIVES_UP[code].format(about=names or "a material") + source


def way_data(way: Way, run: Run, units: DisplayUnits = DisplayUnits.METRIC) -> dict[str, Any]:
    """What a way does, where it ends, and what bars it.

    Args:
        way: One of the ways out.
        run: The batch it was worked out for.
        units: What its sentences are in; its figures are metric.
    """
    return {
        "way": way.kind,
        "best_at": way.goal,
        "can_be_taken": not way.hindrances,
        "said": way_line(way, run, units),
        "detail": list(way_detail(way, run, units)),
        "barred_by": [hindrance_line(hindrance, run, units) for hindrance in way.hindrances],
        "pour_back": _kg(way.pour_back_mg),
        "take_out": _kg(way.scoop_mg),
        "add": {amount.material: _kg(amount.mass_mg) for amount in way.additions},
        "totals": {amount.material: _kg(amount.mass_mg) for amount in way.rest.totals},
        "mix": f"{way.mix_s} s",
        "takes": f"{way.takes_s} s",
        "working_time_left": None if way.working_left_s is None else f"{way.working_left_s} s",
        "water_ratio": None if way.ratio is None else show_ratio(way.ratio, 4),
        "water_ratio_of": str(run.recipe.water.of),
        "water_ratio_uncertainty": f"{way.expanded:.4f}",
        "volume": f"{way.volume_l:.2f} L",
        "bucket_weighs": _kg(way.lifted_mg),
        "wasted": _kg(way.wasted_mg),
        "gives_up": list(way.gives_up),
    }


def _kg(mass_mg: int) -> str:
    return f"{fixed(mass_mg / 1_000_000, 6).rstrip('0').rstrip('.')} kg"
