"""A log of temperatures beside a curing piece, as loggers and people write it: a time and a temperature a line.

The first line names both columns: "time" (2026-11-30 14:05) or "hours", and the temperature's unit. Columns are parted
by a comma, a semicolon or a tab; with the latter two a comma may be the decimal mark.
"""

from datetime import datetime
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.plan.faults_of_files import (
    CureBefore,
    CureCell,
    CureLong,
    CureRange,
    Plain,
    PlanFileFault,
)
from mixstation.toml.lines import FileFault, FileRefused
from mixstation.units.errors import UnitsError
from mixstation.units.numbers import read_number
from mixstation.units.parse import parse_temperature_c

LEAST_C, MOST_C = -10, 80
"""What a log beside a piece may hold. Source: Choice: the range the rate functions answer for."""

MOST_HOURS = 24 * 366
"""Longest log. Source: Choice: a year; more is a slip in a date."""

MAX_FAULT_COUNT = 20
HEADER_EXAMPLE = "time,°C"
ROW_EXAMPLE = {True: "2026-11-30 14:05,21.5", False: "3.5,21.5"}

_UNITS = {"°C": ("c", "°c", "celsius"), "°F": ("f", "°f", "fahrenheit")}


class TemperatureLog(Frozen):
    """Readings of a log.

    Attributes:
        history: Hours since the first reading, and °C; hours rising.
        began: Local time of the first reading; None where the log counts hours itself.
    """

    history: tuple[tuple[float, float], ...]
    began: datetime | None


class _Columns(Frozen):
    """How the lines of a log are read."""

    mark: str
    clock: bool
    unit: str


class _Faults:
    """What is wrong with a log, each on the line that was being read."""

    def __init__(self, path: str) -> None:
        self.path, self.line, self.line_text = path, 0, ""
        self.found: list[FileFault] = []

    def wrong(self, told: PlanFileFault, example: str = "") -> None:
        """Note a fault on the line that is being read."""
        self.found.append(
            FileFault(path=self.path, line=self.line, line_text=self.line_text, told=told, example=example)
        )

    def refuse(self) -> None:
        """Raise FileRefused where anything was wrong."""
        if self.found:
            raise FileRefused(self.found)


def read_log(text: str, path: str) -> TemperatureLog:
    """Read a log of at least two readings.

    Raises:
        FileRefused: What is wrong with it, the first twenty faults together.
    """
    lines = [(number, line.strip()) for number, line in enumerate(text.split("\n"), start=1) if line.strip()]
    faults = _Faults(path)
    if lines:
        faults.line, faults.line_text = lines[0]
    columns = _columns(faults.line_text)
    if columns is None:
        faults.wrong(Plain.CURE_HEADER, HEADER_EXAMPLE)
        raise FileRefused(faults.found)
    readings: list[tuple[Fraction | datetime, float]] = []
    for faults.line, faults.line_text in lines[1:]:
        if len(faults.found) == MAX_FAULT_COUNT:
            break
        read = _row(faults.line_text, columns, faults)
        if read is None:
            continue
        if readings and _has_zone(readings[0][0]) is not _has_zone(read[0]):
            faults.wrong(Plain.CURE_ZONE)
        elif readings and not _hours(readings[-1][0], read[0]) > 0:
            faults.wrong(Plain.CURE_ORDER)
        elif readings and _hours(readings[0][0], read[0]) > MOST_HOURS:
            faults.wrong(CureLong(limit_count=MOST_HOURS // 24))
        else:
            readings.append(read)
    faults.refuse()
    if len(readings) < 2:
        faults.line, faults.line_text = 0, ""
        faults.wrong(Plain.CURE_SHORT)
        faults.refuse()
    first = readings[0][0]
    return TemperatureLog(
        history=tuple((_hours(first, at), reading_c) for at, reading_c in readings),
        began=first if isinstance(first, datetime) else None,
    )


def since(log: TemperatureLog, closed: datetime, path: str) -> TemperatureLog:
    """The readings after a batch was closed, their hours counted from then.

    Args:
        closed: When the batch was closed, with its zone; times of a log that name none are of that place.

    Returns:
        At least two readings; from the closing to the first of them the piece counts as warm as then.

    Raises:
        FileRefused: It counts hours and knows no clock, or has not two readings since.
    """
    faults = _Faults(path)
    history: tuple[tuple[float, float], ...] = ()
    if log.began is None:
        faults.wrong(Plain.CURE_NO_CLOCK)
    else:
        closed = closed if _has_zone(log.began) else closed.replace(tzinfo=None)
        later_h = _hours(log.began, closed)
        history = tuple(
            (hour_h - later_h, reading_c) for hour_h, reading_c in log.history if hour_h >= later_h
        )
        if len(history) < 2:
            faults.wrong(CureBefore(closed=closed.isoformat(sep=" ", timespec="minutes")))
    faults.refuse()
    first = ((0.0, history[0][1]),) if history[0][0] > 0 else ()
    return TemperatureLog(history=(*first, *history), began=closed)


def _columns(header: str) -> _Columns | None:
    mark = next((mark for mark in "\t;," if mark in header), "")
    names = [name.strip().strip('"').lower() for name in header.split(mark)] if mark else []
    if len(names) != 2:
        return None
    words = names[1].translate(str.maketrans("()[]_", "     ")).split()
    unit = next((unit for unit, spelled in _UNITS.items() if words and words[-1] in spelled), "")
    kind = {"time": True, "date and time": True, "hours": False, "h": False}.get(names[0])
    return None if kind is None or not unit else _Columns(mark=mark, clock=kind, unit=unit)


def _row(line: str, columns: _Columns, faults: _Faults) -> tuple[Fraction | datetime, float] | None:
    cells = [cell.strip().strip('"') for cell in line.split(columns.mark)]
    example = ROW_EXAMPLE[columns.clock]
    if len(cells) != 2:
        faults.wrong(Plain.CURE_ROW, example)
        return None
    at = _time(cells[0], columns)
    if at is None:
        faults.wrong(CureCell(code="cure-time", found=cells[0]), example)
        return None
    try:
        reading_c = float(parse_temperature_c(cells[1], columns.unit, comma_is_decimal=columns.mark != ","))
    except UnitsError:
        faults.wrong(CureCell(code="cure-temperature", found=cells[1]), example)
        return None
    if not LEAST_C <= reading_c <= MOST_C:
        faults.wrong(CureRange(found=cells[1], least_c=LEAST_C, most_c=MOST_C))
        return None
    return at, reading_c


def _time(cell: str, columns: _Columns) -> Fraction | datetime | None:
    try:
        if not columns.clock:
            hours = read_number(cell, comma_is_decimal=columns.mark != ",")
            return hours if hours >= 0 else None
        at = datetime.fromisoformat(cell)
    except (UnitsError, ValueError):
        return None
    return at


def _has_zone(at: Fraction | datetime) -> bool:
    """Whether a time says its offset from UTC; one that does and one that does not cannot be compared."""
    return isinstance(at, datetime) and at.tzinfo is not None


def _hours(since: Fraction | datetime, at: Fraction | datetime) -> float:
    if isinstance(since, datetime) and isinstance(at, datetime):
        return (at - since).total_seconds() / 3600
    assert isinstance(since, Fraction)
    assert isinstance(at, Fraction)
    return float(at - since)
