"""Steps as they were worked, flags and what became of them, ways out, judgements, temperatures and notes."""

from fractions import Fraction
from types import UnionType
from typing import Literal, assert_never

from mixstation.account.form import AgainstBounds, FlagKept, StepWorked, Told
from mixstation.account.replay import Account
from mixstation.account.say import plain, when
from mixstation.batch import events as e
from mixstation.batch.moment import celsius, chemical_s, too_long, too_short, worked_s
from mixstation.batch.run import Run, RunStep, TakeOutStep
from mixstation.recipe import model
from mixstation.units.show import DisplayUnits, show_duration, show_temperature_c
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.measured_lines import judged_figure
from mixstation.wording.words import VERDICT_WORDS, bounds_said, step_words

Saying = e.WayTaken | e.RemedyTaken | e.ConsistencyJudged | e.TemperatureTaken | e.NoteWritten
FlagOutcome = Literal["passed", "stands", "accepted", "given up"]


def steps_worked(account: Account) -> list[StepWorked]:
    """Every step in the order it stood, those a way out put in included."""
    forward = {entry.fact.step for entry in account.run.live if isinstance(entry.fact, e.StepBroughtForward)}
    return [_worked(account, step, out_of_order=step.key in forward) for step in account.run.steps]


def _worked(account: Account, step: RunStep, *, out_of_order: bool) -> StepWorked:
    run = account.run
    state: Literal["done", "left out", "not done"] = "not done"
    if step.key in run.finished:
        state = "left out" if step.key in run.skipped else "done"
    ended = run.done_at.get(step.key)
    worked: StepWorked = {
        "key": plain(step.key),
        "said": plain(step_words(run, step)),
        "state": state,
        "at": when(ended),
        "bounds": "",
        "took": "",
        "place": "",
        "out_of_order": out_of_order,
        "reason": plain(run.skipped.get(step.key, "")),
    }
    match step:
        case model.TemperatureStep():
            worked["bounds"] = temperature_bounds(step, account.units)
        case model.MixStep() | model.RestStep():
            worked["bounds"] = time_bounds(step)
            took = None if ended is None else took_s(step, run.timers.get(step.key), ended)
            if took is not None:
                worked["took"] = show_duration(int(took))
                worked["place"] = place_of_time(took, step.min_s, step.max_s)
        case model.AddStep() | model.ReleaseStep() | model.SplitStep() | TakeOutStep():
            pass
        case model.ScrapeStep() | model.ConsistencyStep() | model.NoteStep():
            pass
        case _ as forgotten:
            assert_never(forgotten)
    return worked


def flags_kept(account: Account) -> list[FlagKept]:
    """Every flag that was put before the mixer, in order; how grave and with what figures it was at its end."""
    standing = {(flag.code, flag.about) for flag in account.flags}
    codes = {code for code, _ in standing}
    facts = (entry.fact for entry in account.run.live)
    end = next((fact for fact in facts if isinstance(fact, e.BatchFinished)), None)
    accepted = frozenset(end.accepted) if end is not None else frozenset()

    def outcome(fact: e.FlagRaised) -> FlagOutcome:
        stands = (fact.code, fact.about) in standing
        # What was accepted is known by its code alone.
        if fact.code in accepted and (stands or fact.code not in codes):
            return "accepted"
        if not stands:
            return "passed"
        return "given up" if fact.code in account.run.gives_up else "stands"

    def at_its_end(fact: e.FlagRaised) -> tuple[e.Gravity, str]:
        last = account.last_seen.get((fact.code, fact.about))
        if last is None:
            return fact.gravity, fact.said
        run, flag = last
        return flag.gravity, flag_line(run, flag, account.speech)

    return [
        {
            "number": entry.seq,
            "time": when(entry.stamp),
            "since_first_water": account.since_water(entry),
            "code": plain(entry.fact.code),
            "about": plain(entry.fact.about),
            "gravity": (ended := at_its_end(entry.fact))[0],
            "said": plain(ended[1]),
            "outcome": (became := outcome(entry.fact)),
            "concession": plain(end.concession) if end is not None and became == "accepted" else "",
        }
        for entry in account.run.live
        if isinstance(entry.fact, e.FlagRaised)
    ]


def told(account: Account, kinds: type[Saying] | UnionType) -> list[Told]:
    """What was said in entries of some kinds: ways out as they were put to the mixer, judgements, readings, notes."""
    return [
        {
            "number": entry.seq,
            "time": when(entry.stamp),
            "since_first_water": account.since_water(entry),
            "said": plain(_said(account, entry.fact)),
        }
        for entry in account.run.live
        if isinstance(entry.fact, Saying) and isinstance(entry.fact, kinds)
    ]


def _said(account: Account, fact: Saying) -> str:
    match fact:
        case e.WayTaken() | e.RemedyTaken():
            return fact.said
        case e.ConsistencyJudged():
            figure = figure_shown(account.run, fact, account.units)
            return ", ".join(filter(None, (VERDICT_WORDS[fact.verdict], figure)))
        case e.TemperatureTaken():
            return show_temperature_c(celsius(fact.mix_milli_c), account.units)
        case e.NoteWritten():
            return fact.text


def took_s(step: model.MixStep | model.RestStep, began: e.Stamp | None, ended: e.Stamp) -> float | None:
    """Seconds a step took, by the clock its flags go by; None where nobody knows.

    Args:
        step: Mixing stands still while the machine sleeps; a rest goes on.
        began: When its timer started, or None.
        ended: When it was done.
    """
    if began is None:
        return None
    if isinstance(step, model.RestStep):
        return chemical_s(began, ended)
    return worked_s(began, ended) if began.boot_id == ended.boot_id else None


def time_bounds(step: model.MixStep | model.RestStep) -> str:
    """Least and most time of a step."""
    return bounds_said(show_duration(step.min_s), show_duration(step.max_s))


def temperature_bounds(step: model.TemperatureStep, units: DisplayUnits) -> str:
    """The temperatures a recipe asks for; "" where it asks for none."""
    return bounds_said(*("" if c is None else show_temperature_c(c, units) for c in (step.min_c, step.max_c)))


def figure_shown(run: Run, fact: e.ConsistencyJudged, units: DisplayUnits) -> str:
    """A measured consistency with the unit of its method; "" where it was judged by eye."""
    if fact.figure is None:
        return ""
    step = run.step_of(fact.step) if fact.step is not None else None
    return judged_figure(step.method if isinstance(step, model.ConsistencyStep) else "", fact, units)


def place_of(amount: Fraction | float, least: Fraction | float, most: Fraction | float) -> AgainstBounds:
    """Where an amount is against its bounds, which are inside.

    >>> place_of(59, 60, 90), place_of(60, 60, 90), place_of(91, 60, 90)
    ('under', 'inside', 'over')
    """
    return "under" if amount < least else "over" if amount > most else "inside"


def place_of_time(took_s: float, min_s: int, max_s: int) -> AgainstBounds:
    """Where a time is against its bounds, by the rule its flags go by.

    >>> place_of_time(58, 60, 90), place_of_time(56, 60, 90), place_of_time(95, 60, 90)
    ('inside', 'under', 'over')
    """
    return "under" if too_short(took_s, min_s) else "over" if too_long(took_s, max_s) else "inside"
