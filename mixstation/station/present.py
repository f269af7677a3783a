"""Advice as a view: texts and fractions a front end paints as they are."""

from dataclasses import replace
from fractions import Fraction
from typing import assert_never

from mixstation.batch.advice import Advice, RunningTimer, Working, is_put_away, take_out_mg
from mixstation.batch.events import MaterialRemoved, MovedMass, PortionTaken, WeightRecorded
from mixstation.batch.ratio_place import expanded_up, place_of_ratio
from mixstation.batch.run import TakeOutStep
from mixstation.recipe import model
from mixstation.station import view
from mixstation.station.scene import Scene
from mixstation.units.show import show_clock, show_duration, show_ratio
from mixstation.units.show_mass import show_mass_parts
from mixstation.wording import view_lines as said
from mixstation.wording.counted_lines import SO_FAR
from mixstation.wording.flag_lines import GRAVITY_SYMBOLS, GRAVITY_WORDS, flag_line
from mixstation.wording.words import as_booked, in_its_steps, name_of, step_words


def still(scene: Scene, question: view.Question) -> view.View:
    """The view of what changes with the facts alone, worked out once for each standing; the rest is put in later."""
    return view.View(
        question=question,
        title=title_words(scene),
        place=place_words(scene.advice),
        ratio=ratio_shown(scene),
        went_in=went_in(scene),
        to_come=to_come(scene),
        clock=clock_shown(scene.advice.working),
        scale=scale_shown(scene, ""),
    )


def flags_shown(scene: Scene) -> tuple[view.FlagShown, ...]:
    """All flags in words, gravest first."""
    return tuple(
        view.FlagShown(
            gravity=flag.gravity,
            word=GRAVITY_WORDS[flag.gravity],
            symbol=GRAVITY_SYMBOLS[flag.gravity],
            sentence=flag_line(scene.run, flag, scene.speech),
            away=is_put_away(scene.run, flag),
        )
        for flag in scene.advice.flags
    )


def pour_shown(scene: Scene) -> view.Pour | None:
    """A dose on its way in, or None at other steps."""
    standing = scene.advice.standing
    target = scene.target_mg
    if target is None or target == 0 or standing.phase not in ("pour", "tub-fill", "take-out"):
        return None
    net = scene.advice.net
    if standing.dosing is not None:
        low, high = standing.dosing.low_mg, standing.dosing.high_mg
    else:
        slack = max(standing.division_mg, target // 50)
        low, high = target - slack, target + slack
    return view.Pour(
        target=scene.at_hand.mass(target),
        right=scene.at_hand.span(low, high),
        actual=_so_far(scene),
        fraction=None if net is None else net.net_mg / target,
        low_fraction=low / target,
        high_fraction=high / target,
        place="unsure" if net is None else net.place,
        cue="" if net is None else net.cue,
        cue_words="" if net is None else said.CUE_WORDS[net.cue],
    )


def _so_far(scene: Scene) -> str:
    """What is in of the dose at hand; what was counted before the scale went says so."""
    net = scene.advice.net
    if net is not None:
        return scene.speech.mass(net.net_mg)
    return SO_FAR.format(amount=scene.speech.mass(scene.counted_mg)) if scene.counted_mg else "—"


def countdown_shown(timing: RunningTimer | None) -> view.Countdown | None:
    """A running timer."""
    if timing is None:
        return None
    state = "long" if timing.elapsed_s > timing.max_s else "enough"
    if timing.elapsed_s < timing.min_s:
        state = "short"
    return view.Countdown(
        elapsed=show_clock(int(timing.elapsed_s)),
        least=show_duration(timing.min_s),
        most=show_duration(timing.max_s),
        fraction=timing.elapsed_s / timing.max_s,
        least_fraction=timing.min_s / timing.max_s,
        words=said.TIMER_WORDS[state],
    )


def figure_shown(scene: Scene) -> view.Figure | None:
    """The number to act on: what is still to pour, or the time."""
    timing = scene.advice.timing
    if timing is not None:
        left = timing.min_s - timing.elapsed_s
        label, seconds = (said.STILL_TO_GO, -(-left // 1)) if left > 0 else (said.GOING_FOR, timing.elapsed_s)
        number = show_clock(int(seconds))
        return view.Figure(label=label, number=number, unit_word=said.TIME_UNITS, plain=f"{label} {number}")
    target, speech, standing = scene.target_mg, scene.at_hand, scene.advice.standing
    if target is None or standing.phase not in ("pour", "tub-fill", "take-out"):
        return None
    if target == 0:
        # Enough is in, or less is wanted than this scale shows: that is said to a hundredth of a gram.
        target = round(standing.dosing.exact_mg) if standing.dosing is not None else 0
        speech = replace(speech, division_mg=10)
        if target == 0:
            return None
    net = scene.advice.net
    if net is None and not scene.counted_mg and _was_begun(scene):
        # Nothing live for a moment, or the vessel lifted: the whole dose in big digits would be poured twice.
        return None
    to_go = target - scene.counted_mg if net is None else target - net.net_mg
    over = to_go < 0
    label = (
        (said.TAKE_OUT if take_out_mg(standing) is not None else said.WEIGH_IN)
        if net is None and not scene.counted_mg
        else (said.OVER_BY if over else said.STILL_TO_GO)
    )
    shown = show_mass_parts(abs(to_go), speech.units, speech.division_mg)
    return view.Figure(
        label=label,
        number=shown.number,
        unit_word=shown.unit_word,
        plain=f"{label} {speech.mass(abs(to_go))}",
    )


def _was_begun(scene: Scene) -> bool:
    """Whether some of the dose at hand was seen to be in since its start reading."""
    step, heard_mg = scene.advice.standing.step, scene.last_heard_mg
    begun = step is not None and step.key in scene.run.references
    return begun and heard_mg is not None and heard_mg > scene.advice.standing.division_mg


def ratio_shown(scene: Scene) -> view.RatioShown | None:
    """The water ratio the batch will end at, in its band."""
    rule, projection = scene.run.recipe.water, scene.advice.standing.projection
    ratio = projection.ratio
    if ratio is None:
        return None
    width = rule.most - rule.least or Fraction(1, 1000)
    unsure = Fraction(projection.expanded)
    place = place_of_ratio(ratio, projection.expanded, rule.least, rule.most)
    return view.RatioShown(
        label=said.ratio_label(rule.of),
        value=f"{show_ratio(ratio)} ± {show_ratio(expanded_up(projection.expanded))}",
        target=show_ratio(scene.run.aim.water_ratio),
        low=show_ratio(rule.least),
        high=show_ratio(rule.most),
        ceiling=show_ratio(rule.ceiling),
        position=float((ratio - rule.least) / width),
        target_position=float((scene.run.aim.water_ratio - rule.least) / width),
        ceiling_position=float((rule.ceiling - rule.least) / width),
        half_width=float(unsure / width),
        verdict=said.VERDICT_WORDS[place],
        place="unsure" if place == "cannot-tell" else place,
    )


def went_in(scene: Scene) -> tuple[view.Line, ...]:
    """Every entry that moved mass, oldest first, those taken back included."""
    run, lines = scene.run, []
    for entry in run.entries:
        if not isinstance(entry.fact, MovedMass):
            continue
        match entry.fact:
            case MaterialRemoved() | PortionTaken() as fact:
                name = (
                    name_of(run.recipe, fact.material)
                    if isinstance(fact, MaterialRemoved)
                    else fact.layer or said.THE_MIX
                )
                mark, amount, note = said.CAME_OUT, scene.speech.mass(fact.mass_mg), fact.reason
            case WeightRecorded() as fact:
                name, mark = name_of(run.recipe, fact.material), said.WENT_IN
                amount = as_booked(run, fact, scene.speech).mass(fact.mass_mg)
                note = "" if fact.source == "scale" else fact.source
            case _ as forgotten:
                assert_never(forgotten)
        if entry.seq in run.void:
            mark = said.TAKEN_BACK
        lines.append(view.Line(name=name, amount=amount, mark=mark, note=note))
    return tuple(lines)


def to_come(scene: Scene) -> tuple[view.Line, ...]:
    """What is still to come, the step at hand first; nothing is at hand before the gear is on."""
    standing = scene.advice.standing
    if standing.phase == "ended":
        return ()
    at_hand, follows = (said.NEXT, "") if standing.phase == "safety" else (said.NOW, said.NEXT)
    lines = []
    for place, (step, mass) in enumerate(scene.to_come):
        match step:
            case model.AddStep() | model.ReleaseStep() | TakeOutStep():
                amount = in_its_steps(scene.run, step.material, scene.speech).mass(mass)
            case model.SplitStep():
                share = f"{float(step.fraction):.0%}".replace("%", " %")
                amount = scene.speech.mass(mass) if scene.run.start.needed_l else share
            case model.MixStep() | model.ScrapeStep() | model.RestStep():
                amount = ""
            case model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
                amount = ""
            case _ as forgotten:
                assert_never(forgotten)
        mark = at_hand if step == standing.step else follows if place == 1 else ""
        lines.append(view.Line(name=step_words(scene.run, step), amount=amount, mark=mark))
    return tuple(lines)


def clock_shown(working: Working) -> view.ClockShown:
    """Time since the first water, and what is left of the working time as a band."""
    low, high = round(working.low_s / 60), round(working.high_s / 60)
    if working.since_s is None:
        return view.ClockShown(
            since_water="", left=said.WORKING_TIME.format(low=low, high=high), place="before"
        )
    low_left, high_left = (round((bound - working.since_s) / 60) for bound in (working.low_s, working.high_s))
    left = said.TIME_LEFT.format(low=max(0, low_left), high=max(0, high_left))
    if high_left <= 0:
        left = said.TIME_IS_PAST
    return view.ClockShown(since_water=show_clock(int(working.since_s)), left=left, place=working.place)


def scale_shown(scene: Scene, link_state: str) -> view.ScaleShown:
    """How the scale stands."""
    live = scene.live
    if live is None:
        return view.ScaleShown(state=said.NO_SCALE, text="", fresh=False)
    fresh = live.mass_mg is not None and live.state in ("steady", "moving")
    state = link_state if link_state in ("lost", "unreadable") else live.state
    word = said.SCALE_WORDS["other-unit" if live.other_unit else state]
    text = scene.speech.mass(live.mass_mg) if fresh and live.mass_mg is not None else ""
    return view.ScaleShown(state=word, text=text, fresh=fresh)


def place_words(advice: Advice) -> str:
    """Which step of how many."""
    run = advice.standing.run
    done = sum(step.key in run.finished for step in run.steps)
    return said.STEP_OF.format(number=min(done + 1, len(run.steps)), count=len(run.steps))


def title_words(scene: Scene) -> str:
    """Piece, recipe, and which bucket."""
    start = scene.run.start
    parts = [part for part in (start.piece, start.recipe.name) if part]
    if start.bucket_count > 1:
        parts.append(said.BUCKET_OF.format(number=start.bucket_number, count=start.bucket_count))
    return " · ".join(parts)
