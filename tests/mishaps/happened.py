"""A fixed list of what goes wrong at a bucket, each brought about by a mixer's own commands on a shipped recipe.

Source: the list is common practice, no source; the amounts are our own.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache

from mixstation.batch.commands import (
    Book,
    BookExtra,
    BookPortion,
    BookRemoved,
    Judge,
    RunOut,
    SkipStep,
    SwapMaterial,
    TakeReference,
)
from mixstation.batch.events import Verdict
from mixstation.batch.refusal import Refusal
from mixstation.recipe.file import LoadedRecipe, load_recipe
from mixstation.recipe.shelf import find_recipe
from mixstation.station.order import powders_for
from tests.batch.making import Bench, stocked, weight

G, KG = 1_000, 1_000_000
BUCKET_MG = 1_240 * G


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mishap:
    """One thing that goes wrong.

    Attributes:
        what: In the README's words.
        happens: Brings it about; a refusal where that is what the mixer is told.
        says: A key phrase of what the mixer is to be told, from the trade's own table of mishaps.
        best: How the best way out is to begin; "" where nothing is out of its band.
        stock: What there is of a material that is short, milligrams.
        bucket_l: Volume of the bucket, litres.
    """

    what: str
    happens: Callable[[Bench], Refusal | None]
    says: str
    best: str = ""
    stock: dict[str, int] = field(default_factory=dict)
    bucket_l: float = 30.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mix:
    """A recipe at a size, and what goes wrong with it.

    Attributes:
        recipe: On the shelf.
        powder_mg: All dry powders together.
        heading: In the README's words; the amounts of all but the powders are put to it.
        mishaps: In the order of the work.
    """

    recipe: str
    powder_mg: int
    heading: str
    mishaps: tuple[Mishap, ...]


PLAIN = Mishap(what="nothing", happens=lambda _: None, says="")


@cache
def _loaded(recipe: str) -> LoadedRecipe:
    return load_recipe(find_recipe(recipe))


def bench_for(mix: Mix, mishap: Mishap) -> Bench:
    """A batch with the safety text behind the mixer, on a scale that shows whole grams."""
    loaded = _loaded(mix.recipe)
    return Bench.begin(
        loaded.recipe,
        powders_for(loaded, powder_mg=mix.powder_mg),
        G,
        bucket_l=mishap.bucket_l,
        fill_limit=2 / 3,
        stock=stocked(**mishap.stock),
    )


def water_first(mass_mg: int, then: str = "") -> Callable[[Bench], None]:
    """The first water poured so far, and the work gone on with up to a step."""

    def happens(bench: Bench) -> None:
        bench.pours(mass_mg, confirmed=True)
        if then:
            bench.goes_to(then)

    return happens


def poured(step: str, mass_mg: int) -> Callable[[Bench], None]:
    """The dose of a step poured so far."""

    def happens(bench: Bench) -> None:
        bench.goes_to(step).pours(mass_mg, confirmed=True)

    return happens


def bag_empty(step: str, mass_mg: int, material: str) -> Callable[[Bench], None]:
    """A material gives out in a step's dose."""

    def happens(bench: Bench) -> None:
        bench.goes_to(step).does(Book(weight=weight(mass_mg)))
        bench.does(RunOut(material=material))

    return happens


def picked_out(step: str, material: str, mass_mg: int) -> Callable[[Bench], None]:
    """Some of a material comes out again."""

    def happens(bench: Bench) -> None:
        bench.goes_to(step).does(
            BookRemoved(material=material, weight=weight(mass_mg), reason="came out in a clump")
        )

    return happens


def splashed(step: str, mass_mg: int) -> Callable[[Bench], None]:
    """Some of the mix is lost."""

    def happens(bench: Bench) -> None:
        bench.goes_to(step).does(BookPortion(weight=weight(mass_mg), reason="splashed out"))

    return happens


def wrong_bag(step: str, poured_material: str) -> Callable[[Bench], None]:
    """A dose comes out of the wrong bag, and that is noticed after it was booked."""

    def happens(bench: Bench) -> None:
        seq = bench.goes_to(step).pours()
        bench.does(SwapMaterial(seq=seq, material=poured_material, reason="another material went in"))

    return happens


def judged(step: str, verdict: Verdict) -> Callable[[Bench], None]:
    """How the mix moves when it is judged."""

    def happens(bench: Bench) -> None:
        bench.goes_to(step).does(Judge(verdict=verdict))

    return happens


def judged_late(step: str, verdict: Verdict) -> Callable[[Bench], None]:
    """How the mix moves when it is judged past the earlier estimate of its working time."""

    def happens(bench: Bench) -> None:
        bench.goes_to(step)
        bench.hands.go(bench.advice.working.low_s)
        bench.does(Judge(verdict=verdict))

    return happens


def not_scraped(bench: Bench) -> None:
    """Both scrapings after the last powder left out, then the fibres in."""
    bench.goes_to("7").does(SkipStep(reason="forgotten"))
    bench.goes_to("12").does(SkipStep(reason="forgotten"))
    bench.pours()


def unrecorded(bench: Bench) -> Refusal:
    """The bucket was wet: it is heavier than the entries say when it comes back to the scale."""
    bench.does(TakeReference(gross_mg=BUCKET_MG, division_mg=G))
    bench.goes_to("5")
    heavier_mg = int(BUCKET_MG + bench.run.in_bucket_mg + 90 * G)
    refusal = bench.refuses(TakeReference(gross_mg=heavier_mg, division_mg=G))
    bench.does(BookExtra(material="water", weight=weight(90 * G), reason="went in without being entered"))
    return refusal


BLEND = Mix(
    recipe="hearth_plate",
    powder_mg=8 * KG,
    heading="Hearth plate from 8 kg of bagged blend",
    mishaps=(
        Mishap(
            what="1.0 kg of water for the first share of 832 g; nothing else is in",
            happens=water_first(KG),
            says="4.000 kg",
            best="Go on; what is still to come makes up for it",
        ),
        Mishap(
            what="1.2 kg of water, more than the whole; nothing else is in",
            happens=water_first(1200 * G),
            says="0.150, over the ceiling",
            best="Pour 368 g of Water back",
        ),
        Mishap(
            what="The same, noticed with half the blend in",
            happens=water_first(1200 * G, "3"),
            says="0.150, over the ceiling",
            best="Raise the totals",
        ),
        Mishap(
            what="The same, noticed with all the blend in",
            happens=water_first(1200 * G, "6"),
            says="0.150, over the ceiling",
            best="Add 1.2",
        ),
        Mishap(
            what="The same, and 600 g of blend are left in the bag",
            happens=water_first(1200 * G, "6"),
            says="0.150, over the ceiling",
            best="Mix until even, take 1.3",
            stock={"blend": 8600 * G},
        ),
        Mishap(
            what="The same, and the bucket is all but full",
            happens=water_first(1200 * G, "6"),
            says="0.150, over the ceiling",
            best="Mix until even, take",
            bucket_l=6.7,
        ),
        Mishap(
            what="The bag is empty 1 kg short",
            happens=bag_empty("5", 3 * KG, "blend"),
            says="ran out 1.000 kg short",
            best="Make less",
        ),
        Mishap(
            what="The bag is empty 3 kg short",
            happens=bag_empty("5", KG, "blend"),
            says="0.166, over the ceiling",
            best="Leave it",
        ),
        Mishap(
            what="90 g of rinsing water were in the bucket",
            happens=unrecorded,
            says="90 g more than the bucket should weigh",
            best="Go on; what is still to come makes up for it",
        ),
        Mishap(what="400 g of the mix splashed out", happens=splashed("6", 400 * G), says="Mix fast"),
        Mishap(
            what="Too stiff when judged, water still held back",
            happens=judged("10", "too-stiff"),
            says="52 g",
        ),
        Mishap(
            what="The same, past its time",
            happens=judged_late("10", "too-stiff"),
            says="add nothing, least of all water",
            best="Discard it",
        ),
        Mishap(
            what="Too stiff with all the water in",
            happens=judged("12", "too-stiff"),
            says="up to the end of the band and no further",
        ),
        Mishap(what="Too loose when judged", happens=judged("10", "too-loose"), says="Keep back the rest"),
        Mishap(
            what="Stiff and warm, does not loosen",
            happens=judged("12", "stiff-and-warm"),
            says="add nothing, least of all water",
            best="Discard it",
        ),
        Mishap(
            what="Sides not scraped before the fibres", happens=not_scraped, says="Scrape now, mix slowly"
        ),
        Mishap(
            what="330 g of fibre",
            happens=poured("13", 330 * G),
            says="3.52 % of the whole mix, over 3 %",
            best="Mix 276 g Water, 2.122 kg White casting blend apart",
        ),
        Mishap(
            what="25 g of fibre picked out in a ball",
            happens=picked_out("14", "fibre", 25 * G),
            says="2.53 % of the whole mix, under 2.6 %",
            best="Add 25 g AR glass fibre",
        ),
    ),
)

RAW = Mix(
    recipe="planter_wall",
    powder_mg=10 * KG,
    heading="Planter wall from 10 kg of powders",
    mishaps=(
        Mishap(
            what="794 g of emulsion; only water is in besides",
            happens=poured("2a", 794 * G),
            says="Acrylic polymer emulsion will be 7.7 % of cement",
            best="Stir, pour",
        ),
        Mishap(
            what="161 g of pigment, no powder in yet",
            happens=poured("2b", 161 * G),
            says="Ochre oxide pigment will be 3.2",
            best="Add",
        ),
        Mishap(
            what="1.615 kg of water, noticed with half the powders in",
            happens=water_first(1615 * G, "4"),
            says="over the band",
            best="Add",
        ),
        Mishap(
            what="59 g of plasticiser, inside its label's limit",
            happens=poured("6", 59 * G),
            says="Plasticiser will be 1.06 %",
            best="Add",
        ),
        Mishap(
            what="79 g of plasticiser, over its label's limit",
            happens=poured("6", 79 * G),
            says="over its limit of 1.2 % (its label)",
            best="Add",
        ),
        Mishap(
            what="Too stiff with all the water in",
            happens=judged("15", "too-stiff"),
            says="Plasticiser and mix 15 s before any more water",
        ),
        Mishap(
            what="Sand for cement in the second half, amount known",
            happens=wrong_bag("8a", "sand"),
            says="Fine quartz sand is 211 g over its total",
            best="Add",
        ),
    ),
)

MIXES = (BLEND, RAW)
