"""Flags on how the work was done: scraping, mixing and resting times, the order of things, temperature."""

from collections.abc import Iterator

from mixstation.batch.events import StepBroughtForward, StepDone, WeightRecorded
from mixstation.batch.flag import Flag
from mixstation.batch.moment import celsius, worked_s
from mixstation.batch.run import Run
from mixstation.recipe.model import AddStep, MixStep, ReleaseStep, RestStep, Role, ScrapeStep, TemperatureStep

# Common practice, no source: a plasticiser needs 10 to 15 s of mixing before it acts.
PLASTICISER_ACTS_S = 10


def work_flags(run: Run) -> Iterator[Flag]:
    yield from _scraping(run)
    yield from _timed_steps(run)
    yield from _plasticiser(run)
    for entry in run.live:
        if isinstance(entry.fact, StepBroughtForward):
            yield Flag(code="out-of-order", about=entry.fact.step, gravity="note")


def _scraping(run: Run) -> Iterator[Flag]:
    """Powder on the wall when fibres go in, or a scraping left out."""
    recipe = run.recipe
    loose = missed = False
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded):
            role = recipe.material(fact.material).role
            if recipe.material(fact.material).is_powder:
                loose = True
            elif role is Role.FIBRE and loose:
                missed = True
        elif isinstance(fact, StepDone) and isinstance(run.step_of(fact.step), ScrapeStep):
            loose = missed = False
    step = run.step
    if missed:
        yield Flag(code="fibres-unscraped", about="", gravity="warn")
    elif loose and isinstance(step, AddStep) and recipe.material(step.material).role is Role.FIBRE:
        yield Flag(code="scrape-first", about="", gravity="warn")
    for candidate in run.steps:
        if isinstance(candidate, ScrapeStep) and candidate.key in run.skipped and loose:
            yield Flag(code="scrape-skipped", about=candidate.key, gravity="warn")


def _timed_steps(run: Run) -> Iterator[Flag]:
    for step in run.steps:
        if not isinstance(step, MixStep | RestStep):
            continue
        verb = "mix" if isinstance(step, MixStep) else "rest"
        if step.key in run.skipped:
            yield Flag(code=f"{verb}-skipped", about=step.key, gravity="warn")
        elif step.key in run.done_at and step.key in run.timers:
            took = worked_s(run.timers[step.key], run.done_at[step.key])
            if run.timers[step.key].boot_id != run.done_at[step.key].boot_id:
                continue
            values = (("took_s", int(took)), ("min_s", step.min_s), ("max_s", step.max_s))
            if took < step.min_s:
                yield Flag(code=f"{verb}-short", about=step.key, gravity="warn", values=values)
            elif took > step.max_s:
                yield Flag(code=f"{verb}-long", about=step.key, gravity="note", values=values)


def _plasticiser(run: Run) -> Iterator[Flag]:
    """Held-back water before the plasticiser is in and has had its mixing."""
    recipe = run.recipe
    steps = {step.key: step for step in run.steps}
    mixed_s: float | None = None
    early = False
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded):
            if recipe.material(fact.material).role is Role.PLASTICISER:
                mixed_s = 0.0
            elif fact.step is not None and isinstance(steps[fact.step], ReleaseStep):
                early = early or (mixed_s is not None and mixed_s < PLASTICISER_ACTS_S)
        elif isinstance(fact, StepDone) and mixed_s is not None and isinstance(steps[fact.step], MixStep):
            started = run.timers.get(fact.step)
            mixed_s += worked_s(started, entry.stamp) if started else 0.0
    step = run.step
    waiting = any(
        run.pending(material.key) for material in recipe.materials if material.role is Role.PLASTICISER
    )
    if early:
        yield Flag(code="plasticiser-not-acted", about="", gravity="warn")
    elif isinstance(step, ReleaseStep) and waiting:
        yield Flag(code="plasticiser-first", about="", gravity="warn")
    elif isinstance(step, ReleaseStep) and mixed_s is not None and mixed_s < PLASTICISER_ACTS_S:
        yield Flag(code="mix-plasticiser-first", about="", gravity="warn")


def temperature_flags(run: Run) -> Iterator[Flag]:
    mix_c = celsius(run.mix_milli_c) if run.mix_milli_c is not None else run.start.shop_c
    if mix_c is None:
        return
    for material in run.recipe.materials:
        if material.film_forming_c is not None and mix_c < material.film_forming_c:
            yield Flag(
                code="polymer-cold",
                about=material.key,
                gravity="warn",
                values=(("mix_c", mix_c), ("least_c", material.film_forming_c)),
            )
    if run.mix_milli_c is None:
        return
    for step in run.steps:
        if isinstance(step, TemperatureStep) and step.key in run.finished:
            if step.max_c is not None and mix_c > step.max_c:
                yield Flag(
                    code="mix-warm",
                    about=step.key,
                    gravity="warn",
                    values=(("mix_c", mix_c), ("max_c", step.max_c)),
                )
            elif step.min_c is not None and mix_c < step.min_c:
                yield Flag(
                    code="mix-cold",
                    about=step.key,
                    gravity="warn",
                    values=(("mix_c", mix_c), ("min_c", step.min_c)),
                )
