"""The hands of the simulated person: what is poured, tipped, taken and typed, by what the view says and no more."""

from collections.abc import Iterator
from fractions import Fraction
from random import Random
from typing import Protocol

from mixstation.station.view import Answer, View
from mixstation.units.errors import UnitsError
from mixstation.units.parse import parse_mass_mg
from tests.shop.bench import Bench, Vessel
from tests.shop.yard import Setup

Waits = Iterator[float]
"""Seconds to wait, one after the other."""

# Seconds between two looks while a stream runs, and how long a wait for the scale is borne.
LOOK_S, PATIENCE_S = 0.25, 14.0


class Place(Protocol):
    """What a person can see and touch."""

    @property
    def view(self) -> View:
        """What is shown now."""

    @property
    def bench(self) -> Bench:
        """What stands there."""

    def answer(self, answer: Answer) -> None:
        """Keys."""

    def drew(self, fault: str) -> None:
        """Note that a fault of the person's happened."""


class Hands:
    """Pours and types.

    Attributes:
        weighing: What the person means to have on the scale.
        slip_chance: How often each small thing goes wrong.
        line_count: How many lines of what went in there were when a question was looked at.
    """

    def __init__(self, place: Place, setup: Setup, random: Random) -> None:
        self.place = place
        self.setup = setup
        self.random = random
        self.weighing: Vessel = setup.start.weighing
        self.slip_chance = {"calm": 0.0, "slips": 0.05, "wild": 0.08}[setup.mood]
        self.slips_left = {"calm": 0, "slips": 4, "wild": 9}[setup.mood]
        self.line_count = 0
        self._asked = ""
        self._begun: dict[str, Fraction] = {}

    @property
    def view(self) -> View:
        return self.place.view

    @property
    def bench(self) -> Bench:
        return self.place.bench

    def press(self, pressed: str, typed: str = "", ident: str | None = None) -> None:
        """Answer what is asked now, or with `ident` what was asked then."""
        self.place.answer(
            Answer(
                question=self.view.question.ident if ident is None else ident, pressed=pressed, typed=typed
            )
        )

    def slips(self, fault: str, weight: float = 1.0) -> bool:
        """Whether this goes wrong now."""
        if self.slips_left <= 0 or self.random.random() >= self.slip_chance * weight:
            return False
        self.slips_left -= 1
        self.place.drew(fault)
        return True

    def asked_anew(self) -> None:
        """Remember what was in when a step began to ask."""
        self.line_count = len(self.view.went_in)
        step = self.view.question.ident.split("/", 1)[1]
        # A question between two looks at the same step is no new step.
        if step.startswith("main/") and step != self._asked:
            self._asked, self._begun = step, dict(self.bench.content)

    def went_in_mg(self, material: str) -> int:
        """What the person knows to have put in (or taken out) since the step began to ask."""
        before = self._begun or self.bench.content
        if not material:
            return round(sum(before.values(), Fraction(0)) - self.bench.in_bucket_mg)
        return round(abs(self.bench.content[material] - before[material]))

    def taken_to_heart(self) -> None:
        """It is entered: from here on only what comes now is new."""
        self._begun = dict(self.bench.content)

    @property
    def sees_scale(self) -> bool:
        return self.setup.make is not None and self.view.scale.fresh

    def until_steady(self) -> Waits:
        """Wait for the word on the display, not for ever."""
        waited_s = 0.0
        while self.view.scale.state != "steady" and waited_s < PATIENCE_S:
            yield LOOK_S
            waited_s += LOOK_S

    def target_mg(self) -> int:
        """What is asked for, as read from the screen; 0 where nothing is."""
        pour = self.view.pour
        try:
            return parse_mass_mg(pour.target) if pour is not None else 0
        except UnitsError:
            return 0

    def stand(self, vessel: Vessel, material: str) -> Waits:
        """Put the right thing on the scale."""
        bench = self.bench
        if vessel == "tub" and bench.on != "tub":
            bench.wipe_tub()
        if vessel == "supply" and bench.on != "supply":
            # A tray that the scale can carry.
            bench.new_supply(9_000_000 + self.target_mg())
        if bench.on != vessel:
            yield 0.8
            bench.set_on(vessel)
            yield 2.5

    def pour(self, material: str, *, out: bool) -> Waits:
        """Pour by the cue until the weight is right, then let it be taken."""
        bench, random = self.bench, self.random
        ident, target_mg = self.view.question.ident, self.target_mg()
        full = max(4_000, round(target_mg / random.uniform(3.5, 6.0)))
        overshoot = 0
        if self.slips("over-pour"):
            overshoot = random.randint(1, 30) * target_mg // 100
        elif self.slips("gross-pour", 0.4):
            overshoot = random.randint(100, 400) * target_mg // 100
        under = self.slips("under-pour")
        rate, idle_s = 0, 0.0
        while self.view.question.ident == ident and self.view.pour is not None:
            pour = self.view.pour
            cue = pour.cue if self.view.scale.fresh else ""
            if pour.fraction is not None and self.in_mid_pour(pour.fraction):
                bench.close_hand()
                rate = 0
                yield 2.0
                continue
            if under and pour.fraction is not None and pour.fraction > 0.6:
                cue = "stop"
            wanted = {"pour": full, "slow": full // 5}.get(cue, 0)
            if wanted != rate or (wanted and not bench.pouring):
                bench.close_hand()
                if wanted:
                    bench.open_hand(material, wanted, out=out)
                rate = wanted
            if rate:
                idle_s = 0.0
                yield LOOK_S
                if self._too_much(target_mg):
                    bench.close_hand()
                    rate = 0
                    yield 3.0
                    break
                continue
            if overshoot and cue == "stop":
                bench.open_hand(material, max(4_000, overshoot // 2), out=out)
                yield 2.0
                bench.close_hand()
                overshoot = 0
            yield LOOK_S
            idle_s += LOOK_S
            if idle_s > 1.5 and self.view.scale.state == "steady":
                break
            if idle_s > PATIENCE_S:
                break
        bench.close_hand()
        yield 0.5
        bench.still()

    def in_mid_pour(self, part: float) -> bool:
        """Whether something happens just now, with so much of the dose in; nothing does to plain hands."""
        return part < 0

    def _too_much(self, target_mg: int) -> bool:
        """Nobody pours on for ever at a display that stands still."""
        running = self.bench.scale.poured[-1].mass_mg
        return abs(running) > target_mg * 1.4 + 30_000

    def typed_words(self, mass_mg: int) -> str:
        """A mass as a person types it, to what their own scale shows."""
        division_mg = self.setup.settings.division_mg
        grams = Fraction(round(mass_mg / division_mg) * division_mg, 1000)
        text = f"{float(grams):.1f}".removesuffix(".0")
        kind = self.random.randrange(4)
        if kind == 0:
            return f"{text} g"
        if kind == 1:
            return f"{text.replace('.', ',')} g"
        if kind == 2 and self.view.question.unit_word == "grams":
            return text
        return f"{float(grams) / 1000:.4f} kg"

    def slipped_words(self, text: str) -> str:
        """The same, typed wrong."""
        digits = [place for place, sign in enumerate(text) if sign.isdigit()]
        if len(digits) < 2:
            return text
        place = self.random.choice(digits[:-1])
        match self.random.randrange(5):
            case 0:
                return text[:place] + text[place + 1] + text[place] + text[place + 2 :]
            case 1:
                return text[:place] + text[place + 1 :]
            case 2:
                return text[:place] + text[place] + text[place:]
            case 3:
                return text.replace(".", ",").replace(" kg", " kq")
            case _:
                return self.random.choice(
                    ("1_000 g", "\u0661\u0662 g", "nan", "1e3 g", "-12 g", "\x1b[2J9 kg", "0")
                )
