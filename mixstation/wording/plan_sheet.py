"""The weigh-out sheet of a plan as HTML that prints on one page: tick boxes, large figures, nothing that runs.

Heights are fixed in millimetres, so that what fits is known without a browser. Every text passes `_text`.
"""

import base64
import hashlib
import html
import math
from collections.abc import Iterable

from mixstation.frozen import Frozen
from mixstation.units.clean import clean
from mixstation.wording.counted import counted
from mixstation.wording.safety import LIMITS_OF_USE, ON_THE_SHEET
from mixstation.wording.sections import NO_FIGURE, PlanSections, Row

PAGE_MM = 250.0
"""Height to fill: Letter less 12 mm at both ends and a little for lines; A4 is taller.

Source: Definition: Letter is 279.4 mm high.
"""

MOST_COLUMN_COUNT = 5
"""Buckets on one sheet, so that their figures stay large. Source: Choice."""

_HEAD_MM = 19.0
_TABLE_HEAD_MM = 9.0
_LINE_MM = 4.2
_CHARACTERS_A_LINE = 100
_LEAST_ROW_MM, _GOOD_ROW_MM, _MOST_ROW_MM = 5.0, 9.0, 12.0
_FEW_LINES = 8
_TWO_LINES_MM = 8.0
_RULE_MM = 0.3

ABOVE = " ".join(LIMITS_OF_USE)
"""What stands over the figures and is never left out."""
BLANKS = ("Date", "Mixed by", "First water at", "Mix temperature")
"""What is filled in by hand."""
NAME_HEAD = "Weigh out"
MORE_NOTES = "And {notes}: see the plan."


def _line_count(note: str) -> int:
    return max(1, math.ceil(len(clean(note, 500)) / _CHARACTERS_A_LINE))


_REST_MM = PAGE_MM - _HEAD_MM - _TABLE_HEAD_MM - _LINE_MM * _line_count(ABOVE)
"""Height for rows and notes."""

MOST_ROW_COUNT = int((_REST_MM - _FEW_LINES * _LINE_MM) / _LEAST_ROW_MM)
"""Rows that fit a page with a few notes. Source: Definition: see the heights above."""


class Sheet(Frozen):
    """A page.

    Attributes:
        title: Recipe and revision.
        line: What it is for; cut to one line.
        columns: Head of each bucket column, at most `MOST_COLUMN_COUNT`.
        rows: In the order of the work; each figure gets a box to tick.
        notes: Things to know, most important first.
    """

    title: str
    line: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    notes: tuple[str, ...]


def plan_sheets(plan: PlanSections) -> tuple[str, ...]:
    """The weigh-out sheets of a plan, each an HTML page that prints on one sheet of A4 or Letter.

    Args:
        plan: The plan in words.

    Returns:
        One page for up to five buckets.
    """
    return tuple(sheet_html(sheet) for sheet in sheets_of(plan))


def sheets_of(plan: PlanSections) -> tuple[Sheet, ...]:
    """What stands on each page; see `plan_sheets`."""
    notes = (
        ON_THE_SHEET,
        *plan.dilutions.lines,
        *(row.name for row in plan.cautions.rows),
        *plan.water.lines,
        *plan.day.lines,
        *(f"{plan.rescue.title}: {line}." for line in plan.rescue.lines),
        *plan.after.lines,
    )
    pages = []
    for first in range(0, len(plan.weigh_out.heads), MOST_COLUMN_COUNT):
        buckets = plan.weigh_out.columns(first, MOST_COLUMN_COUNT)
        rows = tuple(row for row in buckets.rows if not row.is_sum)
        columns = tuple(head.capitalize() for head in buckets.heads)
        # Rows are cut as well as columns: a recipe of many materials in many shares fills more than one page.
        for at in range(0, len(rows), MOST_ROW_COUNT):
            block = rows[at : at + MOST_ROW_COUNT]
            pages.append(Sheet(title=plan.title, line=plan.made, columns=columns, rows=block, notes=notes))
    return tuple(pages)


def row_height_mm(sheet: Sheet) -> float:
    """Height of a row: as much as the notes leave, but where there are many notes they give way first.

    Args:
        sheet: The page.

    Returns:
        Millimetres, from 5 to 12.

    Source: Choice: figures are read from a step away.
    """
    row_count = max(1, len(sheet.rows))
    beside_notes_mm = (_REST_MM - _LINE_MM * sum(map(_line_count, sheet.notes))) / row_count
    beside_few_mm = (_REST_MM - _LINE_MM * _FEW_LINES) / row_count
    return min(_MOST_ROW_MM, max(beside_notes_mm, min(_GOOD_ROW_MM, beside_few_mm)))


def fitting_notes(sheet: Sheet) -> tuple[str, ...]:
    """The notes there is room for below the rows, with a last line for those there is not.

    Args:
        sheet: The page.

    Returns:
        Notes, in order.

    Source: Choice: a note is never cut in two.
    """
    rest_mm = _REST_MM - len(sheet.rows) * row_height_mm(sheet) + 1e-6
    room = int(rest_mm / _LINE_MM)
    if sum(map(_line_count, sheet.notes)) <= room:
        return sheet.notes
    kept: list[str] = []
    for note in sheet.notes:
        room -= _line_count(note)
        if room < 1:
            break
        kept.append(note)
    return (*kept, MORE_NOTES.format(notes=counted(len(sheet.notes) - len(kept), "more note")))


def sheet_html(sheet: Sheet) -> str:
    """The page.

    Args:
        sheet: What it holds; at most `MOST_ROW_COUNT` rows and `MOST_COLUMN_COUNT` columns.

    Returns:
        A whole HTML document without script, links or pictures.

    Raises:
        ValueError: More rows or columns than a page takes.

    Source: Choice.
    """
    if len(sheet.rows) > MOST_ROW_COUNT or not 1 <= len(sheet.columns) <= MOST_COLUMN_COUNT:
        raise ValueError(f"{len(sheet.rows)} rows in {len(sheet.columns)} columns do not fit a page")
    style = _style(sheet)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    head = "".join(f"<th>{_text(column)}</th>" for column in sheet.columns)
    rows = "".join(_row(row, len(sheet.columns)) for row in sheet.rows)
    blanks = " ".join(f"<span>{_text(blank)} ______________</span>" for blank in BLANKS)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_text(policy)}">\n'
        f"<title>{_text(sheet.title)}</title>\n<style>{style}</style>\n</head>\n<body>\n"
        f"<header><h1>{_text(sheet.title, 56)}</h1><p>{_text(sheet.line, 108)}</p><p>{blanks}</p></header>\n"
        f"<section>{_paragraphs([ABOVE])}</section>\n"
        f"<table>\n<thead><tr><th>{NAME_HEAD}</th>{head}</tr></thead>\n"
        f"<tbody>\n{rows}</tbody>\n</table>\n<footer>{_paragraphs(fitting_notes(sheet))}</footer>\n"
        "</body>\n</html>\n"
    )


def _text(text: str, limit: int = 500) -> str:
    """The one way any text gets onto the page."""
    return html.escape(clean(text, limit), quote=True)


def _row(row: Row, column_count: int) -> str:
    blank = NO_FIGURE if row.cells else ""
    cells = "".join(
        f"<td><div>{f'<i></i><b>{_text(figure)}</b>' if figure else blank}</div></td>"
        for figure in (*row.cells, *("",) * (column_count - len(row.cells)))
    )
    how = f" <small>{_text(row.note)}</small>" if row.note else ""
    return f"<tr><th><div>{_text(row.name)}{how}</div></th>{cells}</tr>\n"


def _paragraphs(lines: Iterable[str]) -> str:
    return "".join(f"<p>{_text(line)}</p>" for line in lines)


def _style(sheet: Sheet) -> str:
    row_mm, column_count = row_height_mm(sheet), len(sheet.columns)
    cell_mm = row_mm - _RULE_MM
    name_mm = 78 if column_count <= 2 else 60
    box_mm = min(row_mm, 10) * 0.5
    below = row_mm >= _TWO_LINES_MM
    name_line_mm = cell_mm / 2 if below else cell_mm
    # A figure or a name that is cut off is worse than a small one.
    figure_room_mm = (186 - name_mm) / column_count - box_mm - 3
    figure_mm = min(row_mm * 0.6, _type_mm(figure_room_mm, [f for row in sheet.rows for f in row.cells]))
    name_type_mm = min(3.8, cell_mm * 0.7, _type_mm(name_mm - 2, [row.name for row in sheet.rows]))
    return (
        "@page{margin:12mm}"
        "*{box-sizing:border-box;margin:0;padding:0}"
        "body{font-family:sans-serif;color:#000;background:#fff;width:186mm}"
        f"header{{height:{_HEAD_MM:g}mm;overflow:hidden;font-size:3.2mm;line-height:4.6mm}}"
        "h1{font-size:5.4mm;line-height:8mm;white-space:nowrap;overflow:hidden}"
        "header p{white-space:nowrap;overflow:hidden}header span{margin-right:6mm}"
        "table{border-collapse:collapse;width:186mm;table-layout:fixed}"
        f"thead th{{height:{_TABLE_HEAD_MM:g}mm;font-size:3.6mm;text-align:left}}"
        f"thead th:first-child{{width:{name_mm}mm}}"
        f"tbody tr{{border-top:{_RULE_MM:g}mm solid #000;break-inside:avoid}}"
        f"tbody div{{height:{cell_mm:.2f}mm;line-height:{cell_mm:.2f}mm;white-space:nowrap;overflow:hidden}}"
        f"tbody th div{{line-height:{name_line_mm:.2f}mm;font-size:{name_type_mm:.2f}mm;text-align:left}}"
        f"b{{font-size:{figure_mm:.2f}mm}}"
        f"i{{display:inline-block;width:{box_mm:.2f}mm;height:{box_mm:.2f}mm;border:.3mm solid #000;"
        "margin-right:2mm;vertical-align:middle}"
        f"small{{font-size:2.8mm;font-weight:normal;display:{'block' if below else 'none'}}}"
        f"section,footer{{font-size:3mm;line-height:{_LINE_MM:g}mm}}footer{{padding-top:1mm}}"
    )


def _type_mm(room_mm: float, texts: list[str]) -> float:
    """Size of bold type in which the longest text fits; 0.7 of the size is wide for a character."""
    return room_mm / (0.7 * max((len(text) for text in texts), default=1) or 1)
