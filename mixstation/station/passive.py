"""Facts that come by themselves and change nothing of what is asked."""

from mixstation.batch.events import ClockStepped, Fact, FlagRaised, ProgramResumed, ScaleChanged, StepDone
from mixstation.batch.run import Run

_PASSIVE = (FlagRaised, ScaleChanged, ClockStepped, ProgramResumed)


def turn(run: Run) -> int:
    """How many facts have changed what is asked."""
    return sum(not isinstance(entry.fact, _PASSIVE) for entry in run.entries)


def newest_deed(run: Run) -> Fact:
    """The newest fact that did."""
    return next(entry.fact for entry in reversed(run.entries) if not isinstance(entry.fact, _PASSIVE))


def just_judged(run: Run) -> bool:
    """Whether nothing has been done since the mix was judged."""
    judged = run.judged
    return judged is not None and all(
        isinstance(entry.fact, _PASSIVE)
        or (isinstance(entry.fact, StepDone) and entry.fact.step == judged.step)
        for entry in run.entries[run.judged_at :]
    )
