"""The kinds of field a scale's frame is made of, each with how it is read and how it is written.

A frame is read once, left to right: a field takes its characters and says where the next one begins, or the
frame is refused. Nothing is tried twice, so that no frame costs more than its length.
"""

from collections.abc import Callable, Mapping
from functools import reduce
from operator import xor
from typing import Final, Literal

from mixstation.frozen import Frozen
from mixstation.scale.faults import FrameCode
from mixstation.scale.reading import Fault, Motion, TareMark

MAX_WHOLE_DIGIT_COUNT: Final = 7
MAX_DECIMAL_COUNT: Final = 6

DecimalMark = Literal[".", ",", "either", "none"]
CheckMethod = Literal["xor", "sum", "negated-sum"]

_DIGITS: Final = frozenset("0123456789")
_MARKS: Final[Mapping[DecimalMark, str]] = {".": ".", ",": ",", "either": ".,", "none": ""}
_METHODS: Final[Mapping[CheckMethod, Callable[[bytes], int]]] = {
    "xor": lambda body: reduce(xor, body, 0),
    "sum": lambda body: sum(body) & 0xFF,
    "negated-sum": lambda body: -sum(body) & 0xFF,
}


class Shown(Frozen):
    """What a frame says, before it is a mass.

    Attributes:
        count: The digits shown, as a whole number with its sign; None under a fault.
        decimals: How many of the digits stand after the decimal mark.
        fault: A condition in which there is no weight, else None.
        tare_mark: Net or gross, where the scale says.
    """

    count: int | None
    decimals: int
    unit: str
    motion: Motion = "unsaid"
    fault: Fault | None = None
    tare_mark: TareMark = "unsaid"


class Meaning(Frozen):
    """What one text of a choice stands for; None where it says nothing of the kind."""

    motion: Motion | None = None
    fault: Fault | None = None
    tare_mark: TareMark | None = None


class Gathered:
    """What the fields have said so far."""

    __slots__ = ("count", "decimals", "fault", "motion", "negative", "tare_mark", "unit")

    def __init__(self, unit: str) -> None:
        self.count = 0
        self.decimals = 0
        self.negative = False
        self.unit = unit
        self.motion: Motion = "unsaid"
        self.fault: Fault | None = None
        self.tare_mark: TareMark = "unsaid"

    def take(self, meaning: Meaning) -> None:
        """Note a meaning; movement once said is not unsaid by a later mark."""
        if meaning.motion and self.motion != "moving":
            self.motion = meaning.motion
        self.fault = self.fault or meaning.fault
        self.tare_mark = meaning.tare_mark or self.tare_mark


class Unfit(Exception):  # noqa: N818 - a refusal, turned into a value by the decoder
    """A field does not find what it needs; `code` and place say what."""

    def __init__(self, code: FrameCode, at: int) -> None:
        self.code, self.at = code, at
        super().__init__(code)


class Unsayable(Exception):  # noqa: N818 - a limit of the frame, not an error
    """The frame has no way to say this."""


class LiteralField(Frozen):
    """Characters that are always the same."""

    text: str

    def read(self, frame: str, at: int, _gathered: Gathered) -> int:
        if not frame.startswith(self.text, at):
            raise Unfit("text-differs", at)
        return at + len(self.text)

    def write(self, _shown: Shown, _before: str) -> str:
        return self.text


class ChoiceField(Frozen):
    """One of several texts, each with a meaning; the longest that fits is taken, "" fits always."""

    of: Mapping[str, Meaning]

    def read(self, frame: str, at: int, gathered: Gathered) -> int:
        text = _longest(self.of, frame, at)
        if text is None:
            raise Unfit("choice-unknown", at)
        gathered.take(self.of[text])
        return at + len(text)

    def write(self, shown: Shown, _before: str) -> str:
        def rank(meaning: Meaning) -> tuple[bool, ...]:
            pairs = (
                (meaning.fault, shown.fault),
                (meaning.motion, shown.motion),
                (meaning.tare_mark, shown.tare_mark),
            )
            # Nothing false is said; then a fault matters most, then movement.
            return all(word in (None, true) for word, true in pairs), *(word is not None for word, _ in pairs)

        return max(self.of, key=lambda text: rank(self.of[text]))


class SignField(Frozen):
    """One character: "-", or "+" or a space for plus; it may be left out where the profile allows."""

    may_be_absent: bool = False

    def read(self, frame: str, at: int, gathered: Gathered) -> int:
        character = frame[at : at + 1]
        if character == "-":
            gathered.negative = True
        elif character not in ("+", " "):
            if self.may_be_absent:
                return at
            raise Unfit("sign-missing", at)
        return at + 1

    def write(self, shown: Shown, _before: str) -> str:
        if (shown.count or 0) < 0:
            return "-"
        return "" if self.may_be_absent else "+"


class NumberField(Frozen):
    """The digits.

    Attributes:
        width: Characters it always takes; 0 for as many as there are digits.
        decimal_mark: The mark, or "none" where `decimals` says how many digits stand after it.
        decimals: Digits after the mark that is not sent; only with "none".
        pad: What fills a fixed width on the left when written, " " or "0"; both are read.
        signed: A sign may stand among the padding, before the digits.
        instead: Texts that stand in place of the digits.
    """

    width: int = 0
    decimal_mark: DecimalMark = "."
    decimals: int = 0
    pad: str = " "
    signed: bool = False
    instead: Mapping[str, Meaning]

    def read(self, frame: str, at: int, gathered: Gathered) -> int:
        if self.width:
            end = at + self.width
            if len(frame) < end:
                raise Unfit("too-short", at)
            body = frame[at:end].strip(" ")
            if body in self.instead:
                gathered.take(self.instead[body])
                return end
        else:
            text = _longest(self.instead, frame, at)
            if text is not None:
                gathered.take(self.instead[text])
                return at + len(text)
            end = self._end(frame, at)
            body = frame[at:end]
        if self.signed and body[:1] in ("+", "-"):
            gathered.negative = body[0] == "-"
            body = body[1:].lstrip(" ")
        whole, part = self._split(body)
        part_fits = _is_digits(part) if part else (self.width > 0 or len(whole) == len(body))
        if not (_is_digits(whole) and part_fits):
            raise Unfit("number-unreadable", at)
        if len(whole.lstrip("0")) > MAX_WHOLE_DIGIT_COUNT + self.decimals or len(part) > MAX_DECIMAL_COUNT:
            raise Unfit("number-too-long", at)
        gathered.count = int(whole + part)
        gathered.decimals = self.decimals or len(part)
        return end

    def write(self, shown: Shown, _before: str) -> str:
        for text, meaning in self.instead.items():
            if shown.fault and meaning.fault == shown.fault:
                return text.rjust(self.width)
        count = shown.count or 0
        digits = str(abs(count)).rjust(shown.decimals + 1, "0")
        if self.decimal_mark == "none":
            if shown.decimals != self.decimals:
                raise Unsayable
        elif shown.decimals:
            digits = f"{digits[: -shown.decimals]}{_MARKS[self.decimal_mark][0]}{digits[-shown.decimals :]}"
        sign = "-" if self.signed and count < 0 else ""
        if self.pad == "0":
            digits = digits.rjust(self.width - len(sign), "0")
        return (sign + digits).rjust(self.width)

    def _end(self, frame: str, at: int) -> int:
        end = at
        if self.signed and frame[end : end + 1] in ("+", "-"):
            end += 1
            while frame[end : end + 1] == " ":
                end += 1
        allowed = _MARKS[self.decimal_mark]
        while end < len(frame) and (frame[end] in _DIGITS or frame[end] in allowed):
            end += 1
        return end

    def _split(self, body: str) -> tuple[str, str]:
        for mark in _MARKS[self.decimal_mark]:
            if mark in body:
                whole, _, part = body.partition(mark)
                return whole, part
        return body, ""


class UnitField(Frozen):
    """The unit's text, spaces included, and our spelling of it."""

    of: Mapping[str, str]

    def read(self, frame: str, at: int, gathered: Gathered) -> int:
        text = _longest(self.of, frame, at)
        if text is None:
            raise Unfit("unit-unknown", at)
        gathered.unit = self.of[text]
        return at + len(text)

    def write(self, shown: Shown, _before: str) -> str:
        for text, unit in self.of.items():
            if unit == shown.unit:
                return text
        raise Unsayable


class SpacesField(Frozen):
    """From `least` to `most` spaces; the fewest are written."""

    least: int
    most: int

    def read(self, frame: str, at: int, _gathered: Gathered) -> int:
        end = at
        while end - at < self.most and frame[end : end + 1] == " ":
            end += 1
        if end - at < self.least:
            raise Unfit("space-missing", at)
        return end

    def write(self, _shown: Shown, _before: str) -> str:
        return " " * self.least


class SkipField(Frozen):
    """Characters that say nothing to us."""

    count: int

    def read(self, frame: str, at: int, _gathered: Gathered) -> int:
        if len(frame) < at + self.count:
            raise Unfit("too-short", at)
        return at + self.count

    def write(self, _shown: Shown, _before: str) -> str:
        return " " * self.count


class CheckField(Frozen):
    """A sum over the characters before it.

    Attributes:
        form: "byte", or "hex" for two hexadecimal digits.
        first: Place of the first character summed, from 0.
        leave_out: Characters just before the check that are not summed.
        seven_bits: Only seven bits of each character arrive.
    """

    method: CheckMethod
    form: Literal["byte", "hex"] = "byte"
    first: int = 0
    leave_out: int = 0
    seven_bits: bool = False

    def read(self, frame: str, at: int, _gathered: Gathered) -> int:
        expected = self._sum(frame[:at])
        end = at + len(expected)
        found = frame[at:end]
        if len(found) < len(expected):
            raise Unfit("too-short", at)
        if (found.upper() if self.form == "hex" else found) != expected:
            raise Unfit("check-differs", at)
        return end

    def write(self, _shown: Shown, before: str) -> str:
        return self._sum(before)

    def _sum(self, before: str) -> str:
        value = _METHODS[self.method](before[self.first : len(before) - self.leave_out].encode("latin-1"))
        if self.form == "hex":
            return f"{value:02X}"
        return chr(value & 0x7F if self.seven_bits else value)


Field = (
    LiteralField | ChoiceField | SignField | NumberField | UnitField | SpacesField | SkipField | CheckField
)


def _longest(texts: Mapping[str, object], frame: str, at: int) -> str | None:
    fitting = [text for text in texts if frame.startswith(text, at)]
    return max(fitting, key=len) if fitting else None


def _is_digits(text: str) -> bool:
    return text.isascii() and text.isdigit()
