"""An emulated scale on a pseudo-terminal, told by typed words what happens on it."""

import sys
import time
from collections.abc import Callable, Iterable, Mapping
from typing import Final, TextIO

from mixstation.scale.emulator import EmulatedScale
from mixstation.scale.profile_folder import find_profile
from mixstation.scale.pty_port import PtyPort
from mixstation.units.clean import clean
from mixstation.units.errors import UnitsError
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import fixed
from mixstation.wording import scale_lines as says
from mixstation.wording.quantity_lines import units_line

DEFAULT_RATE_MG_S: Final = 50_000

_DEEDS: Final[Mapping[str, Callable[[EmulatedScale], None]]] = {
    "hold": EmulatedScale.stop_pour,
    "lift": EmulatedScale.lift,
    "place": EmulatedScale.place,
    "zero": EmulatedScale.press_zero,
    "tare": EmulatedScale.press_tare,
    "unit": EmulatedScale.press_unit,
    "on": EmulatedScale.press_on,
    "freeze": EmulatedScale.freeze,
    "thaw": EmulatedScale.thaw,
    "garble": EmulatedScale.garble,
    "clear": EmulatedScale.clear,
    "unplug": EmulatedScale.unplug,
    "replug": EmulatedScale.replug,
}
SCALE_WORDS: Final = says.SCALE_WORDS.format(deeds=", ".join(_DEEDS))


def emulate(
    profile_name: str,
    out: TextIO,
    typed: Iterable[str] | None = None,
    *,
    rate_hz: float = 10.0,
    seconds: float | None = None,
) -> int:
    """Run an emulated scale on a pseudo-terminal and obey typed words until "stop" or their end.

    Args:
        profile_name: How the scale sends.
        out: Where the port's name and answers are printed.
        typed: Lines; standard input by default.
        rate_hz: Frames a second, 1 to 100.
        seconds: How long to go on after the last line.

    Returns:
        Exit status 0.

    Raises:
        FileRefused: The profile cannot be used.
    """
    scale = EmulatedScale()
    port = PtyPort(scale, find_profile(profile_name), rate_hz=rate_hz)
    print(says.EMULATED.format(port=port.name, words=SCALE_WORDS), file=out, flush=True)
    port.start()
    try:
        for line in sys.stdin if typed is None else typed:
            answer = obey(scale, line)
            if answer is None:
                return 0
            print(answer, file=out, flush=True)
        if seconds:
            time.sleep(seconds)
    except KeyboardInterrupt:
        pass
    finally:
        port.stop()
    return 0


def obey(scale: EmulatedScale, line: str) -> str | None:
    """Do what a line says.

    Args:
        scale: To act on.
        line: One of `SCALE_WORDS`; masses as anywhere, negative to take out.

    Returns:
        One line in answer; None for "stop".
    """
    word, _, rest = line.strip().lower().partition(" ")
    if word == "stop":
        return None
    try:
        if word in _DEEDS and not rest:
            _DEEDS[word](scale)
        elif word == "put":
            scale.put_mg(parse_mass_mg(rest))
        elif word == "pour":
            mass, _, rate = rest.partition(" at ")
            total_mg = parse_mass_mg(mass)
            rate_mg_s = parse_mass_mg(rate.removesuffix("/s")) if rate else DEFAULT_RATE_MG_S
            scale.pour(abs(rate_mg_s) if total_mg >= 0 else -abs(rate_mg_s), total_mg=total_mg)
        elif word not in ("sum", ""):
            return says.NOT_UNDERSTOOD.format(line=clean(line.strip(), 60), words=SCALE_WORDS)
    except UnitsError as error:
        form = says.NOT_A_RATE if " at " in rest else says.NOT_A_MASS
        return form.format(why=units_line(error), word=word)
    poured_mg = sum(pour.mass_mg for pour in scale.poured)
    return says.POURED.format(word=word or "sum", grams=fixed(poured_mg / 1000, 1))
