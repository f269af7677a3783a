"""The water ratio a batch reached, how sure it is, and the same water on every other basis."""

from fractions import Fraction
from math import ceil

from mixstation.account.form import Place, Ratio, Water
from mixstation.account.replay import Account
from mixstation.plan.water_ratios import water_ratios
from mixstation.recipe.proportions import ScalingError, basis_mass, free_water
from mixstation.units.show import show_ratio
from mixstation.wording.record_lines import water_said
from mixstation.wording.words import BASIS_WORDS


def place_of_ratio(ratio: Fraction, expanded: float, least: Fraction, most: Fraction) -> Place:
    """Where a ratio is against its band, as far as its uncertainty lets one tell.

    Args:
        ratio: The ratio.
        expanded: Its uncertainty, k = 2.
        least: Lower end of the band.
        most: Upper end.

    Returns:
        "inside", "under", "over", or "cannot-tell" where an end lies within the uncertainty.

    Source: Choice: told apart only where the whole of the uncertainty is on one side.
    """
    unsure = Fraction(expanded)
    if ratio - unsure > most:
        return "over"
    if ratio + unsure < least:
        return "under"
    return "cannot-tell" if ratio + unsure > most or ratio - unsure < least else "inside"


def water_reached(account: Account) -> Water:
    """The water of a batch at its end, or by plan where it is not ended."""
    run, reached = account.run, account.reached
    rule, finals = run.recipe.water, reached.finals
    # Taken up, so that the third decimal never claims more than is known.
    expanded = Fraction(ceil(Fraction(reached.expanded) * 1000), 1000)
    place: Place = ""
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
