"""Every way out of random trouble keeps every limit, and doing as it says lands where it says."""

from fractions import Fraction

from hypothesis import HealthCheck, Phase, given, settings

from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.targets import project
from mixstation.batch.way import Way
from mixstation.batch.ways import Limits, taken, ways_out
from mixstation.recipe.model import SplitStep
from tests.batch.ways.bucket import told, work
from tests.batch.ways.limits_kept import litres, problems
from tests.batch.ways.troubles import Trouble, troubles


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


@settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
@given(troubles())
def test_ways_keep_every_limit(trouble: Trouble) -> None:
    run, limits = trouble.run, trouble.limits
    for way in mended(trouble):
        totals = {amount.material: Fraction(amount.mass_mg) for amount in way.totals}
        if not way.scoop_mg:
            assert not list(problems(run, limits, totals)), way
        divisions = limits.divisions_mg
        for amount in way.additions:
            assert amount.mass_mg > 0
            assert amount.mass_mg % divisions[amount.material] == 0
        before = told(run, taken(way, run, "said"))
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
        spare = (
            1
            if any(isinstance(step, SplitStep) and step.key not in run.finished for step in run.steps)
            else 0
        )
        end = work(after, divisions)
        spare += bool(way.scoop_mg)
        assert not list(problems(run, limits, end.content, spare)), way
