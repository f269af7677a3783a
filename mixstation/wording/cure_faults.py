"""Sentences for what can be wrong with a log of temperatures; how they are written is said in `file_faults`."""

from types import MappingProxyType

from mixstation.wording.file_faults import Sentences

CURE_FAULTS: Sentences = MappingProxyType(
    {
        "cure-header": "The first line must name a time and a temperature with its unit. Write: {example}",
        "cure-row": "A line must hold one time and one temperature. Write: {example}",
        "cure-time": "“{found}” is no time of this log. Write: {example}",
        "cure-temperature": "“{found}” is no temperature. Write: {example}",
        "cure-range": "“{found}” is not from {least_c} to {most_c} °C. Look at the logger and at the unit in line 1.",
        "cure-order": "This time is not later than the one above. Put the lines in order.",
        "cure-long": "This time is more than {limit_count} days after the first. Look at the date.",
        "cure-short": "A log needs at least two readings.",
        "cure-no-clock": "This log counts hours and knows no clock. Leave --batch out, or log the time.",
        "cure-before": "No two readings come after the batch was closed at {closed}. Name the right batch.",
    }
)
