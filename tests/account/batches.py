"""Batches to be told of: as advised, eventful, thrown away, still open, with hostile names. Not to be worked on."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

from mixstation.batch.commands import (
    BookExtra,
    BookPortion,
    BookRemoved,
    BringForward,
    ChangeWeighing,
    Discard,
    FillTub,
    Finish,
    MeasureDensity,
    NoteTemperature,
    Pause,
    SkipStep,
    TakeUp,
    WriteNote,
)
from mixstation.batch.events import (
    ClockStepped,
    Entry,
    FlagRaised,
    Lot,
    ProgramResumed,
    ScaleChanged,
    ScaleOnFile,
    WayTaken,
)
from mixstation.units.show import DisplayUnits
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.words import Speech
from tests.batch.making import Bench, blend, clouded, raw, weight
from tests.batch.recipes import kg

SCALE = ScaleOnFile(name="bench scale", capacity_mg=kg(30), division_mg=1000, checked="5 kg weight, 4.999 kg")


def raise_flags(bench: Bench) -> None:
    """Put what stands before the mixer, as a station does."""
    for flag in bench.advice.flags:
        if (flag.code, flag.about) not in bench.run.raised:
            said = flag_line(bench.run, flag, _speech(bench))
            bench.tell(FlagRaised(code=flag.code, about=flag.about, gravity=flag.gravity, said=said))


def _speech(bench: Bench) -> Speech:
    return Speech(units=DisplayUnits.METRIC, division_mg=bench.division_mg)


@cache
def as_advised() -> Bench:
    """A planter wall with a face coat, each step as advised."""
    bench = raw(scale=SCALE, lots=(Lot(material="cement", lot="C-118"),), piece="planter wall", needed_l=9.0)
    bench.goes_through()
    bench.does(Finish())
    return bench


@cache
def eventful() -> Bench:
    """A sill cap on which nearly everything went otherwise."""
    bench = blend(scale=SCALE, piece="sill cap", shop_c=14.0)
    bench.does(WriteNote(text="bag was opened last week"))
    slip = bench.pours(1_500_000, confirmed=True)
    bench.takes_back(slip)
    bench.pours()
    bench.goes_to("mix-1")
    bench.mixes(40, confirmed=True)
    raise_flags(bench)
    bench.does(SkipStep(reason="no time left"))
    bench.does(Pause(reason="phone"))
    bench.hands.go(95)
    bench.does(TakeUp())
    bench.tell(ScaleChanged(state="lost", detail="cable"), ScaleChanged(state="sound", detail=""))
    bench.does(ChangeWeighing(weighing="tub"))
    asked = bench.dosing.target_mg
    bench.does(FillTub(weight=weight(asked + 12_000)))
    bench.pours(asked - 3_000)
    bench.does(ChangeWeighing(weighing="bucket"))
    bench.goes_to("mix-2")
    raise_flags(bench)
    bench.hands.utc_ms += 3_600_000
    bench.tell(ClockStepped(by_ms=3_600_000))
    bench.hands.restart(60)
    bench.tell(ProgramResumed(program="0.1.1"))
    bench.goes_to("rest")
    bench.rests()
    bench.does(NoteTemperature(mix_milli_c=18_500, shown="18,5 °C"))
    bench.does(BringForward(step="scrape-3"))
    bench.goes_on()
    bench.goes_to("fibre")
    bench.does(
        BookExtra(material="water", weight=weight(200_000, "typed"), reason="went in unseen", confirmed=True)
    )
    raise_flags(bench)
    bench.does(BookRemoved(material="water", weight=weight(20_000, "estimated"), reason="poured back"))
    way = WayTaken(
        way="leave",
        aim=bench.run.aim,
        pour_back_mg=0,
        scoop_mg=0,
        make_up=(),
        mix_s=0,
        gives_up=("water-over",),
        said="leave it: water ends over its band, the piece paler and weaker",
    )
    bench.tell(way)
    bench.does(BookPortion(weight=weight(300_000), reason="test cube"))
    bench.goes_through()
    raise_flags(bench)
    bench.does(Finish(concession="used where it will not show"))
    bench.does(WriteNote(text="dried a shade lighter"))
    return bench


@cache
def with_a_cup() -> Bench:
    """A sill cap of which a cup was weighed twice; the first does not count."""
    bench = blend(piece="sill cap").goes_to("cover")
    bench.does(MeasureDensity(cup_ul=500_000, weight=weight(1_400_000, "typed")))
    bench.takes_back(len(bench.run.entries))
    bench.does(MeasureDensity(cup_ul=500_000, weight=weight(1_000_000, "typed")))
    bench.goes_through()
    bench.does(Finish())
    return bench


@cache
def thrown_away() -> Bench:
    """A bench top given up half-way."""
    bench = clouded(piece="bench top")
    bench.goes_to("sand")
    bench.does(Discard(reason="wrong material went in"))
    return bench


@cache
def still_open() -> Bench:
    """A sill cap left after the first powder."""
    bench = blend(piece="sill cap")
    return bench.goes_to("mix-1")


@cache
def just_begun() -> Bench:
    """Nothing but a start."""
    return blend(acknowledged=False)


NASTY = "a*b_[c](http://x.example) <img src=x onerror=y> `d` | ~~e~~ \x1b[2J\u202e\n# f\r\n1. g &lt; www.x.example"
"""Markup, line ends, and signs a terminal would act on."""


@cache
def hostile() -> Bench:
    """A batch in which every name is an attack."""
    bench = blend(
        piece=NASTY,
        batch_id=f"../{NASTY}",
        recipe_text=f"name = '{NASTY}'",
        recipe_hash=NASTY,
        scale=replace(SCALE, name=NASTY, checked=NASTY),
        lots=(Lot(material="blend", lot=NASTY),),
        program=NASTY,
    )
    of = bench.run.start.recipe
    renamed = replace(
        of,
        key=NASTY,
        name=NASTY,
        revision=NASTY,
        note=NASTY,
        currency=NASTY,
        materials=tuple(
            replace(each, name=NASTY, pack_mg=1_000_000, price_cents=100) for each in of.materials
        ),
    )
    bench = Bench.begin(
        renamed,
        {"blend": kg(18)},
        **{
            name: getattr(bench.run.start, name) for name in ("piece", "batch_id", "scale", "lots", "program")
        },
    )
    bench.does(WriteNote(text=NASTY))
    seq = bench.pours()
    bench.takes_back(seq)
    bench.does(BookExtra(material="water", weight=replace(weight(900_000), shown=NASTY), reason=NASTY))
    bench.does(SkipStep(reason=NASTY))
    bench.tell(
        FlagRaised(code=NASTY, about=NASTY, gravity="warn", said=NASTY),
        ScaleChanged(state=NASTY, detail=NASTY),
    )
    bench.does(Pause(reason=NASTY))
    bench.does(Discard(reason=NASTY))
    return bench


BATCHES: dict[str, Callable[[], Bench]] = {
    "as advised": as_advised,
    "eventful": eventful,
    "with a cup": with_a_cup,
    "thrown away": thrown_away,
    "still open": still_open,
    "just begun": just_begun,
    "hostile": hostile,
}


def entries_of(name: str) -> tuple[Entry, ...]:
    return BATCHES[name]().run.entries
