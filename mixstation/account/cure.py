"""What to do with the piece after the pour, each at its hour from the end of placing, and who says so."""

from mixstation.account.form import Suggestion
from mixstation.account.replay import Account
from mixstation.account.say import day
from mixstation.batch.events import Stamp
from mixstation.batch.placed import placed, placing_was_said
from mixstation.batch.run import Run
from mixstation.plan.curing import COLOUR_H, AfterPour, after_pour_of, curing_polymer, own_strip_h
from mixstation.proportion.temperature import FILM_FORMING_C
from mixstation.units.show import DisplayUnits, show_temperature_c
from mixstation.wording import curing_lines as says


def after_the_pour(account: Account) -> list[Suggestion]:
    """Suggestions in the order of the work; none for a batch that is open or was discarded."""
    run = account.run
    at = placed(run)
    if at is None:
        return []
    hours = after_pour_of(run.recipe, run.content, run.start.shop_c)
    counted = says.FROM_PLACING if placing_was_said(run) else says.FROM_WATER
    lines = [
        (counted.format(at=day(at, 0)), says.DEFINITION),
        (says.COVER, says.PRACTICE),
        _curing(account, at, hours),
        *_after_stripping(account, at, hours),
        (says.COLOUR.format(from_at=day(at, COLOUR_H[0]), to_at=day(at, COLOUR_H[1])), says.PRACTICE),
    ]
    return [{"said": said, "source": source} for said, source in lines]


def piece_lines(run: Run, units: DisplayUnits) -> tuple[str, ...]:
    """What to do at which hour, in short, once a batch is closed; none for one that is open or was discarded."""
    at = placed(run)
    if at is None:
        return ()
    hours = after_pour_of(run.recipe, run.content, run.start.shop_c)
    if hours is None:
        return (_too_cold(run, units),)
    return (
        says.STRIP_SHORT.format(at=day(at, hours.strip_h)),
        says.SAND_SHORT.format(at=day(at, hours.sand_h)),
        says.SEAL_SHORT.format(at=day(at, hours.seal_h)),
    )


def _curing(account: Account, at: Stamp, hours: AfterPour | None) -> tuple[str, str]:
    run = account.run
    polymer = curing_polymer(run.recipe, run.content)
    if polymer is None:
        if hours is None or hours.moist_h is None:
            return says.MOIST_COLD, says.PRACTICE
        return says.MOIST.format(days=hours.moist_h / 24, until=day(at, hours.moist_h)), says.PRACTICE
    film_c = FILM_FORMING_C if polymer.film_forming_c is None else polymer.film_forming_c
    return says.POLYMER.format(film=show_temperature_c(film_c, account.units)), says.LABEL


def _after_stripping(account: Account, at: Stamp, hours: AfterPour | None) -> list[tuple[str, str]]:
    run = account.run
    if hours is None:
        return [(_too_cold(run, account.units), says.AGE)]
    dry = says.DRY if hours.moist_h is None else says.DRY_AFTER.format(at=day(at, hours.moist_h))
    seal = says.SEAL if hours.good_seal_h is not None else says.SEAL_OWN
    better = "" if hours.good_seal_h is None else day(at, hours.good_seal_h)
    return [
        _stripping(account, at, hours.strip_h),
        (says.SAND.format(at=day(at, hours.sand_h)), says.PRACTICE),
        (dry, says.PRACTICE),
        (
            seal.format(least=day(at, hours.seal_h), better=better),
            says.PRACTICE if hours.good_seal_h is not None else says.RECIPE,
        ),
    ]


def _stripping(account: Account, at: Stamp, strip_h: float) -> tuple[str, str]:
    run = account.run
    usual, own = f"{own_strip_h(run.recipe):g} h", run.recipe.strip_min is not None
    shop_c, source = run.start.shop_c, says.RECIPE if own else says.PRACTICE
    if shop_c is None or strip_h == own_strip_h(run.recipe):
        return says.STRIP.format(usual=usual, at=day(at, strip_h)), source
    shop = show_temperature_c(shop_c, account.units)
    said = says.STRIP_AT.format(hours=f"{strip_h:g} h", shop=shop, usual=usual, at=day(at, strip_h))
    return said, says.AGE


def _too_cold(run: Run, units: DisplayUnits) -> str:
    shop = "" if run.start.shop_c is None else show_temperature_c(run.start.shop_c, units)
    return says.TOO_COLD.format(shop=shop)
