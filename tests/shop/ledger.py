"""The batch summed up anew from its entries, with none of the program's own folding: what the checks go by."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from mixstation.batch.events import (
    Entry,
    EntryTakenBack,
    MaterialRemoved,
    NoteWritten,
    PortionTaken,
    WeightRecorded,
)
from mixstation.recipe.model import Basis, Material, Recipe

Masses = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What went in and what came out, in all."""

    content: dict[str, Fraction]
    in_mg: Fraction
    out_mg: Fraction


def voided(entries: Sequence[Entry]) -> frozenset[int]:
    """Entries that do not count: a taking-back counts unless a later one that counts names it."""
    count = {entry.seq: True for entry in entries}
    for entry in sorted(entries, key=lambda entry: -entry.seq):
        if isinstance(entry.fact, EntryTakenBack) and count[entry.seq]:
            for seq in entry.fact.seqs:
                if seq < entry.seq:
                    count[seq] = False
    return frozenset(seq for seq, counts in count.items() if not counts)


def neutral(entries: Sequence[Entry]) -> list[Entry]:
    """The same entries with what was taken back, and the takings-back, turned into notes that change nothing."""
    void = voided(entries)
    return [
        Entry(seq=entry.seq, stamp=entry.stamp, fact=NoteWritten(text="-"))
        if entry.seq in void or isinstance(entry.fact, EntryTakenBack)
        else entry
        for entry in entries
    ]


def tally(recipe: Recipe, entries: Sequence[Entry]) -> Tally:
    """Masses in the bucket by the entries that count."""
    void = voided(entries)
    content = {material.key: Fraction(0) for material in recipe.materials}
    in_mg = out_mg = Fraction(0)
    for entry in entries:
        fact = entry.fact
        if entry.seq in void:
            continue
        if isinstance(fact, WeightRecorded):
            content[fact.material] += fact.mass_mg
            in_mg += fact.mass_mg
        elif isinstance(fact, MaterialRemoved):
            content[fact.material] -= fact.mass_mg
            out_mg += fact.mass_mg
        elif isinstance(fact, PortionTaken):
            whole = sum(content.values(), Fraction(0))
            for key in content:
                content[key] -= content[key] * fact.mass_mg / whole if whole else 0
            out_mg += fact.mass_mg
    return Tally(content=content, in_mg=in_mg, out_mg=out_mg)


def free_water(recipe: Recipe, masses: Masses) -> Fraction:
    """Plain water, ice, the water in liquids, and what damp sand brings (or dry sand drinks)."""
    return sum((masses[item.key] * _water(item) for item in recipe.materials), Fraction(0))


def _water(item: Material) -> Fraction:
    if not item.is_powder:
        return item.water_fraction
    return (item.moisture_fraction - item.absorption_fraction) / (1 + item.moisture_fraction)


def basis(recipe: Recipe, masses: Masses, of: Basis) -> Fraction:
    """What a ratio is of."""
    if of is Basis.TOTAL:
        return sum(masses.values(), Fraction(0))
    total = Fraction(0)
    for item in recipe.materials:
        if item.is_powder:
            dry = masses[item.key] / (1 + item.moisture_fraction)
            share = {Basis.CEMENT: item.cement_fraction, Basis.BINDER: item.binder_fraction}.get(
                of, Fraction(1)
            )
            total += dry * (share or 0)
    return total


def water_ratio(recipe: Recipe, masses: Masses) -> Fraction | None:
    """All free water over the recipe's own basis."""
    under = basis(recipe, masses, recipe.water.of)
    return free_water(recipe, masses) / under if under else None


def litres(recipe: Recipe, masses: Masses) -> float:
    """Absolute volume with the air. Source: ACI 211.1."""
    water = recipe.material(recipe.water_key).density_kg_m3
    solid = 0.0
    for item in recipe.materials:
        wet, drunk = 1 + float(item.moisture_fraction), 1 + float(item.absorption_fraction)
        # Grains with their pores full, and what is around them.
        grams = float(masses[item.key]) * 1e-3
        solid += grams * drunk / wet / item.density_kg_m3 + grams * (wet - drunk) / wet / water
    return solid / (1 - float(recipe.air_fraction))


def drawn_mg(entries: Sequence[Entry], material: str) -> int:
    """What has been taken from the shelf of a material."""
    void = voided(entries)
    return sum(
        entry.fact.mass_mg
        for entry in entries
        if entry.seq not in void
        and isinstance(entry.fact, WeightRecorded)
        and entry.fact.material == material
    )
