"""What is typed beside the main question: an amount, a temperature, a note, a cup of the mix."""

from fractions import Fraction
from math import floor

from mixstation.batch import commands
from mixstation.batch.decide_weighing import FAR_OFF, most_beside_mg
from mixstation.batch.events import DensityMeasured
from mixstation.batch.refusal import Plain
from mixstation.batch.wet_density import wet_density
from mixstation.frozen import Frozen
from mixstation.proportion.density import yield_l
from mixstation.station.scene import Scene, temperature_unit
from mixstation.station.talk import BACK, Back, Do, Open, Outcome, Refuse
from mixstation.station.view import Answer, Question
from mixstation.station.which_weight import Expected, misread, which_weight
from mixstation.units.errors import UnitsError
from mixstation.units.parse import parse_mass_mg, parse_temperature_c, parse_volume_ml
from mixstation.units.show import DisplayUnits
from mixstation.wording import cup_lines
from mixstation.wording import menu_lines as words


class TypeAmount(Frozen):
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
            return Refuse(why=Plain.NOTHING_TYPED)
        expected = self._expected(scene)
        weight = scene.typed(answer.typed, expected.like_mg, self.material if self.what == "added" else "")
        slip = misread(answer.typed, weight, scene, expected)
        if slip is not None:
            return Open(talk=which_weight(weight, slip, self._booked))
        return Do(command=self._booked(weight))

    def _booked(self, weight: commands.Weight) -> commands.Command:
        if self.what == "added":
            return commands.BookExtra(material=self.material, weight=weight, reason=self.reason)
        if self.material:
            return commands.BookRemoved(material=self.material, weight=weight, reason=self.reason)
        return commands.BookPortion(weight=weight, reason=self.reason)

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


class TypeTemperature(Frozen):
    """The temperature of the mix, whenever it is taken."""

    def question(self, scene: Scene) -> Question:
        """Typed degrees."""
        return Question(
            ident="temperature",
            ask=words.TYPE_TEMPERATURE,
            entry="temperature",
            unit_word=words.TEMPERATURE_UNITS[temperature_unit(scene.speech.units)],
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
        return Refuse(why=Plain.NOTHING_TYPED)
    unit = temperature_unit(scene.speech.units)
    mix_c = parse_temperature_c(answer.typed, unit, comma_is_decimal=scene.decimal_comma)
    return Do(command=commands.NoteTemperature(mix_milli_c=round(mix_c * 1000), shown=answer.typed.strip()))


class TypeNote(Frozen):
    """The mixer's own words."""

    def question(self, scene: Scene) -> Question:
        """Free text."""
        return Question(
            ident="note", ask=words.TYPE_NOTE, entry="text", enter=words.NOTE_ENTER, acts=(BACK,), grave=True
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Noted; an empty line goes back."""
        return Do(command=commands.WriteNote(text=answer.typed)) if answer.typed.strip() else Back()


class TypeCup(Frozen):
    """What the cup holds: its volume, or the water that fills it."""

    def question(self, scene: Scene) -> Question:
        """A typed volume, or a mass of water with its unit."""
        return Question(
            ident="cup",
            ask=cup_lines.TYPE_CUP,
            detail=cup_lines.CUP_DETAIL,
            entry="volume",
            unit_word=words.CUP_UNITS[_cup_unit(scene)],
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """On to the mix in it."""
        if not answer.typed.strip():
            return Refuse(why=Plain.NOTHING_TYPED)
        return Open(talk=TypeCupful(cup_ul=round(1000 * _cup_ml(answer.typed, scene))))


def _cup_unit(scene: Scene) -> str:
    return "mL" if scene.speech.units is DisplayUnits.METRIC else "US fl oz"


def _cup_ml(typed: str, scene: Scene) -> Fraction:
    """Volume of the cup; what is typed as a mass is the water that fills it.

    Raises:
        UnitsError: It can be read as neither.
    """
    try:
        return parse_volume_ml(typed, _cup_unit(scene), comma_is_decimal=scene.decimal_comma)
    except UnitsError as error:
        if error.code != "wrong-dimension":
            raise
    water_kg = parse_mass_mg(typed, comma_is_decimal=scene.decimal_comma) / 1_000_000
    water = scene.run.recipe.material(scene.run.recipe.water_key)
    return Fraction(yield_l(max(0.0, water_kg), density_kg_m3=water.density_kg_m3)) * 1000


class TypeCupful(Frozen):
    """What the mix in the cup weighs."""

    cup_ul: int

    def question(self, scene: Scene) -> Question:
        """A typed net mass."""
        return Question(
            ident=f"cupful/{self.cup_ul}",
            ask=cup_lines.TYPE_CUPFUL,
            detail=cup_lines.CUPFUL_DETAIL,
            entry="mass",
            unit_word=scene.unit_word(self._like_mg),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Recorded; what it tells is shown next."""
        if not answer.typed.strip():
            return Refuse(why=Plain.NOTHING_TYPED)
        weight = scene.typed(answer.typed, self._like_mg)
        return Do(command=commands.MeasureDensity(cup_ul=self.cup_ul, weight=weight), then=CupTells())

    @property
    def _like_mg(self) -> int:
        """About two milligrams a microlitre."""
        return 2 * self.cup_ul


class CupTells(Frozen):
    """What the newest cup tells."""

    def question(self, scene: Scene) -> Question:
        """Density, air and yield; Enter goes back to work."""
        facts = [entry.fact for entry in scene.run.live if isinstance(entry.fact, DensityMeasured)]
        found = (
            wet_density(scene.run.recipe, scene.run.content, facts[-1], scene.run.in_bucket_mg)
            if facts
            else None
        )
        said = (
            cup_lines.NOTHING_TOLD
            if found is None
            else cup_lines.cup_tells(found, scene.run.recipe, scene.speech.units)
        )
        return Question(
            ident="cup-tells",
            ask=said[0],
            detail=said[1:],
            enter=cup_lines.CUP_ENTER,
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Back to the step."""
        return Back()
