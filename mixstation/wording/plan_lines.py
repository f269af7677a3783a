"""A plan as lines of text to read or to print."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from mixstation.plan.job_parts import JobPlan, PiecePlan
from mixstation.plan.timing import BucketTime
from mixstation.plan.weigh_out import WeighOut
from mixstation.recipe.model import AddStep, Recipe, SplitStep
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits, fixed, show_percent, show_ratio, trimmed
from mixstation.wording.counted import counted
from mixstation.wording.plan import PlanSpeech, caution_line, speech_for
from mixstation.wording.safety import IN_SHORT
from mixstation.wording.words import BASIS_WORDS

TAKE_OUT_HEAD = "Then take out of the bucket:"
WEIGH_IN_HEAD = "Then weigh in:"
# Stands for a step where a portion is taken out; no step has such a key.
_TAKE_OUT = "take-out"
_VESSEL_WORDS = {"bucket": "in the bucket", "tub": "in a tub"}
_KIND_WORDS = {
    "weigh": "",
    "dilution": "as a dilution",
    "difference": "by difference",
    "no-scale": "no scale on file",
}


def plan_lines(plan: JobPlan, units: DisplayUnits) -> tuple[str, ...]:
    """The whole plan.

    Args:
        plan: The plan.
        units: What the person reads in.

    Returns:
        Lines, in the order in which they are needed; what the plan does not hold is left out.
    """
    speech = speech_for(plan.request.recipe, units)
    sections: list[tuple[str, Iterable[str]]] = [
        ("Cautions", caution_lines(plan, units)),
        ("Pieces", [_piece(piece, plan, speech) for piece in plan.pieces]),
        ("Volume", _volume(plan, speech)),
        ("Weigh out", weigh_out_table(plan, speech)),
        ("Dilutions", dilution_lines(plan, speech)),
        ("Water ratio", _ratios(plan)),
        ("On the day", day_lines(plan, speech)),
        ("Order of the work, minutes from the first water", _timing(plan)),
        ("From stock", _stock(plan, speech)),
        ("Cost", _cost(plan, speech)),
        ("Rescue bag, kept dry", [rescue_line(plan, speech)]),
        ("For one bag", _per_bag(plan, speech)),
    ]
    lines = [title_line(plan.request.recipe), IN_SHORT]
    for head, body in sections:
        held = [line for line in body if line]
        if held:
            lines += ["", head, *(f"  {line}" for line in held)]
    return tuple(lines)


def title_line(recipe: Recipe) -> str:
    """Recipe and revision."""
    revision = f", revision {clean(recipe.revision, 40)}" if recipe.revision else ""
    return f"{clean(recipe.name, 80)}{revision}"


def caution_lines(plan: JobPlan, units: DisplayUnits) -> tuple[str, ...]:
    """Every caution with its source."""
    speech = speech_for(plan.request.recipe, units)
    return tuple(f"{caution_line(caution, speech)} ({caution.source})" for caution in plan.cautions)


def money(cents: int, currency: str) -> str:
    """A sum with its currency."""
    return f"{fixed(Fraction(cents, 100), 2)} {clean(currency, 10)}".rstrip()


def line_name(line: WeighOut, recipe: Recipe, speech: PlanSpeech) -> str:
    """What is weighed, with which part of it where it goes in more than once."""
    name = speech.name(line.material)
    if line.diluted:
        name = f"{name}, diluted"
    if line.held_back:
        return f"{name}, held back"
    shares = [step for step in recipe.steps if isinstance(step, AddStep) and step.material == line.material]
    if len(shares) < 2:
        return name
    number = next((at for at, step in enumerate(shares, start=1) if step.key == line.step), 0)
    return f"{name}, part {number} of {len(shares)}" if number else name


def weighed_on(plan: JobPlan, material: str) -> str:
    """Scale, vessel, and what is unusual."""
    weighing = next(each for each in plan.weighings if each.material == material)
    words = [clean(weighing.scale, 40), _VESSEL_WORDS[weighing.vessel] if weighing.scale else ""]
    if weighing.fills_count > 1:
        words.append(f"in {weighing.fills_count} fills")
    words.append(_KIND_WORDS[weighing.kind])
    return ", ".join(word for word in words if word)


def rescue_line(plan: JobPlan, speech: PlanSpeech) -> str:
    """What to keep by for one bucket that turns out too wet."""
    divisions = {weighing.material: weighing.division_mg for weighing in plan.weighings}
    parts = [
        f"{speech.mass(part.least_mg, divisions[part.material])} to "
        f"{speech.mass(part.most_mg, divisions[part.material])} {speech.name(part.material)}"
        for part in plan.rescue.parts
    ]
    apart = [f"{speech.name(key)} beside it in the same share" for key in plan.rescue.apart]
    return ", ".join([*parts, *apart])


def dilution_lines(plan: JobPlan, speech: PlanSpeech) -> list[str]:
    """How to make each dilution, and what of it goes into a bucket."""
    lines = []
    for weighing in plan.weighings:
        if (dilution := weighing.dilution) is not None:
            division_mg = weighing.division_mg
            lines.append(
                f"{speech.name(weighing.material)}: {speech.mass(dilution.material_mg, division_mg)} and "
                f"{speech.mass(dilution.water_mg, division_mg)} water, stirred; "
                f"{speech.mass(dilution.portion_mg, division_mg)} of it for each bucket."
            )
    return lines


def day_lines(plan: JobPlan, speech: PlanSpeech) -> list[str]:
    """Temperature, water and ice, working time, drying."""
    found, climate = plan.temperature, plan.request.climate
    if found is None or climate is None:
        return []
    lines = [f"The mix will be about {speech.celsius(round(found.mix_c, 1))} with the water as it comes."]
    if climate.wanted_c is not None:
        ways = []
        if found.water_for_wanted_c is not None:
            ways.append(f"water of {speech.celsius(round(found.water_for_wanted_c, 1))}")
        if found.ice_for_wanted_fraction:
            ways.append(f"{show_percent(found.ice_for_wanted_fraction, 0)} of the water as ice, by mass")
        if ways:
            lines.append(f"For {speech.celsius(climate.wanted_c)}: {' or '.join(ways)}.")
    least, most = found.working_min
    lines.append(
        f"Working time at {speech.celsius(round(found.reached_c, 1))} about {least:.0f} to {most:.0f} min from the "
        "first water."
    )
    if found.drying is not None:
        lines.append(
            f"A fresh face may lose {trimmed(found.drying.min_kg_m2_h, 2)} to "
            f"{trimmed(found.drying.max_kg_m2_h, 2)} kg/m² of water an hour."
        )
    return lines


def weigh_out_table(plan: JobPlan, speech: PlanSpeech) -> list[str]:
    """One row for each thing to weigh, one column for each bucket, and what is taken out."""
    rows = [["", *(f"bucket {bucket.number}" for bucket in plan.buckets), "on"]]
    for name, how, figures in weigh_out_rows(plan, speech):
        cells = [figure or "–" for figure in figures] or [""] * len(plan.buckets)
        rows.append([name, *cells, how])
    rows.append(["all together", *(speech.mass(bucket.mass_mg) for bucket in plan.buckets), ""])
    rows.append(["fills", *(speech.volume(bucket.volume_l) for bucket in plan.buckets), ""])
    return _aligned(rows)


def weigh_out_rows(plan: JobPlan, speech: PlanSpeech) -> list[tuple[str, str, list[str]]]:
    """Name, scale, and a figure for each bucket ("" for none), in the order of the steps.

    A portion taken out for another layer stands where the recipe takes it, under a heading: a row without figures.
    """
    order: list[tuple[str, str]] = []
    cells: dict[tuple[str, str], dict[int, str]] = {}
    names: dict[tuple[str, str], tuple[str, str]] = {}
    for bucket in plan.buckets:
        held: list[tuple[str, str]] = []
        for line in bucket.weigh_outs:
            key = (line.step, line.material)
            held.append(key)
            names[key] = (line_name(line, bucket.recipe, speech), weighed_on(plan, line.material))
            cells.setdefault(key, {})[bucket.number] = speech.mass(line.mass_mg, line.division_mg)
        places = {step.key: at for at, step in enumerate(bucket.recipe.steps)}
        split_place = next(
            (at for at, step in enumerate(bucket.recipe.steps) if isinstance(step, SplitStep)), 0
        )
        for take in bucket.take_outs:
            key = (_TAKE_OUT, take.layer)
            at = next(
                (n for n, (step, _) in enumerate(held) if places.get(step, 99) > split_place), len(held)
            )
            held.insert(at, key)
            names[key] = (clean(take.layer, 40), "")
            cells.setdefault(key, {})[bucket.number] = speech.mass(take.mass_mg, 1000)
        for place, key in enumerate(held):
            if key not in order:
                after = order.index(held[place - 1]) + 1 if place and held[place - 1] in order else len(order)
                order.insert(after, key)
    rows: list[tuple[str, str, list[str]]] = []
    comes_out = False
    for key in order:
        if (key[0] == _TAKE_OUT) != comes_out:
            comes_out = not comes_out
            rows.append((TAKE_OUT_HEAD if comes_out else WEIGH_IN_HEAD, "", []))
        rows.append((*names[key], [cells[key].get(bucket.number, "") for bucket in plan.buckets]))
    return rows


def _piece(piece: PiecePlan, plan: JobPlan, speech: PlanSpeech) -> str:
    layers = ", ".join(f"{clean(layer.name, 40)} {speech.volume(layer.volume_l)}" for layer in piece.layers)
    cost = f", {money(piece.cost_cents, plan.cost.currency)}" if plan.cost.lines else ""
    return (
        f"{piece.piece.count} × {clean(piece.piece.name, 60)}: each {speech.volume(piece.volume_l)} ({layers}), "
        f"{speech.mass(piece.mass_mg, 10_000)}{cost}"
    )


def _volume(plan: JobPlan, speech: PlanSpeech) -> list[str]:
    need = plan.volume
    by = "as measured" if plan.request.density_kg_m3 is not None else "by absolute volume"
    lines = [
        f"{speech.volume(need.mould_l)} for the moulds, {speech.volume(need.waste_l)} waste, "
        f"{speech.volume(need.loss_l)} stays in the buckets: {speech.volume(need.mixed_l)}",
        f"{speech.density(plan.density_kg_m3)} {by}",
    ]
    count = len(plan.buckets)
    if plan.easy_count is not None and plan.easy_count != count:
        lines.append(f"{counted(count, 'bucketful')}; {plan.easy_count} would mix with ease")
    elif plan.least_count != count:
        lines.append(f"{counted(count, 'bucketful')}; {plan.least_count} would do, up to the limit")
    if plan.limited_by:
        lines.append(f"as much as the {speech.name(plan.limited_by)} on hand allows")
    return lines


def _ratios(plan: JobPlan) -> list[str]:
    bases = list(dict.fromkeys(ratio.of for ratio in plan.ratios))
    rows = [["", "added water", "all water", ""]]
    for basis in bases:
        both = {ratio.water: ratio for ratio in plan.ratios if ratio.of is basis}
        steer = "steer by this one" if both["all"].steers else ""
        rows.append(
            [
                f"over {BASIS_WORDS[basis]}",
                show_ratio(both["added"].ratio),
                show_ratio(both["all"].ratio),
                steer,
            ]
        )
    return _aligned(rows)


def _timing(plan: JobPlan) -> list[str]:
    timing = plan.timing
    if timing is None:
        return []

    def row(time: BucketTime) -> list[str]:
        figures = (time.start_min, time.ready_min, time.begin_min, time.placed_min, time.stiff_min)
        return [f"bucket {time.number}", *(f"{minutes:.0f}" for minutes in figures)]

    rows = [["", "first water", "mixed", "placing", "placed", "may stiffen"], *map(row, timing.buckets)]
    lines = _aligned(rows, figures_last=True)
    if timing.face_placed_min is not None:
        lines.append(
            f"face coat placed at {timing.face_placed_min:.0f}; backing from {timing.backing_from_min:.0f} to "
            f"{timing.backing_to_min:.0f}, once the face is soft, moist and does not move under a gloved finger"
        )
    return lines


def _stock(plan: JobPlan, speech: PlanSpeech) -> list[str]:
    rows = [["", "takes", "left", "short", "buy"]]
    for take in plan.stock:
        rows.append(
            [
                speech.name(take.material),
                speech.mass(take.need_mg - take.short_mg),
                speech.mass(take.left_mg),
                speech.mass(take.short_mg) if take.short_mg else "–",
                _buy(take.buy_count) if take.short_mg else "–",
            ]
        )
    return _aligned(rows) if plan.stock else []


def _buy(count: int | None) -> str:
    if count is None:
        return "more"
    return counted(count, "pack")


def _cost(plan: JobPlan, speech: PlanSpeech) -> list[str]:
    cost = plan.cost
    if not cost.lines:
        return []
    per_kg = "" if cost.per_kg_cents is None else f", {money(cost.per_kg_cents, cost.currency)} a kilogram"
    lines = [f"{money(cost.total_cents, cost.currency)}{per_kg}"]
    if cost.unpriced:
        lines.append(f"without {', '.join(speech.name(key) for key in cost.unpriced)}: no price")
    return lines


def _per_bag(plan: JobPlan, speech: PlanSpeech) -> list[str]:
    lines = []
    for bag in plan.per_bag:
        steps_mg = dict(bag.steps_mg)
        others = ", ".join(
            f"{speech.mass(mass_mg, steps_mg[key])} {speech.name(key)}"
            for key, mass_mg in bag.amounts
            if key != bag.material
        )
        lines.append(
            f"{speech.mass(bag.pack_mg)} {speech.name(bag.material)}: {others}; makes {speech.volume(bag.volume_l)}"
        )
    return lines


def _aligned(rows: Sequence[Sequence[str]], *, figures_last: bool = False) -> list[str]:
    """Columns of equal width; figures to the right, the first column and a last one of words to the left."""
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    last = 0 if figures_last else len(widths) - 1
    return [
        "  ".join(
            cell.ljust(width) if at in (0, last) else cell.rjust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
