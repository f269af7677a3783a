"""What is typed beside the main question: an amount, a temperature, a note."""

from dataclasses import dataclass

from mixstation.batch.commands import BookExtra, BookPortion, BookRemoved, NoteTemperature, WriteNote
from mixstation.station.scene import Scene, degrees, temperature_unit
from mixstation.station.talk import BACK, Back, Do, Outcome, Refuse
from mixstation.station.view import Answer, Question
from mixstation.units.parse import parse_temperature_c
from mixstation.wording import menu_lines as words


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """How much of something went in or came out; no material means the mix."""

    what: str
    material: str
    reason: str
    asked_mg: int | None = None

    def question(self, scene: Scene) -> Question:
        """A typed mass."""
        name = scene.run.recipe.material(self.material).name if self.material else words.THE_MIX
        return Question(
            ident=f"amount/{self.what}/{self.material}",
            ask=words.HOW_MUCH[self.what].format(name=name),
            entry="mass",
            unit_word=scene.unit_word(self.asked_mg),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """A weight, booked."""
        if not answer.typed.strip():
            return Refuse(code="nothing-typed")
        weight = scene.typed(answer.typed, self.asked_mg, self.material if self.what == "added" else "")
        if self.what == "added":
            return Do(command=BookExtra(material=self.material, weight=weight, reason=self.reason))
        if self.material:
            return Do(command=BookRemoved(material=self.material, weight=weight, reason=self.reason))
        return Do(command=BookPortion(weight=weight, reason=self.reason))


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeTemperature:
    """The temperature of the mix, whenever it is taken."""

    def question(self, scene: Scene) -> Question:
        """Typed degrees."""
        return Question(
            ident="temperature",
            ask=words.TYPE_TEMPERATURE,
            entry="temperature",
            unit_word=temperature_unit(scene.speech.units)[1],
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Noted."""
        return temperature(answer, scene)


def temperature(answer: Answer, scene: Scene) -> Outcome:
    """A typed temperature as a command.

    Raises:
        UnitsError: It cannot be read.
    """
    if not answer.typed.strip():
        return Refuse(code="nothing-typed")
    unit = temperature_unit(scene.speech.units)[0]
    mix_c = parse_temperature_c(answer.typed, unit, comma_is_decimal=scene.decimal_comma)
    return Do(command=NoteTemperature(mix_milli_c=degrees(mix_c), shown=answer.typed.strip()))


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeNote:
    """The mixer's own words."""

    def question(self, scene: Scene) -> Question:
        """Free text."""
        return Question(
            ident="note", ask=words.TYPE_NOTE, entry="text", enter=words.NOTE_ENTER, acts=(BACK,), grave=True
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Noted; an empty line goes back."""
        return Do(command=WriteNote(text=answer.typed)) if answer.typed.strip() else Back()
