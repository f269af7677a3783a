"""What is typed beside the main question: an amount, a temperature, a note."""

from math import floor

from mixstation.batch.commands import (
    BookExtra,
    BookPortion,
    BookRemoved,
    Command,
    NoteTemperature,
    Weight,
    WriteNote,
)
from mixstation.batch.decide_weighing import FAR_OFF, most_beside_mg
from mixstation.frozen import dataclass
from mixstation.station.scene import Scene, degrees, temperature_unit
from mixstation.station.talk import BACK, Back, Do, Open, Outcome, Refuse
from mixstation.station.view import Answer, Question
from mixstation.station.which_unit import Expected, misread, which_weight
from mixstation.units.parse import parse_temperature_c
from mixstation.wording import menu_lines as words


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """How much of something went in or came out; no material means the mix."""

    what: str
    material: str
    reason: str

    def question(self, scene: Scene) -> Question:
        """A typed mass."""
        name = scene.run.recipe.material(self.material).name if self.material else words.THE_MIX
        return Question(
            ident=f"amount/{self.what}/{self.material}",
            ask=words.HOW_MUCH[self.what].format(name=name),
            entry="mass",
            unit_word=scene.unit_word(self._expected(scene).like_mg),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """A weight, booked."""
        if not answer.typed.strip():
            return Refuse(code="nothing-typed")
        expected = self._expected(scene)
        weight = scene.typed(answer.typed, expected.like_mg, self.material if self.what == "added" else "")
        slip = misread(answer.typed, weight, scene, expected)
        if slip is not None:
            return Open(talk=which_weight(weight, slip, self._booked))
        return Do(command=self._booked(weight))

    def _booked(self, weight: Weight) -> Command:
        if self.what == "added":
            return BookExtra(material=self.material, weight=weight, reason=self.reason)
        if self.material:
            return BookRemoved(material=self.material, weight=weight, reason=self.reason)
        return BookPortion(weight=weight, reason=self.reason)

    def _expected(self, scene: Scene) -> Expected:
        run, projection = scene.run, scene.advice.standing.projection
        if self.what == "added":
            room_mg = most_beside_mg(run, projection, self.material)
            whole_mg = floor(projection.totals[self.material] * (1 + FAR_OFF))
            like_mg = scene.planned_mg(self.material)
        else:
            whole_mg = floor(run.content[self.material] if self.material else run.in_bucket_mg)
            like_mg = room_mg = whole_mg
        return Expected(like_mg=like_mg, most_mg=whole_mg, fits=lambda mass_mg: mass_mg <= room_mg)


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
