"""What to do with the piece after the pour, each at its hour: suggestions, and who says so."""

from mixstation.account.form import Suggestion
from mixstation.account.replay import Account
from mixstation.account.say import day
from mixstation.batch.events import BatchFinished, Stamp
from mixstation.plan.curing import STRIP_H
from mixstation.proportion.error import ProportionError
from mixstation.proportion.maturity import constant_rate_ratio, energy_rate_ratio
from mixstation.proportion.temperature import FILM_FORMING_C
from mixstation.recipe.limits import MIN_CURING_POLYMER
from mixstation.recipe.model import Basis, Material, Role
from mixstation.recipe.proportions import basis_mass
from mixstation.units.show import show_temperature_c
from mixstation.wording import curing_lines as says
from mixstation.wording.words import bounds_said

DAY_H = 24.0
# Common practice, no source: a week moist without a curing polymer; two days of drying before a sealer, better four.
MOIST_DAYS = 7
DRYING_DAYS, GOOD_DRYING_DAYS = 2, 4


def after_the_pour(account: Account) -> list[Suggestion]:
    """Suggestions from the time a batch was closed; none for one that was not, or was discarded."""
    closed = next((e.stamp for e in account.run.live if isinstance(e.fact, BatchFinished)), None)
    if closed is None:
        return []
    polymer = _curing_polymer(account)
    # A sealer shuts in what a moist cure has put there.
    moist_days = MOIST_DAYS if polymer is None else 0
    lines = [
        (says.COVER, says.PRACTICE),
        _curing(account, closed, polymer),
        _stripping(account, closed),
        (says.FIRM, says.PRACTICE),
        (says.DRY, says.PRACTICE),
        (
            says.SEAL.format(
                least=day(closed, (moist_days + DRYING_DAYS) * DAY_H),
                better=day(closed, (moist_days + GOOD_DRYING_DAYS) * DAY_H),
            ),
            says.PRACTICE,
        ),
        (
            says.COLOUR.format(two_weeks=day(closed, 14 * DAY_H), four_weeks=day(closed, 28 * DAY_H)),
            says.PRACTICE,
        ),
    ]
    return [{"said": said, "source": source} for said, source in lines]


def _curing(account: Account, closed: Stamp, polymer: Material | None) -> tuple[str, str]:
    if polymer is None:
        return says.MOIST.format(until=day(closed, MOIST_DAYS * DAY_H)), says.PRACTICE
    film_c = FILM_FORMING_C if polymer.film_forming_c is None else polymer.film_forming_c
    film = show_temperature_c(film_c, account.units)
    return says.POLYMER.format(film=film, until=day(closed, 2 * DAY_H)), says.LABEL


def _curing_polymer(account: Account) -> Material | None:
    """The polymer whose solids are enough of the cement to take the place of wet curing."""
    content, recipe = account.run.content, account.run.recipe
    # Where a blend does not state its cement, that is not known.
    if any(material.is_powder and material.cement_fraction is None for material in recipe.materials):
        return None
    cement = basis_mass(recipe, content, Basis.CEMENT)
    polymers = [material for material in recipe.materials if material.role is Role.POLYMER]
    solids = sum(content[polymer.key] * (1 - polymer.water_fraction) for polymer in polymers)
    return polymers[0] if cement and solids / cement >= MIN_CURING_POLYMER else None


def _stripping(account: Account, closed: Stamp) -> tuple[str, str]:
    shop_c = account.run.start.shop_c
    try:
        rates = [] if shop_c is None else [rate(shop_c) for rate in (energy_rate_ratio, constant_rate_ratio)]
    except ProportionError:
        # A temperature no shop has.
        rates = []
    if not rates or shop_c is None or rates == [1.0, 1.0]:
        return says.STRIP.format(at=day(closed, STRIP_H)), says.PRACTICE
    least_h, most_h = (max(STRIP_H, STRIP_H / rate) for rate in (max(rates), min(rates)))
    low, high = round(least_h), round(most_h)
    hours = f"{high} h" if low == high else bounds_said(f"{low}", f"{high} h")
    shop = show_temperature_c(shop_c, account.units)
    return says.STRIP_AT.format(hours=hours, shop=shop, at=day(closed, most_h)), says.AGE
