"""Which key events count: a wet glove holds keys down, bounces, and hits several at once.

Rules, with times from the key events themselves:

- The same key again within `REPEAT_S` of its last event does not count, so a held key counts once; with another key
  in between it is typed anew and counts after `BURST_S`. A keyboard may wait longer than that before it starts
  repeating; a second event that a quick run of repeats follows is undone.
- Different keys within `MASH_S` of each other change nothing: what was typed since the first of them is undone.
- Enter and acts wait a moment before they are sent, so that the next event can still cancel them.
- They belong to the question they were pressed at; right after it has changed they do not count, unless something
  was typed for it.
"""

from collections.abc import Callable

from mixstation.frozen import Frozen
from mixstation.screens.keys import Stroke
from mixstation.station.view import Answer


class Hands(Frozen):
    """The entry and what is said about the last key.

    Attributes:
        typed: Typed so far for the question shown.
        said: Code of a sentence about the last key, "" for none.
        pressed: What is on its way: "enter", the name of an act, or "".
        read_count: How much of a text that is read to its end has been turned over, in characters without blanks.
    """

    typed: str = ""
    said: str = ""
    pressed: str = ""
    read_count: int = 0


REPEAT_S = 0.350


MASH_S = 0.045


BURST_S = 0.120


HELD_START_S = 1.1


SETTLE_S = 0.300


NEVER_S = float("-inf")


# Said of a key that did nothing, so a question that comes meanwhile must not wipe it.
STAYS = ("early", "mash")


class _Waiting(Frozen):
    answer: Answer
    key: str
    due_s: float


class Gloves:
    """Takes key events in and gives answers out. All times are monotonic seconds, passed in."""

    def __init__(self) -> None:
        self._typed = ""
        self._said = ""
        self._question = ""
        self._shown_s = NEVER_S
        self._last_s: dict[str, float] = {}
        self._latest: tuple[str, float] = ("", NEVER_S)
        self._cluster_typed = ""
        self._doubtful: tuple[str, str] | None = None
        self._waiting: _Waiting | None = None

    @property
    def hands(self) -> Hands:
        """What to show of it all."""
        pressed = self._waiting.answer.pressed if self._waiting is not None else ""
        return Hands(typed=self._typed, said=self._said, pressed=pressed)

    @property
    def due_s(self) -> float | None:
        """When the waiting answer is to be fetched, or None."""
        return self._waiting.due_s if self._waiting is not None else None

    def show(self, question: str, at_s: float) -> None:
        """A question has come on screen; what was typed for another one is wiped."""
        if question == self._question:
            return
        if self._typed and self._waiting is None:
            self._said = "moved"
        elif self._said not in STAYS:
            self._said = ""
        self._question, self._shown_s = question, at_s
        self._typed = self._cluster_typed = ""
        self._doubtful = None

    def say(self, code: str) -> None:
        """Have a sentence shown until the next key that counts."""
        self._said = code

    def press(self, read: Callable[[str], Stroke], at_s: float) -> Answer | None:
        """A key event came in.

        Args:
            read: Gives the stroke, told what is typed.
            at_s: When the key event came.

        Returns:
            An answer that had been waiting and is settled by now.
        """
        settled = self.due(at_s)
        stroke = read(self._typed)
        if stroke.free:
            self._count(stroke, at_s, doubtful=False)
            return settled
        key, gap_s = stroke.key, at_s - self._last_s.get(stroke.key, NEVER_S)
        latest_key, latest_s = self._latest
        together = at_s - latest_s < MASH_S
        self._last_s[key] = at_s
        self._latest = (key, at_s)
        if not together:
            self._cluster_typed = self._typed
        if together and key != latest_key:
            self._typed, self._waiting, self._doubtful = self._cluster_typed, None, None
            self._said = "mash"
        elif gap_s < (REPEAT_S if key == latest_key else BURST_S):
            self._repeat(key, gap_s)
        else:
            dropped, self._waiting = self._waiting, None
            self._count(stroke, at_s, doubtful=gap_s < HELD_START_S)
            if dropped is not None and not self._said:
                self._said = "repeat"
        return settled

    def due(self, at_s: float) -> Answer | None:
        """The answer that has waited long enough, once."""
        if self._waiting is None or at_s < self._waiting.due_s:
            return None
        answer, self._waiting = self._waiting.answer, None
        self._typed = self._cluster_typed = ""
        return answer

    def _repeat(self, key: str, gap_s: float) -> None:
        self._said = "repeat"
        if self._doubtful is None or self._doubtful[0] != key or gap_s >= BURST_S:
            return
        self._typed = self._cluster_typed = self._doubtful[1]
        self._doubtful = None
        if self._waiting is not None and self._waiting.key == key:
            self._waiting = None

    def _count(self, stroke: Stroke, at_s: float, *, doubtful: bool) -> None:
        before = self._typed
        self._said = stroke.said
        self._doubtful = (stroke.key, before) if doubtful else None
        match stroke.does:
            case "type":
                self._typed += stroke.value
            case "retype":
                self._typed = stroke.value
            case "erase":
                self._typed = self._typed[:-1]
            case "wipe":
                self._typed = ""
            case "send":
                if at_s - self._shown_s < SETTLE_S and not self._typed:
                    self._said = "early"
                    return
                answer = Answer(question=self._question, pressed=stroke.value, typed=self._typed)
                wait_s = BURST_S if doubtful else MASH_S
                self._waiting = _Waiting(answer=answer, key=stroke.key, due_s=at_s + wait_s)
            case "nothing":
                pass
