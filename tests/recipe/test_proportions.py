"""Exact masses, against printed figures and against pouring the recipe out step by step."""

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from mixstation.recipe.model import AddStep, Basis, Dose, Recipe, ReleaseStep, Role, SplitStep, WaterRule
from mixstation.recipe.proportions import (
    ScalingError,
    needed_shares,
    scale_to_material,
    scale_to_total,
    totals_for_powder,
    water_ratio,
    whole_totals,
)
from tests.recipe.recipes import material, recipes

KG = 1_000_000


def recipe_of(of: Basis, target: Fraction, *materials_: object, steps: tuple[object, ...] = ()) -> Recipe:
    return Recipe(
        key="k",
        name="n",
        revision="1",
        air_fraction=Fraction(1, 20),
        working_min=30,
        water=WaterRule(of=of, target=target, least=target, most=target, ceiling=target),
        materials=(material(Role.WATER), *materials_),  # type: ignore[arg-type]
        steps=steps,  # type: ignore[arg-type]
    )


class TestPrinted:
    def test_emulsion_brings_its_water(self) -> None:
        # [practice] computed case of the trade: cement 10 kg, 6 % polymer solids in a 50 % emulsion, w/c 0.34.
        dose = Dose(fraction=Fraction(6, 100), of=Basis.CEMENT, counts="solids")
        recipe = recipe_of(
            Basis.CEMENT,
            Fraction(34, 100),
            material(Role.CEMENT, parts=Fraction(1)),
            material(Role.POLYMER, dose=dose, water_fraction=Fraction(1, 2)),
        )
        masses = totals_for_powder(recipe, 10 * KG)
        assert masses == {"water": 2_800_000, "cement": 10 * KG, "polymer": 1_200_000}

    def test_damp_sand_brings_water(self) -> None:
        # [std] ACI 211.1 method: 10 kg dry, moisture 3 %, absorption 0.7 %: weigh 10.300, water less 0.230 kg.
        def masses(**damp: Fraction) -> dict[str, Fraction]:
            sand = material(Role.SAND, parts=Fraction(1), **damp)
            recipe = recipe_of(Basis.POWDER, Fraction(1, 4), sand)
            return totals_for_powder(recipe, 10 * KG)

        damp = masses(moisture_fraction=Fraction(3, 100), absorption_fraction=Fraction(7, 1000))
        assert damp["sand"] == 10_300_000
        assert masses()["water"] - damp["water"] == 230_000

    @pytest.mark.parametrize(("percent", "fibre_kg"), [("2", 2.4490), ("3", 3.7113), ("3.5", 4.3523)])
    def test_fibre_is_of_the_whole(self, percent: str, fibre_kg: float) -> None:
        # [practice] computed: fibre in 120 kg of slurry, to four decimals.
        dose = Dose(fraction=Fraction(percent) / 100, of=Basis.TOTAL)
        recipe = recipe_of(
            Basis.POWDER,
            Fraction(1, 5),
            material(Role.CEMENT, parts=Fraction(1)),
            material(Role.FIBRE, dose=dose),
        )
        masses = totals_for_powder(recipe, 100 * KG)
        assert float(masses["fibre"]) / KG == pytest.approx(fibre_kg, abs=0.00005)

    def test_one_bucket_has_four_water_ratios(self) -> None:
        # [practice] a printed recipe: water 2.95 kg, polymer liquid 1.13 kg at 50 % solids, binder 10.66 kg of
        # which cement 7.94; ratios 0.277, 0.330, 0.371, 0.443. The third is 0.37154, cut and not rounded, so
        # 0.0006 is allowed.
        emulsion, binder, cement = Fraction("1.13"), Fraction("10.66"), Fraction("7.94")
        target = (Fraction("2.95") + emulsion / 2) / binder
        recipe = recipe_of(
            Basis.BINDER,
            target,
            material(Role.CEMENT, parts=cement),
            material(Role.POZZOLAN, parts=binder - cement),
            material(
                Role.POLYMER,
                dose=Dose(fraction=emulsion / binder, of=Basis.BINDER),
                water_fraction=Fraction(1, 2),
            ),
        )
        masses = totals_for_powder(recipe, binder * KG)
        assert masses["water"] == 2_950_000
        found = [
            float(water_ratio(recipe, masses, of, added_only=added))
            for of in (Basis.BINDER, Basis.CEMENT)
            for added in (True, False)
        ]
        assert found == pytest.approx([0.277, 0.330, 0.371, 0.443], abs=0.0006)

    def test_premix_water_cement_ratios(self) -> None:
        # [practice] a premix of the trade, no source: cement 50, sand 50, emulsion 5 (50 % solids), plasticiser 0.5
        # (70 % water), water 14.5 kg; computed w/c by added water 0.290, with emulsion and plasticiser 0.347.
        recipe = recipe_of(
            Basis.CEMENT,
            Fraction("17.35") / 50,
            material(Role.CEMENT, parts=Fraction(50)),
            material(Role.SAND, parts=Fraction(50)),
            material(
                Role.POLYMER,
                dose=Dose(fraction=Fraction(1, 10), of=Basis.CEMENT),
                water_fraction=Fraction(1, 2),
            ),
            material(
                Role.PLASTICISER,
                dose=Dose(fraction=Fraction(1, 100), of=Basis.CEMENT),
                water_fraction=Fraction(7, 10),
            ),
        )
        masses = totals_for_powder(recipe, 100 * KG)
        assert masses["water"] == 14_500_000
        assert water_ratio(recipe, masses, Basis.CEMENT, added_only=True) == Fraction("0.29")
        assert water_ratio(recipe, masses, Basis.CEMENT) == Fraction("0.347")


def carried_water(recipe: Recipe, masses: dict[str, Fraction]) -> Fraction:
    """Free water, from the definitions alone."""
    total = Fraction(0)
    for one in recipe.materials:
        mass = masses[one.key]
        if one.role is Role.SAND:
            dry = mass / (1 + one.moisture_fraction)
            total += mass - dry - dry * one.absorption_fraction
        else:
            total += mass * one.water_fraction
    return total


def basis_mass(recipe: Recipe, masses: dict[str, Fraction], of: Basis) -> Fraction:
    """Mass of a basis, from the definitions alone."""
    if of is Basis.TOTAL:
        return sum(masses.values(), Fraction(0))
    total = Fraction(0)
    for one in recipe.materials:
        dry = masses[one.key] / (1 + one.moisture_fraction)
        match one.role, of:
            case (Role.BLEND, Basis.CEMENT):
                total += dry * (one.cement_fraction or 0)
            case (Role.BLEND, Basis.BINDER):
                total += dry * (one.binder_fraction or 0)
            case (Role.CEMENT, _) | (Role.POZZOLAN, Basis.BINDER | Basis.POWDER):
                total += dry
            case (Role.SAND | Role.FILLER | Role.BLEND, Basis.POWDER):
                total += dry
            case _:
                pass
    return total


def assert_is_the_recipe(recipe: Recipe, masses: dict[str, Fraction]) -> None:
    """Every ratio of the recipe holds exactly in these masses."""
    assert carried_water(recipe, masses) == recipe.water.target * basis_mass(recipe, masses, recipe.water.of)
    per_part = {
        masses[m.key] / (1 + m.moisture_fraction) / m.parts for m in recipe.materials if m.parts is not None
    }
    assert len(per_part) == 1
    for one in recipe.materials:
        if one.dose is not None:
            counted = masses[one.key] * (1 - one.water_fraction if one.dose.counts == "solids" else 1)
            assert counted == one.dose.fraction * basis_mass(recipe, masses, one.dose.of)


def can_be_mixed(recipe: Recipe) -> bool:
    try:
        return bool(whole_totals(recipe, 1))
    except ScalingError:
        return False


@settings(deadline=None)
@given(recipes(), st.integers(1, 10**9))
def test_every_ratio_holds_exactly(recipe: Recipe, powder_mg: int) -> None:
    assume(can_be_mixed(recipe))
    masses = whole_totals(recipe, powder_mg)
    assert_is_the_recipe(recipe, masses)
    assert basis_mass(recipe, masses, Basis.POWDER) == powder_mg
    assert list(masses) == [one.key for one in recipe.materials]


@settings(deadline=None)
@given(recipes())
def test_pouring_the_totals_step_by_step_ends_in_the_recipe_whatever_is_split_off(recipe: Recipe) -> None:
    assume(can_be_mixed(recipe))
    needed = totals_for_powder(recipe, 10 * KG)
    shares = needed_shares(recipe)
    whole = {key: mass / shares[key] for key, mass in needed.items()}
    bucket = dict.fromkeys(needed, Fraction(0))
    poured = dict.fromkeys(needed, Fraction(0))
    left = Fraction(1)
    for step in recipe.steps:
        portion = Fraction(0)
        match step:
            case AddStep(material=key):
                portion = whole[key] * step.share * left
            case ReleaseStep(material=key):
                portion = (
                    whole[key] * (1 - next(s.share for s in recipe.steps if isinstance(s, AddStep))) * left
                )
            case SplitStep():
                bucket = {key: mass * (1 - step.fraction) for key, mass in bucket.items()}
                left *= 1 - step.fraction
                continue
            case _:
                continue
        bucket[key] += portion
        poured[key] += portion
    assert_is_the_recipe(recipe, bucket)
    assert poured == needed


@settings(deadline=None)
@given(recipes(), st.fractions(1, 10**9))
def test_scaling_to_a_total_or_a_material_only_scales(recipe: Recipe, mass_mg: Fraction) -> None:
    assume(can_be_mixed(recipe))
    one = totals_for_powder(recipe, 1)
    by_total = scale_to_total(recipe, mass_mg)
    assert sum(by_total.values()) == mass_mg
    assert len({by_total[key] / one[key] for key in one}) == 1
    for key in one:
        by_material = scale_to_material(recipe, key, mass_mg)
        assert by_material[key] == mass_mg
        assert len({by_material[other] / one[other] for other in one}) == 1


def codes(call: object, *arguments: object) -> str:
    with pytest.raises(ScalingError) as caught:
        call(*arguments)  # type: ignore[operator]
    return caught.value.why.code


def test_what_cannot_be_scaled() -> None:
    cement = material(Role.CEMENT, parts=Fraction(1))
    plain = recipe_of(Basis.POWDER, Fraction(1, 3), cement, material(Role.ICE))
    assert codes(totals_for_powder, plain, 0) == "amount-not-positive"
    assert codes(scale_to_total, plain, -1) == "amount-not-positive"
    assert codes(scale_to_material, plain, "ice", 5) == "nothing-to-scale-by"
    assert codes(scale_to_material, plain, "sand", 5) == "unknown-material"
    assert codes(totals_for_powder, recipe_of(Basis.POWDER, Fraction(1, 3)), 1) == "powder-missing"
    sand = material(Role.SAND, parts=Fraction(1))
    assert codes(totals_for_powder, recipe_of(Basis.CEMENT, Fraction(1, 3), sand), 1) == "basis-empty"
    fibre = material(Role.FIBRE, dose=Dose(fraction=Fraction(1), of=Basis.TOTAL))
    assert (
        codes(totals_for_powder, recipe_of(Basis.POWDER, Fraction(1, 3), cement, fibre), 1)
        == "fibres-fill-the-mix"
    )
    thin = material(
        Role.POLYMER, dose=Dose(fraction=Fraction(1, 2), of=Basis.CEMENT), water_fraction=Fraction(9, 10)
    )
    assert (
        codes(totals_for_powder, recipe_of(Basis.CEMENT, Fraction(1, 3), cement, thin), 1)
        == "water-all-carried"
    )


def test_ice_takes_the_place_of_water() -> None:
    cement = material(Role.CEMENT, parts=Fraction(1))
    ice = material(Role.ICE, dose=Dose(fraction=Fraction(5, 100), of=Basis.BINDER))
    recipe = recipe_of(Basis.CEMENT, Fraction(35, 100), cement, ice)
    assert totals_for_powder(recipe, 10 * KG) == {"water": 3 * KG, "cement": 10 * KG, "ice": 500_000}
