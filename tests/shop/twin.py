"""The second bucket of a plan: it aims at what the first got, as far as the bands let it, and says so."""

from dataclasses import replace
from fractions import Fraction
from random import Random

from mixstation.batch.advice import stand
from mixstation.batch.events import Entry, Stamp
from mixstation.batch.run import Run, fold
from mixstation.recipe.model import Role
from mixstation.record.earlier import first_of_plan
from mixstation.record.stored import EventStore
from mixstation.station.order import start_fact
from mixstation.units.show import show_ratio
from mixstation.wording.like_lines import before_water
from tests.shop.audit_truth import dose_ends
from tests.shop.audit_views import MOST_STEPS, as_told
from tests.shop.broken import hold
from tests.shop.ledger import basis, water_ratio
from tests.shop.yard import PLAN, Setup

# So many shops mix two buckets of one plan.
TWINS = 0.15


def has_twin(seed: int) -> bool:
    """Whether a shop mixes a second bucket."""
    return Random(f"twin {seed}").random() < TWINS


def second_bucket(first: Setup, run: Run, store: EventStore) -> Setup | None:
    """The shop of the second bucket, its aim checked; None where there is nothing to follow.

    Args:
        first: The shop of the first.
        run: As the first bucket ended.
        store: Of both.
    """
    ratio = water_ratio(run.recipe, run.content)
    if run.ended != "finished" or ratio is None:
        return None
    like = first_of_plan(store, PLAN)
    hold("I38", like is not None and like.water_ratio == ratio, f"{like} of a bucket at {ratio}")
    order = replace(first.order, bucket_number=2, bucket_count=2, plan=PLAN)
    batch_id = first.start.batch_id.removesuffix("1") + "2"
    start = replace(start_fact(order, batch_id, first.settings, like), vessels=first.start.vessels)
    stamp = Stamp(utc_ms=0, offset_min=0, boot_ms=0, mono_ms=0, boot_id="", who="")
    begun = fold((Entry(seq=1, stamp=stamp, fact=start),))
    _aims(begun, run, ratio, first.settings.division_mg)
    return replace(first, mood="calm", start=start)


def _aims(begun: Run, run: Run, ratio: Fraction, division_mg: int) -> None:
    rule, aim = run.recipe.water, begun.aim.water_ratio
    room = Fraction(stand(begun, division_mg).projection.expanded) * 2
    hold("I38", rule.least <= aim <= rule.most, f"aims at {float(aim):.4f}, outside the band")
    if rule.least + room <= ratio <= rule.most - room:
        hold("I38", aim == ratio, f"aims at {float(aim):.4f} after {float(ratio):.4f}")
    elif rule.most - rule.least > 2 * room:
        near = min(max(ratio, rule.least), rule.most)
        hold("I38", abs(aim - near) <= room, f"aims at {float(aim):.4f} after {float(ratio):.4f}")
    for dose in begun.aim.doses:
        material = run.recipe.material(dose.material)
        under = basis(run.recipe, run.content, material.dose.of) if material.dose is not None else 0
        if material.role not in (Role.PIGMENT, Role.POLYMER) or not under:
            continue
        had = run.content[material.key] * material.counted_share / under
        low, high = dose_ends(material)
        near = min(max(had, low), high)
        hold("I38", dose.fraction == near, f"{material.key} at {dose.fraction} after {near}")
    if abs(aim - rule.target) > Fraction(1, 1000):
        told = " ".join(before_water(begun, begun.settings.units if begun.settings else "metric"))  # type: ignore[arg-type]
        hold("I38", show_ratio(aim) in told, f"nothing said of {show_ratio(aim)}: {told}")
    _ends_there(begun, division_mg)


def _ends_there(begun: Run, division_mg: int) -> None:
    """Mixed as told, the second bucket gets what it aims at."""
    run, aim = begun, begun.aim.water_ratio
    for _ in range(MOST_STEPS):
        if run.step is None:
            break
        run = as_told(run, division_mg)
    ends = water_ratio(run.recipe, run.content)
    flags = {flag.code for flag in stand(run, division_mg).flags}
    if ends is None or any(code.startswith(("dose-missing", "bucket-full", "stock")) for code in flags):
        return
    room = Fraction(stand(run, division_mg).projection.expanded) * 2
    hold("I38", abs(ends - aim) <= room, f"ends at {float(ends):.4f}, told to aim at {float(aim):.4f}")
