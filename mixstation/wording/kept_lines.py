"""Sentences about what is kept: batches that are open, the scale they come back to, and plans."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Literal, assert_never

from mixstation.toml.lines import FileFault
from mixstation.units.clean import clean
from mixstation.wording.columns import local_minute
from mixstation.wording.counted import counted
from mixstation.wording.fault_lines import fault_lines

if TYPE_CHECKING:
    from mixstation.record.stored import BatchNotFound

KeptPlanCode = Literal["plan-missing", "plans-several", "plan-damaged", "plan-later"]

NONE_OPEN = "No batch is open. Start one with: mixstation mix RECIPE --powder MASS"
SEVERAL_OPEN = "Several batches are open. Say which: mixstation resume ID"

PORT_AWAY = (
    "The scale's port {port} is not there: type the weights. Once it is plugged in there, it is read again."
)
LINK_NOT_KEPT = "After a break say --port {port} again: it could not be noted. {reason}"
LINK_NOT_READ = "Which scale the batch had could not be read: type the weights, or say --port. {reason}"

SETTINGS_DAMAGED = "The settings file is damaged, so the usual counts for what is wrong in it. {faults}{more}"


def damaged_line(faults: Sequence[FileFault]) -> str:
    """That the settings file is damaged and what counts instead; "" where it is sound.

    Args:
        faults: What is wrong with it.
    """
    if not faults:
        return ""
    more = f" And {len(faults) - 1} more, see above." if len(faults) > 1 else ""
    return SETTINGS_DAMAGED.format(faults=fault_lines(faults[:1])[0], more=more)


def not_found_line(error: "BatchNotFound") -> str:
    """The sentence for a batch that is not there, or is one of several."""
    asked, found = clean(error.asked, 300), clean(", ".join(error.found), 300)
    if found:
        return f"Several batches have “{asked}” in their id: {found}. Write more of it."
    return f"There is no batch “{asked}”. See which there are: mixstation records --all"


def still_open_line(error: Any) -> str:
    """The sentence for `BatchesOpen`."""
    newest, count = error.batch_ids[0], len(error.batch_ids)
    what = f" ({error.what})" if error.what else ""
    more = f", and {count - 1} more" if count > 1 else ""
    return (
        f"Batch {newest}{what} is still open{more}. To mix another beside it, say --beside; to go on with it, or "
        f"discard it there with *: mixstation resume {newest}"
    )


def port_away(port: str) -> str:
    """That a kept port is not there now."""
    return PORT_AWAY.format(port=clean(port, 100))


NONE_KEPT = "No plan is kept. Make one: mixstation plan"


def kept_line(
    plan_id: str, *, made_ms: int, piece: str, recipe: str, bucket_count: int, done_count: int
) -> str:
    """A kept plan in one line of a list.

    Args:
        plan_id: Its id.
        made_ms: When it was made, milliseconds since 1970 UTC.
        piece: What is cast.
        recipe: The recipe's name.
        bucket_count: Its buckets.
        done_count: Those that are mixed.
    """
    done = f"{done_count} of {counted(bucket_count, 'bucket')} mixed"
    what = ", ".join(filter(None, (clean(piece, 100), clean(recipe, 60))))
    return f"{clean(plan_id, 60)}  {local_minute(made_ms)}  {done}  {what}"


def kept_plan_line(error: Any) -> str:
    """The sentence for a `KeptPlanError`: a kept plan that cannot be had."""
    meant, found = clean(error.meant, 300), clean(", ".join(error.found), 300)
    code: KeptPlanCode = error.code
    match code:
        case "plan-missing":
            return f"No plan “{meant}” is kept. See: mixstation plan list"
        case "plans-several":
            return f"Several plans have “{meant}” in their id: {found}. Write more of it."
        case "plan-damaged":
            return f"This is no plan of ours, or it is damaged: {meant}. Plan anew: mixstation plan"
        case "plan-later":
            return f"This plan was kept by a later version of the program: {meant}. Use that one."
        case _ as forgotten:
            assert_never(forgotten)
