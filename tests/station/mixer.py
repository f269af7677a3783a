"""A mixer who does what the view says, and nothing it does not say."""

from collections.abc import Callable
from typing import Final

from mixstation.scale.emulator import EmulatedScale
from mixstation.station.view import Answer, View
from mixstation.units.parse import parse_mass_mg
from mixstation.wording.menu_lines import GO_ON_LINE
from tests.station.yard import LONGEST_S, TICK_S, Yard

KEEP_ON: Final = "keep on"
# A calm hand: seconds for a dose, and how much slower it pours when told to.
DOSE_S, SLOW_PART, LEAST_MG_S = 4.0, 4, 2_000
# What was stopped short of is topped up gently.
TOP_UP_PART: Final = 4


class Hand:
    """Pours into an emulated scale on the cues of the view.

    Attributes:
        cues: Every cue it was given, each once in a row.
    """

    def __init__(self, scale: EmulatedScale, dose_s: float = DOSE_S, slow_part: int = SLOW_PART) -> None:
        self.cues: list[str] = []
        self._scale = scale
        self._dose_s = dose_s
        self._slow_part = slow_part
        self._rate_mg_s = 0
        self._is_topping_up = False
        self._poured: dict[str, int] = {}
        self._line = ""
        self._counted_mg = 0

    def poured_mg(self, name: str) -> int:
        """What the scale says was poured while lines that name this were at hand."""
        self._count(self._line)
        return sum(mass for line, mass in self._poured.items() if name in line)

    def follow(self, view: View) -> None:
        """Turn the stream as the cue says."""
        self._count(next((line.name for line in view.to_come if line.mark == "now"), ""))
        pour = view.pour
        if pour is not None and (not self.cues or self.cues[-1] != pour.cue):
            self.cues.append(pour.cue)
        rate = 0
        self._is_topping_up = pour is not None and (
            pour.cue == "stop" or (self._is_topping_up and pour.cue == "slow")
        )
        if pour is not None and pour.fraction is not None and not view.question.grave:
            full = max(LEAST_MG_S, round(parse_mass_mg(pour.target) / self._dose_s))
            slow = full // self._slow_part // (TOP_UP_PART if self._is_topping_up else 1)
            rate = {"pour": full, "slow": max(LEAST_MG_S, slow)}.get(pour.cue, 0)
            ask = view.question.ask
            rate = -rate if ask.startswith("Take ") or ask.endswith(" back.") else rate
        if rate != self._rate_mg_s:
            self._scale.stop_pour()
            if rate:
                self._scale.pour(rate)
            self._rate_mg_s = rate

    def _count(self, line: str) -> None:
        total_mg = sum(pour.mass_mg for pour in self._scale.poured)
        self._poured[self._line] = self._poured.get(self._line, 0) + total_mg - self._counted_mg
        self._line, self._counted_mg = line, total_mg


def answer_now(view: View, verdict: str = "right") -> Answer | None:
    """What a mixer without a scale types at this view; None while they wait."""
    question = view.question
    typed = ""
    if view.countdown is not None and view.countdown.words == KEEP_ON and not question.grave:
        return None
    if question.choices:
        offered = [choice.words for choice in question.choices]
        words = next((usual for usual in (verdict, GO_ON_LINE) if usual in offered), "")
        typed = next(str(choice.number) for choice in question.choices if words in choice.words)
    elif question.entry == "mass":
        typed = view.pour.target if view.pour is not None else ""
    elif question.entry == "temperature":
        typed = "21"
    elif question.entry == "length":
        typed = "150 mm" if verdict == "too stiff" else "220 mm"
    return Answer(question=question.ident, pressed="enter", typed=typed)


def answer_at_scale(view: View, verdict: str = "right") -> Answer | None:
    """What a mixer with the bucket on the scale answers; None while they wait or pour."""
    question = view.question
    if question.entry != "mass" or question.grave:
        return answer_now(view, verdict)
    if not view.scale.fresh:
        return None
    ready = view.pour is None or (view.scale.state == "steady" and view.pour.cue in ("", "stop", "over"))
    return Answer(question=question.ident, pressed="enter") if ready else None


def mix(
    yard: Yard,
    *,
    hand: Hand | None = None,
    verdict: str = "right",
    until: Callable[[View], object] = lambda view: view.ended,
    tick_s: float = TICK_S,
) -> None:
    """Do what the view says until it looks like that."""
    answer_to = answer_now if hand is None else answer_at_scale
    end_ms = yard.clock.mono_ms + 1000 * LONGEST_S
    while not until(view := yard.view):
        assert yard.clock.mono_ms < end_ms, f"it came to no end: {view}"
        if hand is not None:
            hand.follow(view)
        answer = answer_to(view, verdict)
        if answer is not None:
            yard.session.answer(answer)
        yard.clock.go_on(tick_s - TICK_S)
        yard.wait(TICK_S)


def at_step(words: str) -> Callable[[View], bool]:
    """Whether the step at hand is called that."""
    return lambda view: any(line.mark == "now" and words in line.name for line in view.to_come)
