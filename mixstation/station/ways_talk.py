"""What to do about it: the ways out, one line each, and the remedy that follows a judgement."""

from mixstation.batch.commands import SkipStep, TakeBack, TakeRemedy, TakeWay
from mixstation.batch.consistency import DONE_IN_STEPS, Remedy, remedy
from mixstation.batch.events import TimerStarted, Verdict, WeightRecorded
from mixstation.batch.refusal import Plain
from mixstation.batch.run import Run
from mixstation.batch.way import Way
from mixstation.frozen import Frozen
from mixstation.recipe.model import MixStep, ReleaseStep
from mixstation.station.scene import Scene
from mixstation.station.talk import BACK, Back, Do, Lines, Menu, Open, Outcome, Refuse, Talk, chosen, discard
from mixstation.station.view import Answer, Choice, Question
from mixstation.wording import menu_lines as words
from mixstation.wording.remedies import remedy_line
from mixstation.wording.ways import way_detail, way_line


class PickWay(Frozen):
    """Which way out is taken: those that can be first, then those that cannot with what bars them."""

    def question(self, scene: Scene) -> Question:
        """A line a way."""
        return Question(
            ident="pick-way",
            ask=words.WAYS_ASK,
            entry="whole",
            choices=_choices(scene),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """The way, taken."""
        number = chosen(answer, _choices(scene))
        if number is None:
            return Refuse(why=Plain.NOT_A_CHOICE)
        way = _ways(scene)[number - 1]
        return Do(command=TakeWay(way=way, said=way_line(way, scene.run, scene.speech.units)))


def _ways(scene: Scene) -> tuple[Way, ...]:
    return (scene.ways or ())[:9]


def _choices(scene: Scene) -> tuple[Choice, ...]:
    return tuple(
        Choice(
            number=number,
            words=way_line(way, scene.run, scene.speech.units),
            detail=way_detail(way, scene.run, scene.speech.units),
        )
        for number, way in enumerate(_ways(scene), start=1)
    )


# With these the recipe's own next step, or simply going on, is what the mixer would be told.
_NOTHING_TO_ASK = frozenset({"go-on", "held-back-water"})


def after_judging(scene: Scene, verdict: Verdict) -> Talk | None:
    """The remedy, put as a question; None where the recipe's own steps already answer it."""
    if scene.run.ended or verdict == "right":
        return None
    releases = any(
        isinstance(step, ReleaseStep) and step.key not in scene.run.finished for step in scene.run.steps
    )
    past_time = scene.advice.working.place == "past"
    run, main_mg = scene.run, scene.advice.standing.division_mg
    divisions_mg = {key: run.division_of(key, main_mg) for key in run.content}
    found = remedy(run, verdict, divisions_mg, past_time=past_time)
    # The recipe's own release answers it, unless the mix has not had its mixing yet.
    answered = releases and verdict == "too-stiff" and found.code not in ("mix-first", "discard")
    if found.code == "hold-water" and scene.advice.standing.phase == "release-rest":
        # The main question asks what is to be done about what is held back.
        return None
    if found.code in _NOTHING_TO_ASK or answered or (_is_under_way(scene) and found.code in DONE_IN_STEPS):
        return None
    return _asked(found, scene)


def _is_under_way(scene: Scene) -> bool:
    """Whether what is to be done first is known: a way's take-out, another remedy, a full tub, a mixing that runs."""
    run = scene.run
    mixing = scene.advice.standing.phase in ("mixing", "release-mixing")
    return run.takes_out_first or run.in_remedy or run.tub is not None or mixing


def _asked(found: Remedy, scene: Scene) -> Menu:
    at_release = isinstance(scene.advice.standing.step, ReleaseStep)
    if found.code == "discard" and at_release:
        # No question that follows may ask for water.
        placed: Lines = ((words.PLACE_NOW_LINE, Do(command=SkipStep(reason=words.NO_MORE_WATER))),)
        lines: Lines = ((words.DISCARD_LINE, Open(talk=discard())), *placed)
        return _menu(found, scene, lines)
    lines = ((words.GO_ON_LINE, Back()),)
    mixed = _last_mixing(scene.run)
    if isinstance(scene.run.step, MixStep) and found.code in ("mix-first", "remix-first"):
        # The recipe's own mixing at hand does it.
        return _menu(found, scene, lines)
    if found.code == "mix-first" and mixed is not None:
        mix_on = Do(command=TakeBack(seq=mixed, reason=words.MIXED_ON))
        lines = ((words.MIX_ON_LINE, mix_on), *lines)
    elif found.code in DONE_IN_STEPS:
        said = remedy_line(found, scene.run, scene.speech)
        lines = ((words.TAKE_REMEDY_LINE, Do(command=TakeRemedy(remedy=found, said=said))), *lines)
    elif found.code == "ways-out":
        lines = ((words.WAYS_LINE, Open(talk=PickWay(), ways=True)), *lines)
    elif found.code in ("discard", "stop"):
        lines = (*lines, (words.DISCARD_LINE, Open(talk=discard())))
    return _menu(found, scene, lines)


def _last_mixing(run: Run) -> int | None:
    """The entry that began the last mixing, to be mixed anew; None where something has gone in since."""
    for entry in reversed(run.live):
        if isinstance(entry.fact, WeightRecorded):
            return None
        if isinstance(entry.fact, TimerStarted) and isinstance(
            run.step_of(entry.fact.step), MixStep | ReleaseStep
        ):
            return entry.seq
    return None


def _menu(found: Remedy, scene: Scene, lines: Lines) -> Menu:
    ask = remedy_line(found, scene.run, scene.speech)

    def over(scene: Scene) -> bool:
        """What was to be added is not to be added any more."""
        return bool(found.mass_mg) and scene.advice.sets

    return Menu(ident=f"remedy/{found.code}", ask=ask, lines=lambda _: lines, over=over)
