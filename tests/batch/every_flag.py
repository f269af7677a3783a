"""How each flag comes about at the bucket, and what makes it go away: one pair a code."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from mixstation.batch.commands import (
    Book,
    BookExtra,
    BookRemoved,
    BringForward,
    Discard,
    DoneStep,
    EnoughIn,
    Judge,
    NoteTemperature,
    RunOut,
    SkipStep,
    StartTimer,
    TakeReference,
)
from mixstation.batch.events import ReferenceTaken, StepDone, StepSkipped, TimerStarted, WayTaken
from mixstation.batch.targets import aim_of
from tests.batch.making import Bench, blend, clouded, raw, stocked, weight
from tests.batch.recipes import BLEND, g, kg

Act = Callable[[Bench], object]


@dataclass(frozen=True, kw_only=True)
class Case:
    """A flag.

    Attributes:
        gravity: How grave it is when it comes.
        comes: Makes a batch on which it stands.
        goes: Mends it.
        about: What it is about.
    """

    gravity: str
    comes: Callable[[], Bench]
    goes: Act
    about: str = ""


def last(bench: Bench, kind: type) -> int:
    """Sequence number of the latest live entry of a kind."""
    return next(entry.seq for entry in reversed(bench.run.live) if isinstance(entry.fact, kind))


def take_back(kind: type) -> Act:
    return lambda bench: bench.takes_back(last(bench, kind))


def watered(mass: str, division_mg: int = 1000) -> Bench:
    """Blend with so much first water; 18 kg of blend make 0.132 of 2.376 kg."""
    bench = blend(division_mg)
    bench.pours(kg(mass), confirmed=True)
    return bench


def poured_back(mass: str) -> Act:
    return lambda bench: bench.does(
        BookRemoved(material="water", weight=weight(kg(mass)), reason="poured back")
    )


def added(key: str, mass_mg: int) -> Act:
    return lambda bench: bench.does(BookExtra(material=key, weight=weight(mass_mg), reason="made up"))


def plasticised(mass_mg: int) -> Bench:
    """Binder 8.8 kg: own band to 79.2 g, cap 105.6 g."""
    bench = raw().goes_to("plasticiser")
    bench.pours(mass_mg, confirmed=True)
    return bench


def judged_right_at_once() -> Bench:
    bench = blend().goes_to("release")
    bench.does(Judge(verdict="right"))
    bench.does(SkipStep(reason="right without it"))
    return bench


def judged_too_loose() -> Bench:
    bench = blend().goes_to("scrape-3")
    bench.does(Judge(verdict="too-loose"))
    return bench


def short(key: str, mass_mg: int) -> Bench:
    bench = blend().goes_to(key)
    bench.pours(mass_mg, confirmed=True)
    bench.does(EnoughIn())
    return bench


def over(key: str, mass_mg: int) -> Bench:
    bench = blend().goes_to(key)
    bench.pours(mass_mg, confirmed=True)
    return bench


def left_out(key: str, bench: Bench | None = None) -> Bench:
    bench = (bench or blend()).goes_to(key)
    bench.does(SkipStep(reason="no time"))
    return bench


def ran_out() -> Bench:
    bench = blend().goes_to("blend-2")
    bench.does(RunOut(material="blend"))
    return bench


def shrunk(bench: Bench) -> None:
    """A way to a batch of 12 kg blend."""
    bench.tell(
        WayTaken(
            way="shrink",
            aim=aim_of(bench.run.recipe, {"blend": kg(12)}),
            pour_back_mg=0,
            scoop_mg=0,
            make_up=(),
            mix_s=0,
            gives_up=(),
            said="go on with 12 kg",
        )
    )


def loaded() -> Bench:
    """20 kg of blend with 0.132 of water and 2.6 % of fibre: 23.24 kg."""
    return Bench.begin(BLEND, {"blend": kg(20)})


def unscraped() -> Bench:
    bench = left_out("scrape-2")
    return left_out("scrape-3", bench)


def fibres_unscraped() -> Bench:
    bench = unscraped()
    bench.pours()
    return bench


def scrape_after_all(bench: Bench) -> None:
    bench.takes_back(last(bench, StepSkipped))
    bench.does(DoneStep())


def mixed(seconds: float) -> Bench:
    bench = blend().goes_to("mix-1")
    bench.mixes(seconds, confirmed=True)
    return bench


def mix_on(bench: Bench) -> None:
    """The end is taken back, the paddle turns on."""
    bench.takes_back(last(bench, StepDone))
    bench.hands.go(40)
    bench.does(DoneStep())


def mixing(seconds: float) -> Bench:
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    bench.hands.go(seconds)
    return bench


def resting(seconds: float) -> Bench:
    bench = blend().goes_to("rest")
    bench.hands.go(seconds)
    return bench


def rested(seconds: float) -> Bench:
    bench = blend().goes_to("rest")
    bench.rests(seconds, confirmed=True)
    return bench


def rest_on(bench: Bench) -> None:
    bench.takes_back(last(bench, StepDone))
    bench.hands.go(120)
    bench.does(DoneStep())


def forward() -> Bench:
    bench = blend()
    bench.does(BringForward(step="blend-1"))
    return bench


def plasticiser_late() -> Bench:
    """More plasticiser just before the held-back water."""
    bench = raw().goes_to("release")
    added("plasticiser", g(5))(bench)
    return bench


def mix_in(bench: Bench) -> None:
    bench.does(StartTimer())
    bench.hands.go(15)
    bench.does(Judge(verdict="too-stiff"))


def watered_too_early() -> Bench:
    bench = plasticiser_late()
    bench.does(Judge(verdict="too-stiff"))
    bench.pours()
    return bench


def release_first() -> Bench:
    bench = raw().goes_to("plasticiser")
    bench.does(BringForward(step="release"))
    return bench


def finer_scale(bench: Bench) -> None:
    """The same dose from a scale of 0.1 g."""
    exact = bench.dosing.exact_mg
    bench.does(Book(weight=weight(round(exact), "typed", division_mg=100)))


def tubbed() -> Bench:
    bench = blend(weighing="tub")
    bench.does(Book(weight=weight(bench.dosing.target_mg, weighing="tub")))
    return bench


def taken_at(milli_c: int) -> Bench:
    bench = blend().goes_to("temperature")
    bench.does(NoteTemperature(mix_milli_c=milli_c, shown=f"{milli_c / 1000} °C"))
    return bench


def at(milli_c: int) -> Act:
    return lambda bench: bench.does(NoteTemperature(mix_milli_c=milli_c, shown=f"{milli_c / 1000} °C"))


def weighed_again(by_mg: int) -> Bench:
    """The bucket of 1.2 kg on the scale before the water and before the powder, so much heavier than it should be."""
    bench = blend()
    bench.does(TakeReference(gross_mg=kg("1.2"), division_mg=1000))
    bench.pours()
    gross_mg = kg("1.2") + kg("1.901") + by_mg
    bench.does(TakeReference(gross_mg=gross_mg, division_mg=1000, confirmed=True))
    return bench


def aged(minutes: float) -> Bench:
    """Recipe with 30 min at 20 °C: the band is 24 to 36 min."""
    bench = blend()
    bench.pours()
    bench.hands.go(60 * minutes)
    return bench


def stiff_and_warm() -> Bench:
    bench = blend().goes_to("judge")
    bench.does(Judge(verdict="stiff-and-warm"))
    return bench


def at_the_scale(state: str, **fields: object) -> Bench:
    bench = blend()
    bench.tell(ReferenceTaken(step="water-1", weighing="bucket", gross_mg=kg("1.2"), division_mg=1000))
    bench.shows(kg("1.5") if state == "moving" else None, state, **fields)
    return bench


def sound_again(bench: Bench) -> None:
    bench.shows(kg("1.5"))


def judged_anew(bench: Bench) -> None:
    bench.does(Judge(verdict="right"))


EVERY_FLAG: Mapping[str, Case] = {
    "water-over-ceiling": Case(
        gravity="stop", comes=lambda: watered("2.661"), goes=poured_back("0.3"), about="water"
    ),
    "water-over": Case(gravity="stop", comes=lambda: watered("2.6"), goes=poured_back("0.2"), about="water"),
    "water-unsure": Case(
        gravity="warn", comes=lambda: watered("2.480", g(10)), goes=poured_back("0.1"), about="water"
    ),
    "water-high": Case(
        gravity="note", comes=lambda: watered("2.43"), goes=poured_back("0.05"), about="water"
    ),
    "water-under": Case(
        gravity="warn", comes=judged_right_at_once, goes=added("water", g(475)), about="water"
    ),
    "too-loose": Case(
        gravity="warn", comes=judged_too_loose, goes=lambda bench: bench.does(Judge(verdict="right"))
    ),
    "dose-over-cap": Case(
        gravity="stop",
        comes=lambda: plasticised(g(120)),
        goes=lambda bench: bench.takes_back(last(bench, StepDone) - 1),
        about="plasticiser",
    ),
    "dose-over": Case(
        gravity="stop",
        comes=lambda: plasticised(g(90)),
        goes=lambda bench: bench.takes_back(last(bench, StepDone) - 1),
        about="plasticiser",
    ),
    "dose-under": Case(
        gravity="warn", comes=lambda: short("fibre", g(300)), goes=added("fibre", g(240)), about="fibre"
    ),
    "dose-missing": Case(
        gravity="warn", comes=lambda: left_out("fibre"), goes=take_back(StepSkipped), about="fibre"
    ),
    "powder-over": Case(
        gravity="warn",
        comes=lambda: over("blend-1", kg("18.6")),
        goes=lambda bench: bench.does(
            BookRemoved(material="blend", weight=weight(kg("0.6")), reason="scooped off dry")
        ),
        about="blend",
    ),
    "powder-under": Case(
        gravity="warn", comes=lambda: short("blend-2", kg(8)), goes=added("blend", kg(1)), about="blend"
    ),
    "ran-out": Case(
        gravity="stop",
        comes=ran_out,
        goes=lambda bench: bench.takes_back(last(bench, StepSkipped)),
        about="blend",
    ),
    "stock-short": Case(
        gravity="warn", comes=lambda: blend(stock=stocked(blend=kg(17))), goes=shrunk, about="blend"
    ),
    "bucket-full": Case(gravity="warn", comes=lambda: blend(bucket_l=14.0), goes=shrunk),
    "bucket-heavy": Case(gravity="note", comes=loaded, goes=shrunk),
    "fibres-unscraped": Case(gravity="warn", comes=fibres_unscraped, goes=scrape_after_all),
    "scrape-first": Case(gravity="warn", comes=unscraped, goes=scrape_after_all),
    "scrape-skipped": Case(
        gravity="warn",
        comes=lambda: left_out("scrape-2"),
        goes=lambda bench: bench.goes_to("fibre"),
        about="scrape-2",
    ),
    "mix-short": Case(gravity="warn", comes=lambda: mixed(30), goes=mix_on, about="mix-1"),
    "mix-long": Case(gravity="warn", comes=lambda: mixing(120), goes=take_back(TimerStarted), about="mix-1"),
    "rest-short": Case(gravity="warn", comes=lambda: rested(90), goes=rest_on, about="rest"),
    "rest-long": Case(gravity="warn", comes=lambda: resting(400), goes=take_back(TimerStarted), about="rest"),
    "mix-skipped": Case(
        gravity="warn", comes=lambda: left_out("mix-2"), goes=take_back(StepSkipped), about="mix-2"
    ),
    "rest-skipped": Case(
        gravity="warn", comes=lambda: left_out("rest"), goes=take_back(StepSkipped), about="rest"
    ),
    "out-of-order": Case(
        gravity="note",
        comes=forward,
        goes=lambda bench: bench.takes_back(len(bench.run.entries)),
        about="blend-1",
    ),
    "plasticiser-not-acted": Case(gravity="warn", comes=watered_too_early, goes=mix_in),
    "plasticiser-first": Case(
        gravity="warn",
        comes=release_first,
        goes=lambda bench: bench.takes_back(len(bench.run.entries)),
    ),
    "mix-plasticiser-first": Case(gravity="warn", comes=plasticiser_late, goes=mix_in),
    "dose-below-division": Case(
        gravity="stop", comes=lambda: clouded(g(200)).goes_to("slate"), goes=finer_scale, about="slate"
    ),
    "dose-small-for-scale": Case(
        gravity="warn", comes=lambda: clouded(g(5)).goes_to("slate"), goes=finer_scale, about="slate"
    ),
    "tub-not-weighed-back": Case(
        gravity="note",
        comes=tubbed,
        goes=lambda bench: bench.takes_back(last(bench, StepDone) - 1),
        about="water",
    ),
    "polymer-cold": Case(gravity="warn", comes=lambda: raw(shop_c=6.0), goes=at(14_000), about="emulsion"),
    "mix-warm": Case(gravity="warn", comes=lambda: taken_at(31_000), goes=at(27_000), about="temperature"),
    "mix-cold": Case(gravity="warn", comes=lambda: taken_at(9_000), goes=at(13_000), about="temperature"),
    "bucket-heavier": Case(gravity="warn", comes=lambda: weighed_again(g(310)), goes=added("water", g(310))),
    "bucket-lighter": Case(gravity="warn", comes=lambda: weighed_again(-g(310)), goes=poured_back("0.31")),
    "time-near": Case(gravity="note", comes=lambda: aged(21), goes=at(12_000)),
    "time-late": Case(gravity="warn", comes=lambda: aged(30), goes=at(8_000)),
    "time-past": Case(
        gravity="stop", comes=lambda: aged(40), goes=lambda bench: bench.does(Discard(reason="stiff"))
    ),
    "stiff-and-warm": Case(gravity="stop", comes=stiff_and_warm, goes=judged_anew),
    "scale-silent": Case(gravity="warn", comes=lambda: at_the_scale("stale"), goes=sound_again),
    "scale-unreadable": Case(
        gravity="warn", comes=lambda: at_the_scale("stale", unread="ST,GS,+0?.4"), goes=sound_again
    ),
    "scale-fault": Case(gravity="warn", comes=lambda: at_the_scale("fault"), goes=sound_again),
    "scale-unit-changed": Case(
        gravity="note", comes=lambda: at_the_scale("moving", division_mg=453), goes=sound_again
    ),
}
