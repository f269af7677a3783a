"""The number to act on, as large as there is room for, with target, actual and cue beside it."""

from functools import lru_cache

from mixstation.screens.gloves import Hands
from mixstation.screens.rows import BLANK, Row, Rows, beside, columns_of, ends, flowed, row, trimmed, wrapped
from mixstation.screens.tracks import CUE_LOOK, PLACE_LOOK
from mixstation.station.view import Figure, Pour, View
from mixstation.wording import front

HEIGHT = 7


_SHAPES = """
0  .##. #..# #..# #..# #..# #..# .##.
1  ..#. .##. ..#. ..#. ..#. ..#. .###
2  ###. ...# ...# .##. #... #... ####
3  ###. ...# ...# .##. ...# ...# ###.
4  #..# #..# #..# #### ...# ...# ...#
5  #### #... #... ###. ...# ...# ###.
6  .### #... #... ###. #..# #..# .##.
7  #### ...# ..#. ..#. .#.. .#.. .#..
8  .##. #..# #..# .##. #..# #..# .##.
9  .##. #..# #..# .### ...# ...# ###.
.  .. .. .. .. .. ## ##
,  .. .. .. .. ## ## #.
:  .. ## ## .. ## ## ..
-  ... ... ... ### ... ... ...
+  ... ... .#. ### .#. ... ...
E  #### #... #... ###. #... #... ####
L  #... #... #... #... #... #... ####
O  .##. #..# #..# #..# #..# #..# .##.
P  ###. #..# #..# ###. #... #... #...
R  ###. #..# #..# ###. #.#. #..# #..#
S  .### #... #... .##. ...# ...# ###.
T  ##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..
U  #..# #..# #..# #..# #..# #..# .##.
V  #...# #...# #...# #...# .#.#. .#.#. ..#..
W  #...# #...# #...# #.#.# #.#.# ##.## #...#
"""


SHAPE: dict[str, tuple[str, ...]] = {
    line[0]: tuple(line[1:].split()) for line in _SHAPES.strip().splitlines()
}


_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def drawable(text: str) -> bool:
    """Whether every character has a shape."""
    return bool(text) and all(character in SHAPE for character in text)


def columns_at(text: str, scale: int) -> int:
    """Columns the drawn text takes."""
    return scale * (sum(len(SHAPE[character][0]) for character in text) + len(text) - 1)


def rows_at(scale: int) -> int:
    """Rows anything drawn takes."""
    return (HEIGHT * scale + 1) // 2


@lru_cache(maxsize=64)
def drawn(text: str, scale: int) -> tuple[str, ...]:
    """The text in large points.

    Args:
        text: Characters that have a shape (`drawable`).
        scale: Columns a point is wide and half rows it is high, 1 and up.

    Returns:
        `rows_at(scale)` lines of equal width.

    Source: Choice: shapes of our own.

    Example:
        >>> print("\\n".join(line.rstrip() for line in drawn("1.", 1)))
         ▄█
          █
          █  ▄▄
         ▀▀▀ ▀▀
    """
    points = [".".join(SHAPE[character][line] for character in text) for line in range(HEIGHT)]
    halves = ["".join(point * scale for point in line) for line in points for _ in range(scale)]
    if len(halves) % 2:
        halves.append("." * len(halves[0]))
    return tuple(
        "".join(_HALVES[upper == "#", lower == "#"] for upper, lower in zip(over, under, strict=True))
        for over, under in zip(halves[::2], halves[1::2], strict=True)
    )


LEAST_GLYPHS = "00.00"


LARGEST_SCALE = 6


SIDE_COLUMNS, POUR_SIDE_COLUMNS, ROOMY_SIDE_COLUMNS = 25, 27, 33


GAP = 3


CUE_SCALE = 1


NUMBERS = ("mass", "temperature", "whole", "length", "volume", "percent")


def _figure(view: View, hands: Hands) -> Figure | None:
    question = view.question
    if hands.typed and question.entry in NUMBERS and not question.choices:
        plain = f"{front.TYPED} {hands.typed} {question.unit_word}".rstrip()
        return Figure(label=front.TYPED, number=hands.typed, unit_word=question.unit_word, plain=plain)
    if view.figure is None and question.entry in NUMBERS and not question.choices:
        return Figure(label="", number="--", unit_word=question.unit_word, plain="")
    return view.figure


def _aims(view: View) -> list[Row]:
    if view.pour is not None:
        pour = view.pour
        place = f" {front.PLACE_SYMBOL[pour.place]} {front.PLACE_WORD[pour.place]} "
        return [
            row(f"{front.TARGET:<10}", (pour.target, "strong")),
            row(f"{front.RIGHT:<10}", (pour.right, "strong")),
            row(f"{front.IN_SO_FAR:<10}", (pour.actual, "strong")),
            row(f"{'':<10}", (place, PLACE_LOOK[pour.place])) if pour.fraction is not None else BLANK,
        ]
    if view.countdown is not None:
        timer = view.countdown
        return [
            row(f"{front.ELAPSED:<10}", (timer.elapsed, "strong")),
            row(f"{front.LEAST:<10}", timer.least),
            row(f"{front.MOST:<10}", timer.most),
        ]
    return []


def _level_aims(aims: list[Row]) -> list[Row]:
    """The place beside the actual instead of below it."""
    return [*aims[:2], row(*aims[2], " ", *aims[3][1:])] if len(aims) == 4 else aims


def _drawn_cue(pour: Pour | None, scale: int) -> list[Row]:
    """The cue in large letters with a margin of its own look, so that they read on any background."""
    if pour is None or not pour.cue:
        return []
    look, margin = CUE_LOOK[pour.cue], " " * scale
    lines = [f"{margin}{line}{margin}" for line in drawn(pour.cue.upper(), scale)]
    edge = " " * len(lines[0])
    return [row((line, look)) for line in (edge, *lines, *([] if scale % 2 else [edge]))]


def drawn_cue_forms(view: View, columns: int, height: int) -> tuple[Rows, ...]:
    """The cue in letters that carry across a yard, smallest first."""
    forms = (_drawn_cue(view.pour, scale) for scale in range(2, LARGEST_SCALE))
    fitting = (form for form in forms if form and len(form) < height and columns_of(form[0]) <= columns)
    return tuple((BLANK, *form) for form in fitting)


def cue_rows(view: View, columns: int) -> tuple[Row, ...]:
    """The cue as symbol and sentence, in one or two rows."""
    if view.pour is not None and view.pour.cue:
        text, look = f"{front.CUE_SYMBOL[view.pour.cue]} {view.pour.cue_words}", CUE_LOOK[view.pour.cue]
    elif view.countdown is not None and view.countdown.words:
        text, look = view.countdown.words, "strong"
    else:
        return ()
    return wrapped(text, columns, look)[:2]


def _text_form(view: View, figure: Figure | None, columns: int) -> Rows:
    """Target, actual and the figure without drawing, in as few rows as hold them."""
    aims = _aims(view)
    if view.pour is not None:
        aims = _level_aims(aims)
    plain = row((figure.plain, "strong")) if figure is not None and figure.plain else row()
    if figure is not view.figure:
        aims.insert(0, plain)
        plain = row((view.figure.plain, "strong")) if view.figure is not None else row()
    return flowed((line for line in (*aims, plain) if line), columns)


def _drawn_form(view: View, figure: Figure, hands: Hands, columns: int, scale: int) -> Rows | None:
    room = max(columns_at(figure.number, scale), columns_at(LEAST_GLYPHS, scale))
    if room > columns:
        return None
    label = front.WIPES if hands.typed else ""
    plain = view.figure.plain if view.figure is not None else ""
    under = row((figure.unit_word, "strong"), "   " if plain and figure.unit_word else "", plain)
    digits = [row((line, "strong")) for line in drawn(figure.number, scale)]
    side = _aims(view)
    cue = _drawn_cue(view.pour, CUE_SCALE)
    side_columns = columns - room - GAP
    if side_columns >= (SIDE_COLUMNS if view.pour is None else POUR_SIDE_COLUMNS):
        side = _level_aims(side) if side_columns >= ROOMY_SIDE_COLUMNS else side
        if len(side) + len(cue) <= len(digits) + 1:
            side += cue
        top = [row((figure.label, "strong"), f"  {label}" if label else ""), *digits]
        return (*beside(top, room + GAP, side), under)
    top = [ends(row((figure.label, "strong")), row(label), columns), *digits, under]
    return (*top, *flowed(_level_aims(side), columns))


def headline_forms(view: View, hands: Hands, columns: int, height: int) -> tuple[Rows, ...]:
    """All ways to show the figure, smallest first.

    Args:
        height: Most rows the largest form may take.
    """
    figure = _figure(view, hands)
    text = _text_form(view, figure, columns)
    forms: list[Rows] = [text[:count] for count in range(1, len(text) + 1)]
    if view.pour is not None and len(text) > 1:
        forms[0] = (
            trimmed(
                row((front.ACTUAL_OF.format(actual=view.pour.actual, target=view.pour.target), "strong")),
                columns,
            ),
        )
    if figure is not None and drawable(figure.number):
        for scale in range(1, LARGEST_SCALE + 1):
            if rows_at(scale) + 2 > height:
                break
            if form := _drawn_form(view, figure, hands, columns, scale):
                forms.append(form)
    return tuple(forms)
