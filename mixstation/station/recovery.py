"""Ways out for what someone says is in the bucket, without a batch that was followed from its start."""

from collections.abc import Mapping
from dataclasses import replace

from mixstation.batch.events import Entry, Fact, SafetyAcknowledged, Stamp, WeightRecorded
from mixstation.batch.run import Run, fold
from mixstation.batch.way import Hindrance, Way
from mixstation.batch.ways import limits_of, ways_out
from mixstation.frozen import dataclass
from mixstation.station.opening import Order, start_fact

_NO_TIME = Stamp(utc_ms=0, offset_min=0, boot_ms=0, mono_ms=0, boot_id="", who="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What is in a bucket by someone's word.

    Attributes:
        order: What it was to be.
        inside: Weighed mass of each material in it, milligrams, above 0.
        division_mg: Of the scale that will weigh what is added.
        working_left_s: Working time left, or None where it is not known.
        stiffening: The mix stiffens.
    """

    order: Order
    inside: Mapping[str, int]
    division_mg: int
    working_left_s: int | None = None
    stiffening: bool = False


def told_run(told: Told) -> Run:
    """A batch with those contents; every step that is not yet filled is still to come.

    Raises:
        FoldError: "unknown-material": the recipe has no such material.
    """
    facts: list[Fact] = [start_fact(told.order, "told"), SafetyAcknowledged()]
    facts += [
        WeightRecorded(
            step=None,
            material=material,
            mass_mg=mass_mg,
            source="estimated",
            shown="",
            division_mg=told.division_mg,
            reason="told",
        )
        for material, mass_mg in told.inside.items()
    ]
    return fold(Entry(seq=seq, stamp=_NO_TIME, fact=fact) for seq, fact in enumerate(facts, start=1))


def ways_for(told: Told) -> tuple[Run, tuple[Way, ...]]:
    """The batch as told, and its ways out, best first: one that takes longer than is left is barred and comes last.

    Raises:
        FoldError: As `told_run`.
    """
    run = told_run(told)
    divisions_mg = {key: run.division_of(key, told.division_mg) for key in run.content}
    limits = limits_of(run, divisions_mg, told.working_left_s, stiffening=told.stiffening)
    ways = tuple(_in_time(way) for way in ways_out(run, limits))
    return run, tuple(sorted(ways, key=lambda way: bool(way.hindrances)))


def _in_time(way: Way) -> Way:
    """The time left is here no estimate but told: what would end past it cannot be taken, nor be left to itself."""
    left_s = way.working_left_s
    if way.kind == "discard" or not way.takes_s or left_s is None or left_s >= 0:
        return way
    barred = Hindrance(limit="time", about="", by=float(-left_s), unit="s")
    gives_up = tuple(code for code in way.gives_up if code != "time")
    return replace(way, hindrances=(*way.hindrances, barred), gives_up=gives_up)
