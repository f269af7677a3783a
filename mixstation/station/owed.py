"""What one decision still owed when the program was cut off between two of its facts.

Facts are stored one by one. Where the first of a decision's facts is stored and the next is not, the step would be
asked for again though its work is done: the same water poured back twice.
"""

from mixstation.batch.advice import advise, stand
from mixstation.batch.commands import Book, Command, Judge, NoteTemperature, RunOut, Weight
from mixstation.batch.decide import decide
from mixstation.batch.events import (
    ConsistencyJudged,
    Fact,
    MaterialRemoved,
    PortionTaken,
    SupplyRanOut,
    TemperatureTaken,
    WeightRecorded,
)
from mixstation.batch.moment import Moment
from mixstation.batch.refusal import Refusal
from mixstation.batch.run import Run, fold

# No decision that can be cut in two keeps more facts than a material has steps.
_LONGEST = 6


def owed(run: Run, moment: Moment) -> tuple[Fact, ...]:
    """The facts that belong to the newest one and were not stored any more; mostly none.

    Args:
        run: The batch as it was stored.
        moment: Now.
    """
    for count in range(1, min(_LONGEST, len(run.entries))):
        newest = tuple(entry.fact for entry in run.entries[-count:])
        command = _command(newest[0])
        if command is None:
            continue
        before = fold(run.entries[:-count])
        division_mg = getattr(newest[0], "division_mg", 0) or 1
        decided = decide(advise(stand(before, division_mg), moment, None), command)
        if not isinstance(decided, Refusal) and decided[:count] == newest:
            return decided[count:]
    return ()


def _command(fact: Fact) -> Command | None:
    """What was decided, where it can have kept more than this fact."""
    match fact:
        case WeightRecorded(step=str()):
            return Book(weight=_weight(fact), confirmed=True)
        case MaterialRemoved(step=str()) | PortionTaken(step=str()):
            weight = Weight(
                mass_mg=fact.mass_mg, source=fact.source, shown=fact.shown, division_mg=fact.division_mg
            )
            return Book(weight=weight, confirmed=True)
        case ConsistencyJudged():
            return Judge(verdict=fact.verdict, figure=fact.figure)
        case TemperatureTaken():
            return NoteTemperature(mix_milli_c=fact.mix_milli_c, shown=fact.shown)
        case SupplyRanOut():
            return RunOut(material=fact.material)
        case _:
            return None


def _weight(fact: WeightRecorded) -> Weight:
    return Weight(
        mass_mg=fact.mass_mg,
        source=fact.source,
        shown=fact.shown,
        division_mg=fact.division_mg,
        gross_mg=fact.gross_mg,
        residue_mg=fact.residue_mg,
        weighing=fact.weighing,
    )
