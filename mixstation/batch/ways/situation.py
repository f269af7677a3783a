"""What stands before the ways are sought: what is in, what was planned, what may be added, and every band."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.run import Run
from mixstation.batch.targets import Projection, project
from mixstation.batch.ways import bands
from mixstation.batch.ways.limits import Limits
from mixstation.frozen import Frozen
from mixstation.recipe.model import Basis, Cap, Material, Recipe, Role
from mixstation.recipe.pigments import pigment_caps, pigment_over_mg, pigment_shares
from mixstation.recipe.proportions import volume_l

# Choice: half a percent of volume is below what can be seen in a mould.
VOLUME_SLACK = 0.005


class Part(Frozen):
    """One material as it stands.

    Attributes:
        aimed_mg: What it would be in the batch as it is steered to, whatever ran out or went over.
        rest_mg: Planned and still to come.
        addable: Whether a step at hand or still to come, or a make-up, can add to it.
        found_only: Addable but for there being no more of it.
        waived: Short because its steps were left out on purpose: nothing asks for it any more.
    """

    material: Material
    content_mg: Fraction
    aimed_mg: Fraction
    rest_mg: Fraction
    division_mg: int
    addable: bool
    found_only: bool
    waived: bool


class Situation(Frozen):
    """All that the search and the check look at.

    Attributes:
        water: Band of the water ratio, or None without a basis.
        aimed_l: Volume of the batch as it is steered to.
        needed_l: Volume below which the moulds are not filled.
        shares: What a weighed mass of each material adds to each basis; materials that add nothing are left out.
        pigment_caps: What all pigment together is held to; empty where the batch is not steered inside it, or the mixer
            accepted more.
        waters: Free water that a weighed mass of each material brings; those that bring none are left out.
        scoop_mg: Division in which a portion of the mixed bucket is weighed; 0 where none can be taken.
    """

    run: Run
    limits: Limits
    parts: Mapping[str, Part]
    projection: Projection
    water: bands.WaterBand | None
    doses: Mapping[str, bands.DoseBand]
    powders: Mapping[str, bands.PowderBand]
    aimed_l: float
    needed_l: float
    shares: Mapping[Basis, Mapping[str, Fraction]]
    pigment_caps: tuple[Cap, ...]
    waters: Mapping[str, Fraction]
    scoop_mg: int

    def basis(self, masses: Mapping[str, Fraction], of: Basis) -> Fraction:
        """Mass of a basis among weighed masses."""
        return sum((share * masses[key] for key, share in self.shares[of].items()), Fraction(0))

    def free_water(self, masses: Mapping[str, Fraction]) -> Fraction:
        """All free mix water among weighed masses."""
        return sum((share * masses[key] for key, share in self.waters.items()), Fraction(0))

    def is_liquid(self, key: str) -> bool:
        """Whether a material needs no mixing in to be even."""
        return _is_liquid(self.run.recipe.material(key))

    @property
    def in_bucket_mg(self) -> Fraction:
        """Mass of everything in the bucket."""
        return self.run.in_bucket_mg

    @property
    def planned_mg(self) -> Fraction:
        """Mass of everything at the end as planned."""
        return sum(self.projection.finals.values(), Fraction(0))


def can_add(run: Run, key: str) -> bool:
    """Whether a make-up or a step still to come would bring a material to a new total.

    What was left out on purpose is not brought back: with no step left, all its share must be due.
    """
    return run.pending(key) or run.due(key) == 1


def only_liquid(run: Run) -> bool:
    """Whether nothing but liquids (and ice) is in, so that an excess can still be poured back."""
    return run.in_bucket_mg > 0 and all(
        not mass or _is_liquid(run.recipe.material(key)) for key, mass in run.content.items()
    )


def _is_liquid(material: Material) -> bool:
    return not material.is_powder and material.water_fraction > 0


def situation(run: Run, limits: Limits) -> Situation:
    """Look at a batch."""
    recipe, divisions = run.recipe, limits.divisions_mg
    projection = project(run)
    aimed = _aimed(run)
    parts = {
        material.key: _part(run, material, projection, aimed, divisions[material.key])
        for material in recipe.materials
    }
    doses = {
        material.key: band
        for material in recipe.materials
        if (band := bands.dose_band(run, material, projection, divisions)) is not None
    }
    powders = {
        amount.material: bands.powder_band(
            recipe.material(amount.material), Fraction(amount.mass_mg), divisions[amount.material]
        )
        for amount in run.start.aim.powders
        if amount.mass_mg > 0
    }
    aimed_l = volume_l(recipe, aimed)
    can_take = any(mass and recipe.material(key).is_powder for key, mass in run.content.items())
    return Situation(
        run=run,
        limits=limits,
        parts=parts,
        projection=projection,
        water=bands.water_band(run, projection, divisions),
        doses=doses,
        powders=powders,
        aimed_l=aimed_l,
        needed_l=(limits.needed_l or aimed_l) * (1 - VOLUME_SLACK),
        shares={basis: _shares(recipe, basis) for basis in Basis},
        pigment_caps=_pigment_caps(run, aimed),
        waters={item.key: item.water_share for item in recipe.materials if item.water_share},
        scoop_mg=max(divisions[key] for key in parts) if can_take and not only_liquid(run) else 0,
    )


def _pigment_caps(run: Run, aimed: Mapping[str, Fraction]) -> tuple[Cap, ...]:
    keys = pigment_shares(run.recipe)
    is_accepted = any(bands.accepted(run, "dose-most", key) for key in keys)
    if is_accepted or not any(aimed[key] for key in keys) or pigment_over_mg(run.recipe, aimed) > 0:
        return ()
    return pigment_caps(run.recipe, aimed)


def _shares(recipe: Recipe, basis: Basis) -> Mapping[str, Fraction]:
    return {item.key: share for item in recipe.materials if (share := item.basis_share(basis))}


def _part(
    run: Run,
    material: Material,
    projection: Projection,
    aimed: Mapping[str, Fraction],
    division_mg: int,
) -> Part:
    key, content = material.key, run.content[material.key]
    plan = projection.finals[key]
    reachable = material.role is not Role.ICE and can_add(run, key)
    gone = key in run.ran_out
    return Part(
        material=material,
        content_mg=content,
        aimed_mg=aimed[key],
        rest_mg=plan - content,
        division_mg=division_mg,
        addable=reachable and not gone,
        found_only=gone and material.role is not Role.ICE,
        waived=not reachable and not gone,
    )


def _aimed(run: Run) -> Mapping[str, Fraction]:
    empty = replace(
        run, content=dict.fromkeys(run.content, Fraction(0)), finished=frozenset(), ran_out=frozenset()
    )
    return project(empty).totals
