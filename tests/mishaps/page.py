"""Mishaps as Markdown, and the part of the README that holds them."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from mixstation.batch.consistency import remedy
from mixstation.batch.refusal import Refusal
from mixstation.batch.way import Way
from mixstation.batch.ways import limits_of, ways_out
from mixstation.units.show import DisplayUnits
from mixstation.wording.asks import asked
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.refusal_lines import refusal_line
from mixstation.wording.remedies import remedy_line
from mixstation.wording.ways import hindrance_line, to_add, way_line
from mixstation.wording.words import Speech
from tests.batch.making import Bench
from tests.mishaps.happened import MIXES, Mishap, Mix, bench_for

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
    yield f"**{mix.heading}:**"
    yield ""
    yield "| What happened | What it says | Ways out, best first |"
    yield "| --- | --- | --- |"
    for mishap in mix.mishaps:
        yield "| " + " | ".join(_plain(text) for text in _row(mix, mishap)) + " |"


def _plain(text: str) -> str:
    """Nothing in a cell is markup."""
    return text.replace("|", "\\|").replace("*", "\\*")


def _row(mix: Mix, mishap: Mishap) -> tuple[str, str, str]:
    bench = bench_for(mix, mishap)
    refusal = mishap.happens(bench)
    ways = _ways(bench)
    idle = all(way.kind in ("leave", "discard") for way in ways) and not _grave(bench)
    lines = [] if idle else [_way(number, way, bench) for number, way in enumerate(ways, start=1)]
    return mishap.what, _said(bench, refusal), "<br>".join(lines) or "—"


def _said(bench: Bench, refusal: Refusal | None) -> str:
    """What was refused, else what to do about how the mix moves, else the gravest flag, else the next thing asked."""
    run, speech = bench.run, Speech(units=UNITS, division_mg=bench.division_mg)
    if refusal is not None:
        return refusal_line(run, refusal, speech)
    if run.judged is not None and run.judged.verdict != "right":
        return remedy_line(remedy(run, run.judged.verdict, _divisions_mg(bench)), run, UNITS)
    flags = [flag for flag in bench.advice.flags if flag.gravity != "note"]
    if flags:
        return flag_line(run, flags[0], speech)
    return asked(bench.standing, reference=True, has_scale=True, speech=speech).ask


def _divisions_mg(bench: Bench) -> dict[str, int]:
    return dict.fromkeys(bench.run.content, bench.division_mg)


def _grave(bench: Bench) -> bool:
    return any(flag.gravity == "stop" for flag in bench.advice.flags)


def _ways(bench: Bench) -> tuple[Way, ...]:
    run, working = bench.run, bench.advice.working
    left_s = None if working.since_s is None else int(working.low_s - working.since_s)
    stiffening = run.judged is not None and run.judged.verdict == "stiff-and-warm"
    return ways_out(run, limits_of(run, _divisions_mg(bench), left_s, stiffening=stiffening))


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
