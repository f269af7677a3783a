"""OIML R 76-1:2006, non-automatic weighing instruments, class III: errors allowed and least capacity.

Errors at first verification (in e, by load in e) and twice that in service were read in the United Kingdom's
Statutory Instrument 1995/1907, schedule 2, sections 4.1 and 4.2, which carries the same table [std]; the section
numbers of R 76-1 and its minimum capacity are from memory [mem]. The loads are the ends of the table's steps and the
first load beyond each. Tolerance: none, these are definitions.
"""

from functools import partial

from mixstation.proportion.weighing import class_iii_error_g, class_iii_least_load_g
from tests.published.case import PublishedCase

SOURCE = "OIML R 76-1:2006, read in UK SI 1995/1907 [std]"
FIRST = ((20, 0.5), (500, 0.5), (501, 1.0), (2000, 1.0), (2001, 1.5), (10_000, 1.5))
IN_SERVICE = ((500, 1.0), (2000, 2.0), (10_000, 3.0))

CASES: tuple[PublishedCase, ...] = (
    *(
        PublishedCase(
            source=SOURCE,
            place="schedule 2, section 4.1; R 76-1 section 3.5.1, table 6, by memory",
            what=f"error allowed at {load} e, first verification",
            expected=printed,
            tolerance=0,
            unit="e",
            compute=partial(class_iii_error_g, load, interval_g=1),
        )
        for load, printed in FIRST
    ),
    *(
        PublishedCase(
            source=SOURCE,
            place="schedule 2, section 4.2; R 76-1 section 3.5.2, by memory",
            what=f"error allowed at {load} e, in service",
            expected=printed,
            tolerance=0,
            unit="e",
            compute=partial(class_iii_error_g, load, interval_g=1, in_service=True),
        )
        for load, printed in IN_SERVICE
    ),
    PublishedCase(
        source="OIML R 76-1:2006 [mem]",
        place="section 3.2, table 3",
        what="minimum capacity",
        expected=20,
        tolerance=0,
        unit="e",
        compute=partial(class_iii_least_load_g, 1),
    ),
)
