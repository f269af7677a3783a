"""Sentences for a file of pieces, the shop and a log of temperatures; `file_faults.py` says what stands in braces."""

from typing import assert_never

from mixstation.plan import faults_of_files as of
from mixstation.plan.faults_of_files import PlanFileFault


def plan_file_sentence(told: PlanFileFault) -> str:
    """The words for a fault of such a file, with its fields in braces."""
    match told:
        case of.Plain():
            return _plain(told)
        case of.AreaForm():
            return "{key} must be a length by a width; found “{found}”. {write}"
        case of.CornersForm():
            return "{key} must be a list of 3 to {limit_count} corners, each a pair of lengths. {write}"
        case of.CornerForm():
            return "Corner {corner_number} must be a pair of lengths. {write}"
        case of.CureCell():
            return _cell(told.code)
        case of.CureRange():
            return "“{found}” is not from {least_c:g} to {most_c:g} °C. Look at the logger and at the unit in line 1."
        case of.CureLong():
            return "This time is more than {limit_count} days after the first. Look at the date."
        case of.CureBefore():
            return "No two readings come after the batch was closed at {closed}. Name the right batch."
        case _ as forgotten:
            assert_never(forgotten)


def _cell(code: of.CellCode) -> str:
    match code:
        case "cure-time":
            return "“{found}” is no time of this log. Write: {example}"
        case "cure-temperature":
            return "“{found}” is no temperature. Write: {example}"
        case _ as forgotten:
            assert_never(forgotten)


def _plain(told: of.Plain) -> str:
    match told:
        case of.Plain.RETURNS_TWICE:
            return "returns is for all sides at once, and single sides are given too. Keep one of the two."
        case of.Plain.CUT_OUT_FORM:
            return "A cut-out has a diameter, or a length and a width. Write one or the other."
        case of.Plain.DIVISION_OVER_CAPACITY:
            return "The division of a scale must be below its capacity. Correct the one that is wrong."
        case of.Plain.EASY_OVER_LIMIT:
            return "easy cannot be more than limit. Correct the one that is wrong."
        case of.Plain.CURE_HEADER:
            return "The first line must name a time and a temperature with its unit. Write: {example}"
        case of.Plain.CURE_ROW:
            return "A line must hold one time and one temperature. Write: {example}"
        case of.Plain.CURE_ZONE:
            return "Some times name their zone, some do not. Write them all the same way."
        case of.Plain.CURE_ORDER:
            return "This time is not later than the one above. Put the lines in order."
        case of.Plain.CURE_SHORT:
            return "A log needs at least two readings."
        case of.Plain.CURE_NO_CLOCK:
            return "This log counts hours and knows no clock. Leave --batch out, or log the time."
        case _ as forgotten:
            assert_never(forgotten)
