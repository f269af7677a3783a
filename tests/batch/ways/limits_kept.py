"""The limits of a batch worked out anew from the recipe's own figures, in fractions, with none of the solver's code."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from mixstation.batch.run import Run
from mixstation.batch.ways import Limits
from mixstation.recipe.model import Basis, Material

Masses = Mapping[str, Fraction]


def free_water(run: Run, masses: Masses) -> Fraction:
    total = Fraction(0)
    for item in run.recipe.materials:
        if item.is_powder:
            dry = masses[item.key] / (1 + item.moisture_fraction)
            total += dry * (item.moisture_fraction - item.absorption_fraction)
        else:
            total += masses[item.key] * item.water_fraction
    return total


def basis(run: Run, masses: Masses, of: Basis) -> Fraction:
    if of is Basis.TOTAL:
        return sum(masses.values(), Fraction(0))
    total = Fraction(0)
    for item in run.recipe.materials:
        if item.is_powder:
            part = {Basis.CEMENT: item.cement_fraction, Basis.BINDER: item.binder_fraction}.get(
                of, Fraction(1)
            )
            total += (part or 0) * masses[item.key] / (1 + item.moisture_fraction)
    return total


def litres(run: Run, masses: Masses) -> float:
    water = run.recipe.material(run.recipe.water_key).density_kg_m3
    solid = 0.0
    for item in run.recipe.materials:
        wet, drunk = 1 + float(item.moisture_fraction), 1 + float(item.absorption_fraction)
        # Grains with their pores full, and what is around them.
        grams = float(masses[item.key]) * 1e-3
        solid += grams * drunk / wet / item.density_kg_m3 + grams * (wet - drunk) / wet / water
    return solid / (1 - float(run.recipe.air_fraction))


def problems(run: Run, limits: Limits, masses: Masses, spare: int = 0) -> Iterator[str]:
    """What is outside, as text; `spare` divisions more than half of one may be missing or over."""
    slack = Fraction(1 + 2 * spare, 2)
    for item in run.recipe.materials:
        if masses[item.key] < 0:
            yield f"{item.key} negative"
        if item.dose is not None:
            yield from _dose(run, limits, masses, item, slack, spare)
    rule = run.recipe.water
    under = basis(run, masses, rule.of)
    if under:
        spill = spare * limits.divisions_mg[run.recipe.water_key]
        water = free_water(run, masses)
        if not rule.least * under - spill <= water <= rule.most * under + spill:
            yield f"water {float(water / under):.5f}"
    yield from _powders(run, limits, masses, slack)
    if litres(run, masses) > limits.bucket_l * limits.fill_limit + 1e-5:
        yield "bucket"


def _dose(
    run: Run, limits: Limits, masses: Masses, item: Material, slack: Fraction, spare: int
) -> Iterator[str]:
    dose = item.dose
    assert dose is not None
    solids = 1 - item.water_fraction if dose.counts == "solids" else Fraction(1)
    counted, under = masses[item.key] * solids, basis(run, masses, dose.of)
    step = limits.divisions_mg[item.key] * solids
    if item.cap is not None and counted > item.cap.fraction * basis(run, masses, item.cap.of) + spare * step:
        yield f"{item.key} over cap"
    target = dose.fraction * under
    least, most = dose.least, dose.most
    low = least * under - spare * step if least else target - max(target * item.tolerance.under, slack * step)
    high = most * under + spare * step if most else target + max(target * item.tolerance.over, slack * step)
    reason = run_short(run, item.key)
    if counted > high or (counted < low and not reason):
        yield f"{item.key} {float(counted / under):.5f} of {float(dose.fraction):.5f}"


def run_short(run: Run, key: str) -> bool:
    """Whether nothing asks for a material any more: its steps were left out on purpose."""
    return not run.pending(key) and run.due(key) != 1 and key not in run.ran_out


def _powders(run: Run, limits: Limits, masses: Masses, slack: Fraction) -> Iterator[str]:
    """Some size of the batch must suit every powder."""
    low, high = Fraction(0), Fraction(10**12)
    for amount in run.start.aim.powders:
        tolerance = run.recipe.material(amount.material).tolerance
        mass, step = masses[amount.material], slack * limits.divisions_mg[amount.material]
        aimed = Fraction(amount.mass_mg)
        low = max(low, min(mass / (aimed * (1 + tolerance.over)), (mass - step) / aimed))
        high = min(high, max(mass / (aimed * (1 - tolerance.under)), (mass + step) / aimed))
    if low > high:
        yield f"powders {float(low):.5f} > {float(high):.5f}"
