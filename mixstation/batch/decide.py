"""Commands are decided here: facts to store, or a refusal with its reason. Nothing half-happens.

Rules: what happened at the bucket is never refused for being wrong, only asked about once (`confirmed`); what
cannot be (no mass, more out than is in, a step that is not at hand) is refused.
"""

from typing import assert_never

from mixstation.batch import commands, decide_work, events
from mixstation.batch.advice import Advice
from mixstation.batch.bounds import MOST_MG, aim_fits
from mixstation.batch.consistency import DONE_IN_STEPS, Remedy
from mixstation.batch.decide_back import swapped, taken_back
from mixstation.batch.decide_weighing import book, extra, key_pressed, portion, reference, removed, tub
from mixstation.batch.refusal import Plain, Refusal, RefusedError, said
from mixstation.batch.run import Run, put_in_step, remedied
from mixstation.batch.targets import dose_now, water_ratio
from mixstation.batch.way import Way, way_taken
from mixstation.batch.wet_density import measured

# Before the safety text is behind the mixer no bag is opened.
_BEFORE_SAFETY = (commands.AcknowledgeSafety, commands.WriteNote, commands.Discard)
# Nothing is weighed into a mix that sets; what went in all the same is entered outside the step.
_WEIGHS_IN = (commands.Book, commands.FillTub, commands.TakeReference)


def decide(advice: Advice, command: commands.Command) -> tuple[events.Fact, ...] | Refusal:
    """Facts for a command to store in order, at least one; or why not."""
    try:
        return _facts(advice, command)
    except RefusedError as refused:
        return refused.refusal


def _facts(advice: Advice, command: commands.Command) -> tuple[events.Fact, ...]:
    run = advice.standing.run
    if run.ended and not isinstance(command, commands.WriteNote):
        raise RefusedError(Plain.BATCH_OVER)
    if not run.acknowledged and not isinstance(command, _BEFORE_SAFETY):
        raise RefusedError(Plain.OTHER_STEP)
    if advice.standing.phase == "setting" and isinstance(command, _WEIGHS_IN):
        raise RefusedError(Plain.SETS)
    match command:
        case commands.AcknowledgeSafety():
            return (events.SafetyAcknowledged(),)
        case commands.TakeReference():
            return reference(advice, command)
        case commands.FillTub():
            return (tub(run, command.weight),)
        case commands.Book():
            return book(advice, command)
        case commands.BookExtra():
            return extra(advice, command)
        case commands.BookRemoved():
            return removed(run, command)
        case commands.BookPortion():
            return (portion(run, None, "", command.weight, command.reason),)
        case commands.EnoughIn():
            return decide_work.enough(advice)
        case commands.TrustUnit():
            return (events.ScaleChanged(state="unit-right", detail=""),)
        case commands.NoteKey():
            return (key_pressed(run, command),)
        case commands.StartTimer():
            return (decide_work.started(advice),)
        case commands.DoneStep():
            return decide_work.done(advice, command)
        case commands.SkipStep():
            return decide_work.skipped(advice, command.reason)
        case commands.BringForward():
            return decide_work.forward(run, command.step)
        case commands.TakeBack():
            return (taken_back(run, command),)
        case commands.SwapMaterial():
            return swapped(run, command)
        case commands.Judge():
            return decide_work.judged(advice, command)
        case commands.LetWaterIn():
            return (decide_work.let_in(advice),)
        case commands.NoteTemperature():
            return decide_work.temperature(run, command)
        case commands.MeasureDensity():
            return (measured(command),)
        case commands.Pause():
            return (events.BatchPaused(reason=command.reason),)
        case commands.TakeUp():
            return (events.BatchTakenUp(),)
        case commands.ChangeWeighing():
            return (events.WeighingChanged(weighing=command.weighing),)
        case commands.RunOut():
            return decide_work.ran_out(run, command.material)
        case commands.TakeWay():
            return _way(advice, command)
        case commands.TakeRemedy():
            return _remedy(advice, command)
        case commands.PutFlagAway():
            return (_put_away(advice, command),)
        case commands.OpenLot():
            return (
                events.LotOpened(material=command.material, lot=said(command.lot) if command.lot else ""),
            )
        case commands.TellSand():
            return (events.SandFound(material=command.material, moisture=command.moisture),)
        case commands.WriteNote():
            return (events.NoteWritten(text=said(command.text)),)
        case commands.Finish():
            return (decide_work.finished(advice, command),)
        case commands.Discard():
            return (events.BatchDiscarded(reason=said(command.reason)),)
        case _ as forgotten:
            assert_never(forgotten)


def _way(advice: Advice, command: commands.TakeWay) -> tuple[events.Fact, ...]:
    run, way = advice.standing.run, command.way
    if way.hindrances:
        raise RefusedError(Plain.WAY_HINDERED)
    if way.kind == "discard":
        return (events.BatchDiscarded(reason=said(command.said)),)
    if advice.sets and way.kind != "leave":
        raise RefusedError(Plain.SETS)
    if not _fits(run, way):
        raise RefusedError(Plain.WAY_HINDERED)
    return (way_taken(way, command.said),)


def _put_away(advice: Advice, command: commands.PutFlagAway) -> events.FlagPutAway:
    """A flag that stands now, as it stands; what bars the way stays in sight."""
    flag = next(
        (flag for flag in advice.flags if (flag.code, flag.about) == (command.flag, command.about)), None
    )
    if flag is None or not flag.can_be_put_away:
        raise RefusedError(Plain.STAYS)
    return events.FlagPutAway(
        code=flag.code, about=flag.about, gravity=flag.gravity, figure=flag.figure, said=said(command.said)
    )


def _remedy(advice: Advice, command: commands.TakeRemedy) -> tuple[events.Fact, ...]:
    """A remedy's own steps; a rest that comes first begins at once."""
    run, remedy = advice.standing.run, command.remedy
    _refuse_at_a_bad_time(advice)
    if not _is_done_in_steps(run, remedy):
        raise RefusedError(Plain.WAY_HINDERED)
    material = aimed = None
    if remedy.mass_mg:
        material = remedy.material
        ends = {**advice.standing.projection.finals, material: run.content[material] + remedy.mass_mg}
        of_water = material == run.recipe.water_key
        aimed = (
            water_ratio(run.recipe, ends)
            if of_water
            else dose_now(run.recipe, run.recipe.material(material), ends)
        )
        if aimed is None:
            raise RefusedError(Plain.WAY_HINDERED)
    taken = events.RemedyTaken(
        material=material, aimed=aimed, rest_s=remedy.rest_s, mix_s=remedy.mix_s, said=said(command.said)
    )
    if not aim_fits(run.recipe, remedied(run, taken)):
        raise RefusedError(Plain.WAY_HINDERED)
    if remedy.rest_s and material is None:
        return (taken, events.TimerStarted(step=put_in_step(len(run.entries) + 1, 1)))
    return (taken,)


def _refuse_at_a_bad_time(advice: Advice) -> None:
    """No remedy for a mix that sets, before a way's take-out, or while another, a mixing or a full tub waits."""
    run = advice.standing.run
    if advice.sets:
        raise RefusedError(Plain.SETS)
    if run.takes_out_first:
        raise RefusedError(Plain.TAKE_OUT_FIRST)
    if run.in_remedy or run.tub is not None or advice.standing.phase in ("mixing", "release-mixing"):
        raise RefusedError(Plain.NOT_THROUGH)


def _is_done_in_steps(run: Run, remedy: Remedy) -> bool:
    """Whether it is of a sort that is done in steps, and of a material and a size that can be."""
    key, addable = remedy.material, True
    if remedy.mass_mg:
        addable = key in run.content and key not in run.ran_out and not run.recipe.material(key).is_powder
    return (
        remedy.code in DONE_IN_STEPS
        and addable
        and 0 <= remedy.mass_mg <= MOST_MG
        and 0 <= remedy.rest_s <= MOST_MG
        and 0 < remedy.mix_s <= MOST_MG
    )


def _fits(run: Run, way: Way) -> bool:
    """Whether a way, worked out some time ago, can still be gone."""
    return (
        aim_fits(run.recipe, way.aim)
        and 0 <= way.pour_back_mg <= run.content[run.recipe.water_key]
        and (not way.scoop_mg or 0 < way.scoop_mg < run.in_bucket_mg)
        and 0 <= way.mix_s <= MOST_MG
        and all(amount.material in run.content for amount in way.additions)
    )
