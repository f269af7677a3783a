"""A dose begun on the scale and finished without it: what it had counted stays counted, the rest is typed."""

from dataclasses import replace

from mixstation.batch.commands import Book, Weight
from mixstation.batch.events import (
    MaterialRemoved,
    PortionTaken,
    ReferenceTaken,
    ScaleChanged,
    WeightRecorded,
)
from mixstation.batch.refusal import Plain
from mixstation.batch.run import Run
from mixstation.station.scene import Scene
from mixstation.station.talk import Do, Lines, Menu, Open, Outcome, Refuse
from mixstation.station.which_weight import Expected, misread, which_weight
from mixstation.wording import counted_lines as words


def last_heard(run: Run) -> tuple[str, int] | None:
    """The step that was being weighed when the scale went away, and how much of it was in; None where it was heard
    again, or began anew.
    """
    for entry in reversed(run.live):
        match entry.fact:
            case ScaleChanged(step=str(step), heard_mg=heard_mg) if heard_mg:
                return step, heard_mg
            case ScaleChanged(state="live") | ReferenceTaken():
                return None
            case WeightRecorded() | MaterialRemoved() | PortionTaken():
                return None
            case _:
                pass
    return None


def finished(typed: str, weight: Weight, scene: Scene, expected: Expected) -> Outcome:
    """What is typed is the rest, added since; what can only be all of it, or either, is asked about.

    Args:
        typed: As it was typed.
        weight: Read as it stands.
        expected: What all of it may be.
    """
    counted_mg = scene.counted_mg

    def of_all(rest: Weight) -> Weight:
        shown = f"{scene.speech.mass(counted_mg)} + {rest.shown}"
        return replace(rest, mass_mg=counted_mg + rest.mass_mg, shown=shown)

    def rest_fits(mass_mg: int) -> bool:
        return expected.fits(counted_mg + mass_mg)

    slip = misread(
        typed,
        weight,
        scene,
        replace(expected, like_mg=scene.asked_mg, most_mg=expected.most_mg - counted_mg, fits=rest_fits),
    )
    if slip is not None:
        return Open(talk=which_weight(weight, slip, lambda meant: Book(weight=of_all(meant))))
    if weight.mass_mg >= counted_mg and expected.fits(weight.mass_mg) and not _is_rest(weight.mass_mg, scene):
        return Open(talk=_which(weight, of_all(weight)))
    return Do(command=Book(weight=of_all(weight)))


def enough(scene: Scene) -> Outcome:
    """Enter alone, with nothing more to add: what was counted is all of it."""
    if scene.asked_mg:
        return Refuse(why=Plain.NOTHING_TYPED)
    shown = scene.speech.mass(scene.counted_mg)
    division_mg = scene.advice.standing.division_mg
    return Do(
        command=Book(
            weight=Weight(mass_mg=scene.counted_mg, source="scale", shown=shown, division_mg=division_mg)
        )
    )


def _is_rest(mass_mg: int, scene: Scene) -> bool:
    """Whether a weight is what is asked for, within what is right for all of it."""
    dosing, counted_mg = scene.advice.standing.dosing, scene.counted_mg
    if dosing is None:
        asked_mg = scene.asked_mg or 0
        return abs(mass_mg - asked_mg) <= max(scene.advice.standing.division_mg, asked_mg // 50)
    return dosing.low_mg <= counted_mg + mass_mg <= dosing.high_mg


def _which(all_of_it: Weight, added: Weight) -> Menu:
    def lines(scene: Scene) -> Lines:
        return (
            (
                words.ALL_OF_IT.format(amount=scene.speech.finely(all_of_it.mass_mg)),
                Do(command=Book(weight=all_of_it)),
            ),
            (words.ADDED.format(amount=scene.speech.finely(added.mass_mg)), Do(command=Book(weight=added))),
        )

    return Menu(ident="which-counted", ask=words.WHICH, lines=lines)
