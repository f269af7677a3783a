"""Tolerances and densities that stand where a recipe says nothing."""

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from mixstation.recipe.model import Role, Tolerance


def _within(percent: str) -> Tolerance:
    fraction = Fraction(percent) / 100
    return Tolerance(under=fraction, over=fraction)


TOLERANCES: Final[Mapping[Role, Tolerance]] = MappingProxyType(
    {
        Role.WATER: _within("1.5"),
        Role.ICE: _within("1.5"),
        Role.BLEND: _within("1"),
        Role.CEMENT: _within("1"),
        Role.POZZOLAN: _within("1"),
        Role.SAND: _within("2"),
        Role.FILLER: _within("2"),
        Role.POLYMER: _within("3"),
        Role.PLASTICISER: _within("3"),
        Role.RETARDER: _within("3"),
        Role.FIBRE: _within("3"),
        Role.PIGMENT: _within("3"),
    }
)
"""How far a total may be off.

Source: ASTM C94, batching tolerances, from memory but for water: cementitious ±1 %, aggregate ±2 %, water (ice
    counted) ±1.5 % of target, as of C94-21a, admixture ±3 %. A small batch may take cementitious −0/+4 % instead: a
    recipe then says "-0 % +4 %". Polymer, fibre and pigment are taken as admixtures; EN 206, from memory, allows ±3 %
    and for admixtures ±5 %. Blend as cementitious and filler as aggregate: Choice.
"""

DENSITIES_KG_M3: Final[Mapping[Role, float]] = MappingProxyType(
    {
        Role.WATER: 998.21,
        Role.ICE: 917.0,
        Role.BLEND: 2880.0,
        Role.CEMENT: 3150.0,
        Role.POZZOLAN: 2500.0,
        Role.SAND: 2650.0,
        Role.FILLER: 2710.0,
        Role.POLYMER: 1060.0,
        Role.PLASTICISER: 1080.0,
        Role.RETARDER: 1100.0,
        Role.FIBRE: 2700.0,
        Role.PIGMENT: 4500.0,
    }
)
"""Densities of the particles or the liquid.

Source: Water IAPWS-95 at 20 °C; cement 3.15 and quartz sand 2.65 ACI 211.1, usual relative densities; all from
    memory. Blend: equal masses of these two by absolute volume. Ice, metakaolin as pozzolan, calcite as filler,
    alkali-resistant glass and iron oxide: from memory, no source at hand. Liquids: common practice, no source.
"""
