"""How much was made: masses, portions taken out, volume, density and cost."""

from collections.abc import Mapping
from fractions import Fraction

from mixstation.account.form import Cup, Made
from mixstation.account.materials import taken_out_mg, went_in_mg
from mixstation.account.replay import Account
from mixstation.account.say import exact_mass, plain
from mixstation.batch.events import DensityMeasured, PortionTaken
from mixstation.batch.wet_density import wet_density
from mixstation.plan.cost import cost_of
from mixstation.proportion.density import wet_density_kg_m3
from mixstation.recipe.proportions import volume_l
from mixstation.units.show import DisplayUnits, show_density, show_volume_l
from mixstation.wording.cup_lines import air_said, density_said, yield_said
from mixstation.wording.entry_lines import OTHER_PORTION
from mixstation.wording.words import name_of

_MG_PER_KG = 1_000_000


def made(account: Account) -> Made:
    """How much was made, portions for other layers included.

    Source: Absolute volume with the recipe's air, ACI 211.1, from memory; density is the mass over it, not
        a measurement.
    """
    run = account.run
    net = {key: Fraction(went_in_mg(account, key) - taken_out_mg(account, key)) for key in run.content}
    portions = list(_portions(account))
    left_l = volume_l(run.recipe, run.content)
    mass_mg = run.in_bucket_mg + sum(mass for _, mass, _ in portions)
    whole_l = left_l + sum(volume for _, _, volume in portions)
    cost = cost_of(run.recipe, net)
    weighed_in = sum(went_in_mg(account, key) for key in run.content)
    return {
        "weighed_in": exact_mass(weighed_in, account.units, account.division_mg),
        "portions": [
            {
                "layer": plain(layer) or OTHER_PORTION,
                "mass": exact_mass(round(mass), account.units, account.division_mg),
                "volume": show_volume_l(volume, account.units),
            }
            for layer, mass, volume in portions
        ],
        "in_bucket": account.mass(run.in_bucket_mg),
        "volume": show_volume_l(whole_l, account.units),
        # Of water alone it would say nothing.
        "density": _density(mass_mg, whole_l, account.units) if account.planned.ratio_now is not None else "",
        "cup": _cup(account, mass_mg),
        "volume_needed": show_volume_l(run.start.needed_l, account.units) if run.start.needed_l else "",
        "cost": _money(cost.total_cents, plain(cost.currency, 20)) if cost.lines else "",
        "without_price": [plain(name_of(run.recipe, key)) for key in cost.unpriced] if cost.lines else [],
    }


def _portions(account: Account) -> list[tuple[str, Fraction, float]]:
    """Layer, mass in mg and volume in litres of each portion that counts, of the mix as it then was."""
    found = []
    for kept in account.kept:
        fact = kept.entry.fact
        if isinstance(fact, PortionTaken) and kept.entry.seq not in account.run.void:
            before = kept.before
            share = (
                min(Fraction(1), fact.mass_mg / before.in_bucket_mg) if before.in_bucket_mg else Fraction(0)
            )
            found.append((fact.layer, Fraction(fact.mass_mg), _part_l(account, before.content, share)))
    return found


def _part_l(account: Account, content: Mapping[str, Fraction], share: Fraction) -> float:
    return volume_l(account.run.recipe, {key: mass * share for key, mass in content.items()})


def _density(mass_mg: Fraction, litres: float, units: DisplayUnits) -> str:
    if not litres or mass_mg <= 0:
        return ""
    return show_density(wet_density_kg_m3(float(mass_mg) / _MG_PER_KG, volume_l=litres), units)


def _cup(account: Account, made_mg: Fraction) -> Cup | None:
    """What the newest cup of mix tells that counts."""
    cups = [
        (kept.before.content, kept.entry.fact)
        for kept in account.kept
        if isinstance(kept.entry.fact, DensityMeasured) and kept.entry.seq not in account.run.void
    ]
    if not cups:
        return None
    content, fact = cups[-1]
    found = wet_density(account.run.recipe, content, fact, made_mg)
    if found is None:
        return None
    return {
        "density": density_said(found, account.units),
        "air": air_said(found, account.run.recipe),
        "volume": yield_said(found, account.units),
    }


def _money(cents: int, currency: str) -> str:
    return f"{cents // 100}.{cents % 100:02d} {currency}".rstrip()
