"""What the bucket should weigh by the entries, how far off it may be, and the flag on a bucket that disagrees."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from mixstation.batch.events import (
    EntryTakenBack,
    Fact,
    KeyPressed,
    MaterialRemoved,
    MovedMass,
    PortionTaken,
    ReferenceTaken,
    WeightRecorded,
)
from mixstation.batch.flag.weighing import BucketHeavier, BucketLighter
from mixstation.batch.run import Run
from mixstation.units.tables import ROUNDING_MG


def allowed_mg(inside_mg: Fraction, division_mg: int) -> Fraction:
    """How far a gross may be from the entries before it is named.

    Source: Choice: three divisions and 0.2 % of the contents; a wet paddle carries that much away.
    """
    return 3 * division_mg + inside_mg / 500


def expected_gross_mg(run: Run) -> Fraction | None:
    """What the bucket should weigh by the entries since it was last weighed, or None before it ever was."""
    tare: Fraction | None = None
    inside = Fraction(0)
    for fact in _as_it_went_in(run):
        if isinstance(fact, WeightRecorded):
            inside += fact.mass_mg
            if fact.weighing == "bucket" and fact.gross_mg is not None:
                # A weight taken from the bucket is a look at it too; its start reading may be older than the last one.
                tare = fact.gross_mg - inside
        elif isinstance(fact, MaterialRemoved | PortionTaken):
            inside -= fact.mass_mg
        elif isinstance(fact, ReferenceTaken) and fact.weighing == "bucket":
            tare = fact.gross_mg - inside
        elif isinstance(fact, KeyPressed) and run.weighing == "bucket" and tare is not None:
            tare += fact.by_mg
    return None if tare is None else tare + inside


def may_be_noted(run: Run) -> bool:
    """Whether a moved display matters: a pour is under way, or the bucket has been weighed on this scale."""
    step = run.step
    under_way = step is not None and step.key in run.references
    return under_way or (run.weighing == "bucket" and expected_gross_mg(run) is not None)


def _as_it_went_in(run: Run) -> Iterator[Fact]:
    """The facts that count, what was swapped for another material in the place where it was first booked.

    It was in the bucket from then on, and what the scale then showed was seen then.
    """
    booked_as: dict[int, int] = {}
    for taken, again in pairwise(run.entries):
        if isinstance(taken.fact, EntryTakenBack) and taken.seq not in run.void:
            seq = next(iter(taken.fact.seqs), 0)
            first = run.entries[seq - 1] if 1 < seq < taken.seq else taken
            if _same_weight(first.fact, again.fact):
                booked_as[first.seq] = again.seq
    later = set(booked_as.values())
    for entry in run.entries:
        seq = entry.seq
        if seq in later:
            continue
        while seq in booked_as:
            seq = booked_as[seq]
        if seq not in run.void:
            yield run.entries[seq - 1].fact


def _same_weight(first: Fact, again: Fact) -> bool:
    """Whether a weight was booked again just as it was, as another material outside the steps."""
    if not isinstance(first, WeightRecorded) or not isinstance(again, WeightRecorded):
        return False
    return (
        again.step is None
        and replace(again, step=first.step, material=first.material, reason=first.reason) == first
    )


def pour_begins_mg(run: Run, reference: ReferenceTaken, now_mg: int, division_mg: int) -> int:
    """What a pour is measured from: its start reading, or where the last pour ended if only the last digit flickered.

    So roundings do not add up from pour to pour. A flicker alone never counts as poured.

    Args:
        reference: The start reading.
        now_mg: What the same scale shows now.
        division_mg: Of that scale, above 0.
    """
    flicker_mg = division_mg + ROUNDING_MG
    if reference.weighing != "bucket" or abs(now_mg - reference.gross_mg) <= flicker_mg:
        return reference.gross_mg
    counts = (entry.fact for entry in reversed(run.entries) if entry.seq not in run.void)
    last = next((fact for fact in counts if isinstance(fact, MovedMass)), None)
    if isinstance(last, WeightRecorded) and last.weighing == "bucket" and last.division_mg == division_mg:
        ended_mg = last.gross_mg
        if ended_mg is not None and abs(ended_mg - reference.gross_mg) <= flicker_mg:
            return ended_mg
    return reference.gross_mg


def lifted_mg(run: Run, mix_mg: Fraction) -> Fraction:
    """What a hand lifts: so much mix, and the bucket itself once it was weighed. Source: Definition."""
    gross_mg = expected_gross_mg(run)
    tare_mg = Fraction(0) if gross_mg is None else max(Fraction(0), gross_mg - run.in_bucket_mg)
    return mix_mg + tare_mg


def reconciliation_flags(run: Run) -> Iterator[BucketHeavier | BucketLighter]:
    """With the bucket on the scale, the gross must be the tare plus what was entered.

    What is entered afterwards outside the steps is taken to explain a difference where it makes it smaller; the next
    reading tells.
    """
    tare: Fraction | None = None
    inside = Fraction(0)
    difference = allowed = Fraction(0)
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, MovedMass):
            moved = fact.mass_mg if isinstance(fact, WeightRecorded) else -fact.mass_mg
            inside += moved
            if fact.step is None and abs(difference - moved) < abs(difference):
                difference -= moved
        elif isinstance(fact, KeyPressed) and run.weighing == "bucket" and tare is not None:
            tare += fact.by_mg
        elif isinstance(fact, ReferenceTaken) and fact.weighing == "bucket":
            rezeroed = abs(fact.gross_mg) <= 2 * fact.division_mg and inside > 0
            if tare is None or rezeroed:
                tare, difference = fact.gross_mg - inside, Fraction(0)
                continue
            difference = fact.gross_mg - tare - inside
            allowed = allowed_mg(inside, fact.division_mg)
    if tare is not None and abs(difference) > allowed:
        kind = BucketHeavier if difference > 0 else BucketLighter
        yield kind(by_mg=abs(difference))


def reconciliation_mg(run: Run) -> int | None:
    """How much heavier (or, negative, lighter) the bucket is than the entries, or None within the uncertainty."""
    for flag in reconciliation_flags(run):
        return round(flag.by_mg) if isinstance(flag, BucketHeavier) else -round(flag.by_mg)
    return None
