"""What a plan asks on the way, each at its limit, just inside and just outside."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import product
from random import Random
from typing import Any

from mixstation.plan.apart import doses_of, weighed_beside
from mixstation.plan.batch_size import (
    powder_for_mass,
    powder_for_material,
    powder_for_stock,
    size_for_volume,
    volume_for_powders_l,
)
from mixstation.plan.buckets import Bucket, bucket_count, check_it_fits, in_divisions
from mixstation.plan.checks import YieldClaim, check_claim, claim_cautions, density_cautions, load_cautions
from mixstation.plan.cost import cost_of
from mixstation.plan.diluted import neat_share, with_dilution
from mixstation.plan.dosing import (
    DoseToWeigh,
    Scale,
    choose_weighing,
    dilutable,
    shares_of,
    smallest_dose_mg,
    tolerance_fraction,
)
from mixstation.plan.job_parts import Shop
from mixstation.plan.layering import totals_at_split, with_split, without_split
from mixstation.plan.rescue import rescue_bag
from mixstation.plan.timing import mixing_min
from mixstation.plan.water_ratios import water_ratios
from mixstation.plan.weigh_out import take_outs
from mixstation.proportion.lifting import LIFT_LIMIT_MG
from mixstation.recipe.model import Tolerance
from mixstation.recipe.proportions import totals_for_powder, whole_totals
from tests.figures.compared import digest
from tests.figures.plan_figures import shown, splits, told
from tests.figures.plan_jobs import BENCH, FLOOR, KITCHEN, PLATFORM, POCKET
from tests.figures.plan_recipes import NAMES, recipe_named

Part = Callable[[], Any]
KG = 1_000_000


def _buckets() -> list[Any]:
    found: list[Any] = []
    for volume_l, loss_l, needed_l in product(
        (12.0, 30.0), (0.0, 0.25, 4.0, 8.0), (0.1, 3.75, 8.0, 10.0, 20.0, 60.0)
    ):
        bucket = Bucket(volume_l=volume_l)
        counted = told(
            lambda bucket=bucket, needed_l=needed_l, loss_l=loss_l: bucket_count(
                needed_l, loss_l=loss_l, bucket=bucket
            )
        )
        found.append([volume_l, loss_l, needed_l, counted])
    for fractions in (
        (0, 1),
        (1, 1),
        (2, 1),
        (Fraction(1, 2), Fraction(1, 2)),
        (Fraction(1, 2), Fraction(3, 2)),
    ):
        bucket = Bucket(
            volume_l=10.0, easy_fraction=Fraction(fractions[0]), limit_fraction=Fraction(fractions[1])
        )
        found.append(told(lambda bucket=bucket: bucket_count(9.0, loss_l=0.5, bucket=bucket)))
    for mixed_l in (9.9, 10.0, 10.1, 44.0):
        found.append(told(lambda mixed_l=mixed_l: check_it_fits(mixed_l, Bucket(volume_l=10.0))))
    return found


def _divisions() -> list[Any]:
    rng = Random("divisions")
    rows: list[Any] = [in_divisions([Fraction(1500)] * 5, 1000, down=down) for down in (False, True)]
    for division_mg in (1, 10, 1000, 2000, 5000):
        shares = [Fraction(rng.randint(0, 9_999_999), rng.randint(1, 7)) for _ in range(5)]
        rows += [in_divisions(shares, division_mg, down=down) for down in (False, True)]
    return [list(row) for row in rows]


def _loads() -> list[Any]:
    bucket = Bucket(volume_l=30.0, tare_mg=KG)
    held = [
        (n, 10.0 + by_l, LIFT_LIMIT_MG - KG + by_mg)
        for n, (by_l, by_mg) in enumerate(product((0.0, 1e-9, 0.1), (-1, 0, 1)))
    ]
    pieces = {str(by_mg): LIFT_LIMIT_MG + by_mg for by_mg in (-1, 0, 1)}
    return [shown(each) for each in load_cautions(bucket, held, pieces)]


def _claims() -> list[Any]:
    found: list[Any] = []
    for name in ("raw", "blend", "colour"):
        recipe = recipe_named(name)
        for of, share in product(("mix", "powder"), (0.9, 0.949, 0.951, 1.0, 1.049, 1.051, 1.2)):
            exact_l = check_claim(recipe, YieldClaim(mass_mg=20 * KG, of=of, claimed_l=1.0)).computed_l
            claim = check_claim(recipe, YieldClaim(mass_mg=20 * KG, of=of, claimed_l=exact_l * share))
            found.append([of, share, shown(claim), [shown(each) for each in claim_cautions(claim)]])
        for share in (0.949, 0.951, 1.0, 1.02, 1.049, 1.051, 1.06, 1.08):
            found.append([shown(each) for each in density_cautions(recipe, 2000.0, 2000.0 * share)])
    return [
        digest(found),
        found[::9],
        claim_cautions(None),
        density_cautions(recipe_named("raw"), 2000.0, None),
    ]


def _dose(mass_mg: int | Fraction = 30_000, *, parts: int = 1, dilutes: bool = True) -> DoseToWeigh:
    shares = (Fraction(1, parts),) * parts
    return DoseToWeigh(
        material="dose",
        mass_mg=Fraction(mass_mg),
        shares=shares,
        tolerance_fraction=Fraction(3, 100),
        may_be_diluted=dilutes,
    )


def _weighed(dose: DoseToWeigh, *scales: Scale, **more: int) -> Any:
    asked = {"bucket_tare_mg": KG, "bucket_full_mg": 20 * KG, "tub_tare_mg": 50_000, "bucket_count": 3}
    return shown(choose_weighing(dose, scales, **{**asked, "bucket_water_mg": 2 * KG, **more}))


def _weighings() -> list[Any]:
    """Doses at the smallest that each scale takes, loads at its capacity, and dilutions at each of their limits."""
    found: list[Any] = []
    for scale, parts in product((FLOOR, PLATFORM, KITCHEN, BENCH), (1, 2, 3)):
        least_mg = smallest_dose_mg(scale.division_mg, tolerance=Fraction(3, 100), weighings_count=parts)
        found += [
            _weighed(_dose(least_mg + by_mg, parts=parts, dilutes=False), scale) for by_mg in (-1, 0, 1)
        ]
    for full_mg in (39 * KG - 1, 39 * KG, 39 * KG + 1):
        found += [_weighed(_dose(9 * KG), PLATFORM, bucket_full_mg=full_mg)]
        found += [_weighed(_dose(9 * KG), PLATFORM, BENCH, KITCHEN, bucket_full_mg=full_mg)]
    for room_mg, mass_mg in product((-1, 0, 1, 70_000), (150_000, 150_001, 300_000, 700_000)):
        found += [_weighed(_dose(mass_mg, dilutes=False), POCKET, tub_tare_mg=200_000 - room_mg)]
    found += [
        _weighed(_dose(mass_mg), PLATFORM) for mass_mg in (2_000, 2_722, 2_723, 30_000, 68_000, 136_000)
    ]
    found += [
        _weighed(_dose(30_000), PLATFORM, bucket_water_mg=water_mg)
        for water_mg in (119_999, 120_000, 120_001)
    ]
    found += [_weighed(_dose(30_000, parts=2), KITCHEN, PLATFORM, bucket_count=n) for n in (1, 2, 9)]
    for capacity_mg in range(990_000, 1_130_000, 10_000):
        found += [_weighed(_dose(30_000), replace(PLATFORM, capacity_mg=capacity_mg))]
    found += [
        _weighed(_dose(), BENCH, POCKET, KITCHEN),
        _weighed(_dose()),
        _weighed(_dose(5), FLOOR, KITCHEN),
    ]
    return found


def _doses() -> list[Any]:
    """How each material of each recipe is dosed: its shares, whether it may be diluted, what is weighed beside."""
    found: list[Any] = []
    for name in NAMES:
        recipe = recipe_named(name)
        masses = totals_for_powder(recipe, 6 * KG)
        powders = {key: round(mass) for key, mass in masses.items() if recipe.material(key).is_powder}
        shop = Shop(
            bucket=Bucket(volume_l=30.0, tare_mg=KG), scales=(PLATFORM, KITCHEN, BENCH), tub_tare_mg=90_000
        )
        part = {
            "doses": shown(doses_of(recipe, [masses, totals_for_powder(recipe, 5 * KG)])),
            "shares": [shown(shares_of(recipe, each.key)) for each in recipe.materials],
            "dilutes": [dilutable(recipe, each.key) for each in recipe.materials],
            "tolerance": [shown(tolerance_fraction(each.tolerance)) for each in recipe.materials],
            "beside": shown(weighed_beside(recipe, powders, PLATFORM, shop)),
            "beside kitchen": shown(weighed_beside(recipe, powders, KITCHEN, shop)),
            "fills_l": shown(volume_for_powders_l(recipe, powders)),
        }
        found.append([name, part["beside"], part["fills_l"], digest(part, 12)])
    bare = replace(recipe_named("raw"), steps=())
    found.append([[dilutable(bare, each.key), shown(shares_of(bare, each.key))] for each in bare.materials])
    one = {key: Fraction(1) for key in whole_totals(bare, 1)}
    found.append([each.material for each in doses_of(bare, [one, {**one, "sand": Fraction(0)}])])
    odd = ((0, 0), (0, 3), (3, 0), (1, 4), (4, 1))
    found += [
        shown(tolerance_fraction(Tolerance(under=Fraction(a, 100), over=Fraction(b, 100)))) for a, b in odd
    ]
    return found


def _powders() -> list[Any]:
    found: list[Any] = []
    for name in NAMES:
        recipe = recipe_named(name)
        held = {each.key: (5 + n) * KG for n, each in enumerate(recipe.materials) if each.key != "water"}
        found.append(
            [
                name,
                told(lambda recipe=recipe: powder_for_mass(recipe, 11 * KG)),
                told(lambda recipe=recipe: powder_for_material(recipe, "fibre", 3 * KG)),
                told(lambda recipe=recipe, held=held: list(powder_for_stock(recipe, held))),
                told(lambda recipe=recipe: size_for_volume(recipe, face_l=4.0, rest_l=9.0, bucket_count=2)),
                told(
                    lambda recipe=recipe: size_for_volume(
                        recipe, face_l=17.0, rest_l=2.0, bucket_count=5, density_kg_m3=2050.0
                    )
                ),
                shown(mixing_min(recipe)),
                shown(mixing_min(recipe, until_split=True)),
                [[each.water, each.of.value, shown(each.ratio), each.steers] for each in _ratios(name)],
            ]
        )
    raw, stated = recipe_named("raw"), recipe_named("stated")
    iceless = replace(
        stated,
        materials=tuple(replace(each, dose=None) if each.key == "ice" else each for each in stated.materials),
    )
    for amount in (-1, 0, 1, Fraction(1, 2)):
        found.append(told(lambda amount=amount: powder_for_mass(raw, amount)))
        found.append(told(lambda amount=amount: powder_for_material(raw, "ochre", amount)))
        found.append(told(lambda amount=amount: list(powder_for_stock(raw, {"ochre": amount, "sand": 5}))))
    found.append(told(lambda: powder_for_material(iceless, "ice", 5)))
    found.append(told(lambda: powder_for_mass(replace(raw, materials=raw.materials[:1], steps=()), 5)))
    for face_l, rest_l in ((0.4, 0.0), (0.0, 0.4), (0.3, 0.6)):
        found.append(
            told(lambda f=face_l, r=rest_l: size_for_volume(raw, face_l=f, rest_l=r, bucket_count=1))
        )
    found.append(told(lambda: size_for_volume(recipe_named("raw"), face_l=0.0, rest_l=0.0, bucket_count=1)))
    # Of a bucket nine tenths may be face coat.
    for face_l in (8.4, 8.6, 8.8, 8.9, 9.0, 9.1, 9.3):
        found.append(
            told(
                lambda f=face_l: size_for_volume(recipe_named("raw"), face_l=f, rest_l=20 - f, bucket_count=2)
            )
        )
    return found


def _ratios(name: str) -> Any:
    recipe = recipe_named(name)
    return water_ratios(recipe, whole_totals(recipe, 9 * KG))


def _layers() -> list[Any]:
    found: list[Any] = []
    for name in NAMES[:8]:
        recipe = recipe_named(name)
        split = with_split(recipe, Fraction(1, 4), "skin")
        bare = without_split(recipe)
        found.append(
            [
                name,
                [step.key for step in split.steps],
                splits(split),
                [len(bare.steps), splits(bare)],
                shown(totals_at_split(split, 8 * KG)),
                shown(totals_at_split(bare, 8 * KG)),
                shown(take_outs(split, Fraction(7 * KG), {"mist": 0.4, "face": 1.1, "edge": 0.05})),
                shown(take_outs(split, Fraction(7 * KG), {})),
                shown(take_outs(bare, Fraction(7 * KG), {"face": 1.0})),
            ]
        )
    return found


def _diluted() -> list[Any]:
    found: list[Any] = []
    for name, key, ratio in (
        ("raw", "plasticiser", 4),
        ("raw", "emulsion", 2),
        ("raw", "ochre", 9),
        ("colour", "retarder", 12),
        ("colour", "ink", 3),
        ("colour", "water", 3),
        ("planter_wall", "plasticiser", 50),
        ("stated", "chalk", 2),
        ("stated", "ice", 2),
    ):
        recipe = recipe_named(name)
        mixed = with_dilution(recipe, key, ratio, "thin")
        shares = [shown(neat_share(each, recipe.material(each.key))) for each in mixed.materials]
        found.append(
            [
                name,
                shown(mixed.material(key)),
                shares,
                told(lambda mixed=mixed: totals_for_powder(mixed, 4 * KG)),
            ]
        )
    return found


def _rescues() -> list[Any]:
    found: list[Any] = []
    for name in NAMES:
        recipe = recipe_named(name)
        masses = {key: round(mass) for key, mass in totals_for_powder(recipe, 5 * KG).items()}
        for division_mg in (10, 1000, 5000, 50_000):
            found.append(shown(rescue_bag(recipe, masses, dict.fromkeys(masses, division_mg))))
        found.append(shown(cost_of(recipe, masses)))
    found.append(
        shown(
            cost_of(
                recipe_named("raw"), dict.fromkeys((each.key for each in recipe_named("raw").materials), 1)
            )
        )
    )
    empty = cost_of(recipe_named("raw"), {})
    shares = [cost_of(recipe_named("raw"), {"cement": KG}).share_cents(Fraction(n, 8)) for n in range(9)]
    return [digest(found), found[::11], shown(empty), shares]


LIMIT_PARTS: Mapping[str, Part] = {
    "counts of buckets": _buckets,
    "divisions": _divisions,
    "loads": _loads,
    "claims and densities": _claims,
    "ways of weighing": _weighings,
    "doses": _doses,
    "powder for": _powders,
    "layers": _layers,
    "dilutions": _diluted,
    "rescue bags and costs": _rescues,
}
