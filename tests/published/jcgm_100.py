"""JCGM 100:2008 (GUM): uncertainty of a digital indication [mem].

F.2.2.1 prints 0.29 of the step for one indication; the net and the sum of tared additions are worked out by 5.1.2.
From memory of the document. Tolerance: half the last printed figure.
"""

from functools import partial

from mixstation.proportion.weighing import (
    net_uncertainty_g,
    reading_uncertainty_g,
    separate_additions_uncertainty_g,
)
from tests.published.case import PublishedCase

SOURCE = "JCGM 100:2008 [mem]"

CASES: tuple[PublishedCase, ...] = (
    PublishedCase(
        source=SOURCE,
        place="F.2.2.1",
        what="standard uncertainty of one indication",
        expected=0.29,
        tolerance=0.005,
        unit="step",
        compute=partial(reading_uncertainty_g, 1),
    ),
    PublishedCase(
        source=SOURCE,
        place="F.2.2.1 with 5.1.2",
        what="the difference of two indications",
        expected=0.4082,
        tolerance=0.00005,
        unit="step",
        compute=partial(net_uncertainty_g, 1),
        figure="worked out",
    ),
    PublishedCase(
        source=SOURCE,
        place="F.2.2.1 with 5.1.2",
        what="the sum of six such differences, √(6/6)",
        expected=1,
        tolerance=1e-12,
        unit="step",
        compute=partial(separate_additions_uncertainty_g, 1, additions_count=6),
        figure="worked out",
    ),
)
