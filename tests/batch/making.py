"""A batch mixed in a test: a clock that only tests move, and a bench to work at."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import assert_never

from mixstation.batch.advice import Advice, Standing, advise, stand, take_out_mg
from mixstation.batch.commands import (
    AcknowledgeSafety,
    Book,
    Command,
    DoneStep,
    EnoughIn,
    Judge,
    NoteTemperature,
    StartTimer,
    TakeBack,
    Weight,
)
from mixstation.batch.decide import decide
from mixstation.batch.dosing import Dosing
from mixstation.batch.events import Amount, BatchStarted, Entry, Fact, Source, Stamp, WayTaken
from mixstation.batch.flag import Flag
from mixstation.batch.moment import Live, Moment
from mixstation.batch.refusal import Refusal
from mixstation.batch.run import Run, TakeOutStep, apply, fold
from mixstation.batch.targets import Projection, aim_of
from mixstation.coded import Coded
from mixstation.recipe.model import (
    AddStep,
    ConsistencyStep,
    MixStep,
    NoteStep,
    Recipe,
    ReleaseStep,
    RestStep,
    ScrapeStep,
    SplitStep,
    TemperatureStep,
)
from mixstation.units.show import DisplayUnits
from mixstation.wording.refusal_lines import refusal_line
from mixstation.wording.words import Speech
from tests.batch.recipes import BLEND, BLEND_POWDERS, CLOUDED, CLOUDED_POWDERS, RAW, RAW_POWDERS

SPEECH = Speech(units=DisplayUnits.METRIC, division_mg=1000)


def values_of(told: Coded) -> dict[str, object]:
    """The figures of a flag or a refusal by name, without what they are about."""
    beside = ("too_late", "also", "step", "material")
    return {each.name: getattr(told, each.name) for each in fields(told) if each.name not in beside}  # type: ignore[arg-type]


@dataclass(slots=True)
class Hands:
    """A clock that stands still until a test moves it."""

    utc_ms: int = 1_780_000_000_000
    boot_ms: int = 5_000_000
    mono_ms: int = 4_000_000
    boot_id: str = "first"

    def go(self, seconds: float) -> None:
        """Time passes."""
        self.suspend(seconds)
        self.mono_ms += round(seconds * 1000)

    def suspend(self, seconds: float) -> None:
        """The machine sleeps: the monotonic clock stands still."""
        self.utc_ms += round(seconds * 1000)
        self.boot_ms += round(seconds * 1000)

    def restart(self, seconds: float) -> None:
        """The machine is started anew."""
        self.utc_ms += round(seconds * 1000)
        self.boot_ms, self.mono_ms, self.boot_id = 20_000, 20_000, f"{self.boot_id}+"

    def moment(self) -> Moment:
        return Moment(utc_ms=self.utc_ms, boot_ms=self.boot_ms, mono_ms=self.mono_ms, boot_id=self.boot_id)

    def stamp(self) -> Stamp:
        return Stamp(
            utc_ms=self.utc_ms,
            offset_min=60,
            boot_ms=self.boot_ms,
            mono_ms=self.mono_ms,
            boot_id=self.boot_id,
            who="Mara",
        )


def started(of: Recipe, powders: Mapping[str, int], **fields: object) -> BatchStarted:
    """The start of a batch of given powders."""
    values: dict[str, object] = {
        "batch_id": "b-1",
        "piece": "trial piece",
        "recipe_text": f'name = "{of.name}"\n',
        "recipe_hash": "0" * 64,
        "recipe": of,
        "aim": aim_of(of, powders),
        "weighing": "bucket",
        "scale": None,
        "bucket_l": 40.0,
        "fill_limit": 0.6,
        "bucket_number": 1,
        "bucket_count": 1,
        "needed_l": 0.0,
        "stock": (),
        "lots": (),
        "shop_c": 20.0,
        "program": "0.1.0",
    }
    return BatchStarted(**values | fields)  # type: ignore[arg-type]


def weight(mass_mg: int, source: Source = "scale", division_mg: int = 1000, **fields: object) -> Weight:
    return Weight(
        mass_mg=mass_mg,
        source=source,
        shown=f"{mass_mg / 1e6:.3f} kg",
        division_mg=division_mg,
        **fields,  # type: ignore[arg-type]
    )


def way(bench: "Bench", **fields: object) -> WayTaken:
    """A way out taken: a batch grown by nothing, unless told otherwise."""
    values: dict[str, object] = {
        "way": "grow",
        "aim": bench.run.aim,
        "pour_back_mg": 0,
        "scoop_mg": 0,
        "make_up": (),
        "mix_s": 0,
        "gives_up": (),
        "said": "so",
    }
    return WayTaken(**values | fields)  # type: ignore[arg-type]


@dataclass
class Bench:
    """A batch at work: commands in, facts folded, every flag and refusal on the way remembered.

    After every command the run folded step by step must equal the one folded anew; every refusal must have a sentence.
    """

    run: Run
    hands: Hands = field(default_factory=Hands)
    division_mg: int = 1000
    live: Live | None = None
    seen: dict[tuple[str, str], Flag] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)
    stood: Standing | None = None

    @classmethod
    def begin(
        cls,
        of: Recipe,
        powders: Mapping[str, int],
        division_mg: int = 1000,
        *,
        acknowledged: bool = True,
        **fields: object,
    ) -> "Bench":
        """A batch started and, unless told otherwise, with the safety text behind the mixer."""
        hands = Hands()
        entry = Entry(seq=1, stamp=hands.stamp(), fact=started(of, powders, **fields))
        bench = cls(run=fold([entry]), hands=hands, division_mg=division_mg)
        if acknowledged:
            bench.does(AcknowledgeSafety())
        return bench

    @property
    def standing(self) -> Standing:
        if self.stood is None or self.stood.run is not self.run or self.stood.division_mg != self.division_mg:
            self.stood = stand(self.run, self.division_mg)
        return self.stood

    @property
    def advice(self) -> Advice:
        advice = advise(self.standing, self.hands.moment(), self.live)
        self.seen |= {(flag.code, flag.about): flag for flag in advice.flags}
        return advice

    @property
    def flags(self) -> dict[str, Flag]:
        return {flag.code: flag for flag in self.advice.flags}

    @property
    def codes(self) -> set[str]:
        return set(self.flags)

    @property
    def dosing(self) -> Dosing:
        dosing = self.standing.dosing
        assert dosing is not None
        return dosing

    @property
    def shows_mg(self) -> int:
        """Division of the scale that weighs the dose at hand."""
        return self.run.division_of(self.dosing.material, self.division_mg)

    @property
    def projection(self) -> Projection:
        return self.standing.projection

    @property
    def step(self) -> str:
        return self.run.step.key if self.run.step is not None else ""

    def tell(self, *facts: Fact) -> None:
        """Facts stored as they are, without a decision."""
        for fact in facts:
            self.run = apply(
                self.run, Entry(seq=len(self.run.entries) + 1, stamp=self.hands.stamp(), fact=fact)
            )
        assert fold(self.run.entries) == self.run

    def tries(self, command: Command) -> tuple[Fact, ...] | Refusal:
        """Give a command; a second goes by."""
        self.hands.go(1)
        decided = decide(self.advice, command)
        if isinstance(decided, Refusal):
            self.told.add(decided.code)
            assert refusal_line(self.run, decided, SPEECH).strip()
        else:
            self.tell(*decided)
        return decided

    def does(self, command: Command) -> tuple[Fact, ...]:
        """A command that must go through."""
        decided = self.tries(command)
        assert not isinstance(decided, Refusal), decided
        return decided

    def refuses(self, command: Command) -> Refusal:
        """A command that must change nothing."""
        before = self.run
        decided = self.tries(command)
        assert isinstance(decided, Refusal), decided
        assert self.run is before
        return decided

    def pours(self, mass_mg: int | None = None, *, confirmed: bool = False) -> int:
        """Weigh in what the step asks for, or so much; seq of the weighing."""
        asked = self.standing.dosing
        out = take_out_mg(self.standing)
        target = asked.target_mg if asked is not None else out
        assert target is not None
        seq = len(self.run.entries) + 1
        if target or mass_mg is not None:
            division_mg = self.division_mg if asked is None else self.shows_mg
            self.does(Book(weight=weight(mass_mg or target, division_mg=division_mg), confirmed=confirmed))
        else:
            self.does(EnoughIn())
        return seq

    def takes_back(self, seq: int) -> None:
        self.does(TakeBack(seq=seq, reason="slip"))

    def mixes(self, seconds: float | None = None, *, confirmed: bool = False) -> None:
        """Start the paddle at the step at hand, let it turn, stop it."""
        step = self.run.step
        assert isinstance(step, MixStep)
        self.does(StartTimer())
        self.hands.go((step.min_s if seconds is None else seconds) - 1)
        self.does(DoneStep(confirmed=confirmed))

    def rests(self, seconds: float | None = None, *, confirmed: bool = False) -> None:
        step = self.run.step
        assert isinstance(step, RestStep)
        self.hands.go((step.min_s if seconds is None else seconds) - 1)
        self.does(DoneStep(confirmed=confirmed))

    def goes_on(self) -> None:
        """Do the step at hand as advised."""
        match self.run.step:
            case AddStep() | SplitStep():
                self.pours()
            case ReleaseStep():
                self.releases()
            case MixStep():
                self.mixes()
            case RestStep():
                self.rests()
            case ConsistencyStep() as step:
                figure = None if step.least is None or step.most is None else (step.least + step.most) // 2
                self.does(Judge(verdict=None if figure is not None else "right", figure=figure))
            case TemperatureStep():
                self.does(NoteTemperature(mix_milli_c=20_000, shown="20.0 °C"))
            case ScrapeStep() | NoteStep():
                self.does(DoneStep())
            case TakeOutStep() | None:
                self.pours()
            case _ as forgotten:
                assert_never(forgotten)

    def releases(self, times: int | None = None) -> int:
        """Let held-back water in and mix, until all is in or so many times; how often it went in."""
        poured = 0
        step = self.run.step
        assert isinstance(step, ReleaseStep)
        while self.step == step.key and poured != times:
            if self.standing.phase in ("release-judge", "release-rest", "release-mixing"):
                self.does(Judge(verdict="too-stiff"))
            elif self.standing.phase == "release-start-mixing":
                self.does(StartTimer())
                self.hands.go(step.mix_s)
            else:
                poured += self.dosing.exact_mg > 0
                self.pours()
            assert len(self.run.entries) < 1000, "no end of releasing"
        return poured

    def goes_to(self, key: str) -> "Bench":
        """Follow the advice up to a step."""
        while self.step != key:
            assert self.step, f"{key} is behind"
            self.goes_on()
        return self

    def goes_through(self) -> "Bench":
        """Follow the advice to the end of the steps."""
        while self.step:
            self.goes_on()
        return self

    def shows(
        self, gross_mg: int | None, state: str = "steady", flow_g_s: float = 0, **fields: object
    ) -> None:
        """What the scale says from now on."""
        live = Live(
            mass_mg=gross_mg,
            division_mg=self.division_mg,
            state=state,
            flow_mg_s=flow_g_s * 1000,
            shown="ST,GS,+",
            serial=1,
        )
        self.live = replace(live, **fields)  # type: ignore[arg-type]


def blend(division_mg: int = 1000, **fields: object) -> Bench:
    return Bench.begin(BLEND, BLEND_POWDERS, division_mg, **fields)  # type: ignore[arg-type]


def raw(division_mg: int = 1000, **fields: object) -> Bench:
    return Bench.begin(RAW, RAW_POWDERS, division_mg, **fields)  # type: ignore[arg-type]


def clouded(division_mg: int = 1000, **fields: object) -> Bench:
    return Bench.begin(CLOUDED, CLOUDED_POWDERS, division_mg, **fields)  # type: ignore[arg-type]


def stocked(**masses_mg: int) -> tuple[Amount, ...]:
    return tuple(Amount(material=key, mass_mg=mass) for key, mass in masses_mg.items())
