"""Digits and four-letter cues drawn large enough to read across a yard.

Choice: stroke one seventh of the height, digit four sevenths as wide as high, open shapes that differ even when
blurred. Each point is `scale` columns wide and `scale` half rows high, so a point is about square.
"""

from functools import lru_cache

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
