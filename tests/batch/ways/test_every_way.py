"""Every way out of random trouble keeps every limit, and doing as it says lands where it says."""

from collections import Counter
from fractions import Fraction

from hypothesis import HealthCheck, Phase, given, settings

from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.targets import project
from mixstation.batch.way import Way, way_taken
from mixstation.batch.ways import Limits, ways_out
from mixstation.recipe.model import SplitStep
from tests.batch.ways.bucket import told, work
from tests.batch.ways.limits_kept import litres, problems
from tests.batch.ways.troubles import Trouble, troubles
from tests.depth import examples


def mended(trouble: Trouble) -> list[Way]:
    """Ways that can be taken and say that they end inside."""
    ways = ways_out(trouble.run, trouble.limits)
    return [way for way in ways if way.kind not in ("leave", "discard") and not way.hindrances]


def after_taking_out(run: Run, limits: Limits) -> Run:
    """What a way takes out first, taken out."""
    while isinstance(run.step, TakeOutStep):
        place = run.steps.index(run.step) + 1
        run = work(run, limits.divisions_mg, until=run.steps[place].key if place < len(run.steps) else "")
    return run


def keeps_every_limit(run: Run, limits: Limits, way: Way) -> None:
    totals = {amount.material: Fraction(amount.mass_mg) for amount in way.totals}
    if not way.scoop_mg:
        assert not list(problems(run, limits, totals)), way
    divisions = limits.divisions_mg
    for amount in way.additions:
        assert amount.mass_mg > 0
        assert amount.mass_mg % divisions[amount.material] == 0
    before = told(run, way_taken(way, "said"))
    after = after_taking_out(before, limits)
    for stage in (before, after):
        for key, final in project(stage).finals.items():
            assert abs(final - totals[key]) <= 1, (key, way)
    for key in totals:
        more = totals[key] - after.content[key]
        assert more > -1
        if key in limits.stock_mg:
            assert more <= limits.stock_mg[key] + 1
    assert abs(litres(run, totals) - way.volume_l) < 1e-5
    splits = any(isinstance(step, SplitStep) and step.key not in run.finished for step in run.steps)
    end = work(after, divisions)
    assert not list(problems(run, limits, end.content, splits + bool(way.scoop_mg))), way


def test_ways_keep_every_limit() -> None:
    examined: Counter[str] = Counter()

    @settings(
        max_examples=examples(100),
        suppress_health_check=list(HealthCheck),
        phases=(Phase.explicit, Phase.reuse, Phase.generate),
    )
    @given(troubles())
    def check(trouble: Trouble) -> None:
        for way in mended(trouble):
            keeps_every_limit(trouble.run, trouble.limits, way)
            examined[way.kind] += 1

    check()
    assert examined.total() > examples(100) / 3
    assert len(examined) >= 3
