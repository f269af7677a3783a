"""Reading the warnings that stand, whole, one after the other, and putting each away."""

from mixstation.batch.advice import is_put_away
from mixstation.batch.commands import PutFlagAway
from mixstation.batch.flag import Flag
from mixstation.frozen import Frozen
from mixstation.station.scene import Scene
from mixstation.station.talk import BACK, Back, Do, Outcome
from mixstation.station.view import Act, Answer, EntryKind, Question
from mixstation.wording import menu_lines as words
from mixstation.wording.flag_lines import whole_line

# Where digits begin a weight or a temperature its number-pad key is one of them.
_TYPED = ("mass", "temperature")


def flags_act(scene: Scene, entry: EntryKind) -> tuple[Act, ...]:
    """The act that reads the warnings, with their count; none where none stands."""
    count = len(scene.advice.flags)
    pad = "" if entry in _TYPED else "0"
    act = Act(name="flags", pad=pad, letter="r", words=words.FLAGS_ACT.format(count=count))
    return (act,) if count else ()


class ReadFlags(Frozen):
    """The gravest that can be put away, whole; below it the others."""

    def question(self, scene: Scene) -> Question:
        """One warning; Enter puts it away."""
        at_hand, rest = _open(scene)[:1], _open(scene)[1:]
        lines = [words.FLAG_NEXT.format(line=_line(scene, flag)) for flag in rest]
        for flag in scene.advice.flags:
            if not flag.can_be_put_away:
                lines.append(words.FLAG_STAYS.format(line=_line(scene, flag)))
            elif is_put_away(scene.run, flag):
                lines.append(words.FLAG_AWAY.format(line=_line(scene, flag)))
        return Question(
            ident="/".join(("flags", *(f"{flag.code}/{flag.about}" for flag in at_hand))),
            ask=_line(scene, at_hand[0]) if at_hand else words.NOTHING_TO_PUT_AWAY,
            detail=tuple(lines),
            enter=words.PUT_AWAY_ENTER if at_hand else words.BACK_ACT,
            acts=(BACK,),
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """The one at hand is put away; the next is read."""
        flags = _open(scene)
        if not flags:
            return Back()
        command = PutFlagAway(flag=flags[0].code, about=flags[0].about, said=_line(scene, flags[0]))
        return Do(command=command, then=self if flags[1:] else None)


def _open(scene: Scene) -> list[Flag]:
    return [flag for flag in scene.advice.flags if flag.can_be_put_away and not is_put_away(scene.run, flag)]


def _line(scene: Scene, flag: Flag) -> str:
    return whole_line(scene.run, flag, scene.speech)
