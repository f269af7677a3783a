"""What goes wrong on a serial line, drawn with a seed."""

import random

from mixstation.frozen import Frozen


class FaultRates(Frozen):
    """Probability of each fault for one frame, 0 to 1.

    Attributes:
        garbage: Random bytes before it.
        truncated: Its end is missing.
        merged: Its line end is missing, so that the next runs into it.
        duplicated: It comes twice.
        flipped: One bit of it is turned.
        lost: It does not come.
        parity: Bit 7 is set in every byte with an odd number of ones.
    """

    garbage: float = 0.0
    truncated: float = 0.0
    merged: float = 0.0
    duplicated: float = 0.0
    flipped: float = 0.0
    lost: float = 0.0
    parity: float = 0.0


class FaultyLine:
    """Passes frames on, some of them spoiled; the same seed spoils the same."""

    def __init__(self, rates: FaultRates, seed: int = 0) -> None:
        """Prepare."""
        self._rates = rates
        self._random = random.Random(seed)

    def __call__(self, frame: bytes) -> bytes:
        """One frame as it comes out at the other end."""
        rates, draw = self._rates, self._random
        # Every draw is made for every frame, so that one rate does not change what another does.
        chances = [draw.random() for _ in range(7)]
        garbage = draw.randbytes(draw.randrange(1, 40))
        place = draw.randrange(max(1, len(frame)))
        bit = 1 << draw.randrange(8)
        if chances[0] < rates.lost:
            frame = b""
        if frame and chances[1] < rates.flipped:
            frame = frame[:place] + bytes([frame[place] ^ bit]) + frame[place + 1 :]
        if chances[2] < rates.truncated:
            frame = frame[:place]
        if chances[3] < rates.merged:
            frame = frame.rstrip(b"\r\n")
        if chances[4] < rates.duplicated:
            frame *= 2
        if chances[5] < rates.garbage:
            frame = garbage + frame
        if chances[6] < rates.parity:
            frame = bytes(value | (value.bit_count() % 2) << 7 for value in frame)
        return frame
