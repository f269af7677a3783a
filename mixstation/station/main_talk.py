"""The main question: the step at hand, as the advice has it."""

from collections.abc import Mapping
from dataclasses import replace
from math import floor
from typing import assert_never

from mixstation.account.cure import piece_lines
from mixstation.batch.commands import (
    AcknowledgeSafety,
    Book,
    DoneStep,
    EnoughIn,
    FillTub,
    Judge,
    LetWaterIn,
    SkipStep,
    StartTimer,
    TakeReference,
    TakeRemedy,
    TakeUp,
    Weight,
)
from mixstation.batch.consistency import REST_S, WATER_MIX_S, Remedy
from mixstation.batch.decide_weighing import FAR_OFF
from mixstation.batch.refusal import Plain
from mixstation.frozen import Frozen
from mixstation.station.counted import enough, finished
from mixstation.station.flags_talk import ReadFlags, flags_act
from mixstation.station.measured_talk import measured, measured_answer, measured_entry, measured_unit
from mixstation.station.placing import closed, may_be_now
from mixstation.station.scene import Scene, steady_weight, temperature_unit
from mixstation.station.talk import MAIN_ACTS, Do, Leave, Open, Outcome, Refuse, chosen, discard, numbered
from mixstation.station.trouble import add_else, check_weights, pick_entry, too_coarse, trouble
from mixstation.station.typed_talks import temperature
from mixstation.station.view import Act, Answer, Choice, EntryKind, Question
from mixstation.station.which_weight import Expected, misread, tipped, typed_back, which_weight
from mixstation.station.work_menu import work_menu
from mixstation.wording.asks import (
    PLACED_UNIT,
    PLACED_UNSAID,
    PUT_BACK,
    START_ANEW,
    asked,
    cut_off,
    rest_lines,
)
from mixstation.wording.like_lines import at_the_end, before_water, while_mixing
from mixstation.wording.menu_lines import (
    DISCARD_ACT,
    LOOSE_WITHOUT,
    NO_MORE_WATER,
    RIGHT_WITHOUT,
    TEMPERATURE_UNITS,
    VERDICTS_ASKED,
)
from mixstation.wording.remedies import remedy_line
from mixstation.wording.safety import BEFORE_THE_FIRST_BAG, LIMITS_OF_USE

_VERDICTS = tuple(VERDICTS_ASKED)


_WEIGHS = ("pour", "tub-fill", "tub-tip", "take-out")


_JUDGES = ("judge", "release-judge", "release-mixing")


_ACTS: Mapping[str, tuple[Act, ...]] = {
    "safety": (),
    "ended": (),
    "setting": tuple(replace(act, words=DISCARD_ACT) if act.name == "trouble" else act for act in MAIN_ACTS),
}


class MainTalk(Frozen):
    """The step at hand."""

    def question(self, scene: Scene) -> Question:
        """What the step asks."""
        standing = scene.advice.standing
        step = standing.step
        reference = step is not None and step.key in scene.run.references
        words = asked(
            standing,
            reference=reference,
            has_scale=scene.has_scale,
            speech=scene.speech,
            missing=scene.missing,
            counted_mg=scene.counted_mg,
        )
        ask, detail = words.ask, words.detail
        enter = words.enter
        if standing.phase == "finish" and not may_be_now(scene):
            enter = PLACED_UNSAID
        elif standing.phase == "ended":
            detail = piece_lines(scene.run, scene.speech.units)
        elif standing.phase == "safety":
            detail = (*BEFORE_THE_FIRST_BAG, *LIMITS_OF_USE)
        elif scene.vessel_off and step is not None and standing.phase != "setting":
            ask, detail = PUT_BACK[scene.run.references[step.key].weighing], (START_ANEW, *detail)
        elif scene.counted_mg:
            pass
        elif reference and standing.phase in ("pour", "take-out") and scene.advice.net is None:
            detail = (cut_off(scene.last_heard_mg, scene.speech), *detail)
        detail = (*detail, *_beside_another(scene))
        entry = _entry(scene)
        acts = _ACTS.get(standing.phase, MAIN_ACTS)
        return Question(
            ident=f"main/{standing.phase}/{step.key if step is not None else ''}",
            ask=ask,
            detail=detail,
            entry=entry,
            unit_word=_unit_word(scene, entry),
            enter=enter,
            choices=_choices(scene),
            acts=(*acts, *flags_act(scene, entry)) if acts else (),
            to_the_end=standing.phase == "safety",
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """What was meant."""
        match answer.pressed:
            case "add-else":
                return Open(talk=add_else())
            case "take-back":
                return Open(talk=pick_entry())
            case "trouble" if scene.advice.standing.phase == "setting":
                return Open(talk=discard())
            case "trouble":
                return Open(talk=trouble())
            case "flags":
                return Open(talk=ReadFlags())
            case "menu":
                return Open(talk=work_menu())
            case _:
                return _entered(answer, scene)


def _beside_another(scene: Scene) -> tuple[str, ...]:
    """What an earlier batch of the colour says here: before the first water, at a mixing, at the end."""
    run, phase = scene.run, scene.advice.standing.phase
    if phase in ("finish", "ended"):
        return at_the_end(run)
    if phase == "safety" or run.first_water is not None:
        return while_mixing(run) if phase in ("start-mixing", "mixing") else ()
    return before_water(run, scene.speech.units)


def _entry(scene: Scene) -> EntryKind:
    phase = scene.advice.standing.phase
    if phase in _WEIGHS:
        return "mass"
    if phase == "temperature":
        return "temperature"
    if (step := measured(scene)) is not None:
        return measured_entry(step)
    if phase == "finish":
        return "minutes"
    return "whole" if phase in _JUDGES or _choices(scene) else "none"


def _unit_word(scene: Scene, entry: EntryKind) -> str:
    if entry == "mass":
        return scene.unit_word(scene.asked_mg)
    if entry == "temperature":
        return TEMPERATURE_UNITS[temperature_unit(scene.speech.units)]
    if entry == "minutes":
        return PLACED_UNIT
    step = measured(scene)
    return "" if step is None else measured_unit(step, scene)


def _choices(scene: Scene) -> tuple[Choice, ...]:
    standing = scene.advice.standing
    if standing.phase == "release-rest":
        return numbered(rest_lines(standing, scene.speech, late=_is_late(scene)))
    if standing.phase not in _JUDGES:
        return ()
    if measured(scene) is not None:
        return ()
    return numbered(tuple(VERDICTS_ASKED.values()))


def _entered(answer: Answer, scene: Scene) -> Outcome:
    standing = scene.advice.standing
    match standing.phase:
        case "safety":
            return Do(command=AcknowledgeSafety())
        case "paused":
            return Do(command=TakeUp())
        case "pour" | "tub-fill" | "tub-tip" | "take-out":
            return _weighed(answer, scene)
        case "setting":
            return Do(command=SkipStep(reason=NO_MORE_WATER))
        case "start-mixing" | "release-start-mixing":
            return Do(command=StartTimer())
        case "mixing" | "resting" | "scrape" | "note":
            return Do(command=DoneStep())
        case "judge" | "release-judge" | "release-mixing":
            return _judged(answer, scene)
        case "release-rest":
            return _of_the_rest(answer, scene)
        case "temperature":
            return temperature(answer, scene)
        case "finish":
            return closed(answer, scene)
        case "ended":
            return Leave()
        case _ as forgotten:
            assert_never(forgotten)


def _of_the_rest(answer: Answer, scene: Scene) -> Outcome:
    """What is held back stays out, unless it is to be let in after all or something is looked into first."""
    standing, judged = scene.advice.standing, scene.run.judged
    choices = _choices(scene)
    loose = judged is not None and judged.verdict == "too-loose"
    leave = Do(command=SkipStep(reason=LOOSE_WITHOUT if loose else RIGHT_WITHOUT))
    if not choices:
        enough = standing.dosing is not None and not standing.dosing.exact_mg
        return Do(command=EnoughIn()) if enough else leave
    number = chosen(answer, choices)
    if number is None:
        return Refuse(why=Plain.NOT_A_CHOICE)
    stand = Remedy(code="wait", rest_s=REST_S, mix_s=WATER_MIX_S)
    work = TakeRemedy(remedy=stand, said=remedy_line(stand, scene.run, scene.speech))
    ways: tuple[Outcome, ...] = (Do(command=LetWaterIn()), leave)
    if loose:
        ways = leave, Do(command=work)
    elif _is_late(scene):
        ways = (leave,)
    return (*ways, Open(talk=check_weights()))[number - 1]


def _is_late(scene: Scene) -> bool:
    return scene.advice.working.place == "past"


def _judged(answer: Answer, scene: Scene) -> Outcome:
    step = measured(scene)
    if step is not None:
        return measured_answer(answer, step, scene)
    number = chosen(answer, _choices(scene))
    return (
        Refuse(why=Plain.NOT_A_CHOICE) if number is None else Do(command=Judge(verdict=_VERDICTS[number - 1]))
    )


def _weighed(answer: Answer, scene: Scene) -> Outcome:
    standing, run = scene.advice.standing, scene.run
    if answer.typed.strip():
        typed = _typed(answer, scene)
        if scene.counted_mg:
            return finished(answer.typed, typed, scene, _expected(scene))
        slip = misread(answer.typed, typed, scene, _expected(scene))
        if slip is not None:
            return Open(talk=which_weight(typed, slip, lambda meant: Book(weight=meant)))
        return Do(command=Book(weight=typed)) if run.tub is None else typed_back(answer.typed, typed, scene)
    if standing.dosing is not None and standing.dosing.exact_mg == 0:
        return Do(command=EnoughIn())
    step = standing.step
    if scene.counted_mg:
        return enough(scene)
    if not scene.has_scale or step is None:
        return Refuse(why=Plain.NOTHING_TYPED)
    live = scene.live
    if live is None or live.mass_mg is None or live.state not in ("steady", "moving"):
        return Refuse(why=Plain.NO_READING)
    if live.state != "steady":
        return Refuse(why=Plain.NOT_STEADY)
    reference = run.references.get(step.key)
    if reference is None and standing.apart is not None:
        return Open(talk=too_coarse(standing, scene.speech))
    if reference is None:
        return Do(command=TakeReference(gross_mg=live.mass_mg, division_mg=standing.division_mg))
    if standing.phase == "tub-tip":
        return tipped(scene)
    weight = steady_weight(scene)
    if weight is None:
        return Refuse(why=Plain.VESSEL_OFF if scene.vessel_off else Plain.NO_READING)
    return Do(command=FillTub(weight=weight) if standing.phase == "tub-fill" else Book(weight=weight))


def _typed(answer: Answer, scene: Scene) -> Weight:
    """A typed weight; a tub that was filled and is not weighed back keeps something, however its weight is known."""
    dosing = scene.advice.standing.dosing
    weight = scene.typed(answer.typed, scene.asked_mg, "" if dosing is None else dosing.material)
    return weight if scene.run.tub is None else replace(weight, weighing="tub")


def _expected(scene: Scene) -> Expected:
    """What the step at hand may have typed: near what it asks, or right, and never more than half over the whole.

    Source: Choice: near is within a half of what is asked.
    """
    standing = scene.advice.standing
    asked = standing.dosing
    if asked is None:
        target_mg, low_mg, high_mg, most_mg = scene.target_mg or 0, 0, 0, floor(scene.run.in_bucket_mg)
    else:
        target_mg, low_mg, high_mg = asked.target_mg or round(asked.exact_mg), asked.low_mg, asked.high_mg
        most_mg = floor(standing.projection.totals[asked.material] * (1 + FAR_OFF))
    return Expected(
        like_mg=scene.target_mg,
        # What is typed of a tub that was filled can be the tub's own weight, or what stuck to it.
        most_mg=most_mg if scene.run.tub is None else 0,
        fits=lambda mass_mg: (
            target_mg > 0
            and (abs(mass_mg - target_mg) <= target_mg * FAR_OFF or low_mg <= mass_mg <= high_mg)
        ),
    )
