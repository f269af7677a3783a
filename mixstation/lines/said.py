"""A view as plain lines: everything, or only what has changed since the last one told."""

from collections.abc import Iterator

from mixstation.station.view import Act, FlagShown, Line, Question, ScaleShown, View
from mixstation.units.clean import clean
from mixstation.wording import front

LONGEST = 1000
DRAWN = frozenset("#|<>-._=")


def _without_figures(text: str) -> str:
    return "".join(character for character in text if not character.isdigit())


def _act(act: Act) -> str:
    keys = " or ".join(f"[{key}]" for key in (act.pad, act.letter) if key)
    return f"{keys} {act.words}"


def _line(line: Line) -> str:
    note = f"({line.note})" if line.note else ""
    return " ".join(part for part in (line.name, line.amount, note) if part)


def _flag(flag: FlagShown) -> str:
    away = f" ({front.PUT_AWAY})" if flag.away else ""
    return f"{flag.word}: {flag.sentence}{away}"


def scale_line(scale: ScaleShown) -> str:
    """How the scale stands and, while live, what it shows."""
    if front.SCALE in scale.state or not scale.state:
        return scale.state
    return f"{front.SCALE} {scale.state}: {scale.text if scale.fresh else front.NO_LIVE_READING}"


def question_lines(view: View) -> Iterator[str]:
    """What is asked and how to answer."""
    question = view.question
    yield view.place
    yield question.ask
    yield from question.detail
    if question.to_the_end:
        yield front.LINE_WHOLE_TEXT
    yield from map(_told, view.sketch)
    if view.figure is not None:
        yield view.figure.plain
    if view.pour is not None:
        yield f"{front.TARGET} {view.pour.target}, {front.RIGHT} {view.pour.right}"
    if view.countdown is not None:
        timer = view.countdown
        yield f"{front.ELAPSED} {timer.elapsed}, {front.LEAST} {timer.least}, {front.MOST} {timer.most}"
    for choice in question.choices:
        yield f"[{choice.number}] {choice.words}"
        yield from (f"    {detail}" for detail in choice.detail)
    if view.sketch:
        yield front.HOW_TO_SEE
    yield from _how(question, ended=view.ended)


def _told(line: str) -> str:
    """A line of a drawing or a table without what only draws."""
    return " ".join(word for word in line.split() if not DRAWN.issuperset(word))


def _how(question: Question, *, ended: bool) -> Iterator[str]:
    how = front.HOW_TO_CHOOSE if question.choices else front.HOW_TO_TYPE[question.entry]
    if how:
        yield how.format(unit=question.unit_word)
    if question.enter and not ended:
        yield f"[Enter] {question.enter}"
    if question.acts:
        yield "   ".join(_act(act) for act in question.acts)


def weight_lines(view: View) -> Iterator[str]:
    """The weight now, and what is left to do with it."""
    yield scale_line(view.scale)
    if view.pour is not None:
        place = front.PLACE_WORD[view.pour.place]
        yield (
            f"{front.TARGET} {view.pour.target}, {front.RIGHT} {view.pour.right}, "
            f"{front.IN_SO_FAR} {view.pour.actual}, {place}"
        )
    if view.figure is not None:
        yield view.figure.plain


def _clock_line(view: View) -> str:
    clock = view.clock
    parts = (
        front.CLOCK_WORD[clock.place],
        f"{front.SINCE_WATER} {clock.since_water}" if clock.since_water else "",
        clock.left,
    )
    return ", ".join(part for part in parts if part)


def _ratio_line(view: View) -> str:
    ratio = view.ratio
    if ratio is None:
        return ""
    band = (
        f"{front.LEAST} {ratio.low}, {front.BAND_TARGET} {ratio.target}, "
        f"{front.MOST} {ratio.high}, {front.CEILING} {ratio.ceiling}"
    )
    return f"{ratio.label} {ratio.value}: {ratio.verdict}; {band}"


def _saved_line(view: View) -> str:
    return view.saved if view.saved_grave or not view.saved else front.LINE_SAVED.format(saved=view.saved)


def all_lines(view: View) -> list[str]:
    """Everything there is to say."""
    lines = [view.title, _clock_line(view), scale_line(view.scale), _saved_line(view)]
    lines += [front.LINE_IN.format(line=_line(line)) for line in view.went_in]
    lines += [front.LINE_NEXT.format(line=_line(line)) for line in view.to_come]
    lines += [_ratio_line(view), *(_flag(flag) for flag in view.flags), view.notice, *question_lines(view)]
    return _clean(lines)


def changed_lines(before: View, now: View) -> list[str]:
    """What is new since `before`, without live weights and running clocks."""
    lines: list[str] = []
    if now.notice and now.notice != before.notice:
        lines.append(now.notice)
    if now.saved_grave != before.saved_grave or (now.saved_grave and now.saved != before.saved):
        lines.append(_saved_line(now))
    known = {_without_figures(flag.sentence) for flag in before.flags if not flag.away}
    standing = {_without_figures(flag.sentence) for flag in now.flags}
    lines += [
        _flag(flag) for flag in now.flags if not flag.away and _without_figures(flag.sentence) not in known
    ]
    lines += [
        front.LINE_CLEARED.format(sentence=flag.sentence)
        for flag in before.flags
        if _without_figures(flag.sentence) not in standing
    ]
    if _scale_kind(now.scale) != _scale_kind(before.scale):
        lines.append(scale_line(now.scale))
    if now.clock.place != before.clock.place:
        lines.append(_clock_line(now))
    if (now.ratio and now.ratio.verdict) != (before.ratio and before.ratio.verdict):
        lines.append(_ratio_line(now))
    if _asked(now) != _asked(before):
        lines += question_lines(now)
    else:
        lines += _cues(before, now)
    return _clean(lines)


def _cues(before: View, now: View) -> Iterator[str]:
    if now.pour is not None and now.pour.cue != (before.pour.cue if before.pour else ""):
        yield now.pour.cue_words
    if now.countdown is not None and now.countdown.words != (
        before.countdown.words if before.countdown else ""
    ):
        yield now.countdown.words


def _scale_kind(scale: ScaleShown) -> str:
    return "" if scale.fresh else _without_figures(scale.state)


def _asked(view: View) -> tuple[object, ...]:
    question = view.question
    return question.ident, _without_figures(question.ask), question.choices, view.ended


def _clean(lines: list[str]) -> list[str]:
    return [clean(line, limit=LONGEST) for line in lines if line]
