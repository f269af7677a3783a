"""A batch in the real front end, screen or lines, on an emulated scale whose hand pours by the view.

Arguments: the folder to keep the journal and the scale's own account in, and `screen` or `plain`.
"""

import fcntl
import json
import sys
import termios
import threading
from pathlib import Path

from mixstation.cli.show_desk import show
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.profile_folder import find_profile
from mixstation.scale.pty_port import PtyPort
from mixstation.scale.serial_link import SerialLink
from mixstation.station.opening import begin
from mixstation.station.view import Desk
from tests.station.mixer import Hand
from tests.station.real import bench, order
from tests.station.yard import BUCKET_MG

BRISK = Make(noise_mg=20.0, lag_s=0.08, steady_s=0.3, fall_s=0.1)
ACCOUNT = "account.json"


def pour(hand: Hand, desk: Desk, stop: threading.Event) -> None:
    while not stop.wait(0.02):
        hand.follow(desk.view())


def main(folder: str, front: str) -> int:
    if front == "screen":
        fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    scale = EmulatedScale(BRISK, seed=1)
    scale.put_mg(BUCKET_MG)
    profile = find_profile("header-token-line")
    port = PtyPort(scale, profile, rate_hz=20)
    port.start()
    hand, stop = Hand(scale, dose_s=2.0, slow_part=2), threading.Event()

    def open_desk() -> Desk:
        desk = begin(
            bench(Path(folder), link=lambda: SerialLink(port.name, profile), hands_free_s=0.3), order()
        )
        threading.Thread(target=pour, args=(hand, desk, stop), daemon=True).start()
        return desk

    try:
        return show(open_desk, plain=front == "plain")
    finally:
        stop.set()
        poured = {name: hand.poured_mg(name) for name in ("Water", "Casting blend", "AR glass fibre")}
        (Path(folder) / ACCOUNT).write_text(json.dumps(poured), encoding="utf-8")
        port.stop()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
