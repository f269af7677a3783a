"""The serial ports of this machine, and finding a device again after it was plugged in elsewhere."""

import os
from pathlib import Path
from typing import Final

from mixstation.frozen import Frozen
from mixstation.units.clean import clean

_BY_ID: Final = Path("/dev/serial/by-id")


class Port(Frozen):
    """One serial port.

    Attributes:
        device: What is opened, such as "/dev/ttyUSB0" or "COM3".
        stable_name: A name that stays when it is plugged in elsewhere, "" if the system gives none.
        description: The device's own words, cleaned.
        serial_number: USB serial number, "" if it has none.
        location: Where it is plugged in, "" if not known.
    """

    device: str
    stable_name: str
    description: str
    vendor_id: int | None
    product_id: int | None
    serial_number: str
    location: str


def serial_ports() -> list[Port]:
    """The ports the system knows now, in order of device name."""
    from serial.tools import list_ports  # type: ignore[import-untyped]

    stable = _stable_names()
    return [
        Port(
            device=found.device,
            stable_name=stable.get(str(Path(found.device).resolve()), ""),
            description=clean(found.description or ""),
            vendor_id=found.vid,
            product_id=found.pid,
            serial_number=clean(found.serial_number or ""),
            location=clean(found.location or ""),
        )
        for found in sorted(list_ports.comports())
    ]


def port_of(name: str) -> Port | None:
    """The port of a device name or a link to it, or None if the system does not list it."""
    device = os.path.realpath(name)
    return next((port for port in serial_ports() if os.path.realpath(port.device) == device), None)


def same_device(before: Port, ports: list[Port]) -> Port | None:
    """The port that is a USB device seen before: of its kind and serial number, or without one the only of its kind."""
    if before.vendor_id is None:
        return None
    kind = (before.vendor_id, before.product_id, before.serial_number)
    alike = [port for port in ports if (port.vendor_id, port.product_id, port.serial_number) == kind]
    return alike[0] if len(alike) == 1 else None


def _stable_names() -> dict[str, str]:
    try:
        return {str(path.resolve()): str(path) for path in sorted(_BY_ID.iterdir())}
    except OSError:
        return {}
