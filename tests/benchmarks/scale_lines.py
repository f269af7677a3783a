"""Decoded lines a second, as a ratio to splitting the same bytes into lines and fields in the same run.

Run by hand: python tests/benchmarks/scale_lines.py
"""

import time
from collections.abc import Callable
from functools import partial

from mixstation.scale.decode import encode
from mixstation.scale.fields import Shown
from mixstation.scale.profile import Profile
from mixstation.scale.profile_folder import all_profiles
from mixstation.scale.receiver import Receiver

LINE_COUNT = 20_000
PIECE_LENGTH = 4096
RUN_COUNT = 5


def best_s(work: Callable[[], object]) -> float:
    times_s = []
    for _ in range(RUN_COUNT):
        begun_s = time.perf_counter()
        work()
        times_s.append(time.perf_counter() - begun_s)
    return min(times_s)


def split(pieces: list[bytes]) -> int:
    count = 0
    for piece in pieces:
        for line in piece.split(b"\n"):
            count += len(line.decode("latin-1").strip().split(",")) > 0
    return count


def received(pieces: list[bytes], profile: Profile) -> int:
    receiver = Receiver(profile, "port", time.monotonic)
    for piece in pieces:
        receiver.feed(piece, time.monotonic())
    return receiver.status().good_count


def main() -> None:
    profiles, _ = all_profiles()
    print(f"{'profile':24} {'lines/s':>10} {'times the split':>16}")
    for profile in profiles:
        data = b"".join(
            encode(
                Shown(count=count, decimals=3, unit="kg", motion="steady", tare_mark="gross"),
                profile,
            )
            for count in range(LINE_COUNT)
        )
        pieces = [data[at : at + PIECE_LENGTH] for at in range(0, len(data), PIECE_LENGTH)]
        assert received(pieces, profile) >= LINE_COUNT - 1
        decoded_s = best_s(partial(received, pieces, profile))
        lines = b"\r\n".join(b"ST,GS,+%8d kg" % count for count in range(LINE_COUNT))
        plain = [lines[at : at + PIECE_LENGTH] for at in range(0, len(lines), PIECE_LENGTH)]
        ratio = decoded_s / best_s(partial(split, plain))
        print(f"{profile.name:24} {LINE_COUNT / decoded_s:>10,.0f} {ratio:>16.1f}")


if __name__ == "__main__":
    main()
