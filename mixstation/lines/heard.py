"""What a typed line means at a question."""

from typing import Literal

from mixstation.station.view import Answer, Question

Builtin = Literal["again", "weight", "drawing", "leave"]
NUMBER_STARTS = "0123456789+-.,"
ENTER = "enter"


def heard(line: str, question: Question) -> Answer | Builtin | None:
    """The answer, a request to line mode itself, or None when it is neither.

    Args:
        line: As typed, without its end.
        question: What is asked.

    Example:
        >>> heard("2,5", Question(ident="pour", ask="Pour.", entry="mass"))
        Answer(question='pour', pressed='enter', typed='2,5')
    """
    text = line.strip()
    word = text.casefold()
    if word == "?":
        return "again"
    if question.entry == "text":
        for act in question.acts:
            if text == act.pad:
                return Answer(question=question.ident, pressed=act.name)
        return Answer(question=question.ident, pressed=ENTER, typed=text)
    if not text:
        return Answer(question=question.ident, pressed=ENTER)
    typed, _, last = text.rpartition(" ")
    typed = typed.strip()
    for act in question.acts:
        if word in (act.name.casefold(), act.words.casefold()):
            return Answer(question=question.ident, pressed=act.name)
        if last.casefold() in (act.pad, act.letter.casefold()) and (not typed or typed[0] in NUMBER_STARTS):
            return Answer(question=question.ident, pressed=act.name, typed=typed)
    builtin: dict[str, Builtin] = {"w": "weight", "weight": "weight", "d": "drawing", "quit": "leave"}
    if word in builtin:
        return builtin[word]
    if text[0] in NUMBER_STARTS:
        return Answer(question=question.ident, pressed=ENTER, typed=text)
    return None
