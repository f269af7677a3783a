"""Small phrases every sentence uses: masses, materials, steps, bases."""

from dataclasses import replace
from fractions import Fraction
from typing import assert_never

from mixstation.batch.events import WeighedApart, WeightRecorded
from mixstation.batch.run import Run, RunStep, TakeOutStep
from mixstation.batch.step import layer_placed
from mixstation.frozen import Frozen
from mixstation.recipe import model
from mixstation.units.clean import clean
from mixstation.units.own_units import own_units
from mixstation.units.show import DisplayUnits, show_duration, show_percent
from mixstation.units.show_mass import show_mass, show_mass_parts

WEIGHING_WORDS = {
    "bucket": "the bucket stands on the scale",
    "tub": "a tub is filled on the scale and tipped in",
    "supply": "the supply stands on the scale and is taken from",
}

VERDICT_WORDS = {
    "too-stiff": "too stiff",
    "right": "right",
    "too-loose": "too loose",
    "stiff-and-warm": "stiff and warm",
}


KEYS = {"tare": "tare key pressed", "zero": "zero key pressed", "gross": "tare taken off the scale"}


def bounds_said(least: str, most: str) -> str:
    """From where to where; "" for an end that is open."""
    if least and most:
        return f"{least} to {most}"
    return f"at least {least}" if least else most and f"at most {most}"


class Speech(Frozen):
    """How to say things to this mixer.

    Attributes:
        units: What they read masses and temperatures in.
        division_mg: Smallest step worth saying.
    """

    units: DisplayUnits
    division_mg: int

    def mass(self, mass_mg: int | Fraction) -> str:
        """A mass with its unit, to the division."""
        return show_mass(round(mass_mg), self.units, self.division_mg)

    def span(self, low_mg: int, high_mg: int) -> str:
        """From where to where, in what the scale can show between the two; the unit once where it is the same."""
        step_mg = self.division_mg
        ends_mg = (-(-low_mg // step_mg) * step_mg, high_mg // step_mg * step_mg)
        if ends_mg[0] > ends_mg[1]:
            ends_mg = (low_mg, high_mg)
        low, high = (show_mass_parts(end_mg, self.units, step_mg) for end_mg in ends_mg)
        last = f"{high.number} {high.unit}".rstrip()
        if low == high:
            return last
        return f"{low.number if low.unit == high.unit else f'{low.number} {low.unit}'} to {last}"

    def finely(self, mass_mg: int | Fraction) -> str:
        """A mass with more digits than this scale shows, for one that is too small for it."""
        return show_mass(round(mass_mg), self.units)


class OfBatch(Frozen):
    """Speaking of a batch: its recipe's names, its steps, masses in the steps of the scale they were weighed on."""

    run: Run
    speech: Speech

    @property
    def units(self) -> DisplayUnits:
        """What the mixer reads in."""
        return self.speech.units

    def mass(self, mass_mg: int | Fraction) -> str:
        """A mass to the division."""
        return self.speech.mass(mass_mg)

    def name(self, key: str) -> str:
        """A material's name; the key itself where the recipe has none of it."""
        return name_of(self.run.recipe, key) if key in self.run.content else clean(key, 200)

    def step(self, key: str) -> str:
        """A step in words."""
        return step_words(self.run, self.run.step_of(key))


def in_its_steps(run: Run, key: str, speech: Speech) -> Speech:
    """How to say masses of a material: in the steps of the scale it is weighed on, and as that shows them."""
    return of_scale(run.apart(key, speech.division_mg), speech)


def of_scale(apart: WeighedApart | None, speech: Speech) -> Speech:
    """How to say what is weighed on another scale; None for the main one."""
    if apart is None:
        return speech
    units = own_units(speech.units, apart.unit, apart.division_mg) if apart.scale else speech.units
    return replace(speech, division_mg=apart.division_mg, units=units)


def as_booked(run: Run, fact: WeightRecorded, speech: Speech) -> Speech:
    """The same for one weighing: by the scale that weighed it."""
    return of_scale(weighed_on(run, fact), speech)


def weighed_on(run: Run, fact: WeightRecorded) -> WeighedApart | None:
    """The other scale a weight was typed from, or None where it was the main one."""
    if fact.source != "typed":
        return None
    known = (each for each in run.start.weighed_apart if each.material == fact.material)
    return next((each for each in known if 0 < each.division_mg == fact.division_mg), None)


def name_of(recipe: model.Recipe, key: str) -> str:
    """A material's name."""
    return recipe.material(key).name


def step_words(run: Run, step: RunStep) -> str:
    """A step in a few words, without amounts."""
    match step:
        case model.AddStep():
            name = name_of(run.recipe, step.material)
            part = show_percent(step.share, 0) if 0 < step.share < 1 else ""
            return f"{name}, {part} share" if part else name
        case model.ReleaseStep():
            return f"held-back {name_of(run.recipe, step.material)}"
        case model.MixStep():
            return f"mix {step.speed}, {show_duration(step.min_s)} or more"
        case model.ScrapeStep():
            return "scrape sides and bottom"
        case model.RestStep():
            return f"rest {show_duration(step.min_s)}"
        case model.ConsistencyStep():
            return "judge the consistency"
        case model.TemperatureStep():
            return "take the temperature"
        case model.SplitStep():
            return f"take out the {step.layer}"
        case model.NoteStep():
            layer = layer_placed(step)
            return f"place the {layer}" if layer else step.say
        case TakeOutStep():
            return f"pour back {name_of(run.recipe, step.material)}" if step.material else "take some mix out"
        case _ as forgotten:
            assert_never(forgotten)
