"""Folding is total: whatever is stored gives a run or a typed error, and a run can always be advised on."""

from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.batch.advice import advise, stand
from mixstation.batch.events import BatchStarted, Entry, EntryTakenBack, Fact, Stamp
from mixstation.batch.moment import Live, Moment
from mixstation.batch.run import FoldError, apply, fold
from mixstation.batch.state import Run
from mixstation.units.show import DisplayUnits
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.words import Speech
from tests.batch.arbitrary import facts, spoilt, values
from tests.batch.making import started
from tests.batch.recipes import BLEND, BLEND_POWDERS, CLOUDED, CLOUDED_POWDERS, RAW, RAW_POWDERS
from tests.depth import examples

STARTS = [
    started(BLEND, BLEND_POWDERS),
    started(RAW, RAW_POWDERS, weighing="tub", shop_c=None),
    started(CLOUDED, CLOUDED_POWDERS, weighing="supply"),
]
WORDS = sorted(
    {"way3.1", "way4.2", ""}
    | {each.key for of in (BLEND, RAW, CLOUDED) for each in (*of.materials, *of.steps)}
)
STAMPS = values(Stamp, ["first", "second"])
MOMENTS = values(Moment, ["first", "second"])
LIVES = st.one_of(st.none(), values(Live, ["steady", "moving", "stale", "fault", "none"]))


def can_be_advised_on(run: Run, moment: Moment, live: Live | None) -> None:
    standing = stand(run, 1000)
    advice = advise(standing, moment, live)
    speech = Speech(units=DisplayUnits.METRIC, division_mg=1000)
    for flag in advice.flags:
        assert flag_line(run, flag, speech)
    assert all(total >= 0 for total in standing.projection.totals.values())
    assert all(mass >= 0 for _, mass in standing.coming)
    assert all(mass >= 0 for mass in run.content.values())
    assert 0 < run.kept <= 1


CODES = {
    "no-start",
    "started-twice",
    "gap",
    "unknown-material",
    "unknown-step",
    "not-a-mass",
    "unfit-recipe",
    "unfit-aim",
}


def folded_or_told(entries: list[Entry]) -> Run | FoldError:
    try:
        return fold(entries)
    except FoldError as error:
        return error


def one_by_one(entries: list[Entry]) -> Run:
    run = fold(entries[:1])
    for entry in entries[1:]:
        run = apply(run, entry)
    return run


@settings(max_examples=examples(100))
@given(
    start=st.sampled_from(STARTS),
    told=st.lists(st.tuples(STAMPS, facts(WORDS)), max_size=25),
    moment=MOMENTS,
    live=LIVES,
)
def test_any_facts_after_a_sound_start(
    start: BatchStarted, told: list[tuple[Stamp, Fact]], moment: Moment, live: Live | None
) -> None:
    """Whole batches of nonsense die early of one bad fact, so each that cannot follow is left out and told of."""
    entries = [Entry(seq=1, stamp=told[0][0] if told else STAMP, fact=start)]
    for stamp, fact in told:
        tried = [*entries, Entry(seq=len(entries) + 1, stamp=stamp, fact=fact)]
        found = folded_or_told(tried)
        if isinstance(found, Run):
            entries = tried
        else:
            assert found.code in CODES
            assert found.seq == len(tried) or isinstance(fact, EntryTakenBack)
    run = fold(entries)
    assert one_by_one(entries) == run
    can_be_advised_on(run, moment, live)


@settings(max_examples=examples(150))
@given(
    start=st.sampled_from(STARTS).flatmap(lambda start: spoilt(start, WORDS)),
    told=st.lists(facts(WORDS), max_size=5),
    moment=MOMENTS,
    live=LIVES,
)
def test_a_start_with_one_thing_wrong(
    start: BatchStarted, told: list[Fact], moment: Moment, live: Live | None
) -> None:
    entries = [Entry(seq=seq, stamp=STAMP, fact=fact) for seq, fact in enumerate((start, *told), start=1)]
    run = folded_or_told(entries)
    if isinstance(run, Run):
        can_be_advised_on(run, moment, live)


STAMP = Stamp(utc_ms=0, offset_min=0, boot_ms=0, mono_ms=0, boot_id="first", who="")
