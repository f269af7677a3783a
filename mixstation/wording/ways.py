"""A way out as a line to act on, with what it leads to and what stops it."""

from collections.abc import Sequence
from fractions import Fraction

from mixstation.batch.events import Amount
from mixstation.batch.run import Run
from mixstation.batch.targets import project, volume_l
from mixstation.batch.way import Way
from mixstation.units.show import (
    DisplayUnits,
    fixed,
    show_duration,
    show_percent,
    show_ratio,
    trimmed,
)
from mixstation.wording.hindrances import hindrance_line, show_volume, show_weight
from mixstation.wording.words import name_of

__all__ = ["hindrance_line", "way_detail", "way_line"]

# Choice: a change of size below this is not spoken of.
SIZE_SAID_FRACTION = Fraction(5, 1000)
# Choice: more additions than this are told one by one below the line; their steps lead through them anyhow.
FEW_ADDITIONS = 3
# Choice: a change of colour below this is not seen.
COLOUR_SAID_PERCENT = 1.0

_GIVEN_UP = {
    "water-over": "The water stays over its band: paler, weaker, more shrinkage.",
    "water-over-ceiling": "The water stays over its ceiling: against practice, discarding is the sound answer.",
    "water-unsure": "On this scale it cannot be told whether the water is inside its band.",
    "water-under": "The water stays under its band: stiff, hard to place.",
    "dose-over": "A dose stays over its band.",
    "dose-over-cap": "A dose stays over a limit that is never to be passed: discarding is the sound answer.",
    "dose-under": "A dose stays under its band.",
    "dose-missing": "Something of the recipe stays out.",
    "powder-over": "A powder stays over its proportion.",
    "powder-under": "A powder stays under its proportion.",
    "ran-out": "A powder or dose stays short.",
    "bucket-full": "The bucket is fuller than it should be.",
    "stock-short": "There is not enough of everything for the rest.",
    "volume": "The batch ends smaller than planned.",
    "time": "It ends past the working time: stop and discard as soon as the mix stiffens.",
    "stiffening": "The mix stiffens: nothing may go in, and placing it is against practice.",
}


def way_line(way: Way, run: Run, units: DisplayUnits) -> str:
    """What to do and where it ends, as one sentence in the imperative.

    Args:
        way: A way out.
        run: The batch it was worked out for.
        units: What the person reads in.

    Returns:
        One line; for a way that a limit stops, the first such limit instead of where it ends.
    """
    act = _act(way, run, units)
    if way.hindrances:
        return f"{act}: not possible, {hindrance_line(way.hindrances[0], run, units)}"
    ends = _ends(way, run)
    return f"{act}: {ends}." if ends else f"{act}."


def way_detail(way: Way, run: Run, units: DisplayUnits) -> tuple[str, ...]:
    """What a way leads to, costs and gives up, most important first.

    Args:
        way: A way out.
        run: The batch it was worked out for.
        units: What the person reads in.

    Returns:
        Short lines.
    """
    if way.kind == "discard":
        return _only(_wasted(way, units), _cost(way, run))
    more = (hindrance_line(hindrance, run, units) for hindrance in way.hindrances[1:])
    return _only(
        *(line[0].upper() + line[1:] for line in more),
        _each_addition(way, run, units),
        *(_GIVEN_UP[code] for code in way.gives_up if code in _GIVEN_UP),
        _totals(way, run, units),
        _volume(way, units),
        _strength(way),
        _colour(way, run),
        _wasted(way, units),
        _cost(way, run),
        _time(way),
    )


def _act(way: Way, run: Run, units: DisplayUnits) -> str:
    if way.kind == "discard":
        return "Discard it and begin anew"
    if way.kind == "leave":
        return "Leave it and hold the water back" if way.goal == "hold-water" else "Leave it as it is"
    acts = [*_take_out(way, run, units), *_additions(way, run, units)]
    if not acts:
        return _go_on(way, run)
    if way.mix_s:
        acts.append(f"mix {show_duration(way.mix_s)}")
    line = ", ".join(acts)
    follow = "; the amounts to come follow" if _others_follow(way, run) else ""
    return line[0].upper() + line[1:] + follow


def _others_follow(way: Way, run: Run) -> bool:
    """Whether what later steps add differs from what was planned."""
    if way.kind == "pour-back":
        return False
    planned, now = project(run).finals, {amount.material for amount in way.additions}
    return any(
        run.pending(amount.material)
        and amount.material not in now
        and abs(amount.mass_mg - planned[amount.material]) > SIZE_SAID_FRACTION * planned[amount.material]
        for amount in way.totals
    )


def _take_out(way: Way, run: Run, units: DisplayUnits) -> list[str]:
    if way.pour_back_mg:
        water = name_of(run.recipe, run.recipe.water_key)
        return [f"pour back {show_weight(way.pour_back_mg, units)} {water}"]
    if way.scoop_mg and way.kind == "pour-back":
        return [f"stir, pour back {show_weight(way.scoop_mg, units)} of the liquid"]
    return [f"mix until even, take out {show_weight(way.scoop_mg, units)}"] if way.scoop_mg else []


def _additions(way: Way, run: Run, units: DisplayUnits) -> list[str]:
    if not way.additions:
        return []
    if len(way.additions) > FEW_ADDITIONS:
        whole = sum(amount.mass_mg for amount in way.additions)
        return [f"add {show_weight(whole, units)} of {len(way.additions)} materials in turn"]
    return [f"add {_named(way.additions, run, units)}"]


def _each_addition(way: Way, run: Run, units: DisplayUnits) -> str:
    return f"Add {_named(way.additions, run, units)}." if len(way.additions) > FEW_ADDITIONS else ""


def _named(amounts: Sequence[Amount], run: Run, units: DisplayUnits) -> str:
    names = [
        f"{show_weight(amount.mass_mg, units)} {name_of(run.recipe, amount.material)}" for amount in amounts
    ]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _go_on(way: Way, run: Run) -> str:
    """Nothing to do at once: the steps to come carry it."""
    planned = project(run).finals
    before = volume_l(run.recipe, planned)
    change = Fraction(way.volume_l / before - 1) if before else Fraction(0)
    if way.kind == "hold-less" and abs(change) < SIZE_SAID_FRACTION:
        return "Go on: what is still to come makes up for it"
    if abs(change) < SIZE_SAID_FRACTION:
        return "Add nothing now; the amounts to come follow"
    grows = "larger" if change > 0 else "smaller"
    return f"Add nothing now; the amounts to come make a batch {show_percent(abs(change))} {grows}"


def _ends(way: Way, run: Run) -> str:
    if way.ratio is None:
        return ""
    rule, unsure = run.recipe.water, Fraction(way.expanded)
    if way.ratio > rule.most or way.ratio < rule.least:
        verdict = "outside"
    elif way.ratio + unsure > rule.most or way.ratio - unsure < rule.least:
        verdict = "can't tell on this scale"
    else:
        verdict = "inside"
    return f"ends at {show_ratio(way.ratio)} ± {show_ratio(unsure)}, {verdict}"


def _totals(way: Way, run: Run, units: DisplayUnits) -> str:
    names = [
        f"{name_of(run.recipe, amount.material)} {show_weight(amount.mass_mg, units)}"
        for amount in way.totals
        if amount.mass_mg
    ]
    return f"New totals: {', '.join(names)}." if way.kind not in ("leave", "hold-less") else ""


def _volume(way: Way, units: DisplayUnits) -> str:
    ends = f"Ends with {show_volume(way.volume_l, units)}"
    if way.short_l > 0:
        return f"{ends}, {show_volume(way.short_l, units)} less than the moulds need."
    return f"{ends}."


def _strength(way: Way) -> str:
    if way.strength_percent is None:
        return ""
    low, high = sorted(abs(end) for end in way.strength_percent)
    change = "weaker" if way.strength_percent[0] < 0 else "stronger"
    return f"About {round(low)} to {max(1, round(high))} % {change} than planned; indicative only."


def _colour(way: Way, run: Run) -> str:
    shifts = [
        f"{name_of(run.recipe, key)} {trimmed(abs(percent), 0)} % {'more' if percent > 0 else 'less'}"
        for key, percent in way.colour_percent
        if abs(percent) >= COLOUR_SAID_PERCENT
    ]
    if shifts:
        return f"Colour: {', '.join(shifts)} than planned."
    return "Colour: pigment as planned." if way.colour_percent else ""


def _wasted(way: Way, units: DisplayUnits) -> str:
    return f"Throws away {show_weight(way.wasted_mg, units)}." if way.wasted_mg else ""


def _cost(way: Way, run: Run) -> str:
    if not way.cost_cents:
        return ""
    price = f"{fixed(Fraction(way.cost_cents, 100), 2)} {run.recipe.currency}".rstrip()
    return f"Costs {price} more than planned."


def _time(way: Way) -> str:
    left_s = way.working_left_s
    if left_s is None or left_s < 0 or not (way.additions or way.scoop_mg or way.pour_back_mg):
        return ""
    return f"Leaves about {left_s // 60} min of working time."


def _only(*lines: str) -> tuple[str, ...]:
    return tuple(line for line in lines if line)
