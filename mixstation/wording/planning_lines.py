"""Kept plans in words."""

from collections.abc import Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Any

from mixstation.units.clean import clean
from mixstation.wording.counted import counted

NONE_KEPT = "No plan is kept. Make one: mixstation plan"

_KEPT: Mapping[str, str] = MappingProxyType(
    {
        "plan-missing": "No plan “{asked}” is kept. See: mixstation plan list",
        "plans-several": "Several plans have “{asked}” in their id: {found}. Write more of it.",
        "plan-damaged": "This is no plan of ours, or it is damaged: {path}. Plan anew: mixstation plan",
        "plan-later": "This plan was kept by a later version of the program: {path}. Use that one.",
    }
)


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
    try:
        made = f"{datetime.fromtimestamp(made_ms / 1000, tz=UTC).astimezone():%Y-%m-%d %H:%M}"
    except (OverflowError, ValueError, OSError):
        made = "?"
    what = ", ".join(filter(None, (clean(piece, 100), clean(recipe, 60))))
    return f"{clean(plan_id, 60)}  {made}  {done}  {what}"


def kept_plan_line(error: Any) -> str:
    """The sentence for a `KeptPlanError`.

    Raises:
        KeyError: A code without a sentence.
    """
    return _KEPT[error.code].format(**error.values)


def known_codes() -> frozenset[str]:
    """Codes that have a sentence."""
    return frozenset(_KEPT)
