"""Everything that is rarely needed: another step, another vessel, no more of a material, a judgement, a note."""

from mixstation.batch.commands import BringForward, ChangeWeighing, EnoughIn, Judge, RunOut, SkipStep
from mixstation.recipe.model import AddStep, Role
from mixstation.station.lots_talk import new_bag
from mixstation.station.scene import Scene
from mixstation.station.talk import Do, Lines, Menu, Open, reason
from mixstation.station.typed_talks import TypeCup, TypeNote, TypeTemperature
from mixstation.wording import menu_lines as words
from mixstation.wording.cup_lines import CUP_LINE
from mixstation.wording.words import step_words


def work_menu() -> Menu:
    """Everything that is rarely needed."""

    def lines(scene: Scene) -> Lines:
        step = scene.advice.standing.step
        skip = Open(talk=reason("skip", lambda why: SkipStep(reason=why)))
        mixed = not isinstance(step, AddStep) and any(
            mass and scene.run.recipe.material(key).is_powder for key, mass in scene.run.content.items()
        )
        return (
            (words.SKIP_LINE, None if step is None else skip),
            (words.FORWARD_LINE, None if step is None else Open(talk=pick_step())),
            (words.ENOUGH_LINE, Do(command=EnoughIn()) if isinstance(step, AddStep) else None),
            (words.LOT_LINE, Open(talk=new_bag())),
            (words.WEIGHING_LINE, Open(talk=pick_weighing())),
            (words.TEMPERATURE_LINE, Open(talk=TypeTemperature())),
            (words.CONSISTENCY_LINE, Open(talk=pick_consistency())),
            (words.NOTE_LINE, Open(talk=TypeNote())),
            (CUP_LINE, Open(talk=TypeCup()) if mixed else None),
        )

    return Menu(ident="work-menu", ask=words.WHAT_ELSE, lines=lines)


def pick_step() -> Menu:
    """Which step is done now, out of order."""

    def lines(scene: Scene) -> Lines:
        run, standing = scene.run, scene.advice.standing
        ahead = {step.key for step, _ in standing.coming if step != standing.step}
        own = {step.key: place for place, step in enumerate(run.recipe.steps)}
        # The steps of a way come last: they were not there when the numbers were learned.
        steps = sorted(run.steps, key=lambda step: own.get(step.key, len(own)))
        return tuple(
            (step_words(run, step), Do(command=BringForward(step=step.key)) if step.key in ahead else None)
            for step in steps
        )

    return Menu(ident="pick-step", ask=words.WHICH_STEP, lines=lines, none=words.NO_STEP_AHEAD)


def ran_out() -> Menu:
    """Of which material there is no more."""

    def lines(scene: Scene) -> Lines:
        run = scene.run
        return tuple(
            (material.name, Do(command=RunOut(material=material.key)) if run.pending(material.key) else None)
            for material in run.recipe.materials
            if material.role is not Role.WATER
        )

    return Menu(ident="ran-out", ask=words.WHICH_RAN_OUT, lines=lines, none=words.NOTHING_TO_RUN_OUT)


def pick_weighing() -> Menu:
    """What stands on the scale from here on."""
    lines: Lines = tuple(
        (line, Do(command=ChangeWeighing(weighing=kind))) for kind, line in words.WEIGHING_LINES.items()
    )
    return Menu(ident="pick-weighing", ask=words.WHICH_WEIGHING, lines=lambda _: lines)


def pick_consistency() -> Menu:
    """How the mix moves, outside a step that asks."""
    lines: Lines = tuple(
        (line, Do(command=Judge(verdict=verdict))) for verdict, line in words.VERDICT_LINES.items()
    )
    return Menu(ident="consistency", ask=words.HOW_MOVES, lines=lambda _: lines)
