"""Sentences for what the operating system refuses: a serial port that does not open, a file that cannot be used."""

import errno
import os
from typing import Any

from mixstation.units.clean import clean

_PORTS = "See what there is with: mixstation scale ports"
_NO_SCALE = "Without a scale leave --port out and type the weights."

_PORT_ERRORS = {
    errno.ENOENT: f"The port {{port}} is not there. Plug the scale in and switch it on. {_PORTS}",
    errno.ENXIO: f"No device answers at the port {{port}}. Plug the scale in and switch it on. {_PORTS}",
    errno.ENODEV: f"No device answers at the port {{port}}. Plug the scale in and switch it on. {_PORTS}",
    errno.EIO: f"The port {{port}} does not answer. Unplug the scale, plug it in again. {_NO_SCALE}",
    errno.EBUSY: "Another program holds the port {port}. Close that one, then try again.",
    errno.EAGAIN: "Another program holds the port {port}. Close that one, then try again.",
    errno.EACCES: "You may not open the port {port}. On Linux join the group that owns it (often dialout or uucp) and "
    "log in again.",
    errno.EPERM: "You may not open the port {port}. On Linux join the group that owns it (often dialout or uucp) and "
    "log in again.",
    errno.ENOTTY: f"The port {{port}} is no serial port. {_PORTS}",
    errno.EINVAL: f"The port {{port}} does not take these settings. Look at [serial] in the scale profile. {_NO_SCALE}",
    errno.EISDIR: f"The port {{port}} is a folder, no serial port. {_PORTS}",
}


def port_line(error: Any) -> str:
    """The sentence for a serial port that did not open or broke off, from its error.

    Args:
        error: A `serial.SerialException` or `termios.error`.
    """
    number = next(
        (part for part in (getattr(error, "errno", None), *error.args) if isinstance(part, int)), None
    )
    said = clean(str(error.args[-1]) if error.args else "", 200)
    known = _PORT_ERRORS.get(number or 0)
    if known is not None:
        return known.format(port=_port_in(said) or "of the scale")
    return f"The scale's port failed: {said or 'no reason given'}. {_PORTS} {_NO_SCALE}"


def file_line(error: OSError) -> str | None:
    """The sentence for what the system refused to do with a file; None where it does not say what.

    Args:
        error: Any error of the system.
    """
    if not isinstance(error.errno, int):
        return None
    why = clean(error.strerror or os.strerror(error.errno), 200)
    if error.filename is None:
        return f"The system refused: {why}."
    name = clean(
        os.fsdecode(error.filename) if isinstance(error.filename, str | bytes) else str(error.filename), 300
    )
    if name.startswith("/dev/"):
        known = _PORT_ERRORS.get(error.errno)
        if known is not None:
            return known.format(port=name)
    return f"{name}: {why}. See that it is there and that you may read and write it."


def _port_in(said: str) -> str:
    """The port's name in the serial library's own message, "" where it cannot be told.

    >>> _port_in("[Errno 2] could not open port /dev/ttyS9: [Errno 2] No such file or directory: '/dev/ttyS9'")
    '/dev/ttyS9'
    """
    before, mark, after = said.partition(" port ")
    return after.partition(": ")[0].strip("'\"") if mark and before else ""
