"""A plan said in words, once: every figure of it is rounded here, whoever shows it."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from mixstation.plan.curing import after_pour_of
from mixstation.plan.job_parts import JobPlan, PiecePlan
from mixstation.plan.weigh_out import WeighOut
from mixstation.recipe.model import AddStep, Recipe, Role, SplitStep
from mixstation.units.clean import clean
from mixstation.units.own_units import own_units
from mixstation.units.show import DisplayUnits, fixed, show_percent, show_ratio, trimmed
from mixstation.wording.caution_lines import caution_line
from mixstation.wording.counted import counted
from mixstation.wording.curing_lines import planned_lines
from mixstation.wording.plan import PlanSpeech, speech_for
from mixstation.wording.planning import COST_EACH_LINE, COST_LINE, MIX_WARM_LINE
from mixstation.wording.sections import NO_FIGURE, PlanSections, Row, Section
from mixstation.wording.spoken import BASIS_WORDS

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


def plan_sections(plan: JobPlan, units: DisplayUnits) -> PlanSections:
    """The whole plan in words.

    Args:
        plan: The plan.
        units: What the person reads in.
    """
    recipe = plan.request.recipe
    speech = speech_for(recipe, units)
    return PlanSections(
        title=_title(recipe),
        mixed=speech.volume(plan.volume.mixed_l),
        made=_made(plan, speech),
        cautions=_cautions(plan, speech),
        pieces=Section(title="Pieces", lines=tuple(_piece(piece, plan, speech) for piece in plan.pieces)),
        volume=Section(title="Volume", lines=tuple(_volume(plan, speech))),
        weigh_out=_weigh_out(plan, speech),
        dilutions=Section(title="Dilutions", lines=tuple(_dilutions(plan, speech))),
        water=_water(plan),
        day=_day(plan, speech),
        order=_order(plan),
        stock=_stock(plan, speech),
        cost=_cost(plan, speech),
        rescue=_rescue(plan, speech),
        bag=Section(title="For one bag", lines=tuple(_bag(plan, speech))),
        after=_after(plan),
    )


def _title(recipe: Recipe) -> str:
    revision = f", revision {clean(recipe.revision, 40)}" if recipe.revision else ""
    return f"{clean(recipe.name, 80)}{revision}"


def _made(plan: JobPlan, speech: PlanSpeech) -> str:
    volume = f"{speech.volume(plan.volume.mixed_l)} in {counted(len(plan.buckets), 'bucketful')}"
    pieces = ", ".join(f"{piece.piece.count} × {clean(piece.piece.name, 40)}" for piece in plan.pieces)
    return f"{volume}: {pieces}" if pieces else volume


def _cautions(plan: JobPlan, speech: PlanSpeech) -> Section:
    return Section(
        title="Cautions",
        rows=tuple(
            Row(name=caution_line(each, speech), note=each.source, is_grave=each.is_grave)
            for each in plan.cautions
        ),
    )


def _money(cents: int, currency: str) -> str:
    return f"{fixed(Fraction(cents, 100), 2)} {clean(currency, 10)}".rstrip()


def _line_name(line: WeighOut, recipe: Recipe, speech: PlanSpeech) -> str:
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


def _weighed_on(plan: JobPlan, material: str) -> str:
    """Scale, vessel, and what is unusual."""
    weighing = next(each for each in plan.weighings if each.material == material)
    words = [clean(weighing.scale, 40), _VESSEL_WORDS[weighing.vessel] if weighing.scale else ""]
    if weighing.fills_count > 1:
        words.append(f"in {weighing.fills_count} fills")
    words.append(_KIND_WORDS[weighing.kind])
    return ", ".join(word for word in words if word)


def _rescue(plan: JobPlan, speech: PlanSpeech) -> Section:
    """What to keep by for one bucket that turns out too wet."""
    divisions = {weighing.material: weighing.division_mg for weighing in plan.weighings}
    parts = [
        f"{speech.mass(part.least_mg, divisions[part.material])} to "
        f"{speech.mass(part.most_mg, divisions[part.material])} {speech.name(part.material)}"
        for part in plan.rescue.parts
    ]
    apart = [f"{speech.name(key)} beside it in the same share" for key in plan.rescue.apart]
    line = ", ".join([*parts, *apart])
    return Section(title="Rescue bag, kept dry", lines=(line,) if line else ())


def speech_of_scale(plan: JobPlan, material: str, speech: PlanSpeech) -> PlanSpeech:
    """How to say what is weighed of a material: as a scale shows it that is not the one which carries the bucket."""
    scales = plan.request.shop.scales
    weighing = next(each for each in plan.weighings if each.material == material)
    on = next((each for each in scales if each.name == weighing.scale), None)
    if on is None or on == max(scales, key=lambda scale: scale.capacity_mg):
        return speech
    return replace(speech, units=own_units(speech.units, on.unit, on.division_mg))


def _dilutions(plan: JobPlan, speech: PlanSpeech) -> Iterator[str]:
    """How to make each dilution, and what of it goes into a bucket."""
    for weighing in plan.weighings:
        if (dilution := weighing.dilution) is not None:
            material, water, portion = (
                speech.mass(mass_mg, weighing.division_mg)
                for mass_mg in (dilution.material_mg, dilution.water_mg, dilution.portion_mg)
            )
            name = speech.name(weighing.material)
            yield f"{name}: {material} and {water} water, stirred; {portion} of it for each bucket."


def _day(plan: JobPlan, speech: PlanSpeech) -> Section:
    """Temperature, water and ice, working time, drying."""
    title = "On the day"
    found, climate = plan.temperature, plan.request.climate
    if found is None or climate is None:
        return Section(title=title)
    mix = speech.celsius(round(found.mix_c, 1))
    least, most = (f"{minutes:.0f}" for minutes in found.working_min)
    lines = [f"The mix will be about {mix} with the water as it comes."]
    if climate.wanted_c is not None:
        ways = []
        if found.water_for_wanted_c is not None:
            ways.append(f"water of {speech.celsius(round(found.water_for_wanted_c, 1))}")
        if found.ice_for_wanted_fraction:
            own = ", the recipe's own ice counted in" if _has_ice(plan) else ""
            ways.append(f"{show_percent(found.ice_for_wanted_fraction, 0)} of the water as ice, by mass{own}")
        if ways:
            lines.append(f"For {speech.celsius(climate.wanted_c)}: {' or '.join(ways)}.")
    lines.append(
        f"Working time at {speech.celsius(round(found.reached_c, 1))} about {least} to {most} min from the "
        "first water."
    )
    if found.drying is not None:
        lines.append(
            f"A fresh face may lose {trimmed(found.drying.min_kg_m2_h, 2)} to "
            f"{trimmed(found.drying.max_kg_m2_h, 2)} kg/m² of water an hour."
        )
    brief = MIX_WARM_LINE.format(mix=mix, least=least, most=most)
    return Section(title=title, lines=tuple(lines), brief=brief)


def _has_ice(plan: JobPlan) -> bool:
    return any(mass and plan.request.recipe.material(key).role is Role.ICE for key, mass in plan.totals)


def _weigh_out(plan: JobPlan, speech: PlanSpeech) -> Section:
    """One row for each thing to weigh, one column for each bucket, and what is taken out."""
    buckets = plan.buckets
    masses = tuple(speech.mass(bucket.mass_mg) for bucket in buckets)
    volumes = tuple(speech.volume(bucket.volume_l) for bucket in buckets)
    return Section(
        title="Weigh out",
        heads=tuple(f"bucket {bucket.number}" for bucket in buckets),
        note_head="on",
        rows=(
            *_weigh_out_rows(plan, speech),
            Row(name="all together", cells=masses, is_sum=True),
            Row(name="fills", cells=volumes, is_sum=True),
        ),
    )


def _weigh_out_rows(plan: JobPlan, speech: PlanSpeech) -> list[Row]:
    """In the order of the steps.

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
            names[key] = (_line_name(line, bucket.recipe, speech), _weighed_on(plan, line.material))
            own = speech_of_scale(plan, line.material, speech)
            cells.setdefault(key, {})[bucket.number] = own.mass(line.mass_mg, line.division_mg)
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
    rows: list[Row] = []
    comes_out = False
    for key in order:
        if (key[0] == _TAKE_OUT) != comes_out:
            comes_out = not comes_out
            rows.append(Row(name=TAKE_OUT_HEAD if comes_out else WEIGH_IN_HEAD))
        name, note = names[key]
        held_by = cells[key]
        rows.append(Row(name=name, note=note, cells=tuple(held_by.get(b.number, "") for b in plan.buckets)))
    return rows


def _piece(piece: PiecePlan, plan: JobPlan, speech: PlanSpeech) -> str:
    layers = ", ".join(f"{clean(layer.name, 40)} {speech.volume(layer.volume_l)}" for layer in piece.layers)
    cost = f", {_money(piece.cost_cents, plan.cost.currency)}" if plan.cost.lines else ""
    return (
        f"{piece.piece.count} × {clean(piece.piece.name, 60)}: each {speech.volume(piece.volume_l)} ({layers}), "
        f"{speech.mass(piece.mass_mg, 10_000)}{cost}"
    )


def _volume(plan: JobPlan, speech: PlanSpeech) -> Iterator[str]:
    need = plan.volume
    mould, waste, loss, mixed = map(speech.volume, (need.mould_l, need.waste_l, need.loss_l, need.mixed_l))
    yield f"{mould} for the moulds, {waste} waste, {loss} stays in the buckets: {mixed}"
    by = "as measured" if plan.request.density_kg_m3 is not None else "by absolute volume"
    yield f"{speech.density(plan.density_kg_m3)} {by}"
    count = len(plan.buckets)
    if plan.easy_count is not None and plan.easy_count != count:
        yield f"{counted(count, 'bucketful')}; {plan.easy_count} would mix with ease"
    elif plan.least_count != count:
        yield f"{counted(count, 'bucketful')}; {plan.least_count} would do, up to the limit"
    if plan.limited_by:
        yield f"as much as the {speech.name(plan.limited_by)} on hand allows"


def _water(plan: JobPlan) -> Section:
    rows = []
    for basis in dict.fromkeys(ratio.of for ratio in plan.ratios):
        both = {ratio.water: ratio for ratio in plan.ratios if ratio.of is basis}
        rows.append(
            Row(
                name=f"over {BASIS_WORDS[basis]}",
                cells=(show_ratio(both["added"].ratio), show_ratio(both["all"].ratio)),
                note="steer by this one" if both["all"].steers else "",
            )
        )
    rule = plan.request.recipe.water
    limits = (
        f"All water over {BASIS_WORDS[rule.of]}: {show_ratio(rule.target)}, from {show_ratio(rule.least)} to "
        f"{show_ratio(rule.most)}; never over {show_ratio(rule.ceiling)}."
    )
    return Section(title="Water ratio", heads=("added water", "all water"), rows=tuple(rows), lines=(limits,))


def _order(plan: JobPlan) -> Section:
    title = "Order of the work, minutes from the first water"
    timing = plan.timing
    if timing is None:
        return Section(title=title)
    rows = []
    for time in timing.buckets:
        minutes = (time.start_min, time.ready_min, time.begin_min, time.placed_min, time.stiff_min)
        rows.append(Row(name=f"bucket {time.number}", cells=tuple(f"{each:.0f}" for each in minutes)))
    lines = []
    if timing.face_placed_min is not None:
        lines.append(
            f"face coat placed at {timing.face_placed_min:.0f}; backing from {timing.backing_from_min:.0f} to "
            f"{timing.backing_to_min:.0f}, once the face is soft, moist and does not move under a gloved finger"
        )
    heads = ("first water", "mixed", "placing", "placed", "may stiffen")
    return Section(title=title, heads=heads, rows=tuple(rows), lines=tuple(lines))


def _stock(plan: JobPlan, speech: PlanSpeech) -> Section:
    rows = [
        Row(
            name=speech.name(take.material),
            cells=(
                speech.mass(take.need_mg - take.short_mg),
                speech.mass(take.left_mg),
                speech.mass(take.short_mg) if take.short_mg else "",
            ),
            note=_buy(take.buy_count) if take.short_mg else NO_FIGURE,
        )
        for take in plan.stock
    ]
    heads = ("takes", "left", "short") if rows else ()
    return Section(title="From stock", heads=heads, note_head="buy", rows=tuple(rows))


def _buy(count: int | None) -> str:
    return "more" if count is None else counted(count, "pack")


def _cost(plan: JobPlan, speech: PlanSpeech) -> Section:
    cost = plan.cost
    if not cost.lines:
        return Section(title="Cost")
    total = _money(cost.total_cents, cost.currency)
    per_kg = "" if cost.per_kg_cents is None else f", {_money(cost.per_kg_cents, cost.currency)} a kilogram"
    lines = [f"{total}{per_kg}"]
    if cost.unpriced:
        lines.append(f"without {', '.join(speech.name(key) for key in cost.unpriced)}: no price")
    brief = COST_LINE.format(total=total)
    if len(plan.pieces) == 1 and plan.pieces[0].piece.count > 1:
        each = _money(plan.pieces[0].cost_cents, cost.currency)
        brief = COST_EACH_LINE.format(total=total, each=each)
    return Section(title="Cost", lines=tuple(lines), brief=brief)


def _after(plan: JobPlan) -> Section:
    """What becomes of the piece, by the recipe and the shop's temperature."""
    climate = plan.request.climate
    content = {key: Fraction(mass_mg) for key, mass_mg in plan.totals}
    hours = after_pour_of(plan.request.recipe, content, None if climate is None else climate.shop_c)
    return Section(title="After the pour", lines=tuple(planned_lines(hours)))


def _bag(plan: JobPlan, speech: PlanSpeech) -> Iterator[str]:
    for bag in plan.per_bag:
        steps_mg = dict(bag.steps_mg)
        others = ", ".join(
            f"{speech.mass(mass_mg, steps_mg[key])} {speech.name(key)}"
            for key, mass_mg in bag.amounts
            if key != bag.material
        )
        yield f"{speech.mass(bag.pack_mg)} {speech.name(bag.material)}: {others}; makes {speech.volume(bag.volume_l)}"
