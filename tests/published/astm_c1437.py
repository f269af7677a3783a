"""ASTM C1437, flow of hydraulic cement mortar: a published worked example [mem].

Four diameters on a table whose mould is 100 mm at the base. Title of the example not kept. Tolerance: half the last
printed figure.
"""

from mixstation.proportion.consistency import flow_percent
from tests.published.case import PublishedCase

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source="ASTM C1437, published worked example [mem]",
        place="calculation of flow",
        what="198, 202, 201, 199 mm",
        expected=100.0,
        tolerance=0.05,
        unit="%",
        compute=lambda: flow_percent([198, 202, 201, 199]),
    ),
)
