"""Sentences about batches that are open: which one is meant, what stands in the way, and the scale it comes back to."""

from collections.abc import Sequence
from typing import Any

from mixstation.toml_lines import FileFault
from mixstation.units.clean import clean
from mixstation.wording.fault_lines import fault_lines

NONE_OPEN = "No batch is open. Start one with: mixstation mix RECIPE --powder MASS"
SEVERAL_OPEN = "Several batches are open. Say which: mixstation resume ID"

NOT_FOUND = {
    "batch-missing": "There is no batch “{asked}”. See which there are: mixstation records --all",
    "batches-several": "Several batches have “{asked}” in their id: {found}. Write more of it.",
}

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


def not_found_line(error: Any) -> str:
    """The sentence for a `BatchNotFound`.

    Raises:
        KeyError: A code without a sentence.
    """
    return NOT_FOUND[error.code].format(**error.values)


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
