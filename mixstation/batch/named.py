"""What a fact names: its step, its materials, the mass it moves; closed so that a new fact must say it."""

from typing import assert_never

from mixstation.batch import events as e
from mixstation.frozen import Frozen


class Named(Frozen):
    """What one fact names."""

    step: str | None = None
    materials: tuple[str, ...] = ()
    mass_mg: int | None = None


def named(fact: e.Fact) -> Named:
    """What a fact names."""
    match fact:
        case e.WeightRecorded() | e.MaterialRemoved():
            return Named(step=fact.step, materials=(fact.material,), mass_mg=fact.mass_mg)
        case e.TubFilled() | e.PortionTaken():
            return Named(step=fact.step, mass_mg=fact.mass_mg)
        case e.ReferenceTaken() | e.TimerStarted() | e.ConsistencyJudged() | e.TemperatureTaken():
            return Named(step=fact.step)
        case e.StepDone() | e.StepSkipped() | e.StepBroughtForward():
            return Named(step=fact.step)
        case e.ReleaseGoesOn() | e.KeyPressed():
            return Named(step=fact.step)
        case e.SupplyRanOut():
            return Named(materials=(fact.material,))
        case e.WayTaken():
            return Named(materials=fact.make_up)
        case e.RemedyTaken():
            return Named(materials=() if fact.material is None else (fact.material,))
        case e.BatchStarted() | e.SafetyAcknowledged() | e.EntryTakenBack() | e.WeighingChanged():
            return Named()
        case e.DensityMeasured():
            return Named(mass_mg=fact.mass_mg)
        case e.BatchPaused() | e.BatchTakenUp() | e.BatchFinished() | e.BatchDiscarded():
            return Named()
        case e.LotOpened() | e.SandFound():
            return Named(materials=(fact.material,))
        case e.FlagPutAway():
            return Named()
        case e.FlagRaised() | e.ScaleChanged() | e.ClockStepped() | e.ProgramResumed() | e.NoteWritten():
            return Named()
        case _ as forgotten:
            assert_never(forgotten)
