"""One batch in one thread: answers and the clock's ticks in, facts kept, a view out. `Station` gives it the thread."""

from collections.abc import Callable
from dataclasses import replace

from mixstation.batch import commands
from mixstation.batch.advice import Standing
from mixstation.batch.decide import decide
from mixstation.batch.reconcile import allowed_mg, expected_gross_mg
from mixstation.batch.refusal import (
    AskedOnce,
    BucketDiffers,
    FlagsStand,
    NothingToType,
    Plain,
    Refusal,
    SetDown,
    TubLighter,
    TubWaits,
)
from mixstation.batch.run import Run
from mixstation.batch.step import material_of
from mixstation.batch.vessels import looks_like_the_bucket
from mixstation.batch.way import Way
from mixstation.station import present
from mixstation.station.bench import Settings
from mixstation.station.by_itself import ByItself
from mixstation.station.clocks import Clock
from mixstation.station.doubts import set_down, start_doubted, tub_lighter, tub_waits
from mixstation.station.far_off import Far, far_off
from mixstation.station.keeper import Keeper
from mixstation.station.main_talk import MainTalk
from mixstation.station.scene import Scene, just_judged, steady_weight, turn
from mixstation.station.talk import (
    PAUSE,
    Back,
    Confirm,
    Do,
    Leave,
    Looked,
    Menu,
    Open,
    Outcome,
    Refuse,
    Talk,
    concede,
)
from mixstation.station.trouble import bucket_differs
from mixstation.station.view import Answer, Question, View
from mixstation.station.watch import ScaleWatch
from mixstation.station.ways_talk import PickWay, after_judging
from mixstation.station.work import Work
from mixstation.units.clean import clean
from mixstation.units.errors import UnitsError
from mixstation.wording.entry_lines import fact_line, not_written
from mixstation.wording.error_lines import error_line
from mixstation.wording.menu_lines import BESIDE_ASKED, POURED_LATE, PUT_AWAY_TYPED
from mixstation.wording.quantity_lines import units_line
from mixstation.wording.refusal_lines import refusal_line
from mixstation.wording.view_lines import OVER, SAVED, booked_words, saving_late
from mixstation.wording.words import name_of

# Choice: a note of a few sentences.
_LONGEST_TYPED = 500


class Session:
    """One batch at the bucket. Used from one thread."""

    def __init__(
        self,
        keeper: Keeper,
        clock: Clock,
        watch: ScaleWatch | None,
        settings: Settings,
        close: Callable[[], None] = lambda: None,
        at_end: Callable[[str], str] = lambda _: "",
        notice: str = "",
        first: Talk | None = None,
    ) -> None:
        """Take up the keeper's batch.

        Args:
            close: Called once at the end, to let the journal go.
            at_end: Called with the batch's id when the batch is over and stored; gives the words to show.
            first: What is asked before anything else.
        """
        self._work = Work(keeper, clock, watch, settings)
        self._by_itself = ByItself(self._work)
        self._close = close
        self._at_end = at_end
        self._talk: Talk | None = None
        self._main = MainTalk()
        self._ways: tuple[Way, ...] | None = None
        self._still: tuple[Standing, View] | None = None
        self._notice = notice
        self._bells = 0
        self._answered = 0
        self._left = False
        self._closed_out = False
        self._parting = ""
        self._asked_of_set_down = False
        self._mended_before: frozenset[tuple[str, str]] = frozenset()
        # What came up by itself comes up again for whoever comes back to it.
        self._talk = first or self._came_up()
        self.tick()

    def close(self) -> None:
        """Release the scale and the journal."""
        self._work.keeper.flush(at_once=True)
        if self._work.watch is not None:
            self._work.watch.stop()
        self._close()

    def tell(self, heard: Callable[[], None]) -> None:
        """Have `heard` called, in another thread, when the scale has something new to look at."""
        if self._work.watch is not None:
            self._work.watch.tell(heard)

    def moved(self) -> bool:
        """Whether the scale shows something else than at the last look."""
        return self._work.watch is not None and self._work.watch.moved()

    def tick(self) -> None:
        """Look at the clock and the scale, and do what comes by itself."""
        self._by_itself.note()
        if isinstance(self._talk, Confirm | Menu) and self._talk.settled(self._scene()):
            self._talk = None
        command = self._by_itself.due(asking=self._talk is not None or self.run.paused)
        if isinstance(command, commands.StartTimer | commands.TakeReference | commands.NoteKey):
            self._carry_out(command, quietly=True)
            self._bells += isinstance(command, commands.NoteKey)
        elif command is not None and self._carry_out(command):
            self._bells += 1
            self._talk = self._ways_if_needed()
        self._ask_of_set_down()
        self._bells += self._by_itself.raise_flags()
        self._by_itself.hint()
        self._close_out()

    def answer(self, answer: Answer) -> None:
        """What the mixer did."""
        self._answered += 1
        self._work.look()
        scene = self._scene()
        question = self._question(scene)
        if answer.question != question.ident:
            self._say(Plain.QUESTION_CHANGED)
            return
        self._notice = ""
        if answer.pressed not in {"enter", *(act.name for act in question.acts)}:
            return
        cleaned = replace(answer, typed=clean(answer.typed, _LONGEST_TYPED))
        typed = cleaned.typed.strip()
        if answer.pressed == "enter" and typed and question.entry == "none" and not question.choices:
            # Whoever types a number means to have it booked, not to do what Enter does here.
            self._say(NothingToType(typed=typed, enter=question.enter))
            return
        if answer.pressed == PAUSE.name:
            self._pause(typed)
            return
        talk = self._asks(scene)
        try:
            outcome: Outcome = Back() if answer.pressed == "back" else talk.answer(cleaned, scene)
        except UnitsError as error:
            self._notice = units_line(error)
            return
        self._follow(outcome)
        self._bells += self._by_itself.raise_flags()
        self._close_out()

    def view(self) -> View:
        """All a front end shows now."""
        scene = self._scene()
        question = self._question(scene)
        if self._by_itself.over_hint and self._talk is None and not self.run.paused:
            question = replace(question, detail=(self._by_itself.over_hint, *question.detail))
        if self._still is None or self._still[0] is not scene.advice.standing:
            self._still = scene.advice.standing, present.still(scene, question)
        timed = isinstance(self._talk, Confirm) and scene.advice.timing is not None
        paused = scene.advice.standing.phase == "paused"
        shown = (not question.grave or timed) and not paused
        keeper = self._work.keeper
        held = len(keeper.held)
        return replace(
            self._still[1],
            question=question,
            # Digits are read from two metres: beside another question they would be taken for its answer.
            figure=present.figure_shown(scene) if shown else None,
            pour=None if question.grave else present.pour_shown(scene),
            countdown=present.countdown_shown(scene.advice.timing) if shown else None,
            flags=present.flags_shown(scene),
            clock=present.clock_shown(scene.advice.working),
            scale=present.scale_shown(scene, self._work.link_state),
            saved=saving_late(held, keeper.trouble) if held else SAVED,
            saved_grave=bool(held),
            unsaved=tuple(fact_line(self.run, entry, scene.speech) for entry in keeper.held),
            notice=self._notice,
            bells=self._bells,
            ended=self._left,
            answered=self._answered,
            parting=self._parting,
        )

    @property
    def run(self) -> Run:
        """The batch as it stands."""
        return self._work.run

    def _scene(self) -> Scene:
        return replace(self._work.scene, ways=self._ways)

    def _question(self, scene: Scene) -> Question:
        question = self._asks(scene).question(scene)
        acts = question.acts
        if scene.advice.standing.phase not in ("safety", "paused", "ended"):
            acts = (PAUSE, *acts)
        return replace(question, ident=f"{turn(self.run)}/{question.ident}", acts=acts)

    def _asks(self, scene: Scene) -> Talk:
        """What asks now; in a pause nothing but whether the batch goes on, and then what was asked before it."""
        return self._main if scene.advice.standing.phase == "paused" else self._talk or self._main

    def _pause(self, typed: str) -> None:
        """The mixer is called away, whatever is asked; what was typed half is told not to count."""
        if self._carry_out(commands.Pause(reason="")) and typed:
            self._notice = PUT_AWAY_TYPED.format(typed=typed)

    def _follow(self, outcome: Outcome) -> None:
        match outcome:
            case Do(command=commands.TakeUp() as command):
                self._carry_out(command)
            case Do(command=command, then=then):
                if self._booked_first(command) and self._carry_out(command):
                    self._talk = (
                        then
                        or self._ways_if_needed()
                        or (self._remedy() if isinstance(command, commands.Judge) else None)
                    )
            case Open(talk=talk, ways=ways):
                if not ways or self._worked_out() or not isinstance(talk, PickWay):
                    self._talk = talk
            case Refuse(why=why):
                self._say(why)
            case Back():
                self._talk = None
            case Leave():
                self._left = True
            case Looked(note=note):
                self._carry_out(commands.WriteNote(text=note))
                self._mended_before = frozenset()
                self._talk = self._came_up()

    def _came_up(self) -> Talk | None:
        """What came up by itself before the batch was left."""
        return self._ways_if_needed() or (self._remedy() if just_judged(self.run) else None)

    def _booked_first(self, command: commands.Command) -> bool:
        """What has been poured for the step at hand is booked before the step is left; whether to go on then."""
        scene = self._scene()
        step, net = scene.advice.standing.step, scene.advice.net
        leaves = isinstance(
            command, commands.EnoughIn | commands.SkipStep | commands.BringForward | commands.TakeRemedy
        ) or (isinstance(command, commands.RunOut) and command.material == material_of(step))
        # What is in a tub on the scale has not gone in.
        if not leaves or step is None or net is None or scene.advice.standing.phase == "tub-fill":
            return True
        if net.net_mg <= allowed_mg(self.run.in_bucket_mg, scene.advice.standing.division_mg):
            return True
        weight = steady_weight(scene)
        if weight is None:
            self._say(Plain.NOT_STEADY)
            return False
        late = scene.advice.standing.phase == "setting"
        material = self.run.recipe.water_key
        extra = commands.BookExtra(material=material, weight=weight, reason=POURED_LATE)
        if not self._carry_out(extra if late else commands.Book(weight=weight)):
            return False
        # What was asked for is done if that was the whole dose.
        through = step.key in self.run.finished and isinstance(command, commands.EnoughIn | commands.SkipStep)
        if through:
            self._talk = self._ways_if_needed()
        return not through

    def _carry_out(self, command: commands.Command, *, quietly: bool = False) -> bool:
        """Decide a command and keep its facts; a refusal that asks opens the question."""
        scene = self._scene()
        decided = decide(scene.advice, command)
        if isinstance(decided, tuple):
            self._mended_before = _to_be_mended(scene)
            self._work.keep(*decided)
            if not quietly:
                now = self._scene()
                self._notice = booked_words(now.advice.standing, decided, now.speech, now.at_hand)
            return True
        if isinstance(decided, FlagsStand) and isinstance(command, commands.Finish):
            self._talk = concede(command)
        elif isinstance(decided, BucketDiffers) and isinstance(command, commands.TakeReference):
            expected_mg = expected_gross_mg(self.run)
            why = refusal_line(self.run, decided, scene.speech)
            only_now = looks_like_the_bucket(self.run, decided.by_mg, command.division_mg)
            self._talk = bucket_differs(command, round(expected_mg or 0), why, bucket_only_now=only_now)
        elif isinstance(decided, TubWaits) and isinstance(command, commands.TakeReference):
            self._talk = tub_waits(command, refusal_line(self.run, decided, scene.speech))
        elif isinstance(decided, AskedOnce) and isinstance(command, commands.TakeReference):
            why = refusal_line(self.run, decided, scene.speech)
            self._talk = start_doubted(command, decided, why)
        elif isinstance(decided, SetDown) and isinstance(command, commands.Book | commands.FillTub):
            self._talk = set_down(command, decided, refusal_line(self.run, decided, scene.speech))
        elif isinstance(decided, TubLighter) and isinstance(command, commands.Book):
            self._talk = tub_lighter(command, refusal_line(self.run, decided, scene.speech))
        elif isinstance(decided, AskedOnce) and isinstance(
            command, commands.Book | commands.BookExtra | commands.DoneStep
        ):
            why = refusal_line(self.run, decided, scene.speech)
            if isinstance(command, commands.BookExtra):
                amount = scene.speech.finely(command.weight.mass_mg)
                name = name_of(self.run.recipe, command.material)
                why = BESIDE_ASKED.format(amount=amount, name=name, why=why)
            doubted = None
            if isinstance(decided, Far) and isinstance(command, commands.Book | commands.BookExtra):
                doubted = far_off(command, decided, why, scene)
            self._talk = doubted or Confirm(
                command=replace(command, confirmed=True), why=why, asked=decided, out=scene.takes_out
            )
        else:
            self._say(decided)
        return False

    def _say(self, refusal: Refusal) -> None:
        self._notice = refusal_line(self.run, refusal, self._scene().speech)

    def _ask_of_set_down(self) -> None:
        """What came onto the scale at once is asked about by itself, once for each that stood there."""
        scene = self._scene()
        stood_mg, live = scene.stood_mg, scene.live
        if stood_mg is None:
            self._asked_of_set_down = False
        if stood_mg is None or self._talk is not None or self._asked_of_set_down or self.run.paused:
            return
        if live is None or live.state != "steady":
            return
        self._asked_of_set_down = True
        weight = steady_weight(scene)
        if weight is not None:
            filling = scene.advice.standing.phase == "tub-fill"
            self._carry_out(commands.FillTub(weight=weight) if filling else commands.Book(weight=weight))
        elif self.run.weighing == "supply":
            asked = SetDown(mass_mg=stood_mg, weighing="supply")
            self._talk = set_down(None, asked, refusal_line(self.run, asked, scene.speech))
        self._bells += self._talk is not None

    def _remedy(self) -> Talk | None:
        """What to do about how the mix moves comes up by itself after it was judged."""
        judged = self.run.judged
        return after_judging(self._scene(), judged.verdict) if judged is not None else None

    def _ways_if_needed(self) -> Talk | None:
        """The ways out come up by themselves when what was just kept calls for them."""
        if self.run.ended or not _to_be_mended(self._scene()) - self._mended_before:
            return None
        return PickWay() if self._worked_out() else None

    def _worked_out(self) -> bool:
        """Work out the ways; whether there are any to pick from."""
        self._ways = self._work.ways()
        self._notice = self._work.ways_trouble or self._notice
        return bool(self._ways)

    def _close_out(self) -> None:
        """Once the batch is over and stored, what is to be done at its end is done, once."""
        if not self.run.ended or self._work.keeper.held or self._closed_out:
            return
        self._closed_out = True
        try:
            self._notice = self._at_end(self.run.start.batch_id)
        except Exception as error:
            # The batch is stored; whatever kept its record from being written is said and ends nothing.
            self._notice = not_written(self.run.start.batch_id, error_line(error))
        self._parting = OVER.format(said=self._notice) if self._notice else ""


def _to_be_mended(scene: Scene) -> frozenset[tuple[str, str]]:
    return frozenset((flag.code, flag.about) for flag in scene.advice.flags if flag.mended_by_ways)
