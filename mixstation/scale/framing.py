"""Bytes into frames, in bounded memory, whatever arrives.

A framer keeps at most one unfinished frame. It begins out of step: a line that was half through when the port
was opened could read as a smaller weight, so that the bytes up to the first sure beginning are dropped.
"""

from typing import Protocol, assert_never

from mixstation.scale.profile import EnclosedFraming, LeadFraming, LineFraming, Profile

_SEVEN_BITS = bytes(value & 0x7F for value in range(256))


class Framer(Protocol):
    """Cuts frames out of bytes; `spoiled_count` counts those cut short or too long."""

    spoiled_count: int

    def feed(self, data: bytes) -> list[bytes]:
        """Take bytes as they come; give the frames they complete."""

    def resync(self) -> None:
        """Drop an unfinished frame: its rest is not coming, or not to be trusted."""

    def is_mid_frame(self) -> bool:
        """Whether an unfinished frame is held."""


def framer_for(profile: Profile) -> Framer:
    """A fresh framer for a profile, out of step."""
    framing = profile.framing
    match framing:
        case LineFraming():
            return LineFramer(framing, is_text=profile.is_text)
        case EnclosedFraming():
            return EnclosedFramer(framing, is_text=profile.is_text)
        case LeadFraming():
            return LeadFramer(framing, is_text=profile.is_text)
        case _ as forgotten:
            assert_never(forgotten)


class _Rest:
    """What every framer holds: an unfinished frame, and how many were spoiled."""

    def __init__(self, *, is_text: bool) -> None:
        self.spoiled_count = 0
        self._table = _SEVEN_BITS if is_text else None
        self._rest = b""

    def resync(self) -> None:
        self._rest = b""

    def is_mid_frame(self) -> bool:
        return bool(self._rest)


class LineFramer(_Rest):
    """Frames that end in CR, LF or both."""

    def __init__(self, framing: LineFraming, *, is_text: bool) -> None:
        super().__init__(is_text=is_text)
        self._longest = framing.longest
        self._in_step = False

    def feed(self, data: bytes) -> list[bytes]:
        pieces = data.translate(self._table).replace(b"\r", b"\n").split(b"\n")
        pieces[0] = self._rest + pieces[0]
        self._rest = pieces.pop()
        if pieces and not self._in_step:
            self._in_step = True
            del pieces[0]
        frames = [piece for piece in pieces if 0 < len(piece) <= self._longest]
        self.spoiled_count += sum(len(piece) > self._longest for piece in pieces)
        if len(self._rest) > self._longest:
            self.spoiled_count += self._in_step
            self.resync()
        elif not self._in_step:
            self._rest = b""
        return frames

    def resync(self) -> None:
        super().resync()
        self._in_step = False


class EnclosedFramer(_Rest):
    """Frames from a start byte to an end byte and a few bytes after it."""

    def __init__(self, framing: EnclosedFraming, *, is_text: bool) -> None:
        super().__init__(is_text=is_text)
        self._framing = framing

    def feed(self, data: bytes) -> list[bytes]:
        framing = self._framing
        buffer = self._rest + data.translate(self._table)
        self._rest = b""
        frames: list[bytes] = []
        at = 0
        while (begin := buffer.find(framing.start, at)) >= 0:
            close = buffer.find(framing.end, begin + 1)
            again = buffer.rfind(framing.start, begin + 1, close if close >= 0 else len(buffer))
            if again >= 0:
                # A start inside a frame: the earlier one was cut short.
                self.spoiled_count += 1
                begin = again
            at = (close if close >= 0 else len(buffer)) + 1 + framing.after
            if min(at, len(buffer)) - begin > framing.longest:
                self.spoiled_count += 1
            elif at > len(buffer):
                self._rest = buffer[begin:]
                break
            else:
                frames.append(buffer[begin:at])
        return frames


class LeadFramer(_Rest):
    """Frames of fixed length that begin with a lead byte."""

    def __init__(self, framing: LeadFraming, *, is_text: bool) -> None:
        super().__init__(is_text=is_text)
        self._framing = framing

    def feed(self, data: bytes) -> list[bytes]:
        framing = self._framing
        buffer = self._rest + data.translate(self._table)
        self._rest = b""
        frames: list[bytes] = []
        at = 0
        while (begin := buffer.find(framing.lead, at)) >= 0:
            end = begin + framing.length
            again = buffer.rfind(framing.lead, begin + 1, end - framing.after)
            if again >= 0:
                self.spoiled_count += 1
                at = again
            elif end > len(buffer):
                self._rest = buffer[begin:]
                break
            else:
                frames.append(buffer[begin:end])
                at = end
        return frames
