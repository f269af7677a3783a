"""The tub, tipped in and weighed back: by the scale, or by a typed number, asked about where it can be two things."""

from collections.abc import Iterator
from dataclasses import replace

from mixstation.batch.commands import Book, Weight
from mixstation.batch.decide_weighing import TUB_SLACK_DIVISIONS
from mixstation.batch.events import TubFilled
from mixstation.batch.refusal import Plain
from mixstation.station.menu import Lines, Menu
from mixstation.station.scene import Scene, in_next_unit
from mixstation.station.talk import Do, Open, Outcome, Refuse
from mixstation.wording import menu_lines as words


def tipped(scene: Scene) -> Outcome:
    """What stuck to the tub is weighed back on the scale and taken off."""
    live, tub, empty_mg = scene.live, scene.run.tub, _empty_tub_mg(scene)
    if live is None or live.mass_mg is None or tub is None or empty_mg is None:
        return Refuse(why=Plain.NO_READING)
    residue_mg = live.mass_mg - empty_mg
    if residue_mg * 2 > tub.mass_mg:
        return Refuse(why=Plain.TUB_STILL_FULL)
    if residue_mg < -TUB_SLACK_DIVISIONS * live.division_mg:
        return Refuse(why=Plain.TUB_NOT_ON)
    weight = Weight(mass_mg=0, source="scale", shown=tub.shown, division_mg=tub.division_mg, weighing="tub")
    return Do(command=Book(weight=_less(tub, weight, max(0, residue_mg))))


def typed_back(typed: str, weight: Weight, scene: Scene) -> Outcome:
    """A typed number is what went in, unless it can be the emptied tub or what stuck to it: then it is asked.

    Args:
        typed: As it was typed.
        weight: The same read as what went in.
        scene: With a tub that was filled.

    Source: Choice: more than half of what was filled does not stay in a tub that was tipped.
    """
    tub = scene.run.tub
    assert tub is not None
    other = in_next_unit(typed, weight, scene, scene.target_mg)
    found = tuple(_meanings(scene, tub, weight))
    if not found and other is not None:
        found = tuple(_meanings(scene, tub, other))
    if all(meant.residue_mg is None for _, meant in found):
        return Do(command=Book(weight=weight))
    lines: Lines = tuple(
        (line.format(amount=scene.speech.mass(meant.mass_mg)), Do(command=Book(weight=meant)))
        for line, meant in found
    )
    ask = words.WHICH_OF_TUB.format(typed=weight.shown, filled=scene.speech.mass(tub.mass_mg))
    return Open(talk=Menu(ident="which-of-tub", ask=ask, lines=lambda _: lines))


def _meanings(scene: Scene, tub: TubFilled, weight: Weight) -> Iterator[tuple[str, Weight]]:
    """What a typed mass can be, each with what then went in; none where it fits nothing."""
    slack_mg, empty_mg = TUB_SLACK_DIVISIONS * tub.division_mg, _empty_tub_mg(scene)
    if empty_mg is not None and empty_mg > slack_mg:
        residue_mg = weight.mass_mg - empty_mg
        if -slack_mg <= residue_mg and residue_mg * 2 <= tub.mass_mg:
            yield words.TUB_WEIGHED, _less(tub, weight, max(0, residue_mg))
    if weight.mass_mg >= 0 and weight.mass_mg * 2 <= tub.mass_mg:
        yield words.TUB_STUCK, _less(tub, weight, weight.mass_mg)
    if 0 < weight.mass_mg <= tub.mass_mg + slack_mg:
        yield words.TUB_WENT_IN, weight


def _less(tub: TubFilled, weight: Weight, residue_mg: int) -> Weight:
    return replace(weight, mass_mg=tub.mass_mg - residue_mg, residue_mg=residue_mg)


def _empty_tub_mg(scene: Scene) -> int | None:
    """What the scale showed with the empty tub on it, or None where it was never read."""
    step = scene.advice.standing.step
    reference = None if step is None else scene.run.references.get(step.key)
    return None if reference is None else reference.gross_mg
