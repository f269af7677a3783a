"""The main question at each moment of a step: what to do, as a sentence in the imperative, and what Enter does."""

from fractions import Fraction
from typing import Literal, assert_never

from mixstation.batch.advice import Standing, take_out_mg
from mixstation.batch.consistency import REST_S, WATER_MIX_S, short_of_water
from mixstation.batch.damp_sand import sand_to_ask
from mixstation.batch.dosing import to_division
from mixstation.batch.events import Stamp
from mixstation.batch.lots import to_ask
from mixstation.batch.run import RunStep, TakeOutStep
from mixstation.batch.step import bounds_s, layer_placed
from mixstation.frozen import Frozen
from mixstation.recipe import model
from mixstation.units.show import show_duration, show_ratio
from mixstation.units.show_mass import show_mass
from mixstation.wording.counted_lines import COUNTED, TAKE_IT, rest_words
from mixstation.wording.measured_lines import METHOD_ASKS, METHOD_WORDS, method_lines
from mixstation.wording.menu_lines import DAMP_HINT, HOW_DAMP, LOT_UNKNOWN, NOT_TAKEN, SAND_DRY, WHICH_LOT
from mixstation.wording.spoken import told_apart
from mixstation.wording.words import Speech, in_its_steps, name_of

Missing = Literal["", "unheard", "lost", "unreadable", "other-unit"]


class Asked(Frozen):
    """A question's words.

    Attributes:
        ask: A sentence in the imperative.
        enter: What Enter does; "" where Enter alone does nothing.
        detail: Further lines.
    """

    ask: str
    enter: str
    detail: tuple[str, ...] = ()


ENOUGH = "Enough {} is in."
AFTER_ALL = "If it needs the water after all: say how it moves (/)."
SOMETHING_OFF = "Powder, water or the scale is off, or the recipe's water is. Check the weights."
PLACE_LAYER = "Place the {layer} now. Keep the rest of the mix in the bucket."
LAYER_PLACED = "placed, on with the rest"
PLACE_WITHIN = "Place it within {low} min; {high} min at the most."
PLACE_AT_ONCE = "Its working time is past: place it at once."
# The window differs by source (10 to 15, 15 to 30, 30 to 60 min): it is judged by touch.
BACK_IT = "Back it once it is soft, moist, not sticky and does not move under a gloved finger."
PAUSED = "PAUSED since {clock}. The mix goes on ageing."
CHECK_WEIGHTS_LINE = "check the weights"
SETS = "It sets or is past its time: add no water. Place it at once, or discard it."

HANDLING = {
    model.Role.WATER: "",
    model.Role.FIBRE: "Paddle slow; let them rain in, no clumps.",
    model.Role.PIGMENT: "No clumps.",
    model.Role.PLASTICISER: "Onto wet mix, never onto dry powder.",
}

# Asked while the scale shows less than before the pour.
PUT_BACK = {
    "bucket": "Put the bucket back on the scale.",
    "tub": "Put the tub back on the scale.",
    "supply": "Put the supply back on the scale.",
}
# Asked while there is to be a scale that is not heard, so that nobody takes the words for another scale's.
NOT_HEARD_YET = "Wait for the scale: it is not heard yet."
ELSEWHERE = "On another scale: {words}"
OR_ELSEWHERE = "Or on another scale: {words}"
UNREADABLE = "This one's lines cannot be read: check its plugs, its speed and profile."
OTHER_UNIT = "This one shows another unit: press its unit key until it is back."
NOT_HEARD = "This one is not heard: check its cable and switch."
_WHY: "dict[Missing, str]" = {"unreadable": UNREADABLE, "other-unit": OTHER_UNIT}
CUT_OFF_AT = "When the scale was last heard, {amount} of this was done. Look; then type all of it."
CUT_OFF = "This was begun on the scale before the cut. Look what is in before you add; then type all of it."
TUB_TOO_FULL = "Only {amount} is asked for: empty the tub, take the filling back (-), fill it again."
TYPED_OF_TUB = "What sticks to the tub is taken off. Without the scale: type what went in."
WEIGH_TYPED = "Weigh {amount} of {name}, add it, type what went in."
RAIN_TYPED = "Weigh {amount} of {name} into a dry tub. Paddle slow: rain it in, type what went in."
RAIN_APART = "Weigh {amount} of {name} on “{scale}” into a dry tub. Paddle slow: rain it in, type it."
RAIN_IN = "Paddle slow: rain the {amount} of {name} in."
WEIGH_APART = "Weigh {amount} of {name} on “{scale}”, tip it in, type what it shows."
WEIGH_FOR_SLURRY = "Weigh {amount} of {name} into a clean tub beside the bucket, type it."
SLURRY_APART = "For a slurry mixed apart: no dry powder into fibres."
FOLD_IN = "Mix the slurry in the tub smooth. Fold it into the bucket, mix slowly."
BY_THIS_SCALE = "by this scale instead"
TOO_COARSE = (
    "{name}: too small a dose for this scale, in steps of {division}. Go back to weigh it on “{scale}”."
)
TOO_COARSE_LINES = {
    "bucket": "the bucket is on: pour it by this scale all the same",
    "tub": "the empty tub is on: weigh it on this scale all the same",
    "supply": "the supply is on: take it by this scale all the same",
}
PLACED_NOW = "placed now: close the batch"
PLACED_UNSAID = "close the batch"
PLACED_BEFORE = "Placed a while ago? Type how many minutes ago."
PLACED_UNIT = "minutes ago"
MAYBE_ZEROED = "Is it on? Then its tare or zero key was pressed: press Enter."
ZEROED_ENTER = "say what it was"
WHICH_UNIT_ENTER = "say what it was"
START_ANEW = "If it is on: take the start reading anew (/)."


_BEFORE_TAKING_OUT = {
    "bucket": Asked(ask="Put the bucket on the scale and wait until it is steady.", enter="bucket is on"),
    "tub": Asked(ask="Put the empty vessel for what comes out on the scale.", enter="vessel is on"),
}


def too_coarse(standing: Standing, speech: Speech) -> str:
    """Why a dose that is weighed apart is not poured by the main scale."""
    if standing.apart is None:
        raise ValueError(standing.phase)
    name = name_of(standing.run.recipe, standing.apart.material)
    division = speech.mass(standing.division_mg)
    return TOO_COARSE.format(name=name, division=division, scale=standing.apart.scale)


def cut_off(last_heard_mg: int | None, speech: Speech) -> str:
    """What is known of a pour whose scale is not heard any more."""
    return CUT_OFF if last_heard_mg is None else CUT_OFF_AT.format(amount=speech.mass(last_heard_mg))


def asked(
    standing: Standing,
    *,
    reference: bool,
    has_scale: bool,
    speech: Speech,
    missing: Missing = "",
    counted_mg: int = 0,
) -> Asked:
    """The words of the main question.

    Args:
        standing: What the facts say.
        reference: Whether what stood on the scale before the pour is known.
        has_scale: Whether a scale is linked.
        missing: Whether one is to be there and was not heard yet, or is not heard any more.
        counted_mg: What it had counted of the dose at hand before it went.
        speech: How to say masses.
    """
    step, run = standing.step, standing.run
    say = "" if step is None else step.say
    detail = (say,) if say and not isinstance(step, model.NoteStep) else ()
    if counted_mg:
        return _rest_of_it(standing, missing, counted_mg, speech)
    match standing.phase:
        case "safety":
            return Asked(ask="Read this and put the gear on.", enter="gear is on")
        case "paused":
            return Asked(ask=PAUSED.format(clock=_clock(run.paused_at)), enter="go on")
        case "pour" | "tub-fill" | "tub-tip":
            assert isinstance(step, model.AddStep | model.ReleaseStep)
            asked_now = _weighing(standing, step, reference=reference, has_scale=has_scale, speech=speech)
            asked_now = Asked(ask=asked_now.ask, enter=asked_now.enter, detail=(*asked_now.detail, *detail))
            on_this = standing.apart is None and standing.dosing is not None and standing.dosing.target_mg
            return _elsewhere(asked_now, missing, reference=reference) if on_this else asked_now
        case "take-out":
            if has_scale and not reference:
                return _BEFORE_TAKING_OUT["tub" if run.weighing == "tub" else "bucket"]
            taking = Asked(
                ask=_take_out(standing, speech), enter=_book_words(has_scale, "take it"), detail=detail
            )
            return _elsewhere(taking, missing, reference=reference)
        case "sand":
            words = HOW_DAMP.format(name=name_of(run.recipe, sand_to_ask(run) or ""))
            return Asked(ask=words, enter=SAND_DRY, detail=(DAMP_HINT,))
        case "lot":
            name = name_of(run.recipe, to_ask(run) or "")
            return Asked(ask=WHICH_LOT.format(name=name), enter=LOT_UNKNOWN)
        case "setting":
            return Asked(ask=SETS, enter="place it at once")
        case "start-mixing" | "release-start-mixing":
            words = FOLD_IN if run.in_slurry(step) else _mixing(step)
            return Asked(ask=words, enter="paddle turns", detail=detail)
        case "mixing":
            return Asked(ask="Keep mixing, paddle to the bottom.", enter="mixing done", detail=detail)
        case "resting":
            least = bounds_s(step) if step is not None else None
            words = f"Let it rest {show_duration(least[0] if least else 0)}; paddle out."
            return Asked(ask=words, enter="rest is over", detail=detail)
        case "scrape":
            return Asked(ask="Stop the paddle. Scrape sides and bottom.", enter="scraped", detail=detail)
        case "judge":
            assert isinstance(step, model.ConsistencyStep)
            # By trowel the recipe's own words stand for the usual ones.
            lines = () if detail and step.method == "trowel" else method_lines(step, speech.units)
            return Asked(ask=METHOD_ASKS[step.method], enter="", detail=(*lines, *detail))
        case "release-judge" | "release-mixing":
            return Asked(
                ask=_release(standing),
                enter="",
                detail=(*_water_now(standing), METHOD_WORDS["trowel"], *detail),
            )
        case "release-rest":
            assert isinstance(step, model.ReleaseStep)
            return _the_rest(standing, step, detail, speech)
        case "temperature":
            return Asked(ask="Take the temperature of the mix and type it.", enter=NOT_TAKEN, detail=detail)
        case "note":
            if layer := layer_placed(step):
                return Asked(ask=PLACE_LAYER.format(layer=layer), enter=LAYER_PLACED, detail=(BACK_IT,))
            return Asked(ask=say, enter="done")
        case "finish":
            left = len([flag for flag in standing.flags if flag.gravity != "note"])
            words = (
                "All steps are through. Close the batch once it is placed."
                if not left
                else "All steps are through; checks are open."
            )
            return Asked(ask=words, enter=PLACED_NOW, detail=(PLACED_BEFORE,))
        case "ended":
            words = (
                "The batch was discarded." if run.ended == "discarded" else "The batch is closed and saved."
            )
            return Asked(ask=words, enter="leave")
        case _ as forgotten:
            assert_never(forgotten)


def _rest_of_it(standing: Standing, missing: Missing, counted_mg: int, speech: Speech) -> Asked:
    """A dose begun on the scale, finished without it."""
    dosing = standing.dosing
    target_mg = (take_out_mg(standing) or 0) if dosing is None else dosing.target_mg
    name = "" if dosing is None else name_of(standing.run.recipe, dosing.material)
    why = _WHY.get(missing, NOT_HEARD)
    rest_mg = max(0, target_mg - counted_mg)
    words = rest_words(standing, counted_mg, rest_mg, name, speech)
    if not rest_mg:
        return Asked(ask=words, enter=TAKE_IT, detail=(why,))
    enter = WHICH_UNIT_ENTER if missing == "other-unit" else ""
    counted = COUNTED.format(amount=speech.mass(counted_mg))
    return Asked(ask=words, enter=enter, detail=(counted, why))


def _clock(stamp: Stamp | None) -> str:
    """Hours and minutes of the wall clock as it stood there."""
    minutes = 0 if stamp is None else stamp.utc_ms // 60_000 + stamp.offset_min
    return f"{minutes // 60 % 24}:{minutes % 60:02d}"


def _elsewhere(typed: Asked, missing: Missing, *, reference: bool) -> Asked:
    """What is weighed without this scale, while it is not heard; a pour begun on it keeps its own words."""
    words = typed.ask[:1].lower() + typed.ask[1:]
    if missing == "unheard":
        return Asked(ask=NOT_HEARD_YET, enter="", detail=(OR_ELSEWHERE.format(words=words), *typed.detail))
    if missing and not reference:
        why = _WHY.get(missing, NOT_HEARD)
        return Asked(ask=ELSEWHERE.format(words=words), enter="", detail=(why, *typed.detail))
    return typed


def _water_now(standing: Standing) -> tuple[str, ...]:
    """Where the water stands and where it would end, while some of it is held back."""
    now, ends, rule = standing.projection.ratio_now, standing.projection.ratio, standing.run.recipe.water
    if now is None or ends is None or now >= ends:
        return ()
    band = f"{show_ratio(rule.least)} to {show_ratio(rule.most)}"
    return (
        f"Water is at {show_ratio(now)} now; {show_ratio(ends)} with all that is held back; band {band}.",
    )


def _book_words(has_scale: bool, word: str) -> str:
    return word if has_scale else ""


def _weighing(
    standing: Standing,
    step: model.AddStep | model.ReleaseStep,
    *,
    reference: bool,
    has_scale: bool,
    speech: Speech,
) -> Asked:
    run = standing.run
    material = run.recipe.material(step.material)
    its = in_its_steps(run, step.material, speech)
    amount = its.mass(standing.dosing.target_mg) if standing.dosing is not None else ""
    hint = "" if step.say else HANDLING.get(material.role, "")
    detail = (hint,) if hint else ()
    if standing.dosing is not None and standing.dosing.target_mg == 0 and standing.dosing.exact_mg == 0:
        enough = ENOUGH if run.content[material.key] else "As it stands no {} is needed."
        return Asked(ask=enough.format(material.name), enter="go on")
    if standing.dosing is not None and standing.dosing.target_mg == 0:
        little = show_mass(round(standing.dosing.exact_mg), speech.units, division_mg=10)
        words = f"Weigh {little} of {material.name} on a finer scale, add it, type what went in."
        return Asked(ask=words, enter="", detail=detail)
    if standing.phase == "tub-tip" and run.tub is not None:
        if standing.dosing is not None and run.tub.mass_mg > standing.dosing.high_mg:
            detail = (TUB_TOO_FULL.format(amount=amount), *detail)
        filled = its.mass(run.tub.mass_mg) if run.rains_in else speech.mass(run.tub.mass_mg)
        tip = _rain_in if run.rains_in else _tip
        return tip(filled, material.name, has_scale=has_scale, detail=detail)
    if run.in_slurry(step):
        words = WEIGH_FOR_SLURRY.format(amount=amount, name=material.name)
        return Asked(ask=words, enter="", detail=(SLURRY_APART, *detail))
    if standing.apart is not None:
        template = RAIN_APART if run.rains_in else WEIGH_APART
        words = template.format(amount=amount, name=material.name, scale=standing.apart.scale)
        return Asked(ask=words, enter=BY_THIS_SCALE if has_scale else "", detail=detail)
    if not has_scale:
        template = RAIN_TYPED if run.rains_in else WEIGH_TYPED
        return Asked(ask=template.format(amount=amount, name=material.name), enter="", detail=detail)
    if run.stands == "bucket":
        if not reference:
            return Asked(ask="Put the bucket on the scale and wait until it is steady.", enter="bucket is on")
        return Asked(ask=f"Pour {amount} of {material.name} into the bucket.", enter="take it", detail=detail)
    if run.stands == "supply":
        if not reference:
            return Asked(ask=f"Put the {material.name} supply on the scale.", enter="supply is on")
        return Asked(ask=f"Take {amount} of {material.name} from the supply.", enter="take it", detail=detail)
    if not reference:
        return Asked(ask=f"Put the empty tub for the {material.name} on the scale.", enter="tub is on")
    return Asked(ask=f"Fill {amount} of {material.name} into the tub.", enter="tub is full", detail=detail)


def _tip(amount: str, name: str, *, has_scale: bool, detail: tuple[str, ...]) -> Asked:
    """A filled tub is tipped in; without the scale it is on the mixer to say what of it went in."""
    if not has_scale:
        return Asked(ask=f"Tip the {amount} of {name} in; type what went in.", enter="", detail=detail)
    words = f"Tip the {amount} of {name} in. Put the empty tub back on the scale."
    return Asked(ask=words, enter="tub is back", detail=(TYPED_OF_TUB, *detail))


def _rain_in(amount: str, name: str, *, has_scale: bool, detail: tuple[str, ...]) -> Asked:
    """Fibres out of their tub, while the paddle turns."""
    words = RAIN_IN.format(amount=amount, name=name)
    if not has_scale:
        return Asked(ask=f"{words} Type what went in.", enter="", detail=detail)
    return Asked(
        ask=f"{words} Then the tub back on the scale.", enter="tub is back", detail=(TYPED_OF_TUB, *detail)
    )


def _take_out(standing: Standing, speech: Speech) -> str:
    step = standing.step
    amount = speech.mass(take_out_mg(standing) or 0)
    if isinstance(step, model.SplitStep):
        return f"Take {amount} out of the bucket for the {step.layer}."
    if isinstance(step, TakeOutStep) and step.material:
        return f"Pour {amount} of {name_of(standing.run.recipe, step.material)} back."
    return f"Take {amount} of the mix out of the bucket."


def _mixing(step: RunStep | None) -> str:
    match step:
        case model.MixStep():
            return f"Mix {step.speed}, {show_duration(step.min_s)} to {show_duration(step.max_s)}."
        case model.ReleaseStep():
            return f"Mix {show_duration(step.mix_s)}."
        case (
            None | model.AddStep() | model.SplitStep() | TakeOutStep() | model.ScrapeStep() | model.RestStep()
        ):
            return "Mix."
        case model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
            return "Mix."
        case _ as forgotten:
            assert_never(forgotten)


def _the_rest(standing: Standing, step: model.ReleaseStep, detail: tuple[str, ...], speech: Speech) -> Asked:
    """The mix was just found right or too loose: what is held back stays out, and where the water then ends is said.

    With less water in than its band begins at that cannot be: what may be off is said instead.
    """
    run, name = standing.run, name_of(standing.run.recipe, step.material)
    loose = run.judged is not None and run.judged.verdict == "too-loose"
    if standing.dosing is not None and not standing.dosing.exact_mg:
        return Asked(ask=ENOUGH.format(name), enter="go on")
    if rest_in_doubt(standing):
        now, least = told_apart(standing.projection.ratio_now or Fraction(0), run.recipe.water.least)
        words = f"Right with water at {now}? The recipe's least is {least}."
        if loose:
            words = f"Too loose with water at {now}, least {least}? Keep back the rest."
        return Asked(ask=words, enter="", detail=(SOMETHING_OFF, *detail))
    held_mg = standing.projection.totals[step.material] - run.content[step.material]
    held = speech.mass(to_division(held_mg, standing.division_mg))
    if loose:
        words = f"Leave {held} of {name} out: it is too loose without it."
        return Asked(ask=words, enter="", detail=(*_ends_without(standing), *detail))
    words = f"Leave {held} of {name} out: it moves right without it."
    return Asked(ask=words, enter="leave it out", detail=(*_ends_without(standing), AFTER_ALL, *detail))


def rest_in_doubt(standing: Standing) -> bool:
    """Whether the mix was just found right, or too loose, with less water in than its band begins at."""
    judged = standing.run.judged
    return judged is not None and short_of_water(standing.run, standing.projection, judged.verdict)


def rest_lines(standing: Standing, speech: Speech, *, late: bool) -> tuple[str, ...]:
    """What may be done about what is held back, a line each; the weights are looked at by the last.

    None where Enter says it all. No water is offered once it is `late`, past the working time.
    """
    judged, dosing = standing.run.judged, standing.dosing
    loose = judged is not None and judged.verdict == "too-loose"
    if judged is None or dosing is None or not dosing.exact_mg or not (loose or rest_in_doubt(standing)):
        return ()
    ends = standing.projection.ratio
    leave = "leave the rest out" if ends is None else f"leave the rest out: water ends at {show_ratio(ends)}"
    if loose:
        work = f"let it stand {show_duration(REST_S)}, mix {show_duration(WATER_MIX_S)}, judge again"
        return leave, work, CHECK_WEIGHTS_LINE
    if late:
        return leave, CHECK_WEIGHTS_LINE
    amount = in_its_steps(standing.run, dosing.material, speech).mass(dosing.target_mg or dosing.exact_mg)
    return f"add held-back water in steps: {amount} now, mix, judge again", leave, CHECK_WEIGHTS_LINE


def _ends_without(standing: Standing) -> tuple[str, ...]:
    ends, rule = standing.projection.ratio, standing.run.recipe.water
    if ends is None:
        return ()
    if ends < rule.least:
        ratio, least = told_apart(ends, rule.least)
        return (f"Then it ends at {ratio}, under the band's {least}.",)
    band = f"{show_ratio(rule.least)} to {show_ratio(rule.most)}"
    return (f"Then it ends at {show_ratio(ends)}; band {band}.",)


def _release(standing: Standing) -> str:
    step = standing.step
    if standing.phase == "release-mixing" and isinstance(step, model.ReleaseStep):
        return f"Mix {show_duration(step.mix_s)}, then judge: how does it move?"
    return "Judge the mix: does it need held-back water?"
