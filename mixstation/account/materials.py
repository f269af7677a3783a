"""What went in of each material, what came out, and what is in the bucket at the end against what was aimed at."""

from fractions import Fraction

from mixstation.account.form import AgainstBounds, DoseReached, MaterialUsed, Ratio, Water
from mixstation.account.replay import Account
from mixstation.account.say import exact_mass, plain, signed
from mixstation.batch.dosing import to_division
from mixstation.batch.events import MaterialRemoved, WeightRecorded
from mixstation.batch.lots import lots_used
from mixstation.batch.ratio_place import expanded_up, place_of_ratio
from mixstation.batch.targets import dose_band, dose_now
from mixstation.plan.water_ratios import water_ratios
from mixstation.recipe.model import Material
from mixstation.recipe.proportions import ScalingError, basis_mass, free_water
from mixstation.units.show import fixed, show_percent, show_ratio
from mixstation.wording.entry_lines import water_said
from mixstation.wording.spoken import BASIS_WORDS
from mixstation.wording.words import in_its_steps


def went_in_mg(account: Account, key: str) -> int:
    """All weighings of a material that count, milligrams."""
    return _moved_mg(account, key, WeightRecorded)


def taken_out_mg(account: Account, key: str) -> int:
    """What came out of a material unmixed, milligrams."""
    return _moved_mg(account, key, MaterialRemoved)


def _moved_mg(account: Account, key: str, kind: type[WeightRecorded | MaterialRemoved]) -> int:
    facts = (entry.fact for entry in account.run.live)
    return sum(fact.mass_mg for fact in facts if isinstance(fact, kind) and fact.material == key)


def materials_used(account: Account, water_place: AgainstBounds) -> list[MaterialUsed]:
    """Every material of the recipe, in its order.

    Args:
        account: The batch.
        water_place: How the water ratio stands; it stands for the water.
    """
    return [_used(account, material, water_place) for material in account.run.recipe.materials]


def _used(account: Account, material: Material, water_place: AgainstBounds) -> MaterialUsed:
    run, key = account.run, material.key
    in_bucket = run.content[key]
    speech = in_its_steps(run, key, account.speech)
    target = Fraction(to_division(account.planned.totals.get(key, Fraction(0)), speech.division_mg))
    # While some of it is still to come a deviation means nothing.
    settled = not run.pending(key)
    tolerance = material.tolerance

    is_own = speech.units is not account.units

    def exact(mass_mg: int) -> str:
        return exact_mass(mass_mg, speech.units, speech.division_mg if is_own else account.division_mg)

    return {
        "key": plain(key),
        "name": plain(material.name),
        "role": str(material.role),
        "lots": [plain(lot.lot) for lot in lots_used(run) if lot.material == key],
        "went_in": exact(went_in_mg(account, key)),
        "taken_out": exact(out_mg) if (out_mg := taken_out_mg(account, key)) else "",
        "in_bucket": speech.mass(in_bucket) if is_own else account.mass(in_bucket, speech.division_mg),
        "target": speech.mass(target),
        "deviation": signed(in_bucket - target, speech.mass) if settled else "",
        "deviation_percent": _percent_off(in_bucket, target) if settled else "",
        "tolerance": f"-{show_percent(tolerance.under, 2)} to +{show_percent(tolerance.over, 2)}",
        "place": (water_place if key == run.recipe.water_key else _place(account, key)) if settled else "",
        "dose": _dose(account, material),
    }


def _place(account: Account, key: str) -> AgainstBounds:
    """What the flags say of it: they alone know every bound."""
    places = {flag.place for flag in account.flags if flag.about == key}
    return "over" if "over" in places else "under" if "under" in places else "inside"


def _percent_off(amount: Fraction, target: Fraction) -> str:
    if not target:
        return ""
    off = fixed((amount - target) / target * 100, 1)
    return f"{'' if off.startswith('-') or not Fraction(off) else '+'}{off} %"


def _dose(account: Account, material: Material) -> DoseReached | None:
    """The dose of what is in, as the recipe counts it."""
    dose = material.dose
    if dose is None:
        return None
    reached = dose_now(account.run.recipe, material, account.run.content)
    least, most = dose_band(material)
    aims = {aim.material: aim.fraction for aim in account.run.aim.doses}
    return {
        "fraction": "" if reached is None else show_percent(reached, 2),
        "of": BASIS_WORDS[dose.of],
        "counts": dose.counts,
        "target": show_percent(aims.get(material.key, dose.fraction), 2),
        "least": show_percent(least, 2),
        "most": show_percent(most, 2),
        "cap": "" if material.cap is None else show_percent(material.cap.fraction, 2),
        "cap_source": "" if material.cap is None else plain(material.cap.source),
    }


def water_reached(account: Account) -> Water:
    """The water of a batch at its end, or by plan where it is not ended."""
    run, reached = account.run, account.reached
    rule, finals = run.recipe.water, reached.finals
    expanded = expanded_up(reached.expanded)
    place: AgainstBounds = ""
    if reached.ratio is not None:
        place = place_of_ratio(reached.ratio, reached.expanded, rule.least, rule.most)

    return {
        "of": BASIS_WORDS[rule.of],
        "ratio": "" if reached.ratio is None else show_ratio(reached.ratio),
        "expanded": "" if reached.ratio is None else show_ratio(expanded),
        "target": show_ratio(run.aim.water_ratio),
        "least": show_ratio(rule.least),
        "most": show_ratio(rule.most),
        "ceiling": show_ratio(rule.ceiling),
        "place": place,
        "said": water_said(place, ended=bool(run.ended)),
        "added": account.mass(finals[run.recipe.water_key]),
        "all": account.mass(free_water(run.recipe, finals)),
        "basis": account.mass(basis_mass(run.recipe, finals, rule.of)),
        "ratios": _every_basis(account),
    }


def _every_basis(account: Account) -> list[Ratio]:
    try:
        found = water_ratios(account.run.recipe, account.reached.finals)
    except ScalingError:
        # Nothing of a basis is in.
        return []
    return [
        {
            "water": each.water,
            "of": BASIS_WORDS[each.of],
            "ratio": show_ratio(each.ratio),
            "steers": each.steers,
        }
        for each in found
    ]
