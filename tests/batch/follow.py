"""The command that follows the advice, whatever has happened before: what a patient mixer would press next."""

from fractions import Fraction
from typing import assert_never

from mixstation.batch.advice import take_out_mg
from mixstation.batch.commands import (
    AcknowledgeSafety,
    Book,
    Command,
    DoneStep,
    EnoughIn,
    Finish,
    Judge,
    NoteTemperature,
    OpenLot,
    SkipStep,
    StartTimer,
    TakeUp,
    TellSand,
)
from mixstation.batch.damp_sand import sand_to_ask
from mixstation.batch.lots import to_ask
from mixstation.recipe.model import MixStep, ReleaseStep, RestStep
from tests.batch.making import Bench, weight


def next_command(bench: Bench) -> Command:
    """What the advice asks for now; waits where it asks to wait."""
    standing = bench.advice.standing
    step = standing.step
    match standing.phase:
        case "safety":
            return AcknowledgeSafety()
        case "paused":
            return TakeUp()
        case "sand":
            return TellSand(material=sand_to_ask(bench.run) or "", moisture=Fraction(0))
        case "lot":
            return OpenLot(material=to_ask(bench.run) or "")
        case "pour" | "tub-fill" | "tub-tip":
            return _weighed(bench)
        case "setting":
            return SkipStep(reason="sets")
        case "take-out":
            out_mg = take_out_mg(standing)
            if not out_mg or out_mg >= bench.run.in_bucket_mg:
                return SkipStep(reason="nothing to take out")
            return Book(weight=weight(out_mg, division_mg=bench.division_mg))
        case "start-mixing" | "release-start-mixing":
            return StartTimer()
        case "mixing" | "resting":
            assert isinstance(step, MixStep | RestStep)
            bench.hands.go(step.min_s)
            return DoneStep(confirmed=True)
        case "scrape" | "note":
            return DoneStep()
        case "judge":
            return Judge(verdict="right")
        case "release-mixing":
            assert isinstance(step, ReleaseStep)
            bench.hands.go(step.mix_s)
            return Judge(verdict="too-stiff")
        case "release-judge" | "release-rest":
            return Judge(verdict="too-stiff")
        case "temperature":
            return NoteTemperature(mix_milli_c=20_000, shown="20 °C")
        case "finish":
            return Finish(concession="as it is")
        case "ended":
            raise ValueError(standing.phase)
        case _ as forgotten:
            assert_never(forgotten)


def _weighed(bench: Bench) -> Command:
    dosing = bench.dosing
    if not dosing.exact_mg:
        return EnoughIn()
    if not dosing.target_mg:
        return Book(weight=weight(max(1, round(dosing.exact_mg)), "typed", division_mg=1), confirmed=True)
    return Book(weight=weight(dosing.target_mg, division_mg=bench.shows_mg), confirmed=True)
