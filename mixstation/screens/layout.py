"""Arranges the board for any size of terminal: what to do and how much first, the pad at the lower edge."""

from dataclasses import replace

from mixstation.screens.gloves import Hands
from mixstation.screens.headline import NUMBERS, cue_rows, drawn_cue_forms, headline_forms
from mixstation.screens.parts import (
    act_rows,
    ask_rows,
    banner_rows,
    choice_rows,
    detail_rows,
    enter_row,
    flag_rows,
    hands_rows,
    notice_rows,
    short_choice_rows,
    sketch_rows,
    status_row,
    status_rows,
    title_row,
    to_come_rows,
    went_in_rows,
)
from mixstation.screens.reading import Page, page_at
from mixstation.screens.rows import (
    BLANK,
    Block,
    Row,
    beside,
    cuttable,
    filled,
    row,
    stacked,
    trimmed,
    wrapped,
)
from mixstation.screens.tracks import countdown_track, pour_tracks, ratio_forms, unlabelled
from mixstation.station.view import View
from mixstation.wording import front

WIDE_COLUMNS, WIDE_ROWS = 110, 24
SIDE_SHARE, SIDE_LEAST, SIDE_MOST = 0.32, 36, 60
STEADY_ROWS, STEADY_TALL_ROWS, TALL_ROWS = 2, 4, 30
MOST_ASK_ROWS = 4
# The sentence and what Enter does.
BESIDE_CHOICES_ROWS = 2
RULE = " │ "


def _lists(view: View, columns: int, most: int) -> tuple[Row, ...]:
    """What went in and what is to come, side by side."""
    half = (columns - len(RULE)) // 2
    if half < 24:
        return to_come_rows(view, columns, most)
    went_in, to_come = went_in_rows(view, half, most), to_come_rows(view, half, most)
    return beside(went_in, half, to_come, RULE) if went_in or to_come else ()


def _list_forms(view: View, columns: int, most: int) -> tuple[tuple[Row, ...], ...]:
    forms = (_lists(view, columns, count) for count in range(1, most + 1))
    return tuple(form for form in forms if form)


def _choices(view: View, hands: Hands, columns: int, height: int) -> Block:
    """A row each at the least, the typed one whole where it fits; only where not even that fits, the first of them."""
    room = height - BESIDE_CHOICES_ROWS
    short = short_choice_rows(view, hands, columns, whole=True)
    if len(short) > room:
        short = short_choice_rows(view, hands, columns)
    least = len(short) if len(short) <= room else 1
    forms = dict.fromkeys(choice_rows(view, hands, columns, count) for count in (0, 1, 2, 3, 9))
    spaced = choice_rows(view, hands, columns, 9, spaced=True)
    shortened = cuttable(short, least=least, keep=30, grow=68, text=True)
    return replace(shortened, forms=tuple(form for form in (*shortened.forms, *forms, spaced) if form))


def _asked(view: View, columns: int, steady: int) -> list[Block]:
    """What to do, cut with "…" where it must be, and then what else is said of it."""
    ask, detail = ask_rows(view.question, columns)[:MOST_ASK_ROWS], detail_rows(view.question, columns)
    if view.figure is None and not view.question.choices and view.question.entry not in NUMBERS:
        return [cuttable((*ask, *detail), least=1, keep=20, grow=45, text=True)]
    steady = max(steady, len(ask))
    rows = (*ask, *detail)
    if not view.question.choices:
        rows = (*rows, *[BLANK] * (steady - len(rows)))
    sentence = cuttable(ask, least=1, keep=20, grow=45, text=True)
    whole = tuple((*ask, *rows[len(ask) : count]) for count in range(len(ask) + 1, steady + 1))
    return [
        replace(sentence, forms=(*sentence.forms, *whole)),
        cuttable(rows[steady:], least=1, keep=95, grow=100, text=True),
    ]


def _tracks(view: View, columns: int, *, tall: bool) -> Block:
    if view.pour is not None:
        tracks = pour_tracks(view.pour, columns)
    elif view.countdown is not None:
        tracks = tuple(line for line in (countdown_track(view.countdown, columns),) if line)
    else:
        tracks = ()
    thin = [tracks[:count] for count in range(1, len(tracks) + 1)]
    thick = (
        [tuple(line for track in tracks for line in (track, unlabelled(track)))] if tracks and tall else []
    )
    return Block(forms=(*thin, *thick), keep=75, grow=83)


def _gap(rank: int, foot: bool = False) -> Block:
    return Block(forms=((BLANK,),), keep=rank, grow=rank, foot=foot)


def _main(view: View, hands: Hands, columns: int, height: int) -> list[Block]:
    """The column that is worked by: from the sentence down to the pad."""
    # A drawing shows more than large digits do.
    headline = headline_forms(view, hands, columns, 6 if view.sketch else max(height * 2 // 5, 6))
    drawn_cue = drawn_cue_forms(view, columns, height // 4) if height >= TALL_ROWS else ()
    steady = STEADY_ROWS if height < TALL_ROWS else STEADY_TALL_ROWS
    return [
        *_asked(view, columns, steady),
        Block(forms=headline, keep=5, grow=50),
        cuttable(cue_rows(view, columns), least=1, keep=22, grow=90),
        _tracks(view, columns, tall=height >= TALL_ROWS),
        Block(forms=drawn_cue, keep=102, grow=103),
        cuttable(sketch_rows(view, columns), least=1, keep=74, grow=79),
        _gap(106),
        _choices(view, hands, columns, height),
        _flags(view, columns),
        _gap(107),
        *_foot(view, hands, columns, hands_rows(view, hands, columns)),
    ]


def _flags(view: View, columns: int) -> Block:
    rank = 40 if any(flag.gravity == "stop" for flag in view.flags) else 60
    return cuttable(flag_rows(view, columns), least=1, keep=rank, grow=85, text=True)


def _foot(view: View, hands: Hands, columns: int, said: tuple[Row, ...], least: int = 1) -> list[Block]:
    """What came of the last answer, what is said about the keys, and the keys."""
    said_rank = 15 if hands.typed or hands.said else 72
    return [
        cuttable(notice_rows(view, columns), least=1, keep=70, grow=86, foot=True, text=True),
        cuttable(said, least=least, keep=said_rank, grow=73, foot=True),
        cuttable((enter_row(view, hands, columns),), least=1, keep=10, grow=10, foot=True),
        cuttable(act_rows(view, hands, columns), least=1, keep=65, grow=66, foot=True),
    ]


def _text(view: View, hands: Hands, columns: int, page: Page) -> list[Block]:
    """A text to be read to its end: nothing takes its rows."""
    said = hands_rows(view, hands, columns) or wrapped(page.mark, columns)[:2]
    return [
        Block(forms=(page.rows,), keep=1, grow=1),
        _gap(106),
        _flags(view, columns),
        *_foot(view, hands, columns, said, least=2 if hands.said else 1),
    ]


def _ratio(view: View, columns: int, keep: int, grow: int) -> Block:
    return Block(
        forms=ratio_forms(view.ratio, columns) if view.ratio is not None else (), keep=keep, grow=grow
    )


def _narrow(view: View, main: list[Block], columns: int, height: int) -> tuple[Row, ...]:
    at = next(place for place, block in enumerate(main) if block.foot)
    main[at:at] = [
        _ratio(view, columns, keep=80, grow=87),
        Block(forms=_list_forms(view, columns, 6), keep=88, grow=98),
    ]
    banner = banner_rows(view, columns)
    head = [
        cuttable(banner or (title_row(view, columns),), least=1, keep=25 if banner else 78, grow=78),
        cuttable((status,) if (status := status_row(view, columns)) else (), least=1, keep=77, grow=77),
    ]
    return stacked([*head, *main], height)


def _wide(view: View, hands: Hands, columns: int, height: int) -> tuple[Row, ...]:
    side_columns = max(SIDE_LEAST, min(SIDE_MOST, int(columns * SIDE_SHARE)))
    main_columns = columns - side_columns - len(RULE)
    went_in = went_in_rows(view, side_columns, height)
    to_come = to_come_rows(view, side_columns, height)
    side = stacked(
        [
            cuttable(status_rows(view, side_columns), least=1, keep=10, grow=20),
            _gap(50),
            _ratio(view, side_columns, keep=15, grow=25),
            _gap(51),
            cuttable((row((front.TO_COME, "strong")), *to_come), least=2, keep=30, grow=40),
            _gap(45),
            Block(
                forms=tuple(
                    (row((front.WENT_IN, "strong")), *went_in[-count:])
                    for count in range(1, len(went_in) + 1)
                ),
                keep=35,
                grow=42,
            ),
        ],
        height - 2,
    )
    main = [
        tuple(filled(line, main_columns))
        for line in stacked(_main(view, hands, main_columns, height - 2), height - 2)
    ]
    head = banner_rows(view, columns) or (title_row(view, columns),)
    return (*head, *[row("─" * columns)] * (2 - len(head)), *beside(main, main_columns, side, RULE))


def opening(columns: int, height: int) -> tuple[Row, ...]:
    """The board before there is anything to show."""
    return tuple(trimmed(row((front.OPENING, "strong")), columns) if n == 0 else BLANK for n in range(height))


def board(view: View, hands: Hands, columns: int, height: int) -> tuple[Row, ...]:
    """Exactly `height` rows of at most `columns` columns.

    Args:
        columns: Columns of the terminal, 1 and up.
        height: Rows of the terminal, 1 and up.
    """
    page = page_at(view.question, columns, height, hands.read_count)
    view = replace(view, question=page.question)
    # Where no batch runs there is nothing to stand at the side.
    if page.rows:
        rows = _narrow(view, _text(view, hands, columns, page), columns, height)
    elif columns >= WIDE_COLUMNS and height >= WIDE_ROWS and view.clock.place != "none":
        rows = _wide(view, hands, columns, height)
    else:
        rows = _narrow(view, _main(view, hands, columns, height), columns, height)
    return tuple(trimmed(line, columns) for line in rows)
