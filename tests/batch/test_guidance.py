"""Following the advice ends inside every band: for any recipe, any scale, and hands as sure as their tolerance asks."""

from fractions import Fraction

from hypothesis import assume, event, given, settings
from hypothesis import strategies as st

from mixstation.batch.bounds import recipe_fits
from mixstation.batch.commands import Book, EnoughIn, Finish
from mixstation.batch.targets import dose_band, dose_now
from mixstation.recipe.model import AddStep
from mixstation.recipe.proportions import basis_mass, free_water
from tests.batch.follow import next_command
from tests.batch.making import Bench, weight
from tests.batch.random_recipes import Job, jobs
from tests.depth import examples

# Steps of up to forty with a few commands each, and up to fifty increments of held-back water with four each.
MOST_COMMANDS = 500
# Said of the scale before the pour, and mended by a finer one; nothing the hand can do.
OF_THE_SCALE = {"dose-small-for-scale", "dose-below-division"}


def begun(job: Job) -> Bench:
    assert recipe_fits(job.recipe)
    bench = Bench.begin(
        job.recipe, job.powders, job.division_mg, bucket_l=500.0, weighed_apart=job.weighed_apart
    )
    # A recipe whose other materials bring nearly all the water leaves the scale nothing to steer with.
    assume(bench.projection.totals["water"] >= 400 * job.division_mg)
    return bench


def follows(bench: Bench, hand: st.DataObject | None) -> None:
    """To the end as advised; with a hand, each dose anywhere inside what the advice calls right."""
    for _ in range(MOST_COMMANDS):
        if not bench.step:
            return
        command = next_command(bench)
        dosing = bench.standing.dosing
        if hand is not None and isinstance(command, Book) and dosing is not None:
            command = Book(weight=weight(poured_mg(bench, hand), division_mg=bench.shows_mg), confirmed=True)
        bench.does(command)
        assert not bench.run.step or asks_for_something(bench)
    raise AssertionError("no end")


def poured_mg(bench: Bench, hand: st.DataObject) -> int:
    dosing = bench.dosing
    low = -(-dosing.low_mg // bench.shows_mg)
    high = dosing.high_mg // bench.shows_mg
    if low > high:
        return max(1, round(dosing.exact_mg))
    return hand.draw(st.integers(max(1, low), max(1, high)), "divisions") * bench.shows_mg


def asks_for_something(bench: Bench) -> bool:
    """Never less than nothing, never a dose of nothing: then the step asks for `EnoughIn` alone."""
    dosing = bench.standing.dosing
    if dosing is None:
        return True
    assert dosing.exact_mg >= 0
    assert dosing.target_mg >= 0
    assert dosing.target_mg % bench.shows_mg == 0
    if not dosing.exact_mg:
        assert (dosing.target_mg, dosing.low_mg) == (0, 0)
    return True


def ends_inside(bench: Bench) -> None:
    recipe, content = bench.run.recipe, bench.run.content
    assert not {flag.code for flag in bench.advice.flags if flag.gravity != "note"}
    ratio = bench.projection.ratio
    assert ratio is not None
    assert recipe.water.least <= ratio <= recipe.water.most
    for material in recipe.materials:
        if material.dose is None:
            continue
        least, most = dose_band(material)
        now = dose_now(recipe, material, content)
        assert now is not None
        slack = now * shown_mg(bench, material.key) / 2 / content[material.key]
        assert least - slack <= now <= most + slack
    for amount in bench.run.aim.powders:
        total = amount.mass_mg * bench.run.kept
        tolerance = recipe.material(amount.material).tolerance
        off = content[amount.material] - total
        half = Fraction(shown_mg(bench, amount.material), 2)
        assert -tolerance.under * total - half <= off <= tolerance.over * total + half
    bench.does(Finish())
    seen = {code for (code, _), flag in bench.seen.items() if flag.gravity != "note"}
    assert seen <= OF_THE_SCALE


def shown_mg(bench: Bench, key: str) -> int:
    return bench.run.division_of(key, bench.division_mg)


@settings(max_examples=examples(30))
@given(job=jobs())
def test_poured_exactly(job: Job) -> None:
    """The last water is the balance: it ends at the target to half a division, and what follows carries none."""
    bench = begun(job)
    follows(bench, None)
    recipe, content = bench.run.recipe, bench.run.content
    aimed = recipe.water.target * basis_mass(recipe, content, recipe.water.of)
    assert abs(free_water(recipe, content) - aimed) <= Fraction(shown_mg(bench, "water"), 2)
    ends_inside(bench)


@settings(max_examples=examples(30))
@given(job=jobs(), hand=st.data())
def test_poured_inside_the_tolerance(job: Job, hand: st.DataObject) -> None:
    bench = begun(job)
    follows(bench, hand)
    ends_inside(bench)


@settings(max_examples=examples(30))
@given(job=jobs(), slips=st.lists(st.integers(-60, 60), min_size=1, max_size=12))
def test_early_shares_poured_far_off_are_mended(job: Job, slips: list[int]) -> None:
    """Up to 60 % under or over, so long as the total is not passed: the later share makes it good."""
    bench = begun(job)
    turn = 0
    for _ in range(MOST_COMMANDS):
        step = bench.run.step
        if step is None:
            break
        command = next_command(bench)
        if isinstance(step, AddStep) and step.cumulative < 1 and isinstance(command, Book):
            slip, turn = slips[turn % len(slips)], turn + 1
            total = bench.projection.totals[step.material]
            room = int((total - bench.run.content[step.material]) * 95 / 100)
            mass = min(bench.dosing.target_mg * (100 + slip) // 100, room)
            mass -= mass % bench.shows_mg
            if mass > 0:
                event("slipped")
                bench.does(Book(weight=weight(mass, division_mg=bench.shows_mg), confirmed=True))
            if bench.step == step.key:
                bench.tries(EnoughIn())
        if bench.step == step.key:
            bench.does(next_command(bench))
    assert not bench.step
    ends_inside(bench)
