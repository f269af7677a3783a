"""What a batch record holds, against the batch it was made from and against figures worked by hand."""

import pytest

from mixstation.account.batch_record import batch_record
from mixstation.account.form import EntryKept, Record
from mixstation.batch.commands import DoneStep, Finish, StartTimer
from mixstation.batch.events import FlagRaised, WeighedApart, WeightRecorded
from mixstation.batch.run import FoldError
from mixstation.units.parse import parse_mass_mg
from mixstation.units.show import DisplayUnits
from mixstation.wording.safety import BEFORE_THE_FIRST_BAG
from tests.account.batches import (
    BATCHES,
    SCALE,
    as_advised,
    entries_of,
    eventful,
    just_begun,
    raise_flags,
    still_open,
    thrown_away,
    with_a_cup,
)
from tests.batch.making import Bench, blend, raw


def record_of(bench: Bench, units: DisplayUnits = DisplayUnits.METRIC) -> Record:
    return batch_record(bench.run.entries, units)


def entry(record: Record, number: int) -> EntryKept:
    return record["entries"][number - 1]


@pytest.mark.parametrize("name", BATCHES)
def test_every_entry_is_told_once_and_in_order(name: str) -> None:
    entries = entries_of(name)
    record = batch_record(entries, DisplayUnits.METRIC)
    assert [(told["number"], told["kind"]) for told in record["entries"]] == [
        (each.seq, each.fact.kind) for each in entries
    ]
    assert batch_record(entries, DisplayUnits.METRIC) == record


def test_no_entries_are_no_batch() -> None:
    with pytest.raises(FoldError):
        batch_record((), DisplayUnits.METRIC)


def test_head() -> None:
    record = record_of(as_advised())
    head = record["head"]
    assert (head["batch"], head["piece"], head["outcome"], head["who"]) == (
        "b-1", "planter wall", "finished", ["Mara"],
    )  # fmt: skip
    # The clock of the tests begins at 1 780 000 000 s UTC, one hour east: date -u -d @1780003600.
    assert head["began"] == "2026-05-28 21:26:40 +01:00"
    assert head["first_water"] > head["safety_read"] > head["began"]
    assert record["scale"]["name"] == "bench scale"
    assert record["scale"]["checked"] == "5 kg weight, 4.999 kg"
    assert record["scale"]["divisions_read"] == ["1 g"]
    assert record["cautions"][: len(BEFORE_THE_FIRST_BAG)] == list(BEFORE_THE_FIRST_BAG)


def test_masses_are_exact() -> None:
    bench = blend()
    bench.pours(1_901_037, confirmed=True)
    told = entry(record_of(bench), 3)
    assert (told["actual"], told["target"], told["source"]) == ("1.901037 kg", "1.901 kg", "scale")
    american = entry(record_of(bench, DisplayUnits.US), 3)
    # 1.901037 kg / 0.45359237 kg = 4.19107 lb.
    assert american["actual"] == "4.191 lb (1.901037 kg)"
    for told in record_of(as_advised())["entries"]:
        fact = as_advised().run.entries[told["number"] - 1].fact
        if isinstance(fact, WeightRecorded):
            assert parse_mass_mg(told["actual"]) == fact.mass_mg


def test_the_target_is_that_of_the_moment() -> None:
    bench = blend()
    # 13.2 % of 18 kg is 2.376 kg, of which 80 % go in first.
    first = bench.pours(1_950_000)
    assert entry(record_of(bench), first)["target"] == "1.901 kg"
    assert entry(record_of(bench), first)["deviation"] == "+49 g"
    assert entry(record_of(bench), first)["place"] == "inside"
    bench.goes_to("blend-2")
    second = bench.pours(8_700_000, confirmed=True)
    told = entry(record_of(bench), second)
    assert (told["target"], told["deviation"], told["place"]) == ("9.000 kg", "-300 g", "under")
    # What was short is still asked for in the same step.
    third = bench.pours()
    assert entry(record_of(bench), third)["target"] == "300 g"


def test_what_was_taken_back_stays_with_its_reason() -> None:
    record = record_of(eventful())
    told = entry(record, 4)
    assert (told["actual"], told["place"]) == ("1.500 kg", "under")
    assert told["taken_back"] == {
        "by_entry": 5,
        "time": "2026-05-28 21:26:44 +01:00",
        "who": "Mara",
        "reason": "slip",
    }
    assert [each["number"] for each in record["entries"] if each["taken_back"]] == [4]
    assert record["materials"][0]["went_in"] == "2.576 kg"


def test_time_since_the_first_water_that_counts() -> None:
    record = record_of(eventful())
    since = {told["number"]: told["since_first_water"] for told in record["entries"]}
    # The first weighing of water was taken back, so the clock begins with the second.
    assert (since[4], since[5], since[6]) == ("", "", "0:00")
    assert record["head"]["first_water"] == entry(record, 6)["time"]
    # The wall clock was set on by an hour and the machine started anew: neither ages the mix but the minute it took.
    clock = next(told for told in record["entries"] if told["kind"] == "clock-stepped")
    resumed = next(told for told in record["entries"] if told["kind"] == "program-resumed")
    assert (clock["since_first_water"], resumed["since_first_water"]) == ("2:24", "3:24")
    later = [told["since_first_water"] for told in record["entries"][5:]]
    seconds = [
        sum(60**place * int(part) for place, part in enumerate(reversed(text.split(":")))) for text in later
    ]
    assert seconds == sorted(seconds)


def test_corrections_reasons_and_sources() -> None:
    record = record_of(eventful())
    by_source = {told["source"]: told for told in record["entries"] if told["source"] != "scale"}
    assert by_source["typed"]["reason"] == "went in unseen"
    assert by_source["estimated"]["reason"] == "poured back"
    assert record["materials"][0]["taken_out"] == "20 g"
    assert record["head"]["concession"] == "used where it will not show"
    assert [note["said"] for note in record["notes"]] == ["bag was opened last week", "dried a shade lighter"]
    assert [way["said"] for way in record["ways"]] == [
        "leave it: water ends over its band, the piece paler and weaker"
    ]


def test_steps_with_their_times_and_reasons() -> None:
    steps = {step["key"]: step for step in record_of(eventful())["steps"]}
    assert (steps["mix-1"]["took"], steps["mix-1"]["bounds"], steps["mix-1"]["place"]) == (
        "40 s", "1 min to 1 min 30 s", "under",
    )  # fmt: skip
    assert (steps["rest"]["took"], steps["rest"]["place"]) == ("3 min", "inside")
    assert (steps["scrape-1"]["state"], steps["scrape-1"]["reason"]) == ("left out", "no time left")
    assert steps["scrape-2"]["state"] == "done"
    assert steps["scrape-3"]["out_of_order"]
    assert [key for key, step in steps.items() if step["out_of_order"]] == ["scrape-3"]
    assert steps["temperature"]["bounds"] == "12 °C to 28 °C"
    open_steps = {step["key"]: step["state"] for step in record_of(still_open())["steps"]}
    assert (open_steps["water-1"], open_steps["mix-1"]) == ("done", "not done")


def test_every_flag_ever_raised_with_what_became_of_it() -> None:
    bench = eventful()
    record = record_of(bench)
    raised = [each.fact for each in bench.run.entries if isinstance(each.fact, FlagRaised)]
    assert [(flag["code"], flag["about"]) for flag in record["flags"]] == [
        (fact.code, fact.about) for fact in raised
    ]
    # Water went to 0.143, and 20 g of it was poured back before the way that leaves it so was taken.
    over = next(flag for flag in record["flags"] if flag["code"] == "water-over")
    assert "0.142" in over["said"]
    assert "0.142" in record["water"]["ratio"]
    outcomes = {flag["code"]: flag["outcome"] for flag in record["flags"]}
    assert outcomes == {
        "mix-short": "accepted",
        "scrape-skipped": "passed",
        "water-over": "given up",
        "out-of-order": "stands",
    }
    assert record["flags"][0]["concession"] == "used where it will not show"


def mixed_too_long() -> Bench:
    """A first mix of at most 1 min 30 s that was flagged at 1 min 35 s and went on to 2 min 32 s."""
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    bench.hands.go(95)
    raise_flags(bench)
    bench.hands.go(56)
    bench.does(DoneStep())
    return bench


def test_a_mixing_flagged_while_it_ran_is_told_as_it_ended() -> None:
    bench = mixed_too_long()
    bench.goes_through()
    assert bench.run.fibres_in
    bench.does(Finish())
    record = record_of(bench)
    (long,) = [flag for flag in record["flags"] if flag["code"] == "mix-long"]
    assert (long["gravity"], long["outcome"]) == ("note", "stands")
    assert long["said"] == "The first mix took 2 min 32 s; it should be at most 1 min 30 s: air goes in."
    # What was on screen at its moment stays in the entries.
    shown = next(told["said"] for told in record["entries"] if told["kind"] == "flag-raised")
    assert "1 min 35 s is past 1 min 30 s" in shown


def test_a_flag_that_went_is_told_with_its_figures_just_before_it_went() -> None:
    """Begun anew 2 min after the paddle started, the mixing was right in the end."""
    bench = blend().goes_to("mix-1")
    bench.does(StartTimer())
    started = len(bench.run.entries)
    bench.hands.go(95)
    raise_flags(bench)
    bench.hands.go(24)
    bench.takes_back(started)
    bench.goes_through()
    bench.does(Finish())
    (long,) = record_of(bench)["flags"]
    assert (long["gravity"], long["outcome"]) == ("warn", "passed")
    assert long["said"] == "Stop the paddle: 2 min is past 1 min 30 s; air goes in."


def test_working_time_that_ran_out_was_accepted_or_stands() -> None:
    bench = blend()
    bench.goes_through()
    bench.hands.go(3 * 3600)
    late = next(flag for flag in bench.advice.flags if flag.code == "time-past")
    bench.tell(FlagRaised(code=late.code, about=late.about, gravity=late.gravity, said="too late"))
    assert [flag["outcome"] for flag in record_of(bench)["flags"]] == ["stands"]
    bench.does(Finish(concession="a test piece"))
    assert [flag["outcome"] for flag in record_of(bench)["flags"]] == ["accepted"]


def test_consistency_and_temperature() -> None:
    record = record_of(as_advised())
    assert record["consistency"][0]["said"] == "right, 225 mm"
    judged = next(told for told in record["entries"] if told["kind"] == "consistency-judged")
    assert (judged["target"], judged["place"]) == ("205 to 245 mm", "inside")
    taken = next(told for told in record_of(eventful())["entries"] if told["kind"] == "temperature-taken")
    # As it was typed, with its comma.
    assert (taken["actual"], taken["shown"]) == ("18.5 °C", "18,5 °C")
    assert record_of(eventful(), DisplayUnits.US)["temperatures"][0]["said"] == "65.3 °F"


def test_limits_are_those_the_screen_showed() -> None:
    """In steps of 10 g the limits are rounded inwards, never to grams the scale cannot show."""
    bench = blend(10_000)
    low_mg, high_mg = bench.dosing.low_mg, bench.dosing.high_mg
    first = bench.pours(1_900_000)
    low, _, high = entry(record_of(bench), first)["tolerance"].partition(" to ")
    ends_mg = [parse_mass_mg(low if low.endswith("g") else f"{low} kg"), parse_mass_mg(high)]
    assert ends_mg == [-(-low_mg // 10_000) * 10_000, high_mg // 10_000 * 10_000]


def test_after_a_portion_a_fine_dose_is_still_told_in_its_own_steps() -> None:
    """The face coat takes 22 % out: 52.8 g × 0.78 = 41.18 g, weighed in steps of 0.1 g."""
    beside = WeighedApart(material="plasticiser", scale="fine", division_mg=100)
    bench = raw(5_000, scale=SCALE, weighed_apart=(beside,))
    bench.goes_through()
    bench.does(Finish())
    (told,) = (used for used in record_of(bench)["materials"] if used["key"] == "plasticiser")
    assert (told["went_in"], told["in_bucket"], told["target"]) == ("52.8 g", "41.2 g", "41.2 g")


def test_lots_materials_and_portions() -> None:
    record = record_of(as_advised())
    by_key = {used["key"]: used for used in record["materials"]}
    cement = by_key["cement"]
    assert (cement["role"], cement["lots"], cement["went_in"]) == ("cement", ["C-118"], "8.000 kg")
    # 22 % was taken out for the face coat: 8 kg × 0.78, to the gram.
    assert (cement["in_bucket"], cement["target"], cement["deviation"]) == ("6.240 kg", "6.240 kg", "0 g")
    assert [portion["layer"] for portion in record["made"]["portions"]] == ["face coat"]
    dose = by_key["fibre"]["dose"]
    assert dose is not None
    assert (dose["fraction"], dose["of"], dose["least"], dose["most"]) == (
        "3 %",
        "the whole mix",
        "2.7 %",
        "3.3 %",
    )
    capped = by_key["plasticiser"]["dose"]
    assert capped is not None
    assert (capped["cap"], capped["cap_source"]) == ("1.2 %", "its label")


def test_over_and_under_stand_with_the_material() -> None:
    bench = blend()
    bench.goes_to("fibre")
    bench.pours(700_000, confirmed=True)
    bench.goes_through()
    bench.does(Finish(concession="used as a test piece"))
    by_key = {used["key"]: used for used in record_of(bench)["materials"]}
    assert by_key["fibre"]["place"] == "over"
    assert by_key["blend"]["place"] == "inside"
    water = by_key["water"]
    assert water["place"] == record_of(bench)["water"]["place"]


def test_a_batch_that_is_not_through_claims_nothing_of_what_is_to_come() -> None:
    for bench in (still_open(), thrown_away()):
        record = record_of(bench)
        fibre = next(used for used in record["materials"] if used["role"] == "fibre")
        assert (fibre["deviation"], fibre["place"], fibre["went_in"]) == ("", "", "0 g")
    assert record_of(still_open())["water"]["said"] == "by plan inside its band"
    assert record_of(thrown_away())["head"]["outcome_said"] == "discarded: wrong material went in"
    begun = record_of(just_begun())
    assert (begun["head"]["outcome"], begun["head"]["first_water"]) == ("open", "")


def test_what_to_do_after_the_pour() -> None:
    lines = [each["said"] for each in record_of(as_advised())["after_the_pour"]]
    ended = record_of(as_advised())["head"]["ended"]
    assert ended.startswith("2026-05-28 21:3")
    # Sanding wets it on the second day: nothing forbids that.
    assert any("above 10 °C" in line and "only the sanding wets it" in line for line in lines)
    assert any("wet by hand from 2026-05-29 22:3" in line and "400 grit" in line for line in lines)
    assert not any("Do not wet" in line for line in lines)
    assert any("not before 2026-05-30 21:3" in line and "better 2026-06-01 21:3" in line for line in lines)
    assert any("from 2026-05-29 21:3" in line and "24 h at 20 °C" in line for line in lines)
    assert any("from 2026-06-11 21:3" in line for line in lines)
    # No polymer: kept moist for seven days; in a cold shop it stays in the mould longer.
    cold = [each["said"] for each in record_of(eventful())["after_the_pour"]]
    assert any("moist for about 7 days, until 2026-06-04" in line for line in cold)
    # A sealer comes after that week and two days of drying.
    assert any("not before 2026-06-06" in line and "better 2026-06-08" in line for line in cold)
    # 480 °C·h above 0 °C take 34.3 h at 14 °C, the rates of 0.7006 and 0.7 as long; told in whole hours, never early.
    assert any("about 35 h at 14 °C (24 h at 20 °C)" in line for line in cold)
    assert all(each["source"] for each in record_of(eventful())["after_the_pour"])
    assert record_of(thrown_away())["after_the_pour"] == []
    assert record_of(still_open())["after_the_pour"] == []


def test_weights_outside_the_steps_have_no_target() -> None:
    told = next(told for told in record_of(eventful())["entries"] if told["reason"] == "went in unseen")
    assert (told["target"], told["deviation"], told["place"]) == ("", "", "")
    portion = next(told for told in record_of(as_advised())["entries"] if told["kind"] == "portion-taken")
    assert portion["target"] == portion["actual"]


def test_a_cup_of_mix_stands_beside_what_was_computed() -> None:
    """1 kg in 500 mL is 2000 kg/m³; two readings of 1 g leave 2/√6 g of it open, 1.6 kg/m³ and so 2."""
    bench = with_a_cup()
    made = record_of(bench)["made"]
    assert made["cup"] is not None
    assert made["cup"]["density"] == "2000 ± 2 kg/m³"
    litres = float(bench.run.in_bucket_mg) / 1e6 / 2
    assert made["cup"]["volume"].startswith(f"{litres:.3f}"[:5])
    assert "the recipe counts on" in made["cup"]["air"]
    assert record_of(as_advised())["made"]["cup"] is None
