"""What a batch stored by an earlier program still owes, cut off between two facts of one decision.

Bodies of form 1 were stored one by one. Cut off after what came out of the bucket, such a batch would ask for it
again: the same water poured back twice. Whatever else was cut off is asked for again in its turn and harms nothing.
"""

from mixstation.batch.advice import advise, stand
from mixstation.batch.commands import Book, Weight
from mixstation.batch.decide import decide
from mixstation.batch.events import Fact, MaterialRemoved, PortionTaken
from mixstation.batch.moment import Moment
from mixstation.batch.refusal import Refusal
from mixstation.batch.run import Run, fold


def owed(run: Run, moment: Moment) -> tuple[Fact, ...]:
    """The facts that belong to the newest one and were not stored any more; mostly none.

    Args:
        run: The batch as it was stored, fact by fact.
        moment: Now.
    """
    newest = run.entries[-1].fact
    if not isinstance(newest, MaterialRemoved | PortionTaken) or newest.step is None:
        return ()
    weight = Weight(
        mass_mg=newest.mass_mg, source=newest.source, shown=newest.shown, division_mg=newest.division_mg
    )
    before = stand(fold(run.entries[:-1]), newest.division_mg or 1)
    decided = decide(advise(before, moment, None), Book(weight=weight, confirmed=True))
    return () if isinstance(decided, Refusal) or decided[0] != newest else decided[1:]
