"""Flags on how the work was done: scraping, mixing and resting times, the order of things, temperature."""

from collections.abc import Iterator
from typing import assert_never

from mixstation.batch import events
from mixstation.batch.flag import Flag, work
from mixstation.batch.moment import celsius, chemical_s, too_long, too_short, worked_s
from mixstation.batch.named import named
from mixstation.batch.run import Run, RunStep, TakeOutStep
from mixstation.recipe import model

# Common practice, no source: a plasticiser needs 10 to 15 s of mixing before it acts.
PLASTICISER_ACTS_S = 10


def work_flags(run: Run) -> Iterator[Flag]:
    """Scraping, mixing and resting, the plasticiser's turn, and steps out of order."""
    yield from _scraping(run)
    yield from _timed_steps(run)
    yield from _releases(run)
    yield from _plasticiser(run)
    for entry in run.live:
        if isinstance(entry.fact, events.StepBroughtForward):
            yield work.OutOfOrder(step=entry.fact.step)
    if run.judged is not None and run.judged.verdict == "too-loose" and not _judged_again(run):
        yield work.TooLoose()


def _judged_again(run: Run) -> bool:
    return any(
        isinstance(step, model.ConsistencyStep | model.ReleaseStep) and step.key not in run.finished
        for step in run.steps
    )


def _scraping(run: Run) -> Iterator[Flag]:
    """Powder on the wall when fibres go in, or a scraping left out."""
    recipe = run.recipe
    loose = missed = False
    skipped: set[str] = set()
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, events.WeightRecorded):
            role = recipe.material(fact.material).role
            if recipe.material(fact.material).is_powder:
                loose = True
            elif role is model.Role.FIBRE and loose:
                missed = True
        elif isinstance(fact, events.StepDone) and isinstance(run.step_of(fact.step), model.ScrapeStep):
            loose = missed = False
            skipped.clear()
        elif isinstance(fact, events.StepSkipped) and loose:
            skipped.add(fact.step)
    step = run.step
    if missed:
        yield work.FibresUnscraped()
    elif (
        loose and isinstance(step, model.AddStep) and recipe.material(step.material).role is model.Role.FIBRE
    ):
        yield work.ScrapeFirst()
    for candidate in run.steps:
        if isinstance(candidate, model.ScrapeStep) and candidate.key in skipped:
            yield work.ScrapeSkipped(step=candidate.key)


def _timed_steps(run: Run) -> Iterator[Flag]:
    mended = _mended(run)
    for step in run.steps:
        match step:
            case model.MixStep() | model.RestStep():
                yield from _timed(run, step, mended=step.key in mended)
            case model.AddStep() | model.ReleaseStep() | model.SplitStep() | TakeOutStep():
                pass
            case model.ScrapeStep() | model.ConsistencyStep() | model.TemperatureStep() | model.NoteStep():
                pass
            case _ as forgotten:
                assert_never(forgotten)


def _timed(run: Run, step: model.MixStep | model.RestStep, *, mended: bool) -> Iterator[Flag]:
    mixes = isinstance(step, model.MixStep)
    if step.key in run.skipped:
        yield work.MixSkipped(step=step.key) if mixes else work.RestSkipped(step=step.key)
    elif step.key in run.done_at and step.key in run.timers:
        began, ended = run.timers[step.key], run.done_at[step.key]
        if mixes and began.boot_id != ended.boot_id:
            return
        took = worked_s(began, ended) if mixes else chemical_s(began, ended)
        if too_short(took, step.min_s) and not mended:
            kind = work.MixShort if mixes else work.RestShort
            yield kind(step=step.key, took_s=int(took), min_s=step.min_s, max_s=step.max_s)
        elif too_long(took, step.max_s):
            yield long_flag(run, step, took, step.min_s, step.max_s, ended=True)


def long_flag(
    run: Run, step: RunStep, took_s: float, min_s: int, max_s: int, *, ended: bool
) -> work.MixLong | work.RestLong:
    """The flag on a rest, or else a mixing, that took, or by now has taken, more than it should.

    What it did is told of the fibres that were in by then.
    """
    if isinstance(step, model.RestStep):
        return work.RestLong(step=step.key, took_s=int(took_s), min_s=min_s, max_s=max_s, ended=ended)
    return work.MixLong(
        step=step.key,
        took_s=int(took_s),
        min_s=min_s,
        max_s=max_s,
        ended=ended,
        fibres_in=_fibres_in_by_the_end_of(run, step.key) if ended else run.fibres_in,
    )


def _fibres_in_by_the_end_of(run: Run, key: str) -> bool:
    """Whether fibres were weighed in before a step was done."""
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, events.StepDone) and fact.step == key:
            return False
        if (
            isinstance(fact, events.WeightRecorded)
            and run.recipe.material(fact.material).role is model.Role.FIBRE
        ):
            return True
    return run.fibres_in


def _mended(run: Run) -> set[str]:
    """Mixes too short whose missing time a later one has brought over its own least, before any fibres went in.

    Source: Choice: all that was in the bucket then is mixed again; each second over mends once.
    """
    owed: dict[str, float] = {}
    mended: set[str] = set()
    for entry in run.live:
        fact = entry.fact
        if (
            isinstance(fact, events.WeightRecorded)
            and run.recipe.material(fact.material).role is model.Role.FIBRE
        ):
            break
        if not isinstance(fact, events.StepDone) or fact.step not in run.timers:
            continue
        step = run.step_of(fact.step)
        if not isinstance(step, model.MixStep):
            continue
        spare_s = worked_s(run.timers[fact.step], entry.stamp) - step.min_s
        if spare_s < 0:
            owed[fact.step] = -spare_s
        for key in list(owed):
            if 0 < owed[key] <= spare_s:
                spare_s -= owed.pop(key)
                mended.add(key)
    return mended


def _releases(run: Run) -> Iterator[Flag]:
    """Water let in and judged before it was mixed in; the next increment mixed long enough mends it."""
    for step in run.steps:
        if not isinstance(step, model.ReleaseStep):
            continue
        poured = timed = False
        judged: events.Stamp | None = None
        for entry in run.live:
            fact = entry.fact
            if named(fact).step != step.key:
                continue
            if isinstance(fact, events.WeightRecorded):
                poured, timed, judged = True, False, None
            elif isinstance(fact, events.TimerStarted):
                timed, judged = True, None
            elif isinstance(fact, events.ConsistencyJudged):
                judged = entry.stamp
        began = run.timers.get(step.key) if timed else judged
        if not poured or judged is None or began is None or began.boot_id != judged.boot_id:
            continue
        took = worked_s(began, judged)
        if too_short(took, step.mix_s):
            yield work.MixShort(step=step.key, took_s=int(took), min_s=step.mix_s, max_s=3 * step.mix_s)


def _plasticiser(run: Run) -> Iterator[Flag]:
    """Held-back water before the plasticiser is in and has had its mixing; mixing it afterwards mends that."""
    recipe = run.recipe
    waiting = any(
        run.pending(material.key) for material in recipe.materials if material.role is model.Role.PLASTICISER
    )
    mixed_s, early = _plasticiser_mixed(run)
    unmixed = mixed_s is not None and mixed_s < PLASTICISER_ACTS_S
    if early and unmixed:
        yield work.PlasticiserNotActed()
    elif isinstance(run.step, model.ReleaseStep) and waiting:
        yield work.PlasticiserFirst()
    elif isinstance(run.step, model.ReleaseStep) and unmixed:
        yield work.MixPlasticiserFirst()


def _plasticiser_mixed(run: Run) -> tuple[float | None, bool]:
    """Seconds of mixing since the last plasticiser (None before any), and whether water was let in within them."""
    releases = {step.key for step in run.steps if isinstance(step, model.ReleaseStep)}
    mixes = {step.key for step in run.steps if isinstance(step, model.MixStep)}
    began: dict[str, events.Stamp] = {}
    mixed_s: float | None = None
    early = False
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, events.WeightRecorded):
            if run.recipe.material(fact.material).role is model.Role.PLASTICISER:
                mixed_s, early = 0.0, False
            elif fact.step in releases and mixed_s is not None:
                early = early or mixed_s < PLASTICISER_ACTS_S
        elif isinstance(fact, events.TimerStarted):
            began[fact.step] = entry.stamp
        elif mixed_s is None:
            continue
        elif isinstance(fact, events.StepDone) and fact.step in mixes and fact.step in run.timers:
            mixed_s += worked_s(run.timers[fact.step], entry.stamp)
        elif isinstance(fact, events.ConsistencyJudged) and fact.step in releases and fact.step in began:
            mixed_s += worked_s(began.pop(fact.step), entry.stamp)
    return mixed_s, early


def temperature_flags(run: Run) -> Iterator[Flag]:
    """The mix (or before it is taken, the shop) against the polymer's and the recipe's temperatures."""
    mix_c = celsius(run.mix_milli_c) if run.mix_milli_c is not None else run.start.shop_c
    if mix_c is None:
        return
    for material in run.recipe.materials:
        if material.film_forming_c is not None and mix_c < material.film_forming_c:
            yield work.PolymerCold(material=material.key, mix_c=mix_c, least_c=material.film_forming_c)
    if run.mix_milli_c is None:
        return
    for step in run.steps:
        if isinstance(step, model.TemperatureStep) and step.key in run.finished:
            if step.max_c is not None and mix_c > step.max_c:
                yield work.MixWarm(step=step.key, mix_c=mix_c, max_c=step.max_c)
            elif step.min_c is not None and mix_c < step.min_c:
                yield work.MixCold(step=step.key, mix_c=mix_c, min_c=step.min_c)
