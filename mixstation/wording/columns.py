"""Lines of a list whose columns stand one under the other, and the moments in them."""

from collections.abc import Collection, Sequence
from datetime import UTC, datetime


def aligned(rows: Sequence[Sequence[str]], right: Collection[int]) -> tuple[str, ...]:
    """Columns of equal width; one that is empty in all rows is left out.

    Args:
        rows: Texts, as many in each.
        right: Columns that stand to the right: figures.

    Example:
        >>> aligned([("sand", "", "9 kg"), ("ice", "", "12 kg")], right={2})
        ('sand   9 kg', 'ice   12 kg')
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return tuple(
        "  ".join(
            cell.rjust(width) if at in right else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
            if width
        ).rstrip()
        for row in rows
    )


def local_minute(at_ms: int) -> str:
    """Local date and time of a moment in milliseconds since 1970 UTC; "?" for one no calendar has."""
    try:
        return f"{datetime.fromtimestamp(at_ms / 1000, tz=UTC).astimezone():%Y-%m-%d %H:%M}"
    except (OverflowError, ValueError, OSError):
        return "?"
