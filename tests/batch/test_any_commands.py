"""Whatever is asked for, in whatever order: facts or a refusal, an honest state, and a way to the end from there."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.batch.commands import (
    Book,
    BookExtra,
    BookPortion,
    BookRemoved,
    Command,
    RunOut,
    SwapMaterial,
    TakeBack,
)
from mixstation.batch.decide import decide
from mixstation.batch.events import EntryTakenBack, MaterialRemoved, PortionTaken, WeightRecorded
from mixstation.batch.refusal import AskedOnce, Refusal
from mixstation.batch.run import Run, fold
from tests.batch.arbitrary import commands
from tests.batch.follow import next_command
from tests.batch.making import Bench, blend, clouded, raw, weight
from tests.batch.recipes import g
from tests.batch.test_any_facts import WORDS
from tests.depth import examples

MASSES = st.one_of(st.integers(1, 40), st.integers(100, 3000), st.integers(3000, 20_000)).map(g)
SOURCES = st.sampled_from(["scale", "typed"])
WEIGHTS = st.builds(weight, MASSES, SOURCES)
KEYS = st.sampled_from(
    ["water", "blend", "fibre", "cement", "sand", "emulsion", "plasticiser", "slate", "metakaolin"]
)
LIKELY: st.SearchStrategy[Command] = st.one_of(
    st.builds(Book, weight=WEIGHTS, confirmed=st.booleans()),
    st.builds(BookExtra, material=KEYS, weight=WEIGHTS, reason=st.just("slip"), confirmed=st.booleans()),
    st.builds(BookRemoved, material=KEYS, weight=WEIGHTS, reason=st.just("slip")),
    st.builds(BookPortion, weight=WEIGHTS, reason=st.just("slip")),
    st.builds(TakeBack, seq=st.integers(1, 70), reason=st.just("slip")),
    st.builds(SwapMaterial, seq=st.integers(1, 70), material=KEYS, reason=st.just("wrong tub")),
    st.builds(RunOut, material=KEYS),
)
# None: do what the advice says.
DEEDS = st.lists(st.one_of(st.none(), st.none(), st.none(), LIKELY, commands(WORDS)), max_size=40)
BENCHES = st.sampled_from([blend, raw, clouded, lambda: raw(g(10)), lambda: blend(g(5), weighing="tub")])


def in_the_ledger(run: Run) -> dict[str, Fraction]:
    """What is in by a ledger of its own; nothing goes below nothing."""
    left = {material.key: Fraction(0) for material in run.recipe.materials}
    for entry in run.live:
        fact = entry.fact
        if isinstance(fact, WeightRecorded):
            left[fact.material] += fact.mass_mg
        elif isinstance(fact, MaterialRemoved):
            left[fact.material] -= min(left[fact.material], fact.mass_mg)
        elif isinstance(fact, PortionTaken):
            whole = sum(left.values())
            for key in left if whole else ():
                left[key] -= left[key] * min(Fraction(fact.mass_mg), whole) / whole
    return left


def honest(bench: Bench) -> None:
    run, standing = bench.run, bench.standing
    assert dict(run.content) == in_the_ledger(run)
    assert min(run.content.values()) >= 0
    if not run.void:
        facts = [entry.fact for entry in run.entries]
        into = sum(fact.mass_mg for fact in facts if isinstance(fact, WeightRecorded))
        out = sum(fact.mass_mg for fact in facts if isinstance(fact, MaterialRemoved | PortionTaken))
        assert run.in_bucket_mg == into - out
    assert all(total >= 0 for total in standing.projection.totals.values())
    assert all(final >= 0 for final in standing.projection.finals.values())
    dosing = standing.dosing
    if dosing is not None:
        assert dosing.target_mg >= 0
        assert dosing.target_mg % bench.division_mg == 0
        assert 0 <= dosing.low_mg <= dosing.high_mg
        assert (dosing.low_mg == 0) == (dosing.exact_mg == 0)
        assert not dosing.target_mg or dosing.low_mg <= dosing.target_mg <= dosing.high_mg
        if dosing.exact_mg and not dosing.target_mg:
            assert "dose-below-division" in bench.codes


@settings(max_examples=examples(50))
@given(bench=BENCHES.map(lambda make: make()), deeds=DEEDS)
def test_any_commands(bench: Bench, deeds: list[Command | None]) -> None:
    """`Bench` checks besides, after every fact, that one by one and all at once give the same run."""
    for deed in deeds:
        if bench.run.ended:
            break
        before = bench.run
        decided = bench.tries(next_command(bench) if deed is None else deed)
        if isinstance(decided, Refusal):
            assert bench.run is before
            assert decided.code
            assert deed is not None, decided
            asks_only_once(bench, deed, decided)
        else:
            assert decided
        honest(bench)
    ends_in_bounded_steps(bench)


def asks_only_once(bench: Bench, command: Command, refusal: Refusal) -> None:
    """What was asked about goes through once confirmed."""
    if isinstance(refusal, AskedOnce) and hasattr(command, "confirmed"):
        confirmed = decide(bench.advice, replace(command, confirmed=True))  # type: ignore[call-arg]
        assert not isinstance(confirmed, Refusal), confirmed


def ends_in_bounded_steps(bench: Bench) -> None:
    """From here the advice leads to the end, and nothing it asks for is refused."""
    most = 60 + 8 * len(bench.run.steps)
    for _ in range(most):
        if bench.run.ended:
            return
        decided = bench.tries(next_command(bench))
        assert not isinstance(decided, Refusal), decided
    raise AssertionError(f"not at the end after {most} commands, at {bench.step}")


@settings(max_examples=examples(50))
@given(
    bench=BENCHES.map(lambda make: make()),
    deeds=st.lists(st.one_of(st.none(), st.none(), LIKELY), min_size=5, max_size=30),
    backs=st.lists(st.integers(1, 90), min_size=1, max_size=8),
)
def test_after_taking_back_it_is_as_if_it_had_never_been(
    bench: Bench, deeds: list[Command | None], backs: list[int]
) -> None:
    for deed in deeds:
        if not bench.run.ended:
            bench.tries(next_command(bench) if deed is None else deed)
    for seq in backs:
        if not bench.run.ended:
            bench.tries(TakeBack(seq=seq, reason="slip"))
    kept = [
        entry
        for entry in bench.run.entries
        if entry.seq not in bench.run.void and not isinstance(entry.fact, EntryTakenBack)
    ]
    renumbered = {entry.seq: seq for seq, entry in enumerate(kept, start=1)}
    if any(step.key.startswith("way") for step in bench.run.steps):
        return
    never = fold([replace(entry, seq=renumbered[entry.seq]) for entry in kept])
    same = replace(
        bench.run,
        entries=never.entries,
        void=never.void,
        judged_at=renumbered.get(bench.run.judged_at, 0),
    )
    assert same == never
