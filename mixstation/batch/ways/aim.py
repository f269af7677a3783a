"""What to steer to, so that a batch whose rest is weighed in as told ends at given totals: `project` turned round."""

from collections.abc import Collection, Mapping
from fractions import Fraction

from mixstation.batch.events import Aim, Amount, DoseAim
from mixstation.batch.run import Run
from mixstation.recipe.model import Material, Role
from mixstation.recipe.proportions import basis_mass, free_water


def standing_aim(run: Run) -> Aim:
    """What is steered to already, for the bucket as it is after the portions taken out of it."""
    if run.kept == 1:
        return run.aim
    powders = tuple(
        Amount(material=amount.material, mass_mg=round(amount.mass_mg * run.kept))
        for amount in run.aim.powders
    )
    return Aim(powders=powders, doses=run.aim.doses, water_ratio=run.aim.water_ratio)


def aim_for(
    run: Run, left: Mapping[str, Fraction], totals: Mapping[str, Fraction], topped_up: Collection[str]
) -> Aim:
    """The aim from which `project` gives these totals, powders rounded to the milligram.

    Args:
        left: What is in the bucket once the way's portion is out, by material.
        totals: Where each material is to end, at least `left`.
        topped_up: Materials a make-up adds to.
    """
    recipe = run.recipe
    powders = tuple(
        Amount(material=material.key, mass_mg=round(totals[material.key]))
        for material in recipe.materials
        if material.is_powder
    )
    aimed = {amount.material: Fraction(amount.mass_mg) for amount in powders}

    def ends(material: Material) -> Fraction:
        key = material.key
        if material.role is Role.ICE or not (run.pending(key) or key in topped_up):
            return left[key]
        return max(left[key], aimed[key]) if material.is_powder else totals[key]

    finals = {
        material.key: ends(material)
        for material in recipe.materials
        if material.key != recipe.water_key and not material.is_of_total
    }
    ratio = run.aim.water_ratio
    if basis := basis_mass(recipe, finals, recipe.water.of):
        ratio = (totals[recipe.water_key] + free_water(recipe, finals)) / basis
    whole = sum(totals.values(), Fraction(0))
    before = {dose.material: dose.fraction for dose in run.aim.doses}
    doses = []
    for material in recipe.materials:
        if material.dose is None:
            continue
        basis = whole if material.is_of_total else basis_mass(recipe, finals, material.dose.of)
        fraction = before.get(material.key, Fraction(0))
        if basis:
            fraction = totals[material.key] * (1 if material.is_of_total else material.counted_share) / basis
        doses.append(DoseAim(material=material.key, fraction=fraction))
    return Aim(powders=powders, doses=tuple(doses), water_ratio=ratio)
