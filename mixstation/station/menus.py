"""The talks beside the main question. A menu is a list of lines, each with what it leads to; "back" is the caller's."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from mixstation.batch.commands import (
    Book,
    BookExtra,
    BookPortion,
    BookRemoved,
    BringForward,
    ChangeWeighing,
    Command,
    Discard,
    EnoughIn,
    Finish,
    Judge,
    NoteTemperature,
    Pause,
    RunOut,
    SkipStep,
    SwapMaterial,
    TakeBack,
    TakeReference,
    Weight,
    WriteNote,
)
from mixstation.batch.events import Verdict, Weighing, WeightRecorded
from mixstation.batch.reconcile import allowed_mg
from mixstation.recipe.model import AddStep, Role
from mixstation.station.scene import Scene, degrees, temperature_unit
from mixstation.station.talk import BACK, Back, Do, Open, Outcome, Refuse, chosen, numbered
from mixstation.station.view import Answer, Question
from mixstation.units.parse import parse_temperature_c
from mixstation.wording import menu_lines as words
from mixstation.wording.entry_lines import entry_line, takes_back
from mixstation.wording.words import step_words

Lines = tuple[tuple[str, Outcome], ...]

# A choice is one digit of the number pad.
_MOST_LINES = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Menu:
    """Numbered lines, each leading to something.

    Attributes:
        ident: Tells this menu from others.
        ask: The question.
        lines: What can be picked at a scene.
        none: Said when there is nothing to pick.
        first: Which line is offered first; where not all have a number, the last one offered leads to the rest.
        over: Whether what was asked about is so no more.
    """

    ident: str
    ask: str
    lines: Callable[[Scene], Lines]
    none: str = ""
    first: int = 0
    over: Callable[[Scene], bool] = lambda _: False

    def question(self, scene: Scene) -> Question:
        """The lines, numbered."""
        lines = self._offered(scene)
        return Question(
            ident=f"{self.ident}/{self.first}",
            ask=self.ask if lines else self.none,
            entry="whole" if lines else "none",
            choices=numbered(tuple(line for line, _ in lines)),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """What the picked line leads to."""
        lines = self._offered(scene)
        number = chosen(answer, numbered(tuple(line for line, _ in lines)))
        return Refuse(code="not-a-choice") if number is None else lines[number - 1][1]

    def settled(self, scene: Scene) -> bool:
        """Whether the question has become idle by itself."""
        return self.over(scene)

    def _offered(self, scene: Scene) -> Lines:
        lines = self.lines(scene)[self.first :]
        if len(lines) <= _MOST_LINES:
            return lines
        following = replace(self, first=self.first + _MOST_LINES - 1)
        return (*lines[: _MOST_LINES - 1], (words.MORE_LINE, Open(talk=following)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirm:
    """A command that is asked about once."""

    command: Command
    why: str
    code: str
    out: bool = False

    def question(self, scene: Scene) -> Question:
        """The reason, and whether to go on."""
        return Question(
            ident="confirm",
            ask=self.why,
            enter=(words.CONFIRM_OUT if self.out else words.CONFIRM_ENTER).get(self.code, words.CONFIRM_ANY),
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """Enter goes through."""
        return Do(command=self.command)

    def settled(self, scene: Scene) -> bool:
        """Whether what was asked about has come right by itself: the time that was too short is up."""
        timing = scene.advice.timing
        return self.code == "too-soon" and timing is not None and timing.elapsed_s >= timing.min_s


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
        weight = scene.typed(answer.typed, self.asked_mg)
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


def reason(what: str, command: Callable[[str], Command]) -> Menu:
    """The usual reasons for something; the picked one completes the command."""
    lines: Lines = tuple((line, Do(command=command(line))) for line in words.REASONS[what])
    return Menu(ident=f"reason/{what}", ask=words.WHY[what], lines=lambda _: lines)


def concede() -> Menu:
    """Asked when a batch with standing flags is closed."""
    used = reason("concede", lambda why: Finish(concession=why))

    def lines(scene: Scene) -> Lines:
        return (*used.lines(scene), (words.DISCARD_LINE, Open(talk=discard())))

    return replace(used, lines=lines)


def add_else(why: str = words.ADDED_BESIDE) -> Menu:
    """Which material went in outside the step at hand."""

    def lines(scene: Scene) -> Lines:
        known: Lines = tuple(
            (material.name, Open(talk=Amount(what="added", material=material.key, reason=why)))
            for material in scene.run.recipe.materials
        )
        return (*known, (words.FOREIGN_LINE, Open(talk=_foreign())))

    return Menu(ident="add-else", ask=words.WHICH_ADDED, lines=lines)


def taken_out() -> Menu:
    """What came out: a portion of the mix, or one material unmixed."""

    def lines(scene: Scene) -> Lines:
        names = {"": words.SOME_MIX} | {
            key: scene.run.recipe.material(key).name for key, mass in scene.run.content.items() if mass > 0
        }
        return tuple(
            (name, Open(talk=Amount(what="out", material=key, reason=words.CAME_OUT)))
            for key, name in names.items()
        )

    return Menu(ident="taken-out", ask=words.WHICH_OUT, lines=lines)


def pick_entry() -> Menu:
    """Which entry is taken back: the newest first; then why."""

    def lines(scene: Scene) -> Lines:
        return tuple(
            (entry_line(scene.run, entry, scene.speech), Open(talk=_why_back(entry.seq)))
            for entry in takes_back(scene.run)
        )

    return Menu(ident="pick-entry", ask=words.WHICH_ENTRY, lines=lines, none=words.NOTHING_TO_TAKE_BACK)


def pick_swap() -> Menu:
    """Which weight was of another material than it was booked as, then of which; or that nobody knows how much."""

    def lines(scene: Scene) -> Lines:
        weights: Lines = tuple(
            (
                entry_line(scene.run, entry, scene.speech),
                Open(talk=_swapped_to(entry.seq, entry.fact.material)),
            )
            for entry in reversed(scene.run.live)
            if isinstance(entry.fact, WeightRecorded)
        )
        return ((words.UNKNOWN_LINE, Open(talk=_unknown())), *weights)

    return Menu(ident="pick-swap", ask=words.WHICH_SWAPPED, lines=lines)


def _foreign() -> Menu:
    lines: Lines = (
        (words.DISCARD_LINE, Do(command=Discard(reason=words.FOREIGN_DISCARD))),
        (words.NOTE_LINE, Open(talk=TypeNote())),
        (words.FOREIGN_BACK, Back()),
    )
    return Menu(ident="foreign-material", ask=words.FOREIGN, lines=lambda _: lines)


def _unknown() -> Menu:
    lines: Lines = (
        (words.DISCARD_LINE, Do(command=Discard(reason=words.UNKNOWN_DISCARD))),
        (words.UNKNOWN_BACK, Back()),
    )
    return Menu(ident="unknown-material", ask=words.UNKNOWN, lines=lambda _: lines)


def _swapped_to(seq: int, booked: str) -> Menu:
    def lines(scene: Scene) -> Lines:
        known: Lines = tuple(
            (material.name, Do(command=SwapMaterial(seq=seq, material=material.key, reason=words.SWAPPED)))
            for material in scene.run.recipe.materials
            if material.key != booked
        )
        return (*known, (words.FOREIGN_LINE, Open(talk=_foreign())))

    return Menu(ident=f"swapped-to/{seq}", ask=words.SWAPPED_TO, lines=lines)


def _why_back(seq: int) -> Menu:
    return reason("take-back", lambda why: TakeBack(seq=seq, reason=why))


def pick_step() -> Menu:
    """Which step is done now, out of order."""

    def lines(scene: Scene) -> Lines:
        standing = scene.advice.standing
        return tuple(
            (step_words(scene.run, step), Do(command=BringForward(step=step.key)))
            for step, _ in standing.coming
            if step != standing.step
        )

    return Menu(ident="pick-step", ask=words.WHICH_STEP, lines=lines, none=words.NO_STEP_AHEAD)


def ran_out() -> Menu:
    """Of which material there is no more."""

    def lines(scene: Scene) -> Lines:
        return tuple(
            (material.name, Do(command=RunOut(material=material.key)))
            for material in scene.run.recipe.materials
            if scene.run.pending(material.key) and material.role is not Role.WATER
        )

    return Menu(ident="ran-out", ask=words.WHICH_RAN_OUT, lines=lines, none=words.NOTHING_TO_RUN_OUT)


def pick_weighing() -> Menu:
    """What stands on the scale from here on."""
    kinds: tuple[Weighing, ...] = ("bucket", "tub", "supply")
    lines: Lines = tuple(
        (words.WEIGHING_LINES[kind], Do(command=ChangeWeighing(weighing=kind))) for kind in kinds
    )
    return Menu(ident="pick-weighing", ask=words.WHICH_WEIGHING, lines=lambda _: lines)


def pick_consistency() -> Menu:
    """How the mix moves, outside a step that asks."""
    verdicts: tuple[Verdict, ...] = ("right", "too-stiff", "too-loose", "stiff-and-warm")
    lines: Lines = tuple(
        (words.VERDICT_LINES[verdict], Do(command=Judge(verdict=verdict))) for verdict in verdicts
    )
    return Menu(ident="consistency", ask=words.HOW_MOVES, lines=lambda _: lines)


def work_menu() -> Menu:
    """Everything that is rarely needed."""

    def lines(scene: Scene) -> Lines:
        step = scene.advice.standing.step
        of_step: Lines = (
            ()
            if step is None
            else (
                (words.SKIP_LINE, Open(talk=reason("skip", lambda why: SkipStep(reason=why)))),
                (words.FORWARD_LINE, Open(talk=pick_step())),
            )
        )
        enough: Lines = ((words.ENOUGH_LINE, Do(command=EnoughIn())),) if isinstance(step, AddStep) else ()
        return (
            *of_step,
            *enough,
            (words.RAN_OUT_LINE, Open(talk=ran_out())),
            (words.WEIGHING_LINE, Open(talk=pick_weighing())),
            (words.TEMPERATURE_LINE, Open(talk=TypeTemperature())),
            (words.CONSISTENCY_LINE, Open(talk=pick_consistency())),
            (words.NOTE_LINE, Open(talk=TypeNote())),
            (words.PAUSE_LINE, Open(talk=reason("pause", lambda why: Pause(reason=why)))),
        )

    return Menu(ident="work-menu", ask=words.WHAT_ELSE, lines=lines)


def bucket_differs(command: TakeReference, expected_mg: int, why: str) -> Menu:
    """What it means that the bucket is not as heavy as the entries say."""
    heavier = command.gross_mg > expected_mg
    counted: Lines = (
        (words.PART_OF_DOSE, Do(command=replace(command, gross_mg=expected_mg, confirmed=True))),
    )
    entered: Lines = ((words.NOT_ENTERED, Open(talk=add_else(words.UNRECORDED))),)
    rest: Lines = ((words.AS_IT_IS, Do(command=replace(command, confirmed=True))),)
    lost: Lines = ((words.OUT_LINE, Open(talk=taken_out())),)
    standing = (*counted, *rest, *entered) if heavier else (*rest, *lost)

    def lines(scene: Scene) -> Lines:
        """Nothing is gone on from that the scale does not show at this moment."""
        live = scene.live
        if live is None or live.state == "steady":
            return standing
        wait = Refuse(code="not-steady")
        return tuple((line, wait if isinstance(outcome, Do) else outcome) for line, outcome in standing)

    def moved(scene: Scene) -> bool:
        """The scale shows something else by now: it is looked at anew."""
        live = scene.live
        if live is None or live.mass_mg is None or live.state != "steady":
            return False
        return abs(live.mass_mg - command.gross_mg) > allowed_mg(scene.run.in_bucket_mg, live.division_mg)

    return Menu(ident="bucket-differs", ask=why, lines=lines, over=moved)


def which_weight(weight: Weight, other: Weight) -> Menu:
    """A bare number that only fits in the other unit."""

    def lines(scene: Scene) -> Lines:
        return tuple(
            (scene.speech.mass(each.mass_mg), Do(command=Book(weight=each))) for each in (other, weight)
        )

    return Menu(ident="which-weight", ask=words.WHICH_WEIGHT, lines=lines)


def discard() -> Menu:
    """Why the batch is thrown away."""
    return reason("discard", lambda why: Discard(reason=why))
