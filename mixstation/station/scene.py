"""What a talk with the mixer can see: the advice of the moment, the scale, and how to say things."""

from dataclasses import replace
from fractions import Fraction
from typing import Literal

from mixstation.batch.advice import Advice, take_out_mg
from mixstation.batch.commands import NoteKey, Weight
from mixstation.batch.dosing import asked_for
from mixstation.batch.events import (
    BatchPaused,
    BatchTakenUp,
    ClockStepped,
    Fact,
    FlagPutAway,
    FlagRaised,
    ProgramResumed,
    ScaleChanged,
    StepDone,
)
from mixstation.batch.moment import Live
from mixstation.batch.run import Run, RunStep
from mixstation.batch.way import Way
from mixstation.frozen import Frozen
from mixstation.recipe.model import AddStep, ReleaseStep
from mixstation.units.parse import parse_mass_mg
from mixstation.units.plausible import read_plausible
from mixstation.units.show import DisplayUnits
from mixstation.units.show_mass import UNIT_WORDS, default_mass_unit, show_mass_parts
from mixstation.wording.words import Speech, of_scale

NEXT_UNIT = {"g": "kg", "kg": "g", "oz": "lb", "lb": "oz"}


class Scene(Frozen):
    """One moment at the bucket.

    Attributes:
        has_scale: Whether a scale is linked and has been heard.
        vessel_off: What stood on the scale before the pour is not on it any more.
        ways: Ways out worked out for the run as it stands, or None when none were asked for.
        last_heard_mg: How much of the dose at hand was in when the scale was last heard, or None.
        stood_mg: What the scale showed when a vessel was set down on it after the start reading, or None.
        scale_set: Whether there is to be a scale, heard or not.
        zeroed: What may have been the tare or zero key, or the vessel lifted off; None where nothing was.
        decimal_comma: A comma in a typed number is always a decimal mark.
    """

    advice: Advice
    speech: Speech
    live: Live | None
    has_scale: bool
    vessel_off: bool = False
    ways: tuple[Way, ...] | None = None
    decimal_comma: bool = False
    last_heard_mg: int | None = None
    stood_mg: int | None = None
    scale_set: bool = False
    zeroed: NoteKey | None = None

    @property
    def run(self) -> Run:
        """The batch."""
        return self.advice.standing.run

    @property
    def missing(self) -> Literal["", "unheard", "lost", "unreadable", "other-unit"]:
        """Whether there is to be a scale that was not heard yet, is not heard any more, or cannot be read."""
        if self.has_scale or not self.scale_set:
            return ""
        if self.live is not None and self.live.other_unit:
            return "other-unit"
        if self.live is not None and self.live.unread:
            return "unreadable"
        return "unheard" if self.live is None or not self.live.serial else "lost"

    @property
    def target_mg(self) -> int | None:
        """What the step at hand asks to weigh, or None."""
        standing = self.advice.standing
        if standing.dosing is not None:
            return standing.dosing.target_mg
        return take_out_mg(standing)

    @property
    def counted_mg(self) -> int:
        """What the scale had counted of the dose at hand before it went away; 0 while it is heard, or had nothing."""
        standing, heard_mg = self.advice.standing, self.last_heard_mg
        weighed = standing.phase in ("pour", "tub-fill", "take-out") and self.advice.net is None
        if not weighed or not self.missing or heard_mg is None or heard_mg <= standing.division_mg:
            return 0
        return heard_mg

    @property
    def asked_mg(self) -> int | None:
        """What is asked for of the dose at hand: all of it, or what the scale had not counted yet."""
        target_mg = self.target_mg
        return None if target_mg is None else max(0, target_mg - self.counted_mg)

    @property
    def at_hand(self) -> Speech:
        """How to say the masses of the step at hand: as the scale shows them that it is weighed on."""
        return of_scale(self.advice.standing.apart, self.speech)

    @property
    def takes_out(self) -> bool:
        """Whether the step at hand takes something out of the bucket."""
        return take_out_mg(self.advice.standing) is not None

    @property
    def to_come(self) -> tuple[tuple[RunStep, Fraction], ...]:
        """Every step not yet done with what it will ask for, in whole divisions."""
        standing = self.advice.standing
        return asked_for(standing.run, standing.coming, standing.dosing, standing.division_mg)

    def planned_mg(self, material: str) -> int | None:
        """What the next step asks for of a material, else its whole planned mass, or None where none is planned."""
        standing = self.advice.standing
        coming = (
            mass
            for step, mass in self.to_come
            if mass and isinstance(step, AddStep | ReleaseStep) and step.material == material
        )
        return round(next(coming, standing.projection.totals[material])) or None

    def unit(self, shown_mg: int | None) -> str:
        """Unit of a bare typed number that answers a shown mass."""
        return default_mass_unit(self.at_hand.units, shown_mg, self.at_hand.division_mg)

    def unit_word(self, shown_mg: int | None) -> str:
        """That unit in words."""
        if shown_mg is None:
            return UNIT_WORDS["kg" if self.speech.units is DisplayUnits.METRIC else "lb"]
        shown = show_mass_parts(shown_mg, self.at_hand.units, self.at_hand.division_mg)
        return shown.unit_word if shown.unit else UNIT_WORDS["lb"]

    def typed(self, text: str, shown_mg: int | None, material: str = "") -> Weight:
        """A typed weight, to the division of the scale its material is weighed on; "" for the main one.

        Raises:
            UnitsError: It cannot be read as a mass, or no bucket holds as much.
        """
        typed_mg = read_plausible(
            "typed weight", text, self.unit(shown_mg), comma_is_decimal=self.decimal_comma
        )
        division_mg = self.run.division_of(material, self.advice.standing.division_mg)
        return Weight(mass_mg=round(typed_mg), source="typed", shown=text.strip(), division_mg=division_mg)


def in_next_unit(typed: str, weight: Weight, scene: Scene, like_mg: int | None) -> Weight | None:
    """The same digits in the unit next to the one asked for; None where a unit was typed or none is next."""
    pair = NEXT_UNIT.get(scene.unit(like_mg))
    if pair is None or any(character.isalpha() for character in typed):
        return None
    return replace(weight, mass_mg=parse_mass_mg(typed, pair, comma_is_decimal=scene.decimal_comma))


def temperature_unit(units: DisplayUnits) -> str:
    """Unit of a bare typed temperature."""
    return "°C" if units is DisplayUnits.METRIC else "°F"


def steady_weight(scene: Scene) -> Weight | None:
    """The steady net of the step at hand as a weight, or None while there is none."""
    net, live, run = scene.advice.net, scene.live, scene.run
    step = scene.advice.standing.step
    if net is None or not net.steady or live is None or step is None:
        return None
    out = take_out_mg(scene.advice.standing) is not None
    return Weight(
        mass_mg=net.net_mg,
        source="scale",
        shown=live.shown,
        division_mg=scene.advice.standing.division_mg,
        gross_mg=None if out else live.mass_mg,
        weighing=run.references[step.key].weighing,
        at_once=scene.stood_mg is not None,
    )


_PASSIVE = (FlagRaised, FlagPutAway, ScaleChanged, ClockStepped, ProgramResumed)
# A pause changes what is asked, and nothing of what was done before it.
_NO_DEED = (*_PASSIVE, BatchPaused, BatchTakenUp)


def turn(run: Run) -> int:
    """How many facts have changed what is asked."""
    return sum(not isinstance(entry.fact, _PASSIVE) for entry in run.entries)


def newest_deed(run: Run) -> Fact:
    """The newest fact that did."""
    return next(entry.fact for entry in reversed(run.entries) if not isinstance(entry.fact, _NO_DEED))


def just_judged(run: Run) -> bool:
    """Whether nothing has been done since the mix was judged."""
    judged = run.judged
    return judged is not None and all(
        isinstance(entry.fact, _NO_DEED)
        or (isinstance(entry.fact, StepDone) and entry.fact.step == judged.step)
        for entry in run.entries[run.judged_at :]
    )
