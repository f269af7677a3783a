"""Which profile reads what a scale sends, found by listening; nothing is sent."""

import time
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import replace
from typing import Final, assert_never

from mixstation.frozen import Frozen
from mixstation.scale import fields
from mixstation.scale.decode import decode
from mixstation.scale.framing import framer_for
from mixstation.scale.profile import Profile, SerialSettings
from mixstation.scale.serial_port import open_port

MIN_FRAME_COUNT: Final = 3
MIN_GOOD_SHARE: Final = 0.8
LISTEN_S: Final = 2.0
SILENT_TRY_COUNT: Final = 2
# Choice: commonest first.
BAUDS: Final = (9600, 4800, 2400, 19_200, 1200, 38_400, 57_600, 115_200)
_MAX_HEARD_BYTE_COUNT: Final = 64 * 1024


class Score(Frozen):
    """How well a profile reads some bytes: frames read and refused, and the share of the bytes it read."""

    profile: Profile
    good_count: int
    bad_count: int
    read_share: float

    @property
    def fits(self) -> bool:
        """Whether it reads enough to be believed."""
        enough = self.good_count >= MIN_FRAME_COUNT
        return enough and self.good_count >= MIN_GOOD_SHARE * (self.good_count + self.bad_count)


class Detection(Frozen):
    """What listening found.

    Attributes:
        profile: The profile that fits, with the speed at which it was heard, or None.
        heard_byte_count: Bytes heard in all, at every speed.
        scores: Of the last speed, best first.
    """

    profile: Profile | None
    baud: int
    heard_byte_count: int
    scores: tuple[Score, ...]


def scores_of(data: bytes, profiles: Sequence[Profile]) -> tuple[Score, ...]:
    """Score profiles by the frames they read, best first.

    Args:
        data: What was heard, from any moment on.
        profiles: To choose from. Those that are asked before they speak are scored too: an answer may be heard.

    Returns:
        One score a profile. Among those that read alike, the one that leaves less to chance comes first.
    """
    scores = [_score(data, profile) for profile in profiles]
    return tuple(
        sorted(
            scores,
            key=lambda score: (score.fits, round(score.read_share, 1), _strictness(score)),
            reverse=True,
        )
    )


def detect(
    port: str,
    profiles: Sequence[Profile],
    *,
    listen_s: float = LISTEN_S,
    bauds: Sequence[int] = BAUDS,
    should_stop: Callable[[], bool] = lambda: False,
) -> Detection:
    """Listen to a port at one speed after another until a profile fits; what speaks only when asked is not heard.

    Args:
        port: Name of the port; it must not be open elsewhere.
        bauds: Speeds, in the order they are tried; the profiles' own come first.
        should_stop: Asked several times a second.

    Raises:
        Exception: The port cannot be opened or read (see `open_port`).
    """
    heard_byte_count = 0
    baud = bauds[0]
    scores: tuple[Score, ...] = ()
    every_baud = dict.fromkeys((*(profile.serial.baud for profile in profiles), *bauds))
    for tried_count, baud in enumerate(every_baud, start=1):
        data = _listen(port, baud, listen_s, should_stop)
        heard_byte_count += len(data)
        scores = scores_of(data, profiles)
        if scores and scores[0].fits:
            found = scores[0].profile
            fitted = replace(found, serial=replace(found.serial, baud=baud))
            return Detection(profile=fitted, baud=baud, heard_byte_count=heard_byte_count, scores=scores)
        # A wrong speed garbles what is sent; it does not hide it.
        if should_stop() or (tried_count == SILENT_TRY_COUNT and not heard_byte_count):
            break
    return Detection(profile=None, baud=baud, heard_byte_count=heard_byte_count, scores=scores)


def _score(data: bytes, profile: Profile) -> Score:
    framer = framer_for(profile)
    frames = framer.feed(data)
    good = [frame for frame in frames if isinstance(decode(frame, profile), fields.Shown)]
    return Score(
        profile=profile,
        good_count=len(good),
        bad_count=len(frames) - len(good) + framer.spoiled_count,
        read_share=sum(map(len, good)) / max(1, len(data)),
    )


def _strictness(score: Score) -> int:
    """How much of a frame must be just so for the profile to read it."""
    strictness = 0
    for field in score.profile.fields:
        match field:
            case fields.CheckField():
                strictness += 8
            case fields.LiteralField(text=text):
                strictness += len(text)
            case fields.ChoiceField(of=of) | fields.UnitField(of=of):
                strictness += min(map(len, of), default=0)
            case fields.NumberField(width=width):
                strictness += width > 0
            case fields.SignField() | fields.SpacesField() | fields.SkipField():
                pass
            case _ as forgotten:
                assert_never(forgotten)
    return strictness


def _listen(port: str, baud: int, listen_s: float, should_stop: Callable[[], bool]) -> bytes:
    heard = bytearray()
    with closing(open_port(port, SerialSettings(baud=baud), is_text=True)) as opened:
        opened.reset_input_buffer()
        until_s = time.monotonic() + listen_s
        while time.monotonic() < until_s and len(heard) < _MAX_HEARD_BYTE_COUNT and not should_stop():
            heard += opened.read(opened.in_waiting or 1)
    return bytes(heard)
