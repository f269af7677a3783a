"""What the scale commands say: ports, what was heard on them, readings as they come, and the emulated scale."""

from collections.abc import Mapping

from mixstation.scale.detect import Detection
from mixstation.scale.reading import LinkStatus, Reading
from mixstation.scale.steadiness import Steadiness
from mixstation.units.show import fixed
from mixstation.units.tables import UNITS_BY_KEY
from mixstation.wording.profile_faults import FRAME_REFUSALS

NO_PORT = "No serial port found. Plug the scale's cable in and try again."
LEFT_OUT = "Left out: {fault}"
LISTENING = "Listening on {port} ..."
LISTENING_FOR_BATCH = "Listening to {port} …"
FOUND_FOR_BATCH = "Scale profile: {name}"

_READS_AS = "Reads as {name} at {baud} baud."
_SILENT = "Nothing heard. Switch the scale's sending on; if it answers only when asked, name its profile."
_NONE_READS = "Bytes heard: {count}, but no profile reads them (nearest: {nearest}). Write one for it."

SCALE_WORDS = "put 650 g, pour 500 g, pour 500 g at 40 g/s, {deeds}, sum, stop"
EMULATED = "port {port}\nType: {words}"
NOT_UNDERSTOOD = "Not understood: {line}. Type: {words}"
NOT_A_MASS = "{why} Write for example: {word} 500 g"
NOT_A_RATE = "{why} Write for example: pour 500 g at 40 g/s"
POURED = "{word}: poured {grams} g in all"

_PLACES: Mapping[str, int] = {"kg": 3, "g": 1, "lb": 3, "oz": 2}


def detection_line(found: Detection) -> str:
    """Which profile reads what was heard, or what to do where none does."""
    if found.profile is not None:
        return _READS_AS.format(name=found.profile.name, baud=found.baud)
    if found.heard_byte_count == 0:
        return _SILENT
    best = found.scores[0].profile.name if found.scores and found.scores[0].good_count else "none"
    return _NONE_READS.format(count=found.heard_byte_count, nearest=best)


def link_line(status: LinkStatus) -> str:
    """How the link stands, and why where it has no readings."""
    why = (
        f": {_refusal(status.detail)}"
        if status.detail and status.state in ("lost", "silent", "unreadable")
        else ""
    )
    return f"link {status.state}{why}"


def unread_line(detail: str) -> str:
    """Why a frame is no reading, and the frame; from a link's `detail`."""
    return f"not read: {_refusal(detail)}"


def _refusal(detail: str) -> str:
    code, mark, frame = detail.partition(": ")
    return f"{FRAME_REFUSALS.get(code, code)}{mark}{frame}"


def reading_line(reading: Reading, judged: Steadiness) -> str:
    """One reading as a line: weight or fault, state, flow, and the frame as it came."""
    weight: str
    if reading.mass_mg is None:
        weight = reading.fault or "error"
    else:
        places = _PLACES.get(reading.unit, 3)
        weight = f"{fixed(reading.mass_mg / UNITS_BY_KEY[reading.unit].factor, places)} {reading.unit}"
    return f"{weight:>14}  {judged.state:<7} {judged.flow_mg_s / 1000:+8.1f} g/s  {reading.text}"
