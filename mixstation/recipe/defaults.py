"""Tolerances and densities that stand where a recipe says nothing."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from mixstation.proportion.batching import Group, batching_tolerance
from mixstation.recipe.model import Role, Tolerance

GROUPS_OF: Final[Mapping[Role, tuple[Group, ...]]] = MappingProxyType(
    {
        Role.WATER: ("water",),
        Role.ICE: ("water",),
        Role.BLEND: ("cement", "cement-small-batch"),
        Role.CEMENT: ("cement", "cement-small-batch"),
        Role.POZZOLAN: ("cement", "cement-small-batch", "addition"),
        Role.SAND: ("aggregate",),
        Role.FILLER: ("aggregate",),
        Role.POLYMER: ("admixture",),
        Role.PLASTICISER: ("admixture",),
        Role.RETARDER: ("admixture",),
        Role.FIBRE: ("admixture",),
        Role.PIGMENT: ("admixture",),
    }
)
"""What each material counts as where batching tolerances are given, the group of its own tolerance first.

Source: ASTM C94 counts ice with the water and pozzolan with the cement, from memory. Blend as cementitious, filler as
    aggregate, polymer, fibre and pigment as admixtures: Choice.
"""


def default_tolerance(role: Role) -> Tolerance:
    """How far the total of a material may be off where the recipe does not say.

    Returns:
        The tolerance. A small batch may take cementitious −0/+4 % instead: a recipe then says "-0 % +4 %".

    Source: ASTM C94, see `mixstation.proportion.batching`.

    Example:
        >>> default_tolerance(Role.SAND).over
        Fraction(1, 50)
    """
    row = batching_tolerance("ASTM C94", GROUPS_OF[role][0])
    return Tolerance(under=row.under_percent / 100, over=row.over_percent / 100)


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
