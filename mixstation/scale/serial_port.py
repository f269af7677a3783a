"""Opening a serial port for a scale."""

import errno
from typing import Final, Protocol

from mixstation.scale.profile import Profile, SerialSettings

# Choice: short enough that stopping and asking feel immediate.
READ_TIMEOUT_S: Final = 0.1
WRITE_TIMEOUT_S: Final = 0.2


class OpenPort(Protocol):
    """What is used of an open serial port."""

    port: str

    @property
    def in_waiting(self) -> int:
        """Bytes that have arrived and were not read."""

    def read(self, size: int) -> bytes:
        """Up to `size` bytes, fewer when the time-out passes."""

    def write(self, data: bytes) -> int | None:
        """Send."""

    def reset_input_buffer(self) -> None:
        """Drop what has arrived."""

    def close(self) -> None:
        """Release the port."""


def open_port(
    device: str, settings: SerialSettings, *, is_text: bool, read_timeout_s: float = READ_TIMEOUT_S
) -> OpenPort:
    """Open a port for ourselves alone, to be closed by the caller; text of 7 bits and a parity is read as 8 without.

    Args:
        is_text: Whether bit 7 is dropped from what arrives.
        read_timeout_s: Longest a read waits for its first byte.

    Raises:
        Exception: Of several kinds, by system and by what is wrong (serial.SerialException, OSError,
            termios.error).
    """
    from serial import Serial, SerialException  # type: ignore[import-untyped]

    if "\0" in device:
        # Python would call it a mistake of the program.
        raise SerialException(errno.ENOENT, f"could not open port {device}: no port has such a name")

    plain = is_text and _fills_eight_bits(settings)
    opened: OpenPort = Serial(
        device,
        settings.baud,
        bytesize=8 if plain else settings.data_bits,
        parity="N" if plain else settings.parity[0].upper(),
        stopbits=1 if plain else settings.stop_bits,
        timeout=read_timeout_s,
        write_timeout=WRITE_TIMEOUT_S,
        exclusive=True,
    )
    return opened


def as_sent(request: bytes, profile: Profile) -> bytes:
    """A request with its parity in bit 7, where eight bits are open and the scale expects seven and a parity."""
    settings = profile.serial
    if not (profile.is_text and settings.data_bits == 7 and _fills_eight_bits(settings)):
        return request
    return bytes(_with_parity(value & 0x7F, settings) for value in request)


def _fills_eight_bits(settings: SerialSettings) -> bool:
    """Whether a character takes as long on the line as eight bits without parity and one stop bit."""
    return settings.data_bits + (settings.parity != "none") + settings.stop_bits == 9


def _with_parity(value: int, settings: SerialSettings) -> int:
    match settings.parity:
        case "even":
            bit = value.bit_count() % 2
        case "odd":
            bit = 1 - value.bit_count() % 2
        case "space":
            bit = 0
        case "mark" | "none":
            # Without parity the second stop bit stands where bit 7 would be; both are ones.
            bit = 1
    return value | bit << 7
