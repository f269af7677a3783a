"""Whether a start reading can be what is to stand on the scale: an empty bucket or tub, or a supply with enough in it.

Rules: a start reading that fits what is known is never asked about; what is known is on file, or stood there before in
this batch. Where nothing is known, about zero is doubted, and so is what later stands there at once.
"""

from collections.abc import Iterator
from fractions import Fraction

from mixstation.batch.commands import TakeReference
from mixstation.batch.events import ReferenceTaken, Weighing
from mixstation.batch.reconcile import allowed_mg, expected_gross_mg
from mixstation.batch.refusal import Asked, NothingOn, OtherVessel, SupplyShort
from mixstation.batch.run import Run, TakeOutStep
from mixstation.plan.vessels import VesselKind, VesselOnFile
from mixstation.recipe.model import SplitStep

# Choice: a display that wanders and a cloth under the bucket: so many divisions are still about nothing.
ZERO_DIVISIONS = 5
# Choice: the thinnest bucket weighs as much for each litre it holds; a plain one three times that.
BUCKET_MG_L = 10_000
# Choice: dried mix and a handle may make a vessel so much heavier or lighter than on file.
VESSEL_SLACK = Fraction(1, 20)
# Choice: a bucket is the one on file if it holds as much, to a twentieth.
VOLUME_SLACK = 0.05


def doubt(run: Run, command: TakeReference, needed_mg: int) -> Asked | None:
    """What speaks against a start reading, or None.

    Args:
        run: The batch; where its bucket was weighed before, that is the caller's to ask about.
        command: The reading.
        needed_mg: What the step at hand takes from a supply.
    """
    stands = _stands_on(run)
    gross_mg, division_mg = command.gross_mg, command.division_mg
    inside_mg = run.in_bucket_mg if stands == "bucket" else Fraction(0)
    if is_known(run, stands, gross_mg, division_mg):
        return None
    light_mg = _lightest_bucket_mg(run) if stands == "bucket" else 0
    if gross_mg <= max(ZERO_DIVISIONS * division_mg, light_mg):
        return NothingOn(gross_mg=gross_mg, weighing=stands)
    if stands != "bucket" and _can_be_the_bucket(run, stands, gross_mg, division_mg):
        return OtherVessel(gross_mg=gross_mg, weighing=stands, kind="bucket", name="", expected_mg=0)
    if stands == "supply":
        short = gross_mg < needed_mg
        return SupplyShort(gross_mg=gross_mg, needed_mg=needed_mg) if short else None
    return _not_as_on_file(run, stands, gross_mg - inside_mg, command)


def _not_as_on_file(run: Run, stands: Weighing, empty_mg: Fraction, command: TakeReference) -> Asked | None:
    """A bucket or tub unlike those on file, or like one that is to be used for something else."""
    wanted = tuple(_candidates(run, stands))
    others = (vessel for vessel in run.start.vessels if vessel not in wanted)
    found = next((each for each in others if _fits(each, empty_mg, command.division_mg)), None)
    if not wanted and found is None:
        return None
    nearest = min(wanted, key=lambda each: abs(each.empty_mg - empty_mg), default=None)
    return OtherVessel(
        gross_mg=command.gross_mg,
        weighing=stands,
        kind="" if found is None else found.kind,
        name="" if found is None else found.name,
        expected_mg=0 if nearest is None else nearest.empty_mg + round(command.gross_mg - empty_mg),
    )


def is_known(run: Run, stands: Weighing, gross_mg: int, division_mg: int) -> bool:
    """Whether so much on the scale is a vessel on file, with what is in it, or a tub that stood there before."""
    inside_mg = run.in_bucket_mg if stands == "bucket" else Fraction(0)
    if any(_fits(each, gross_mg - inside_mg, division_mg) for each in _candidates(run, stands)):
        return True
    return stands == "tub" and any(
        isinstance(entry.fact, ReferenceTaken)
        and entry.fact.weighing == "tub"
        and abs(entry.fact.gross_mg - gross_mg)
        <= VESSEL_SLACK * abs(entry.fact.gross_mg) + ZERO_DIVISIONS * division_mg
        for entry in run.live
        if entry.fact not in run.references.values()
    )


def moved_by_key(run: Run, reference: ReferenceTaken) -> bool:
    """Whether a key of the scale moved what it shows since a start reading: what stood there is known then."""
    return all(entry.fact != reference for entry in run.live)


def may_be_set_down_later(run: Run, reference: ReferenceTaken) -> bool:
    """Whether what then stands there at once may be the vessel itself: nothing bears the start reading out.

    Args:
        reference: The start reading in force.
    """
    if moved_by_key(run, reference):
        return False
    about_nothing = reference.gross_mg <= ZERO_DIVISIONS * reference.division_mg
    if reference.weighing == "supply":
        return about_nothing
    if reference.weighing == "bucket":
        earlier = any(
            isinstance(entry.fact, ReferenceTaken)
            and entry.fact.weighing == "bucket"
            and entry.fact != reference
            for entry in run.live
        )
        if earlier:
            return False
    return about_nothing or not is_known(run, reference.weighing, reference.gross_mg, reference.division_mg)


def looks_like_the_bucket(run: Run, by_mg: Fraction, division_mg: int) -> bool:
    """Whether a bucket heavier by so much than it should be is one that was not on the scale when it was first read."""
    expected_mg = expected_gross_mg(run)
    if expected_mg is None or by_mg <= ZERO_DIVISIONS * division_mg:
        return False
    tare_mg = expected_mg - run.in_bucket_mg
    on_file = any(_fits(each, by_mg + tare_mg, division_mg) for each in _candidates(run, "bucket"))
    return on_file or tare_mg <= ZERO_DIVISIONS * division_mg


def _stands_on(run: Run) -> Weighing:
    """What is to stand on the scale now: what comes out of the bucket is taken from it or into a tub."""
    takes_out = isinstance(run.step, SplitStep | TakeOutStep)
    return "bucket" if takes_out and run.weighing == "supply" else run.stands


def _candidates(run: Run, stands: Weighing) -> Iterator[VesselOnFile]:
    """The vessels on file that may stand there: a bucket that holds as much as this batch's, any tub."""
    kinds: dict[Weighing, VesselKind] = {"bucket": "bucket", "tub": "tub"}
    for vessel in run.start.vessels:
        if vessel.kind != kinds.get(stands):
            continue
        litres, wanted_l = vessel.volume_l, run.start.bucket_l
        if vessel.kind == "tub" or litres is None or abs(litres / wanted_l - 1) <= VOLUME_SLACK:
            yield vessel


def _fits(vessel: VesselOnFile, empty_mg: Fraction | int, division_mg: int) -> bool:
    off_mg = abs(Fraction(empty_mg) - vessel.empty_mg)
    return off_mg <= vessel.empty_mg * VESSEL_SLACK + 3 * division_mg


def _lightest_bucket_mg(run: Run) -> int:
    return round(run.start.bucket_l * BUCKET_MG_L)


def _can_be_the_bucket(run: Run, stands: Weighing, gross_mg: int, division_mg: int) -> bool:
    """Whether what is to be a tub or a supply weighs as much as the bucket with what is in it.

    Of a bucket that was never weighed a lightest one and one as heavy as its mix is known; a supply may weigh as much.
    """
    bucket_mg = _bucket_now_mg(run)
    if bucket_mg is not None:
        return abs(gross_mg - bucket_mg) <= allowed_mg(run.in_bucket_mg, division_mg)
    least_mg = run.in_bucket_mg + _lightest_bucket_mg(run)
    return stands == "tub" and least_mg <= gross_mg <= 2 * run.in_bucket_mg


def _bucket_now_mg(run: Run) -> Fraction | None:
    """What the bucket with all that is in it should weigh, by its last weighing or by what is on file of it."""
    expected_mg = expected_gross_mg(run)
    on_file = next(_candidates(run, "bucket"), None)
    if expected_mg is None and on_file is not None:
        return on_file.empty_mg + run.in_bucket_mg
    return expected_mg
