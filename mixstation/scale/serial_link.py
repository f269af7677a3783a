"""A scale on a serial port, read in a thread of its own that outlives every unplugging.

Only the reader thread opens, reads, writes and closes the port. What lay in the port's buffers when it was
opened is thrown away: it was weighed before we looked.
"""

import time
from collections.abc import Callable
from contextlib import closing
from threading import Event, Thread
from typing import Final

from mixstation.scale.ports import Port, port_of, same_device, serial_ports
from mixstation.scale.profile import Poll, Profile
from mixstation.scale.reading import LinkStatus, Reading
from mixstation.scale.receiver import Receiver
from mixstation.scale.serial_port import READ_TIMEOUT_S, OpenPort, as_sent, open_port

# Choice: what an adapter or the kernel still held back has come by then.
DISCARD_S: Final = 0.15
FIRST_WAIT_S: Final = 0.1
LONGEST_WAIT_S: Final = 2.0
STOP_WITHIN_S: Final = 0.5


class SerialLink:
    """A `Link` over a serial port."""

    def __init__(
        self,
        port: str,
        profile: Profile,
        *,
        clock: Callable[[], float] = time.monotonic,
        discard_s: float = DISCARD_S,
    ) -> None:
        """Prepare; nothing is opened before `start`.

        Args:
            port: Name of the port, or of a link to it, which is followed anew at each opening.
            discard_s: How long after an opening what arrives is still taken for old.
        """
        self._discard_s = discard_s
        self._port = port
        self._profile = profile
        self._clock = clock
        self._receiver = Receiver(profile, port, clock)
        self._stop = Event()
        self._thread: Thread | None = None
        self._device: Port | None = None

    def start(self) -> None:
        """Begin reading in a daemon thread; returns at once. A second call changes nothing."""
        if self._thread is None:
            self._thread = Thread(target=self._run, name="scale", daemon=True)
            self._thread.start()

    def stop(self) -> None:
        """Stop and release the port; returns within half a second."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join(STOP_WITHIN_S)
        self._receiver.closed()

    def tell(self, heard: Callable[[], None]) -> None:
        """Have `heard` called when something is new."""
        self._receiver.tell(heard)

    def latest(self) -> Reading | None:
        """The newest reading, or None before the first."""
        return self._receiver.latest()

    def recent(self, after_serial: int = 0) -> tuple[Reading, ...]:
        """Up to the last 64 readings newer than `after_serial`, oldest first."""
        return self._receiver.recent(after_serial)

    def status(self) -> LinkStatus:
        """How the link stands now."""
        return self._receiver.status()

    def _run(self) -> None:
        wait_s = FIRST_WAIT_S
        while not self._stop.is_set():
            try:
                with closing(self._open()) as port:
                    self._discard(port)
                    self._receiver.opened()
                    self._device = port_of(port.port) or self._device
                    wait_s = FIRST_WAIT_S
                    self._read(port)
            except Exception as error:
                # Ports fail in many ways on many systems; whichever it was, it is shown and tried again.
                self._receiver.lost(str(error) or type(error).__name__)
                self._stop.wait(wait_s)
                wait_s = min(LONGEST_WAIT_S, 2 * wait_s)

    def _open(self) -> OpenPort:
        profile = self._profile
        # A scale that is asked every 50 ms is not asked on time by a reader that sleeps for 100.
        wait_s = min(READ_TIMEOUT_S, profile.poll.interval_s / 2) if profile.poll else READ_TIMEOUT_S
        return open_port(self._name(), profile.serial, is_text=profile.is_text, read_timeout_s=wait_s)

    def _name(self) -> str:
        """The port asked for; where the same device is now found under another name, that one."""
        found = self._device and same_device(self._device, serial_ports())
        return found.device if found else self._port

    def _discard(self, port: OpenPort) -> None:
        port.reset_input_buffer()
        until_s = time.monotonic() + self._discard_s
        while time.monotonic() < until_s and not self._stop.is_set():
            port.read(port.in_waiting or 1)

    def _read(self, port: OpenPort) -> None:
        poll = self._profile.poll
        asking = _Asking(poll, as_sent(poll.request, self._profile)) if poll else None
        while not self._stop.is_set():
            if asking:
                asking.ask(port, self._clock())
            # The first byte is waited for; what came with it is taken along.
            data = port.read(1)
            if data and self._receiver.feed(data + port.read(port.in_waiting), self._clock()) and asking:
                asking.answered()


class _Asking:
    """Sends the request when its time has come and the last one was answered or given up."""

    def __init__(self, poll: Poll, request: bytes) -> None:
        self._request = request
        self._interval_s = poll.interval_s
        self._give_up_s = max(0.5, 3 * poll.interval_s)
        self._asked_s = float("-inf")
        self._waiting = False

    def ask(self, port: OpenPort, now_s: float) -> None:
        if now_s - self._asked_s >= (self._give_up_s if self._waiting else self._interval_s):
            self._asked_s = now_s
            self._waiting = True
            port.write(self._request)

    def answered(self) -> None:
        self._waiting = False
