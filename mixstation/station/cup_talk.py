"""A cup of mix on the scale: how much the cup holds, what the mix in it weighs, and what that tells."""

from fractions import Fraction

from mixstation.batch.commands import MeasureDensity
from mixstation.batch.events import DensityMeasured
from mixstation.batch.refusal import Plain
from mixstation.batch.wet_density import wet_density
from mixstation.frozen import dataclass
from mixstation.proportion.density import yield_l
from mixstation.station.scene import Scene
from mixstation.station.talk import BACK, Back, Do, Open, Outcome, Refuse
from mixstation.station.view import Answer, Question
from mixstation.units.errors import UnitsError
from mixstation.units.parse import parse_mass_mg, parse_volume_ml
from mixstation.units.show import DisplayUnits
from mixstation.wording import cup_lines as words


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeCup:
    """What the cup holds: its volume, or the water that fills it."""

    def question(self, scene: Scene) -> Question:
        """A typed volume, or a mass of water with its unit."""
        metric = scene.speech.units is DisplayUnits.METRIC
        return Question(
            ident="cup",
            ask=words.TYPE_CUP,
            detail=words.CUP_DETAIL,
            entry="volume",
            unit_word="millilitres" if metric else "US fluid ounces",
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """On to the mix in it."""
        if not answer.typed.strip():
            return Refuse(why=Plain.NOTHING_TYPED)
        return Open(talk=TypeCupful(cup_ul=round(1000 * _cup_ml(answer.typed, scene))))


def _cup_ml(typed: str, scene: Scene) -> Fraction:
    """Volume of the cup; what is typed as a mass is the water that fills it.

    Raises:
        UnitsError: It can be read as neither.
    """
    unit = "mL" if scene.speech.units is DisplayUnits.METRIC else "US fl oz"
    try:
        return parse_volume_ml(typed, unit, comma_is_decimal=scene.decimal_comma)
    except UnitsError as error:
        if error.code != "wrong-dimension":
            raise
    water_kg = parse_mass_mg(typed, comma_is_decimal=scene.decimal_comma) / 1_000_000
    water = scene.run.recipe.material(scene.run.recipe.water_key)
    return Fraction(yield_l(max(0.0, water_kg), density_kg_m3=water.density_kg_m3)) * 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeCupful:
    """What the mix in the cup weighs.

    Attributes:
        cup_ul: Volume of the cup, microlitres.
    """

    cup_ul: int

    def question(self, scene: Scene) -> Question:
        """A typed net mass."""
        return Question(
            ident=f"cupful/{self.cup_ul}",
            ask=words.TYPE_CUPFUL,
            detail=words.CUPFUL_DETAIL,
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
        return Do(command=MeasureDensity(cup_ul=self.cup_ul, weight=weight), then=CupTells())

    @property
    def _like_mg(self) -> int:
        """About two milligrams a microlitre."""
        return 2 * self.cup_ul


@dataclass(frozen=True, slots=True, kw_only=True)
class CupTells:
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
            words.NOTHING_TOLD
            if found is None
            else words.cup_tells(found, scene.run.recipe, scene.speech.units)
        )
        return Question(
            ident="cup-tells", ask=said[0], detail=said[1:], enter=words.CUP_ENTER, acts=(BACK,), grave=True
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Back to the step."""
        return Back()
