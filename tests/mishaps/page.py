"""Mishaps as Markdown, and the part of the README that holds them."""

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from pathlib import Path

from mixstation.batch.refusal import Refusal
from mixstation.batch.way import Way
from mixstation.batch.ways import limits_of, ways_out
from mixstation.recipe.model import AddStep, ReleaseStep
from mixstation.station.scene import Scene, just_judged
from mixstation.station.ways_talk import after_judging
from mixstation.units.show import DisplayUnits
from mixstation.wording.asks import asked
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.refusal_lines import refusal_line
from mixstation.wording.ways import hindrance_line, to_add, way_line
from mixstation.wording.words import Speech
from tests.batch.making import Bench
from tests.mishaps.happened import MIXES, PLAIN, Mishap, Mix, bench_for

README = Path(__file__).parents[2] / "README.md"
BEGIN = "<!-- mishaps: written by python -m tests.mishaps -->"
END = "<!-- end of mishaps -->"

UNITS = DisplayUnits.METRIC


@cache
def mishaps() -> str:
    """All tables, one a recipe."""
    return "\n\n".join("\n".join(_table(mix)) for mix in MIXES)


def rewritten(readme: str) -> str:
    """A README with the part between the marks as it should be now.

    Raises:
        ValueError: It has not exactly one of each mark, in order.
    """
    before, _, rest = readme.partition(BEGIN)
    _, _, after = rest.partition(END)
    if readme.count(BEGIN) != 1 or readme.count(END) != 1 or not rest.count(END):
        raise ValueError(f"wanted one {BEGIN!r} and after it one {END!r}")
    return f"{before}{BEGIN}\n\n{mishaps()}\n\n{END}{after}"


def _table(mix: Mix) -> Iterator[str]:
    yield f"**{mix.heading}; the plan is {planned(mix)}:**"
    yield ""
    yield "| What happened | What it says | Ways out, best first |"
    yield "| --- | --- | --- |"
    for mishap in mix.mishaps:
        yield "| " + " | ".join(_plain(text) for text in _row(mix, mishap)) + " |"


@cache
def planned(mix: Mix) -> str:
    """What is weighed into a batch in which nothing goes wrong, all but the powders."""
    bench = bench_for(mix, PLAIN)
    masses_mg: dict[str, Fraction] = {}
    for step, mass_mg in bench.advice.standing.coming:
        if isinstance(step, AddStep | ReleaseStep) and not bench.run.recipe.material(step.material).is_powder:
            masses_mg[step.material] = masses_mg.get(step.material, Fraction(0)) + mass_mg
    speech = Speech(units=UNITS, division_mg=bench.division_mg)
    return ", ".join(f"{speech.mass(mass_mg)} of {material}" for material, mass_mg in masses_mg.items())


def _plain(text: str) -> str:
    """Nothing in a cell is markup."""
    return text.replace("|", "\\|").replace("*", "\\*")


def _row(mix: Mix, mishap: Mishap) -> tuple[str, str, str]:
    said, ways = told(mix, mishap)
    return mishap.what, said, "<br>".join(ways) or "—"


@cache
def told(mix: Mix, mishap: Mishap) -> tuple[str, tuple[str, ...]]:
    """What the screen says once it has happened, and the ways out; none where nothing is out of its band."""
    bench = bench_for(mix, mishap)
    refusal = mishap.happens(bench)
    ways = _ways(bench)
    to_mend = any(way.kind != "discard" and (way.kind != "leave" or way.gives_up) for way in ways)
    lines = [_way(number, way, bench) for number, way in enumerate(ways, start=1)] if to_mend else []
    return _said(bench, refusal), tuple(lines)


def _said(bench: Bench, refusal: Refusal | None) -> str:
    """What was refused, else what a judgement brings up, else the gravest flag, else the next thing asked."""
    run, speech = bench.run, Speech(units=UNITS, division_mg=bench.division_mg)
    if refusal is not None:
        return refusal_line(run, refusal, speech)
    flags = [flag for flag in bench.advice.flags if flag.gravity != "note"]
    if run.judged is not None and just_judged(run):
        scene = Scene(advice=bench.advice, speech=speech, live=None, has_scale=True)
        talk = after_judging(scene, run.judged.verdict)
        if talk is not None:
            return talk.question(scene).ask
    elif flags:
        return flag_line(run, flags[0], speech)
    return asked(bench.advice.standing, reference=True, has_scale=True, speech=speech).ask


def _ways(bench: Bench) -> tuple[Way, ...]:
    run, working = bench.run, bench.advice.working
    left_s = None if working.since_s is None else int(working.low_s - working.since_s)
    divisions_mg = dict.fromkeys(run.content, bench.division_mg)
    return ways_out(run, limits_of(run, divisions_mg, left_s, stiffening=bench.advice.sets))


def _way(number: int, way: Way, bench: Bench) -> str:
    """A way's line, what still goes in where the line does not say it, and what bars it."""
    run = bench.run
    parts = [way_line(way, run, UNITS)]
    in_steps_to_come = any(
        run.pending(total.material) and total.mass_mg > run.content[total.material] for total in way.totals
    )
    if way.additions and in_steps_to_come and not way.scoop_mg:
        parts.append(f"Still to add in all: {to_add(way, run, UNITS)}.")
    parts += [hindrance_line(hindrance, run, UNITS) for hindrance in way.hindrances]
    return f"{number}. {' '.join(parts)}"
