"""Straight tracks: how far a pour, a timer or a ratio has come. Shape and place say it; colour only repeats it."""

from mixstation.screens.rows import Look, Row, Rows, flowed, row, wrapped
from mixstation.station.view import Countdown, PlaceShown, Pour, RatioShown
from mixstation.wording import front

END_COLUMNS = 7
WHOLE_END = 1.25
NEAR_START, NEAR_END = 0.9, 1.1
RATIO_START, RATIO_END, RATIO_PAST_CEILING = -0.3, 1.3, 0.15
LEAST_MARK, AIM_MARK, MOST_MARK, CEILING_MARK = "[", "|", "]", "!"
LEAST_TRACK_COLUMNS = 24

CUE_LOOK: dict[str, Look] = {"": "plain", "pour": "strong", "slow": "warn", "stop": "stop", "over": "stop"}
PLACE_LOOK: dict[PlaceShown, Look] = {"under": "plain", "inside": "good", "over": "stop", "unsure": "note"}
BAND_LOOK: dict[PlaceShown, Look] = {"under": "warn", "inside": "good", "over": "warn", "unsure": "note"}
_RATIO_MARK: dict[PlaceShown, str] = {"under": "<", "inside": "O", "over": ">", "unsure": "?"}


def _cell(value: float, start: float, end: float, cells: int) -> int:
    return min(cells - 1, max(0, int((value - start) / (end - start) * cells)))


def _track(pour: Pour, start: float, end: float, columns: int, left: str, right: str) -> Row:
    cells = columns - 2 * END_COLUMNS - 2
    if cells < 8:
        return row()
    low, high = (_cell(edge, start, end, cells) for edge in (pour.low_fraction, pour.high_fraction))
    target = _cell(1.0, start, end, cells)
    marks = ["▒" if low <= cell <= high else "·" for cell in range(cells)]
    marks[target] = "│"
    if pour.fraction is None:
        middle = f" {front.NO_LIVE_READING} "
        if cells > len(middle) + 4:
            marks[2 : 2 + len(middle)] = middle
        filled = 0
    else:
        filled = round((min(pour.fraction, end) - start) / (end - start) * cells)
        filled = max(0, min(cells, filled))
        for cell in range(filled):
            marks[cell] = "│" if cell == target else "▓" if low <= cell <= high else "█"
        if pour.fraction > end:
            marks[-1] = "►"
    done, rest = "".join(marks[:filled]), "".join(marks[filled:])
    return row(
        f"{left:<{END_COLUMNS}}", "[", (done, "strong"),
        rest, "]", f" {right}",
    )  # fmt: skip


def pour_tracks(pour: Pour, columns: int) -> tuple[Row, ...]:
    """The whole pour, then the last tenth before the target and the first one past it, drawn larger."""
    whole = _track(pour, 0.0, WHOLE_END, columns, "0", "+25 %")
    near = _track(pour, NEAR_START, NEAR_END, columns, "-10 %", "+10 %")
    return tuple(line for line in (whole, near if pour.fraction is not None else ()) if line)


def unlabelled(track: Row) -> Row:
    """The same track for a second row, to make it thicker."""
    return row(" " * END_COLUMNS, *track[1:-1])


def countdown_track(countdown: Countdown, columns: int) -> Row:
    """Time gone against the least and the most."""
    cells = columns - 2 * END_COLUMNS - 2
    if cells < 8:
        return row()
    least = _cell(countdown.least_fraction, 0.0, WHOLE_END, cells)
    most = _cell(1.0, 0.0, WHOLE_END, cells)
    marks = ["▒" if least <= cell <= most else "·" for cell in range(cells)]
    filled = max(0, min(cells, round(countdown.fraction / WHOLE_END * cells)))
    marks[:filled] = ["▓" if least <= cell <= most else "█" for cell in range(filled)]
    marks[least] = marks[most] = "│"
    return row(
        f"{countdown.elapsed:<{END_COLUMNS}}"[:END_COLUMNS], "[", "".join(marks), "]", f" {countdown.most}"
    )


def ratio_forms(ratio: RatioShown, columns: int) -> tuple[Rows, ...]:
    """The ratio in words; then with what each end of its band is; then with the track as well.

    The track is plain ASCII: every mark on it stands before its figure in the row below.
    """
    value = row((ratio.value, "strong"))
    verdict = row((f" {front.PLACE_SYMBOL[ratio.place]} {ratio.verdict} ", BAND_LOOK[ratio.place]))
    words = flowed((*wrapped(ratio.label, columns), value, verdict), columns, gap="  ")
    marks = (
        (f"{LEAST_MARK} {front.LEAST} {ratio.low}", ratio.position < 0),
        (f"{AIM_MARK} {front.BAND_TARGET} {ratio.target}", False),
        (f"{MOST_MARK} {front.MOST} {ratio.high}", ratio.position > 1),
        (f"{CEILING_MARK} {front.CEILING} {ratio.ceiling}", ratio.position > ratio.ceiling_position),
    )
    figures = flowed([row((text, "strong" if passed else "plain")) for text, passed in marks], columns)
    track = _ratio_track(ratio, columns)
    forms = (words, (*words, *figures), (*words, *track, *figures))
    return tuple(dict.fromkeys(forms))


def _ratio_track(ratio: RatioShown, columns: int) -> Rows:
    if columns < LEAST_TRACK_COLUMNS:
        return ()
    end = max(RATIO_END, ratio.ceiling_position + RATIO_PAST_CEILING)
    low, high, target, ceiling, at_value = (
        _cell(at, RATIO_START, end, columns)
        for at in (0.0, 1.0, ratio.target_position, ratio.ceiling_position, ratio.position)
    )
    first, last = (
        _cell(ratio.position + side * ratio.half_width, RATIO_START, end, columns) for side in (-1, 1)
    )
    marks = ["-" if low < cell < high else "." for cell in range(columns)]
    marks[first : last + 1] = "~" * (last + 1 - first)
    # Where two fall together the graver one stays.
    for cell, mark in (
        (target, AIM_MARK),
        (low, LEAST_MARK),
        (high, MOST_MARK),
        (ceiling, CEILING_MARK),
    ):
        marks[cell] = mark
    before, after = "".join(marks[:at_value]), "".join(marks[at_value + 1 :])
    return (row(before, (_RATIO_MARK[ratio.place], BAND_LOOK[ratio.place]), after),)
