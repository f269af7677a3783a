"""Clear sentences for every error a command can end with: what, where, and what to do.

Errors are told apart by the names of their classes, so that saying what went wrong loads nothing more.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from mixstation.units.clean import clean
from mixstation.wording.fault_lines import fault_lines as fault_lines
from mixstation.wording.open_lines import not_found_line, still_open_line
from mixstation.wording.planning_lines import kept_plan_line
from mixstation.wording.proportion_lines import formula_line, scaling_line
from mixstation.wording.quantity_lines import units_line
from mixstation.wording.storage_lines import codec_line, fold_line, storage_line
from mixstation.wording.system_lines import file_line, port_line

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


LINES: Mapping[str, Callable[[Any], str | None]] = MappingProxyType(
    {
        "mixstation.toml_lines.FileRefused": _file_refused,
        "mixstation.recipe.shelf.RecipeNotFound": _recipe_not_found,
        "mixstation.units.errors.UnitsError": units_line,
        "mixstation.proportion.error.ProportionError": formula_line,
        "mixstation.recipe.proportions.ScalingError": scaling_line,
        "mixstation.record.errors.StorageError": storage_line,
        "mixstation.record.find.BatchNotFound": not_found_line,
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
