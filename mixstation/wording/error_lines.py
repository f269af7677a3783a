"""Clear sentences for every error a command can end with: what, where, and what to do.

Errors are told apart by the names of their classes, so that saying what went wrong loads nothing more.
"""

import errno
import os
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from mixstation.units.clean import clean
from mixstation.wording.fault_lines import fault_lines as fault_lines
from mixstation.wording.kept_lines import kept_plan_line, not_found_line, still_open_line
from mixstation.wording.quantity_lines import units_line
from mixstation.wording.storage_lines import codec_line, fold_line, storage_line

_NO_PROFILE_FITS = "no-profile-fits"


def error_line(error: Exception) -> str | None:
    """What went wrong, for a person.

    Args:
        error: What a command raised.

    Returns:
        One or more sentences, in lines where there are several faults; None for an error that is no person's doing.
    """
    for kind in type(error).__mro__:
        line = LINES.get(f"{kind.__module__}.{kind.__qualname__}")
        if line is not None:
            return line(error)
    return None


def reason(error: Exception) -> str:
    """What went wrong, whatever it is: `error_line`, or the error's own words with its type.

    Args:
        error: Any error.
    """
    line = error_line(error)
    if line is not None:
        return line
    cause = error.__cause__ or error
    said = clean(str(cause), 200) or "no reason given"
    return f"An error of the program: {said} ({type(cause).__name__}{_place(cause)})"


def _place(error: BaseException) -> str:
    """Where in the program it came about, for whoever mends it."""
    trace, place = error.__traceback__, ""
    while trace is not None:
        module = trace.tb_frame.f_globals.get("__name__", "")
        place = f", {module} line {trace.tb_lineno}" if str(module).startswith("mixstation.") else place
        trace = trace.tb_next
    return place


def _file_refused(error: Any) -> str:
    return "\n".join(fault_lines(error.faults))


def _recipe_not_found(error: Any) -> str:
    near = f"Did you mean “{error.suggestion}”? " if error.suggestion else ""
    known = f"On the shelf: {', '.join(error.known)}." if error.known else "The shelf is empty."
    return f"There is no recipe “{error.asked}”, and no file of that name. {near}{known}"


def _plan_refused(error: Any) -> str:
    from mixstation.units.show import DisplayUnits
    from mixstation.wording.plan import PlanSpeech, plan_fault_line

    speech = PlanSpeech(units=DisplayUnits.METRIC, names={})
    return "\n".join(plan_fault_line(fault, speech) for fault in error.faults)


def _formula(error: Any) -> str:
    from mixstation.wording.proportion_lines import formula_line

    return formula_line(error)


def _not_scaled(error: Any) -> str:
    from mixstation.wording.proportion_lines import scaling_sentence

    return scaling_sentence(error.why)


def _station_failed(error: Exception) -> str | None:
    """The station's thread ended on another error: what that says, if it is a person's to mend."""
    cause = error.__cause__
    return error_line(cause) if isinstance(cause, Exception) else None


def _looked_up(error: LookupError) -> str | None:
    if error.args != (_NO_PROFILE_FITS,):
        return None
    return (
        "No scale profile reads what comes from the scale. See that it sends by itself, then name a profile with "
        "--profile. They are listed by: mixstation scale profiles"
    )


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
    # The library puts some errors of the system into a text of its own and keeps them beside it.
    beside = error.__context__.args if isinstance(error.__context__, Exception) else ()
    known_parts = (getattr(error, "errno", None), *error.args, *beside)
    number = next((part for part in known_parts if isinstance(part, int)), None)
    said = clean(str(error.args[-1]) if error.args else "", 200)
    known = _PORT_ERRORS.get(number or 0)
    if known is not None:
        return known.format(port=_port_in(said) or "of the scale")
    return f"The scale's port failed: {said or 'no reason given'}. {_NO_SCALE} {_PORTS}"


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


LINES: Mapping[str, Callable[[Any], str | None]] = MappingProxyType(
    {
        "mixstation.toml.lines.FileRefused": _file_refused,
        "mixstation.recipe.shelf.RecipeNotFound": _recipe_not_found,
        "mixstation.units.errors.UnitsError": units_line,
        "mixstation.proportion.error.ProportionError": _formula,
        "mixstation.recipe.proportions.ScalingError": _not_scaled,
        "mixstation.record.errors.StorageError": storage_line,
        "mixstation.record.stored.BatchNotFound": not_found_line,
        "mixstation.record.stored_form.CodecError": codec_line,
        "mixstation.batch.run.FoldError": fold_line,
        "mixstation.plan.faults.PlanRefused": _plan_refused,
        "mixstation.planning.kept.KeptPlanError": kept_plan_line,
        "mixstation.station.opening.BatchesOpen": still_open_line,
        "mixstation.station.station.StationError": _station_failed,
        "serial.serialutil.SerialException": port_line,
        "termios.error": port_line,
        "builtins.OSError": file_line,
        "builtins.LookupError": _looked_up,
    }
)
"""The sentence maker of each class of errors, by its full name."""
