"""One batch in one thread: answers and the clock's ticks in, facts kept, a view out. `Station` gives it the thread."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from mixstation.batch.advice import Standing, advise, stand
from mixstation.batch.commands import Book, BookExtra, Command, DoneStep, FillTub, StartTimer, TakeReference
from mixstation.batch.decide import decide
from mixstation.batch.events import (
    ClockStepped,
    Fact,
    FlagRaised,
    PortionTaken,
    ProgramResumed,
    ReferenceTaken,
    ScaleChanged,
    WeightRecorded,
)
from mixstation.batch.moment import Live, Moment
from mixstation.batch.reconcile import expected_gross_mg
from mixstation.batch.refusal import Refusal
from mixstation.batch.run import Run
from mixstation.batch.way import Way
from mixstation.batch.ways import Limits, ways_out
from mixstation.station import present
from mixstation.station.clocks import Clock
from mixstation.station.keeper import Keeper
from mixstation.station.main_talk import MainTalk, steady_weight
from mixstation.station.menus import Confirm, bucket_differs, concede
from mixstation.station.reference import reference_now
from mixstation.station.scene import Scene
from mixstation.station.talk import Back, Do, Leave, Open, Outcome, Refuse, Say, Talk
from mixstation.station.view import Answer, Question, View
from mixstation.station.watch import ScaleWatch
from mixstation.station.ways_talk import PickWay
from mixstation.units.errors import UnitsError
from mixstation.units.show import DisplayUnits
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.refusal_lines import refusal_line, units_line
from mixstation.wording.view_lines import BOOKED, PART_BOOKED, SAVED, SAVING_LATE, TAKEN
from mixstation.wording.ways import way_line
from mixstation.wording.words import Speech, name_of

# Facts that come by themselves and do not change what is being asked.
_PASSIVE = (FlagRaised, ScaleChanged, ClockStepped, ProgramResumed)
# Flags that a way out can mend.
_MENDED_BY_WAYS = frozenset({"water-over", "water-over-ceiling", "dose-over", "dose-over-cap", "ran-out"})
# Choice: smaller steps of the wall clock are a time server's doing.
_CLOCK_STEP_MS = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How a mixer likes it.

    Attributes:
        units: What masses and temperatures are read in.
        division_mg: Smallest step worth saying before a scale has been heard.
        hands_free_s: Seconds a steady weight inside its tolerance waits before it takes itself; 0 for never.
        decimal_comma: A comma in a typed number is always a decimal mark.
    """

    units: DisplayUnits = DisplayUnits.METRIC
    division_mg: int = 1_000
    hands_free_s: float = 4.0
    decimal_comma: bool = False


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
    ) -> None:
        """Take up the keeper's batch.

        Args:
            keeper: Holds the batch.
            clock: Tells the moment.
            watch: The scale, or None without one.
            settings: How the mixer likes it.
            close: Called once at the end, to let the journal go.
            at_end: Called with the batch's id when the batch is over; gives the words to show.
        """
        self._keeper = keeper
        self._clock = clock
        self._watch = watch
        self._settings = settings
        self._close = close
        self._at_end = at_end
        self._talk: Talk | None = None
        self._main = MainTalk()
        self._ways: tuple[Way, ...] | None = None
        self._notice = ""
        self._bells = 0
        self._ended = False
        self._live: Live | None = None
        self._standing: Standing | None = None
        self._scene: Scene | None = None
        self._settled_since_ms: int | None = None
        self._slowed = False
        self._booked_serial = 0
        self._wall_ahead_ms: int | None = None
        self._looked_over: tuple[int, str] | None = None
        self._over_hint = ""
        self.tick()

    def close(self) -> None:
        """Release the scale and the journal."""
        if self._watch is not None:
            self._watch.stop()
        self._close()

    def tick(self) -> None:
        """Look at the clock and the scale, and do what comes by itself."""
        moment = self._clock.moment()
        if self._keeper.held_count:
            self._keeper.flush()
        self._note_clock_steps(moment)
        self._look(moment)
        self._note_link()
        self._rest_by_itself()
        self._refer_by_itself()
        self._take_by_itself(moment)
        self._raise_flags()
        self._hint_when_over()

    def answer(self, answer: Answer) -> None:
        """What the mixer did."""
        moment = self._clock.moment()
        self._look(moment)
        scene = self._now()
        question = self._question(scene)
        if answer.question != question.ident:
            self._say(Refusal(code="question-changed"))
            return
        self._notice = ""
        if answer.pressed not in {"enter", *(act.name for act in question.acts)}:
            return
        talk: Talk = self._talk or self._main
        try:
            outcome: Outcome = Back() if answer.pressed == "back" else talk.answer(answer, scene)
        except UnitsError as error:
            self._notice = units_line(error)
            return
        self._follow(outcome)
        self._raise_flags()

    def view(self) -> View:
        """All a front end shows now."""
        scene = self._now()
        question = self._question(scene)
        if self._over_hint and self._talk is None:
            question = replace(question, detail=(self._over_hint, *question.detail))
        held = self._keeper.held_count
        return View(
            serial=0,
            title=present.title_words(scene),
            place=present.place_words(scene.advice),
            question=question,
            figure=present.figure_shown(scene),
            pour=present.pour_shown(scene),
            countdown=present.countdown_shown(scene.advice.timing),
            ratio=present.ratio_shown(scene),
            flags=present.flags_shown(scene),
            went_in=present.went_in(scene),
            to_come=present.to_come(scene),
            clock=present.clock_shown(scene.advice.working),
            scale=present.scale_shown(scene, self._watch.link_state() if self._watch is not None else ""),
            saved=SAVING_LATE.format(count=held, code=self._keeper.trouble) if held else SAVED,
            saved_grave=bool(held),
            notice=self._notice,
            bells=self._bells,
            ended=self._ended,
        )

    @property
    def run(self) -> Run:
        """The batch as it stands."""
        return self._keeper.run

    def _division_mg(self) -> int:
        if self._live is not None and self._live.division_mg:
            return self._live.division_mg
        on_file = self.run.start.scale
        return on_file.division_mg if on_file is not None else self._settings.division_mg

    def _look(self, moment: Moment) -> None:
        """Read the scale and work out the advice of the moment."""
        self._live = self._watch.live(moment.mono_ms / 1000) if self._watch is not None else None
        division_mg = self._division_mg()
        if (
            self._standing is None
            or self._standing.run is not self.run
            or self._standing.division_mg != division_mg
        ):
            self._standing = stand(self.run, division_mg)
        preact_s = self._watch.preact_s if self._watch is not None else 0.0
        advice = advise(self._standing, moment, self._live, preact_s, slowed=self._slowed)
        self._slowed = advice.net is not None and advice.net.cue != "pour"
        self._scene = Scene(
            advice=advice,
            speech=Speech(units=self._settings.units, division_mg=division_mg),
            decimal_comma=self._settings.decimal_comma,
            live=self._live,
            has_scale=self._live is not None and self._live.state != "none",
            ways=self._ways,
        )
        if self._watch is not None and self._live is not None:
            self._watch.learn(advice.net, self._live.flow_mg_s)

    def _now(self) -> Scene:
        if self._scene is None or self._scene.run is not self.run:
            self._look(self._clock.moment())
        assert self._scene is not None
        return replace(self._scene, ways=self._ways)

    def _question(self, scene: Scene) -> Question:
        talk: Talk = self._talk or self._main
        question = talk.question(scene)
        turn = sum(not isinstance(entry.fact, _PASSIVE) for entry in self.run.entries)
        return replace(question, ident=f"{turn}/{question.ident}")

    def _follow(self, outcome: Outcome) -> None:
        match outcome:
            case Do(command=command, then=then):
                if self._carry_out(command):
                    self._talk = then or self._ways_if_needed()
            case Open(talk=talk, ways=ways):
                if ways:
                    self._ways = self._worked_out()
                self._talk = talk
            case Say(text=text):
                self._notice = text
            case Refuse(code=code):
                self._say(Refusal(code=code))
            case Back():
                self._talk = None
            case Leave():
                self._ended = True

    def _carry_out(self, command: Command) -> bool:
        """Decide a command and keep its facts; a refusal that asks opens the question."""
        scene = self._now()
        decided = decide(scene.advice, command)
        if not isinstance(decided, Refusal):
            self._keep(*decided)
            self._notice = (
                self._at_end(self.run.start.batch_id) if self.run.ended else self._booked_words(decided)
            )
            return True
        if decided.code == "flags-stand":
            self._talk = concede()
        elif decided.code == "bucket-differs" and isinstance(command, TakeReference):
            expected_mg = expected_gross_mg(self.run)
            why = refusal_line(self.run, decided, scene.speech)
            self._talk = bucket_differs(command, round(expected_mg or 0), why)
        elif decided.asks and isinstance(command, Book | BookExtra | DoneStep):
            why = refusal_line(self.run, decided, scene.speech)
            self._talk = Confirm(command=replace(command, confirmed=True), why=why)
        else:
            self._say(decided)
        return False

    def _keep(self, *facts: Fact) -> None:
        self._keeper.keep(*facts)
        self._settled_since_ms = None
        self._over_hint = ""
        self._looked_over = None
        if any(isinstance(fact, WeightRecorded | PortionTaken) for fact in facts) and self._live is not None:
            self._booked_serial = self._live.serial
        self._look(self._clock.moment())

    def _booked_words(self, facts: tuple[Fact, ...]) -> str:
        scene = self._now()
        booked = next((fact for fact in facts if isinstance(fact, WeightRecorded)), None)
        if booked is None:
            return TAKEN if not isinstance(facts[0], ReferenceTaken) else ""
        amount, name = scene.speech.mass(booked.mass_mg), name_of(self.run.recipe, booked.material)
        dosing = scene.advice.standing.dosing
        step = scene.advice.standing.step
        if dosing is not None and step is not None and step.key == booked.step and dosing.target_mg:
            return PART_BOOKED.format(amount=amount, name=name, left=scene.speech.mass(dosing.target_mg))
        return BOOKED.format(amount=amount, name=name)

    def _say(self, refusal: Refusal) -> None:
        self._notice = refusal_line(self.run, refusal, self._now().speech)

    def _ways_if_needed(self) -> Talk | None:
        """The ways out come up by themselves when what was just booked calls for them."""
        fresh = [
            flag
            for flag in self._now().advice.flags
            if flag.code in _MENDED_BY_WAYS and (flag.code, flag.about) not in self.run.raised
        ]
        if not fresh or self.run.ended:
            return None
        self._ways = self._worked_out()
        return PickWay() if self._ways else None

    def _worked_out(self, run: Run | None = None) -> tuple[Way, ...]:
        scene = self._now()
        of = run or self.run
        working = scene.advice.working
        left_s = None if working.since_s is None else int(working.low_s - working.since_s)
        judged = of.judged
        limits = Limits(
            divisions_mg=dict.fromkeys(of.content, scene.advice.standing.division_mg),
            stock_mg=_left_in_stock(of),
            bucket_l=of.start.bucket_l,
            fill_limit=of.start.fill_limit,
            needed_l=of.start.needed_l,
            working_left_s=left_s,
            stiffening=judged is not None and judged.verdict == "stiff-and-warm",
        )
        return ways_out(of, limits)

    def _note_clock_steps(self, moment: Moment) -> None:
        """A jump of the wall clock against the boot clock is a fact; no time is taken from the wall clock."""
        ahead_ms = moment.utc_ms - moment.boot_ms
        if self._wall_ahead_ms is not None and abs(ahead_ms - self._wall_ahead_ms) > _CLOCK_STEP_MS:
            self._keep(ClockStepped(by_ms=ahead_ms - self._wall_ahead_ms))
        self._wall_ahead_ms = ahead_ms

    def _note_link(self) -> None:
        change = self._watch.changed() if self._watch is not None else None
        if change is not None and not self.run.ended:
            self._keep(ScaleChanged(state=change[0], detail=change[1]))

    def _rest_by_itself(self) -> None:
        """A rest begins when it is at hand, however that came about."""
        scene = self._now()
        step = scene.advice.standing.step
        if scene.advice.standing.phase == "resting" and step is not None and step.key not in self.run.timers:
            self._carry_out(StartTimer())

    def _refer_by_itself(self) -> None:
        scene = self._now()
        gross_mg = reference_now(scene, self._booked_serial)
        if gross_mg is not None and self._talk is None and self._live is not None:
            self._carry_out(TakeReference(gross_mg=gross_mg, division_mg=self._live.division_mg))

    def _take_by_itself(self, moment: Moment) -> None:
        """A steady weight inside its tolerance takes itself after a while, with a bell; never in a changed unit."""
        scene = self._now()
        weight, net = steady_weight(scene), scene.advice.net
        flagged = any(flag.code == "scale-unit-changed" for flag in scene.advice.flags)
        ready = weight is not None and net is not None and net.place == "inside" and not flagged
        if not ready or self._talk is not None or not self._settings.hands_free_s:
            self._settled_since_ms = None
            return
        if self._settled_since_ms is None:
            self._settled_since_ms = moment.mono_ms
            return
        if (
            moment.mono_ms - self._settled_since_ms >= self._settings.hands_free_s * 1000
            and weight is not None
        ):
            filling = scene.advice.standing.phase == "tub-fill"
            if self._carry_out(FillTub(weight=weight) if filling else Book(weight=weight)):
                self._bells += 1
                self._talk = self._ways_if_needed()

    def _raise_flags(self) -> None:
        """Every flag that is put before the mixer goes into the record, once."""
        scene = self._now()
        new = [flag for flag in scene.advice.flags if (flag.code, flag.about) not in self.run.raised]
        if not new or self.run.ended:
            return
        self._keeper.keep(
            *(
                FlagRaised(
                    code=flag.code,
                    about=flag.about,
                    gravity=flag.gravity,
                    said=flag_line(self.run, flag, scene.speech),
                )
                for flag in new
            )
        )
        if any(flag.gravity == "stop" for flag in new):
            self._bells += 1

    def _hint_when_over(self) -> None:
        """While the live weight is past its tolerance the first way out is already on screen."""
        scene = self._now()
        net, dosing = scene.advice.net, scene.advice.standing.dosing
        if net is None or dosing is None or net.place != "over":
            self._over_hint, self._looked_over = "", None
            return
        # Choice: worked out anew for every fiftieth of the dose, not for every reading.
        looked = (net.net_mg * 50 // max(1, dosing.target_mg), dosing.material)
        if looked == self._looked_over:
            return
        self._looked_over = looked
        poured = replace(
            self.run,
            content={
                **self.run.content,
                dosing.material: self.run.content[dosing.material] + Fraction(net.net_mg),
            },
        )
        ways = self._worked_out(poured)
        self._over_hint = way_line(ways[0], poured, scene.speech.units) if ways else ""


def _left_in_stock(run: Run) -> dict[str, int]:
    """What is still on the shelf of each limited material."""
    used: dict[str, int] = {}
    for entry in run.live:
        if isinstance(entry.fact, WeightRecorded):
            used[entry.fact.material] = used.get(entry.fact.material, 0) + entry.fact.mass_mg
    left = {
        amount.material: max(0, amount.mass_mg - used.get(amount.material, 0)) for amount in run.start.stock
    }
    return left | dict.fromkeys(run.ran_out, 0)
