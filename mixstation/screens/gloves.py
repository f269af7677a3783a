"""Which key events count: a wet glove holds keys down, bounces, and hits several at once.

Rules, with times from the key events themselves:

- Enter or an act again within `REPEAT_S` of its last event does not count, so a held key counts once; with another
  key in between it is pressed anew and counts after `BURST_S`. A keyboard may wait longer than that before it starts
  repeating; a second event that a quick run of repeats follows is undone.
- The digits of a number follow one another as quickly as a hand types: the same one again is only a bounce within
  `BOUNCE_S`, or a held key: a quick run after a longer start, or a run longer than numbers have.
- Different keys within `MASH_S` of each other change nothing: what was typed since the first of them is undone.
- Enter and acts wait a moment before they are sent, so that the next event can still cancel them.
- They belong to the question they were pressed at; right after it has changed they do not count, unless something
  was typed for it. They do not count either right after a digit was dropped, nor the first time after a mash:
  whoever presses them means a number that is not there.
- Pasted keys are typed all or not at all.
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


BOUNCE_S = 0.060


MASH_S = 0.045


BURST_S = 0.120


HELD_START_S = 1.1


SETTLE_S = 0.300


NEVER_S = float("-inf")


# The slowest usual rate at which a held key repeats (a plain text console: 10.9 a second); a finger is seldom as quick.
HELD_RATE_S = 0.095


# Choice: so many times the same digit, each within `HELD_RATE_S` of the one before, is a held key and no number.
HELD_COUNT = 5


# Said of a key that did nothing, so a question that comes meanwhile must not wipe it.
STAYS = ("early", "mash")


class _Waiting(Frozen):
    answer: Answer
    key: str
    due_s: float


class _Again(Frozen):
    """The same key again, which counted though it may only be held.

    Attributes:
        before: What was typed before this event; `first_before` before the first of a quick run.
        gap_s: How long after the event before.
        count: How many events of this key came in a quick run.
    """

    key: str
    before: str
    first_before: str
    gap_s: float
    count: int


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
        self._doubtful: _Again | None = None
        self._held = ""
        self._dropped_s = NEVER_S
        self._mashed = False
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
            self._count(stroke, at_s, float("inf"), alone=True)
            return settled
        key, gap_s = stroke.key, at_s - self._last_s.get(stroke.key, NEVER_S)
        latest_key, latest_s = self._latest
        together = at_s - latest_s < MASH_S
        self._last_s[key] = at_s
        self._latest = (key, at_s)
        if not together:
            self._cluster_typed = self._typed
        if key != latest_key:
            self._held = ""
        if together and key != latest_key:
            self._mash()
        elif self._too_soon(stroke, gap_s, alone=key == latest_key):
            self._repeat(stroke, gap_s, at_s)
        else:
            dropped, self._waiting = self._waiting, None
            self._count(stroke, at_s, gap_s, alone=key == latest_key)
            if dropped is not None and not self._said:
                self._said = "repeat"
        return settled

    def paste(self, read: Callable[[str, str], Stroke], text: str, at_s: float) -> None:
        """Many keys at once that are meant as one: all are typed, or none if one of them types nothing.

        Args:
            read: Gives the stroke of a key, told what is typed.
            text: The keys.
            at_s: When they came.
        """
        typed = self._typed
        self._cluster_typed, self._latest, self._waiting = typed, ("", at_s), None
        for key in text.strip():
            stroke = read(key, typed)
            if stroke.does != "type" or stroke.said:
                self._mash()
                return
            typed += stroke.value
        self._typed, self._said, self._mashed = typed, "", False

    def due(self, at_s: float) -> Answer | None:
        """The answer that has waited long enough, once."""
        if self._waiting is None or at_s < self._waiting.due_s:
            return None
        answer, self._waiting = self._waiting.answer, None
        self._typed = self._cluster_typed = ""
        return answer

    def _too_soon(self, stroke: Stroke, gap_s: float, *, alone: bool) -> bool:
        """Whether an event is the same press of its key once more; `alone`: with no other key in between."""
        if not stroke.quick:
            return gap_s < (REPEAT_S if alone else BURST_S)
        if not alone or gap_s >= REPEAT_S:
            return False
        again = self._doubtful
        held = (
            again is not None
            and gap_s < HELD_RATE_S
            and (2 * gap_s < again.gap_s or again.count >= HELD_COUNT)
        )
        return gap_s < BOUNCE_S or held or self._held == stroke.key

    def _mash(self) -> None:
        self._typed, self._waiting, self._doubtful = self._cluster_typed, None, None
        self._said, self._mashed = "mash", True

    def _repeat(self, stroke: Stroke, gap_s: float, at_s: float) -> None:
        if not self._mashed:
            self._said = "repeat"
        if stroke.quick:
            self._dropped_s = at_s
        again = self._doubtful
        if again is None or again.key != stroke.key or gap_s >= BURST_S:
            return
        self._typed = self._cluster_typed = again.first_before if again.count >= HELD_COUNT else again.before
        self._doubtful, self._held = None, stroke.key
        if self._waiting is not None and self._waiting.key == stroke.key:
            self._waiting = None

    def _count(self, stroke: Stroke, at_s: float, gap_s: float, *, alone: bool) -> None:
        before, again = self._typed, self._doubtful
        doubtful = gap_s < HELD_START_S and (alone or not stroke.quick)
        run = doubtful and again is not None and again.key == stroke.key and gap_s < HELD_RATE_S
        self._said = stroke.said
        self._doubtful = None
        if doubtful:
            self._doubtful = _Again(
                key=stroke.key,
                before=before,
                first_before=again.first_before if run and again is not None else before,
                gap_s=gap_s,
                count=again.count + 1 if run and again is not None else 2,
            )
        unsure = self._mashed or at_s - self._dropped_s < REPEAT_S
        self._mashed = False
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
                if unsure or (at_s - self._shown_s < SETTLE_S and not self._typed):
                    self._said = "early"
                    return
                answer = Answer(question=self._question, pressed=stroke.value, typed=self._typed)
                wait_s = BURST_S if doubtful else MASH_S
                self._waiting = _Waiting(answer=answer, key=stroke.key, due_s=at_s + wait_s)
            case "nothing":
                pass
