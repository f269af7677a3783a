"""A text that must have been on screen to its end before Enter answers: page by page where it does not fit."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from itertools import accumulate

from mixstation.frozen import Frozen
from mixstation.screens.keys import ENTER
from mixstation.screens.parts import ask_rows, detail_rows
from mixstation.screens.rows import Row
from mixstation.station.view import Act, Answer, Question
from mixstation.wording import front

BACK = Act(name="page-back", pad="-", letter="b", words=front.PAGE_BACK)
PAGE_IDENT = "page"
# Kept free of the text: Enter and two rows about the last key; where there is room, title and other keys as well.
FOOT_ROWS, ROOMY_FOOT_ROWS = 3, 5
ROOMY_HEIGHT, MOST_HEAD_ROWS = 10, 2


class Page(Frozen):
    """What is on screen of a question's text.

    Attributes:
        question: As it is asked here; as the station asks it only where the text ends.
        rows: The text; empty for a question that may be cut.
        mark: Which page of how many; "" where there is but one.
        back_count: What has been turned over on the page before; None on the first.
        on_count: The same for the next page; None on the last.
    """

    question: Question
    rows: tuple[Row, ...] = ()
    mark: str = ""
    back_count: int | None = None
    on_count: int | None = None

    def turned(self, answer: Answer) -> int | None:
        """What will have been turned over if the answer turns the page; None where it does not."""
        if answer.question != self.question.ident:
            return None
        return {BACK.name: self.back_count, ENTER: self.on_count}.get(answer.pressed)


def turns(answer: Answer) -> bool:
    """Whether an answer was meant for a page and not for the station."""
    return answer.pressed == BACK.name or answer.question.startswith(f"{PAGE_IDENT}/")


@lru_cache(maxsize=8)
def page_at(question: Question, columns: int, height: int, read_count: int) -> Page:
    """The page on which the text goes on; nothing before it is left unread when the window changes its size.

    Args:
        columns: Columns of the terminal, 1 and up.
        height: Rows of the terminal, 1 and up.
        read_count: What has been turned over, in characters without blanks.
    """
    if not question.to_the_end:
        return Page(question=question)
    ask, detail = ask_rows(question, columns), detail_rows(question, columns)
    roomy = height >= ROOMY_HEIGHT and len(ask) <= MOST_HEAD_ROWS
    head, text = (ask, detail) if roomy else ((), (*ask, *detail))
    room = max(1, height - len(head) - (ROOMY_FOOT_ROWS if roomy else FOOT_ROWS))
    parts = [text[at : at + room] for at in range(0, len(text), room)] or [()]
    starts = list(accumulate((_mark_count(part) for part in parts[:-1]), initial=_mark_count(head)))
    at = max(0, bisect_right(starts, read_count) - 1)
    last = at == len(parts) - 1
    mark = front.PAGE.format(number=at + 1, count=len(parts)) if len(parts) > 1 else ""
    asked = question if at == 0 else replace(question, acts=_with_back(question.acts))
    if not last:
        # Enter belongs to the page it was pressed at, from where it begins to where it ends.
        ident = f"{PAGE_IDENT}/{starts[at]}/{starts[at + 1]}/{question.ident}"
        asked = replace(asked, ident=ident, entry="none", choices=(), enter=front.READ_ON)
    return Page(
        question=asked,
        rows=(*head, *parts[at]),
        mark=mark if last else front.PAGE_TURNS.format(page=mark),
        back_count=starts[at - 1] if at else None,
        on_count=None if last else starts[at + 1],
    )


def _mark_count(rows: Iterable[Row]) -> int:
    return sum(len(text.replace(" ", "")) for line in rows for text, _ in line)


def _with_back(acts: tuple[Act, ...]) -> tuple[Act, ...]:
    return (*(act for act in acts if act.pad != BACK.pad and act.letter != BACK.letter), BACK)
