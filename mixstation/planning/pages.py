"""What a planning talk shows: each question with the piece drawn to scale, and the plan in pages."""

from collections.abc import Mapping
from dataclasses import replace

from mixstation.plan.drawing import draw_piece
from mixstation.plan.job_parts import JobPlan
from mixstation.plan.pieces import piece_faults
from mixstation.planning.around import Around
from mixstation.planning.ask import MOST_LINES_COUNT, Ask, said, unit_of
from mixstation.planning.draft import Draft, ask_at, is_of_pieces, shape_asks
from mixstation.station.view import Act, Choice, ClockShown, FlagShown, Gravity, Question, ScaleShown, View
from mixstation.units.show import DisplayUnits
from mixstation.wording import planning as words
from mixstation.wording.counted import counted
from mixstation.wording.plan_sections import plan_sections
from mixstation.wording.sections import PlanSections, Section, plan_text, section_lines

SKETCH_COLUMN_COUNT, SKETCH_ROW_COUNT = 68, 12
PAGE_ROW_COUNT = 16
"""What a terminal of 80 by 24 has room for beside the question. Source: Choice."""

MORE = ""
"""Stands for the line that shows further lines of a long choice."""

_FEW_LINES_COUNT = 3
_SHOWN_FLAG_COUNT = 2
_SHOWN_BUCKET_COUNT = 3

BACK = Act(name="back", pad="-", letter="b", words=words.BACK_WORDS)
PAN = Act(name="pan", pad="*", letter="p", words=words.PAN_WORDS)
FIGURE = Act(name="figure", pad="*", letter="p", words=words.PER_CENT_WORDS)
ANOTHER = Act(name="another", pad="+", letter="a", words=words.ANOTHER_WORDS)
KEEP = Act(name="keep", pad="*", letter="k", words=words.KEEP_WORDS)
MORE_PAGES = Act(name="more", pad="/", letter="m", words=words.MORE_WORDS)


def bare_view(question: Question, *, place: str = "", notice: str = "", title: str = words.TITLE) -> View:
    """A view of a question beside any batch."""
    return View(
        title=title,
        place=place,
        question=question,
        notice=notice,
        clock=ClockShown(since_water="", left="", place="none"),
        scale=ScaleShown(state="", text="", fresh=False),
    )


def lines_shown(ask: Ask, first: int) -> Mapping[str, str]:
    """The lines of a choice that are on screen, words by value; the last leads on where not all fit."""
    lines = list((ask.lines or {}).items())
    if len(lines) <= MOST_LINES_COUNT:
        return dict(lines)
    return {**dict(lines[first : first + MOST_LINES_COUNT - 1]), MORE: words.MORE_LINE}


def ask_view(draft: Draft, around: Around, notice: str = "") -> View:
    """A question of the talk."""
    number, count, ask = ask_at(draft, around)
    units = around.units
    shown = lines_shown(ask, draft.first) if ask.lines is not None else {}
    unit = unit_of(ask.entry, units)
    acts = [] if number == 1 else [BACK]
    if ask.key.startswith("moisture/"):
        acts.append(PAN)
    elif ask.key.startswith("pan_"):
        acts.append(FIGURE)
    question = Question(
        ident=f"plan/{ask.key}/{draft.first}",
        ask=ask.ask,
        detail=ask.detail,
        entry=ask.entry,
        unit_word=words.UNIT_WORDS.get(unit, ""),
        enter=_enter_words(ask, units),
        choices=tuple(Choice(number=at, words=line) for at, line in enumerate(shown.values(), start=1)),
        acts=tuple(acts),
        dry_hands=True,
    )
    view = bare_view(question, place=words.PLACE.format(number=number, count=count), notice=notice)
    return replace(view, sketch=_sketch(draft, around, ask))


def _enter_words(ask: Ask, units: DisplayUnits) -> str:
    if ask.needed:
        return ""
    taken = said(ask, ask.default, units)
    return taken if ask.default is None else words.TAKE.format(words=taken)


def result_view(draft: Draft, around: Around, plan: JobPlan | None, notice: str = "") -> View:
    """The plan, or that there is none.

    Args:
        plan: The plan, or None where it cannot be made.
        notice: What came of the last answer, or why there is no plan.
    """
    if plan is None:
        question = Question(ident="plan/none", ask=words.NO_PLAN, acts=(BACK,), grave=True, dry_hands=True)
        return bare_view(question, place=words.PLACE_RESULT, notice=notice)
    said = plan_sections(plan, around.units)
    pages = result_pages(plan, said, around.units)
    page = draft.page % len(pages)
    count = len(plan.buckets)
    acts = (BACK, ANOTHER, KEEP, MORE_PAGES) if is_of_pieces(draft) else (BACK, KEEP, MORE_PAGES)
    question = Question(
        ident=f"plan/result/{page}",
        ask=words.RESULT_ASK.format(
            volume=said.mixed,
            buckets=counted(count, "bucketful"),
            first=words.FIRST_OF_ONE if count == 1 else words.FIRST_OF_MORE,
        ),
        detail=() if page else tuple(filter(None, (said.cost.brief, said.day.brief))),
        enter=words.MIX_ENTER.format(number=1, count=count),
        acts=acts,
        dry_hands=True,
    )
    place = (
        words.PLACE_RESULT
        if page == 0
        else f"{words.PLACE_RESULT}, {words.PAGE_PLACE.format(page=page + 1, count=len(pages))}"
    )
    view = bare_view(question, place=place, notice=notice)
    return replace(view, sketch=pages[page], flags=() if page else _flags(said.cautions))


def result_pages(plan: JobPlan, said: PlanSections, units: DisplayUnits) -> tuple[tuple[str, ...], ...]:
    """The plan in pages: what is weighed out, the pieces drawn, then all of it."""
    pages = [_first_page(said.weigh_out)]
    pages += [
        draw_piece(each.piece, column_count=SKETCH_COLUMN_COUNT, row_count=PAGE_ROW_COUNT, units=units)
        for each in plan.pieces
    ]
    lines = [part for line in plan_text(said) for part in _broken(line)]
    pages += [tuple(lines[at : at + PAGE_ROW_COUNT]) for at in range(0, len(lines), PAGE_ROW_COUNT)]
    return tuple(pages)


def _sketch(draft: Draft, around: Around, ask: Ask) -> tuple[str, ...]:
    """The piece a question is about; many lines to choose from take the room of the drawing."""
    number, _, _ = ask.key.partition("/")
    if not number.isdecimal() or len(ask.lines or ()) > _FEW_LINES_COUNT:
        return ()
    piece = shape_asks(draft, int(number), around).piece(so_far=True)
    if piece is None or piece_faults(piece):
        return ()
    return draw_piece(piece, column_count=SKETCH_COLUMN_COUNT, row_count=SKETCH_ROW_COUNT, units=around.units)


def _first_page(weigh_out: Section) -> tuple[str, ...]:
    """What is weighed for the first buckets, as many rows as there is room for."""
    more = len(weigh_out.heads) - _SHOWN_BUCKET_COUNT
    shown = weigh_out.columns(0, _SHOWN_BUCKET_COUNT)
    rows = tuple(row for row in shown.rows if not row.cells or any(row.cells))
    lines = section_lines(replace(shown, rows=rows))
    left = len(lines) - PAGE_ROW_COUNT + (1 if more > 0 else 0)
    if left > 0:
        lines = [*lines[: len(lines) - left - 1], words.MORE_ROWS.format(count=left + 1)]
    if more > 0:
        lines.append(words.MORE_BUCKETS.format(buckets=counted(more, "more bucket")))
    return tuple(lines)


def _flags(cautions: Section) -> tuple[FlagShown, ...]:
    """What to mind, the gravest first, as many as there is room for."""
    rows = sorted(cautions.rows, key=lambda row: not row.is_grave)
    flags = [_flag("stop" if row.is_grave else "warn", row.name) for row in rows[:_SHOWN_FLAG_COUNT]]
    if len(rows) > len(flags):
        flags.append(_flag("note", words.MORE_CAUTIONS.format(count=len(rows) - len(flags))))
    return tuple(flags)


def _flag(gravity: Gravity, sentence: str) -> FlagShown:
    grave = gravity == "stop"
    return FlagShown(
        gravity=gravity,
        word=words.STOP_WORD if grave else words.CAUTION_WORD,
        symbol=words.STOP_SYMBOL if grave else words.CAUTION_SYMBOL,
        sentence=sentence,
    )


def _broken(line: str) -> list[str]:
    """A line in parts that fit, broken between words; a table keeps its columns."""
    parts = []
    while len(line) > SKETCH_COLUMN_COUNT + 8 and " " in line.strip():
        at = line.rfind(" ", 4, SKETCH_COLUMN_COUNT + 8)
        if at <= 0:
            break
        parts.append(line[:at].rstrip())
        line = "    " + line[at:].strip()
    return [*parts, line]
