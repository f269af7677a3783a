"""A consistency that is measured: a spread is asked both ways in the mixer's own unit, a flow or a ring as a number."""

from fractions import Fraction

from mixstation.batch.commands import Judge
from mixstation.batch.measured import diameter_mm
from mixstation.batch.refusal import Plain, RefusedError
from mixstation.frozen import Frozen
from mixstation.recipe.model import ConsistencyStep
from mixstation.station.scene import Scene
from mixstation.station.talk import BACK, Do, Open, Outcome, Refuse
from mixstation.station.view import Answer, EntryKind, Question
from mixstation.units.parse import parse_length_mm
from mixstation.wording import measured_lines as words


def measured(scene: Scene) -> ConsistencyStep | None:
    """The step at hand, if it is one that measures the consistency."""
    standing = scene.advice.standing
    step = standing.step
    if standing.phase != "judge" or not isinstance(step, ConsistencyStep) or step.method == "trowel":
        return None
    return step


def measured_entry(step: ConsistencyStep) -> EntryKind:
    """What is typed."""
    return "length" if step.method == "spread" else "whole"


def measured_unit(step: ConsistencyStep, scene: Scene) -> str:
    """The unit of what is typed."""
    if step.method == "spread":
        return words.LENGTH_WORDS[words.length_unit(scene.speech.units)]
    return words.FIGURE_WORDS[step.method]


def measured_answer(answer: Answer, step: ConsistencyStep, scene: Scene) -> Outcome:
    """A figure, judged; of a spread first one diameter, then the other.

    Raises:
        UnitsError: It cannot be read.
    """
    if step.method == "spread":
        if not answer.typed.strip():
            return Refuse(why=Plain.NOTHING_TYPED)
        across_um = _across_um(answer, scene)
        try:
            diameter_mm(Fraction(across_um, 1000))
        except RefusedError as error:
            return Refuse(why=error.refusal)
        return Open(talk=TypeAcross(first_um=across_um))
    typed = answer.typed.strip()
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 4):
        return Refuse(why=Plain.NOT_WHOLE)
    return Do(command=Judge(verdict=None, figure=int(typed)))


class TypeAcross(Frozen):
    """The other diameter of a spread."""

    first_um: int

    def question(self, scene: Scene) -> Question:
        """A typed length."""
        units = scene.speech.units
        return Question(
            ident=f"across/{self.first_um}",
            ask=words.ACROSS,
            detail=words.across_detail(measured(scene), self.first_um, units),
            entry="length",
            unit_word=words.LENGTH_WORDS[words.length_unit(units)],
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Both, judged."""
        if not answer.typed.strip():
            return Refuse(why=Plain.NOTHING_TYPED)
        return Do(command=Judge(verdict=None, across_um=(self.first_um, _across_um(answer, scene))))


def _across_um(answer: Answer, scene: Scene) -> int:
    unit = words.length_unit(scene.speech.units)
    across_mm = parse_length_mm(answer.typed, unit, comma_is_decimal=scene.decimal_comma)
    return round(across_mm * 1000)
