"""Whether a mend keeps every limit, worked out exactly and apart from the solver."""

from collections.abc import Iterator
from fractions import Fraction

from mixstation.batch import way
from mixstation.batch.ways.bands import DoseBand, End, PowderBand
from mixstation.batch.ways.mend import Mend
from mixstation.batch.ways.situation import Situation
from mixstation.recipe.pigments import pigment_over_mg
from mixstation.recipe.proportions import volume_l

# Choice: volumes are floats; a microlitre is nobody's concern.
VOLUME_NOISE_L = 1e-6


def breaches(situation: Situation, mend: Mend) -> tuple[way.Hindrance, ...]:
    """Every limit a mend passes, and by how much: shelf, bucket, moulds, caps, doses, powders, water, in this order."""
    return (*_outer(situation, mend), *_inner(situation, mend))


def _outer(situation: Situation, mend: Mend) -> Iterator[way.Hindrance]:
    limits, totals = situation.limits, mend.totals
    for key, part in situation.parts.items():
        shelf = 0 if part.found_only else limits.stock_mg.get(key)
        if shelf is not None and mend.added[key] > shelf:
            yield way.StockLacks(material=key, short_mg=Fraction(mend.added[key] - shelf))
    ends_l = volume_l(situation.run.recipe, totals)
    if limits.full_l is not None and ends_l > limits.full_l + VOLUME_NOISE_L:
        yield way.BucketOver(over_l=ends_l - limits.full_l)
    if ends_l < situation.needed_l - VOLUME_NOISE_L:
        yield way.MouldsShort(short_l=situation.needed_l - ends_l)


def _inner(situation: Situation, mend: Mend) -> Iterator[way.Hindrance]:
    totals = mend.totals
    for key, band in situation.doses.items():
        counted = totals[key] * band.counted
        if band.cap is not None:
            over = counted - band.cap.fraction * situation.basis(totals, band.cap.of)
            if over > 0:
                yield way.CapOver(material=key, over_mg=over / band.counted)
        off = _dose_off(band, counted, situation.basis(totals, band.of))
        if off > 0 or (off < 0 and not situation.parts[key].waived):
            yield way.DoseOff(material=key, off_mg=off / band.counted)
    if situation.pigment_caps and (over := pigment_over_mg(situation.run.recipe, totals)) > 0:
        yield way.PigmentBlendOver(over_mg=over)
    yield from _powders(situation, totals)
    water = situation.water
    if water is not None and (basis := situation.basis(totals, water.of)):
        ratio = situation.free_water(totals) / basis
        past = max(Fraction(0), ratio - water.most) or min(Fraction(0), ratio - water.least)
        if past:
            yield way.WaterOff(off_ratio=past)


def _dose_off(band: DoseBand, counted: Fraction, basis: Fraction) -> Fraction:
    """Above 0: past the upper end; below 0: short of the lower."""
    over = short = Fraction(0)
    if band.high is not None:
        over = max(over, counted - band.high.fraction * basis - band.high.slack_mg)
    if band.low is not None:
        short = min(short, counted - band.low.fraction * basis + band.low.slack_mg)
    return over or short


def _powders(situation: Situation, totals: dict[str, Fraction]) -> Iterator[way.Hindrance]:
    """Powders agree when one size of the batch suits them all."""
    asked = {key: band for key, band in situation.powders.items() if not situation.parts[key].waived}
    if not asked:
        return
    smallest = {key: _size(band, totals[key], band.high) for key, band in asked.items()}
    largest = {key: _size(band, totals[key], band.low) for key, band in asked.items()}
    over, short = max(smallest, key=smallest.__getitem__), min(largest, key=largest.__getitem__)
    if smallest[over] > largest[short]:
        lacks = (smallest[over] - largest[short]) * asked[short].low.fraction * asked[short].size_mg
        yield way.DoseOff(material=short, off_mg=-lacks)


def _size(band: PowderBand, total: Fraction, end: End) -> Fraction:
    """Size of the batch for which a total is just at an end of its band."""
    slack = -end.slack_mg if end is band.high else end.slack_mg
    return (total + slack) / (end.fraction * band.size_mg)
