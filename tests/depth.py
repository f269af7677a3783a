"""How deep property tests dig: the suite's counts, or ten times as many with `--hypothesis-profile=deep`."""

from hypothesis import settings

DEEP_COUNT = 10


def examples(count: int) -> int:
    """Examples a test draws.

    Args:
        count: In the suite, 1 or more: fewer than hypothesis' own for tests whose examples are slow.

    Returns:
        The count, or its multiple in the deep profile.
    """
    return count * (DEEP_COUNT if settings.get_current_profile_name() == "deep" else 1)
