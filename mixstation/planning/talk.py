"""A planning talk: answers in, a view out, a plan at the end. It reads no file and no clock."""

from dataclasses import replace
from typing import Literal

from mixstation.frozen import Frozen
from mixstation.plan.faults import PlanFault, PlanRefused
from mixstation.plan.job_parts import JobPlan
from mixstation.planning.around import Around
from mixstation.planning.ask import MOST_LINES_COUNT, NotTaken, taken
from mixstation.planning.draft import RESULT, Draft, answered, ask_at, by_pan, gone_back, with_another_kind
from mixstation.planning.make import make_plan, request_of
from mixstation.planning.pages import MORE, ask_view, lines_shown, result_view
from mixstation.recipe.file import LoadedRecipe
from mixstation.station.view import Answer, View
from mixstation.units.clean import clean
from mixstation.units.errors import UnitsError
from mixstation.wording import planning as words
from mixstation.wording.plan import PlanSpeech, plan_fault_line
from mixstation.wording.quantity_lines import units_line

Wish = Literal["", "mix", "keep"]
_LONGEST_TYPED = 60


class Planned(Frozen):
    """What a talk came to."""

    plan: JobPlan
    loaded: LoadedRecipe


class PlanTalk:
    """One planning talk, used from one thread; `planned` is the plan once all is answered and it can be made."""

    def __init__(self, around: Around) -> None:
        """Start at the first question."""
        self._around = around
        self._notice = ""
        self.draft = Draft()
        self.planned: Planned | None = None
        self.wish: Wish = ""
        self._serial = self._answered = 0
        self._view = self._shown()

    @property
    def over(self) -> bool:
        """Whether something is wished for, so that the talk is done."""
        return bool(self.wish)

    def stop(self) -> None:
        """Nothing is held."""

    def view(self) -> View:
        """What is asked now; the same object until something has changed."""
        return self._view

    def say(self, notice: str) -> None:
        """Stay, and say something; what was wished for has not come about."""
        self._notice = notice
        self._view = self._shown()
        self.wish = ""

    def answer(self, answer: Answer) -> None:
        """What the person did; an answer to a question no longer asked changes nothing."""
        self._answered += 1
        if not self.wish and answer.question == self._view.question.ident and answer.pressed in self._taken():
            self._notice = ""
            if self.draft.at == RESULT:
                self._at_result(answer.pressed)
            else:
                self._at_question(answer.pressed, clean(answer.typed, _LONGEST_TYPED))
        self._view = self._shown()

    def _taken(self) -> set[str]:
        """What may be pressed now."""
        names = {act.name for act in self._view.question.acts}
        return names | {"enter"} if self.draft.at != RESULT or self.planned is not None else names

    def _at_result(self, pressed: str) -> None:
        match pressed:
            case "back":
                self._move(gone_back(self.draft, self._around))
            case "another":
                self._move(with_another_kind(self.draft))
            case "more":
                self.draft = replace(self.draft, page=self.draft.page + 1)
            case "keep":
                self.wish = "keep"
            case "enter":
                self.wish = "mix"

    def _at_question(self, pressed: str, typed: str) -> None:
        if pressed == "back":
            self._move(gone_back(self.draft, self._around))
            return
        if pressed in ("pan", "figure"):
            sand = self.draft.at.partition("/")[2]
            self._move(by_pan(self.draft, sand, pan=pressed == "pan", around=self._around))
            return
        _, _, ask = ask_at(self.draft, self._around)
        shown = lines_shown(ask, self.draft.first) if ask.lines is not None else {}
        try:
            value = taken(ask, typed, shown, self._around)
        except NotTaken as refusal:
            self._notice = str(refusal)
            return
        except UnitsError as error:
            self._notice = units_line(error)
            return
        if ask.lines is not None and value == MORE and MORE in shown:
            # After the last lines the first again.
            following = self.draft.first + MOST_LINES_COUNT - 1
            self.draft = replace(self.draft, first=following if following < len(ask.lines) else 0)
            return
        after = answered(self.draft, value, self._around)
        if isinstance(after, Draft):
            self._move(after)
        else:
            self._notice = self._said(after)

    def _move(self, draft: Draft) -> None:
        self.draft, self.planned = draft, None
        if draft.at != RESULT:
            return
        try:
            loaded, request = request_of(draft, self._around)
            self.planned = Planned(plan=make_plan(request, self._around.stock), loaded=loaded)
        except PlanRefused as refusal:
            self._notice = self._said(refusal.faults)

    def _said(self, faults: tuple[PlanFault, ...]) -> str:
        names = {
            material.key: material.name
            for loaded in self._around.recipes.values()
            for material in loaded.recipe.materials
        }
        speech = PlanSpeech(units=self._around.units, names=names)
        return " ".join(plan_fault_line(fault, speech) for fault in faults)

    def _shown(self) -> View:
        if self.draft.at == RESULT:
            plan = None if self.planned is None else self.planned.plan
            view = result_view(self.draft, self._around, plan, self._notice)
        else:
            view = ask_view(self.draft, self._around, self._notice)
        self._serial += 1
        return replace(view, serial=self._serial, answered=self._answered, parting=words.LEFT_PLANNING)
