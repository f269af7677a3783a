"""Cautions about a whole job: yields that cannot be, loads too heavy, buckets too full, doses too small."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Literal, assert_never

from mixstation.frozen import Frozen
from mixstation.plan import cautions as told
from mixstation.plan.batch_size import scaled
from mixstation.plan.buckets import Bucket
from mixstation.plan.dosing import DoseToWeigh, DoseWeighing
from mixstation.plan.faults import Plain, refused
from mixstation.proportion.density import air_free_density_kg_m3, gravimetric_air_fraction
from mixstation.proportion.lifting import LIFT_LIMIT_MG
from mixstation.proportion.volume import CLAIM_LIMIT_FRACTION, ClaimedYield, claimed_yield
from mixstation.recipe.limits import odd_densities
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import volume_l

_MG_PER_KG = 1_000_000


class YieldClaim(Frozen):
    """What a label or a recipe says a mass fills: everything weighed in ("mix"), or the dry bag alone ("powder")."""

    mass_mg: int
    of: Literal["mix", "powder"]
    claimed_l: float


def check_claim(recipe: Recipe, claim: YieldClaim) -> ClaimedYield:
    """Hold a claimed yield against absolute volume of the recipe.

    Raises:
        PlanRefused: "claim-size" for a claim without mass or volume, or the recipe cannot be scaled.

    Source: ACI 211.1-91 section 6.3.7.2, from memory; the 5 % are a Choice of `mixstation.proportion.volume`.
    """
    if claim.mass_mg <= 0 or not claim.claimed_l > 0:
        raise refused(Plain.CLAIM_SIZE)
    masses = scaled(recipe)
    counted = sum(
        (mass for key, mass in masses.items() if claim.of == "mix" or recipe.material(key).is_powder),
        Fraction(0),
    )
    claimed = {key: mass * claim.mass_mg / counted for key, mass in masses.items()}
    return claimed_yield(
        float(sum(claimed.values(), Fraction(0))) / _MG_PER_KG,
        computed_l=volume_l(recipe, claimed),
        claimed_l=claim.claimed_l,
    )


def claim_cautions(found: ClaimedYield | None) -> Iterator[told.YieldContradicts]:
    """A claimed yield that absolute volume contradicts. Source: see `check_claim`."""
    if found is not None and found.contradicted:
        yield told.YieldContradicts(
            claimed_l=found.computed_l * (1 + found.deviation_fraction),
            computed_l=found.computed_l,
            implied_kg_m3=found.implied_kg_m3,
            computed_kg_m3=found.implied_kg_m3 * (1 + found.deviation_fraction),
            deviation_fraction=found.deviation_fraction,
        )


def density_cautions(
    recipe: Recipe, computed_kg_m3: float, measured_kg_m3: float | None
) -> Iterator[told.OddDensity | told.DenserThanAirFree | told.DensityContradicts]:
    """Densities of materials that are hardly ever so, and a measured one that the recipe's own figures contradict.

    Source: ASTM C138, theoretical density, from memory; the 5 % as for a claimed yield.
    """
    for warning in odd_densities(recipe):
        yield told.OddDensity(
            material=warning.material,
            found_kg_m3=recipe.material(warning.material).density_kg_m3,
            usual_kg_m3=warning.limit or Fraction(0),
        )
    if measured_kg_m3 is None:
        return
    air_free_kg_m3 = air_free_density_kg_m3(computed_kg_m3, air_fraction=float(recipe.air_fraction))
    if measured_kg_m3 > air_free_kg_m3:
        yield told.DenserThanAirFree(measured_kg_m3=measured_kg_m3, air_free_kg_m3=air_free_kg_m3)
    elif abs(measured_kg_m3 / computed_kg_m3 - 1) > CLAIM_LIMIT_FRACTION:
        air_fraction = gravimetric_air_fraction(air_free_kg_m3=air_free_kg_m3, measured_kg_m3=measured_kg_m3)
        yield told.DensityContradicts(
            measured_kg_m3=measured_kg_m3, computed_kg_m3=computed_kg_m3, air_fraction=air_fraction
        )


def load_cautions(
    bucket: Bucket, buckets: Iterable[tuple[int, float, int]], pieces_mg: Mapping[str, int]
) -> Iterator[told.BucketAboveEasy | told.BucketHeavy | told.PieceHeavy]:
    """Buckets filled above what mixes with ease, and loads above what one person should lift.

    Args:
        buckets: Number, litres and milligrams of mix of each.

    Source: Common practice for the fill; NIOSH for the load.
    """
    for number, held_l, mass_mg in buckets:
        if held_l > bucket.easy_l * (1 + 1e-9):
            yield told.BucketAboveEasy(bucket_number=number, held_l=held_l, easy_l=bucket.easy_l)
        if (lifted_mg := mass_mg + bucket.tare_mg) > LIFT_LIMIT_MG:
            yield told.BucketHeavy(bucket_number=number, found_mg=lifted_mg, limit_mg=LIFT_LIMIT_MG)
    for name, mass_mg in pieces_mg.items():
        if mass_mg > LIFT_LIMIT_MG:
            yield told.PieceHeavy(piece=name, found_mg=mass_mg, limit_mg=LIFT_LIMIT_MG)


def dose_cautions(
    doses: Iterable[DoseToWeigh], weighings: Mapping[str, DoseWeighing], file: str
) -> list[told.NoScale | told.DoseDiluted | told.DoseTooSmall]:
    """Doses that the scales on file cannot weigh as they are: `NoScale` alone, or one for each such dose.

    Args:
        file: Where scales are looked for; "" where that is no file.

    Source: JCGM 100 and JCGM 106, from memory; see `mixstation.plan.dosing`.
    """
    cautions: list[told.NoScale | told.DoseDiluted | told.DoseTooSmall] = []
    for dose in doses:
        weighing = weighings[dose.material]
        match weighing.kind:
            case "no-scale":
                return [told.NoScale(division_mg=weighing.division_mg, file=file)]
            case "weigh":
                continue
            case "dilution":
                kind: type[told.DoseDiluted | told.DoseTooSmall] = told.DoseDiluted
            case "difference":
                kind = told.DoseTooSmall
            case _ as forgotten:
                assert_never(forgotten)
        cautions.append(
            kind(
                material=dose.material,
                dose_mg=round(dose.mass_mg),
                least_mg=weighing.least_mg,
                scale=weighing.scale,
                division_mg=weighing.division_mg,
                error_fraction=weighing.error_fraction,
            )
        )
    return cautions
