"""Every entry as the record tells it: what was asked for at that moment, what came, and how it is known."""

from typing import assert_never

from mixstation.account.form import EntryKept, TakenBack
from mixstation.account.replay import Account, Kept
from mixstation.account.say import exact_mass, plain, signed, when
from mixstation.account.work import (
    figure_shown,
    place_of,
    place_of_time,
    temperature_bounds,
    time_bounds,
    took_s,
)
from mixstation.batch import events as e
from mixstation.batch.advice import stand, take_out_mg
from mixstation.batch.dosing import dosing
from mixstation.batch.moment import celsius
from mixstation.batch.run import Run
from mixstation.batch.targets import project
from mixstation.recipe.model import ConsistencyStep, MixStep, RestStep, TemperatureStep
from mixstation.units.show import show_duration, show_temperature_c
from mixstation.wording.entry_lines import fact_line
from mixstation.wording.measured_lines import target_words
from mixstation.wording.words import Speech

_WITH_REASON = (
    e.WeightRecorded
    | e.MaterialRemoved
    | e.PortionTaken
    | e.StepSkipped
    | e.EntryTakenBack
    | e.BatchPaused
    | e.BatchDiscarded
)


_ON_SCALE = e.ReferenceTaken | e.TubFilled | e.WeightRecorded | e.MaterialRemoved | e.PortionTaken


def entries_kept(account: Account) -> list[EntryKept]:
    """All entries, the start first."""
    start = account.run.entries[0]
    return [
        _told(account, Kept(entry=start, before=account.run, after=account.run)),
        *(_told(account, kept) for kept in account.kept),
    ]


def _told(account: Account, kept: Kept) -> EntryKept:
    entry, fact = kept.entry, kept.entry.fact
    division_mg = max(1, fact.division_mg if isinstance(fact, _ON_SCALE) else account.division_mg)
    speech = Speech(units=account.units, division_mg=division_mg)
    told: EntryKept = {
        "number": entry.seq,
        "kind": fact.kind,
        "time": when(entry.stamp),
        "since_first_water": account.since_water(entry),
        "who": plain(entry.stamp.who),
        "said": plain(fact_line(kept.after, entry, speech)),
        "target": "",
        "tolerance": "",
        "actual": "",
        "deviation": "",
        "place": "",
        "source": "",
        "shown": "",
        "gross": "",
        "reason": plain(fact.reason) if isinstance(fact, _WITH_REASON) else "",
        "late": entry.stamp.late,
        "taken_back": _taken_back(account, entry),
    }
    match fact:
        case e.WeightRecorded() | e.TubFilled() | e.MaterialRemoved() | e.PortionTaken():
            told["source"], told["shown"] = fact.source, plain(fact.shown)
            _weighed(told, kept, speech)
        case e.ReferenceTaken():
            told["gross"] = exact_mass(fact.gross_mg, account.units, division_mg)
        case e.StepDone():
            _timed(told, kept.before, fact.step, entry)
        case e.ConsistencyJudged():
            _judged(told, kept.before, fact, account)
        case e.TemperatureTaken():
            told["shown"] = plain(fact.shown)
            _taken(told, kept.before, fact, account)
        case e.DensityMeasured():
            told["source"], told["shown"] = fact.source, plain(fact.shown)
        case e.BatchFinished():
            told["reason"] = plain(fact.concession)
        case e.BatchStarted() | e.BatchPaused() | e.BatchTakenUp() | e.BatchDiscarded():
            pass
        case e.StepSkipped() | e.StepBroughtForward() | e.TimerStarted() | e.EntryTakenBack():
            pass
        case e.SupplyRanOut() | e.WayTaken() | e.RemedyTaken() | e.WeighingChanged() | e.ScaleChanged():
            pass
        case e.SafetyAcknowledged() | e.FlagRaised() | e.NoteWritten() | e.ClockStepped():
            pass
        case e.ProgramResumed() | e.ReleaseGoesOn() | e.FlagPutAway():
            pass
        case _ as forgotten:
            assert_never(forgotten)
    return told


def _taken_back(account: Account, entry: e.Entry) -> TakenBack | None:
    by = account.taken_back.get(entry.seq)
    if by is None or not isinstance(by.fact, e.EntryTakenBack):
        return None
    return {
        "by_entry": by.seq,
        "time": when(by.stamp),
        "who": plain(by.stamp.who),
        "reason": plain(by.fact.reason),
    }


def _weighed(told: EntryKept, kept: Kept, speech: Speech) -> None:
    """A mass against what the step asked for just before it."""
    fact = kept.entry.fact
    assert isinstance(fact, e.WeightRecorded | e.TubFilled | e.MaterialRemoved | e.PortionTaken)
    told["actual"] = exact_mass(fact.mass_mg, speech.units, speech.division_mg)
    if isinstance(fact, e.WeightRecorded) and fact.gross_mg is not None:
        told["gross"] = exact_mass(fact.gross_mg, speech.units, speech.division_mg)
    asked = _asked(kept.before, fact.step, speech.division_mg)
    if asked is None:
        return
    target_mg, low_mg, high_mg = asked
    told["target"] = speech.mass(target_mg)
    told["deviation"] = signed(fact.mass_mg - target_mg, speech.mass)
    if low_mg is not None and high_mg is not None:
        told["tolerance"] = speech.span(low_mg, high_mg)
        told["place"] = place_of(fact.mass_mg, low_mg, high_mg)


def _asked(run: Run, step_key: str | None, division_mg: int) -> tuple[int, int | None, int | None] | None:
    """Target and what was right, milligrams, where a step asked for a mass."""
    if step_key is None or run.ended:
        return None
    step = run.step_of(step_key)
    dose = dosing(run, project(run, division_mg), step, division_mg)
    if dose is not None:
        return dose.target_mg, dose.low_mg, dose.high_mg
    if run.step is None or run.step.key != step_key:
        return None
    out_mg = take_out_mg(stand(run, division_mg))
    return None if out_mg is None else (out_mg, None, None)


def _timed(told: EntryKept, run: Run, step_key: str, entry: e.Entry) -> None:
    step = run.step_of(step_key)
    if not isinstance(step, MixStep | RestStep):
        return
    told["target"] = time_bounds(step)
    took = took_s(step, run.timers.get(step_key), entry.stamp)
    if took is not None:
        told["actual"] = show_duration(int(took))
        told["place"] = place_of_time(took, step.min_s, step.max_s)


def _judged(told: EntryKept, run: Run, fact: e.ConsistencyJudged, account: Account) -> None:
    step = run.step_of(fact.step) if fact.step is not None else None
    told["actual"] = figure_shown(run, fact, account.units)
    if isinstance(step, ConsistencyStep) and step.least is not None and step.most is not None:
        told["target"] = target_words(step, account.units)
        if fact.figure is not None:
            told["place"] = place_of(fact.figure, step.least, step.most)


def _taken(told: EntryKept, run: Run, fact: e.TemperatureTaken, account: Account) -> None:
    step = run.step_of(fact.step) if fact.step is not None else None
    mix_c = celsius(fact.mix_milli_c)
    told["actual"] = show_temperature_c(mix_c, account.units)
    if not isinstance(step, TemperatureStep) or (step.min_c is None and step.max_c is None):
        return
    told["target"] = temperature_bounds(step, account.units)
    least = mix_c if step.min_c is None else step.min_c
    most = mix_c if step.max_c is None else step.max_c
    told["place"] = place_of(mix_c, least, most)
