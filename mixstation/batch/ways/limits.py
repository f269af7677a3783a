"""What bounds a way out besides the recipe: the scales, the shelf, the bucket, the moulds and the clock."""

from collections.abc import Mapping
from dataclasses import field

from mixstation.batch.events import PortionTaken, WeightRecorded
from mixstation.batch.run import Run
from mixstation.frozen import Frozen
from mixstation.recipe.proportions import volume_l


class Limits(Frozen):
    """What there is, and what is still needed.

    Attributes:
        divisions_mg: Of the scale that would weigh each material, above 0.
        stock_mg: What is left on the shelf of each material, not counting what is in the bucket; a material not
            named is not limited.
        bucket_l: Volume of the bucket; 0 where it is not known.
        fill_limit: Largest part of the bucket to fill, 0 to 1.
        needed_l: Volume of mix the moulds still need out of this bucket; 0 where it was not planned.
        working_left_s: Working time left by the earlier estimate, or None before the first water.
        stiffening: The mix stiffens; nothing may be added any more.
    """

    divisions_mg: Mapping[str, int]
    stock_mg: Mapping[str, int] = field(default_factory=dict)
    bucket_l: float
    fill_limit: float
    needed_l: float
    working_left_s: int | None
    stiffening: bool

    @property
    def full_l(self) -> float | None:
        """Volume the bucket may be filled to, or None where it is not known."""
        return self.bucket_l * self.fill_limit if self.bucket_l > 0 else None


def limits_of(
    run: Run, divisions_mg: Mapping[str, int], working_left_s: int | None, *, stiffening: bool
) -> Limits:
    """The limits of a batch as it stands: what its start said, less what has been used since."""
    start = run.start
    left = {amount.material: amount.mass_mg for amount in start.stock}
    layers_mg = 0
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded) and fact.material in left:
            left[fact.material] -= fact.mass_mg
        elif isinstance(fact, PortionTaken) and fact.layer:
            layers_mg += fact.mass_mg
    in_bucket_mg = run.in_bucket_mg
    litres_per_mg = volume_l(run.recipe, run.content) / float(in_bucket_mg) if in_bucket_mg else 0.0
    return Limits(
        divisions_mg=divisions_mg,
        stock_mg={key: max(0, mass) for key, mass in left.items()},
        bucket_l=start.bucket_l,
        fill_limit=start.fill_limit,
        needed_l=max(0.0, start.needed_l - layers_mg * litres_per_mg),
        working_left_s=working_left_s,
        stiffening=stiffening,
    )
