"""The water ratio a batch reached, how sure it is, and the same water on every other basis."""

from mixstation.account.form import Place, Ratio, Water
from mixstation.account.replay import Account
from mixstation.batch.ratio_place import expanded_up, place_of_ratio
from mixstation.plan.water_ratios import water_ratios
from mixstation.recipe.proportions import ScalingError, basis_mass, free_water
from mixstation.units.show import show_ratio
from mixstation.wording.record_lines import water_said
from mixstation.wording.words import BASIS_WORDS


def water_reached(account: Account) -> Water:
    """The water of a batch at its end, or by plan where it is not ended."""
    run, reached = account.run, account.reached
    rule, finals = run.recipe.water, reached.finals
    expanded = expanded_up(reached.expanded)
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
