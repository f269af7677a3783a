"""What went in or came out: booked as it is, asked about once where it can hardly be meant, else refused."""

from dataclasses import replace
from fractions import Fraction

import pytest

from mixstation.batch.bounds import MOST_MG
from mixstation.batch.commands import (
    Book,
    BookExtra,
    BookPortion,
    BookRemoved,
    BringForward,
    ChangeWeighing,
    FillTub,
    RunOut,
    TakeReference,
)
from mixstation.batch.events import (
    MaterialRemoved,
    PortionTaken,
    ReferenceTaken,
    StepDone,
    TubFilled,
    WeightRecorded,
)
from mixstation.batch.refusal import AskedOnce
from mixstation.recipe.model import Basis, Cap
from tests.batch.making import Bench, blend, raw, values_of, weight
from tests.batch.recipes import RAW, RAW_POWDERS, f, g, kg, with_material


def test_a_dose_is_stored_as_it_was_weighed() -> None:
    bench = blend()
    given = weight(kg("1.9"), "scale", gross_mg=kg("3.1"), residue_mg=None, weighing="bucket")
    (recorded, done) = bench.does(Book(weight=given))
    assert recorded == WeightRecorded(
        step="water-1",
        material="water",
        mass_mg=kg("1.9"),
        source="scale",
        shown="1.900 kg",
        division_mg=1000,
        gross_mg=kg("3.1"),
        residue_mg=None,
        weighing="bucket",
    )
    assert done == StepDone(step="water-1")


@pytest.mark.parametrize("mass_mg", [0, -1, -(10**30), MOST_MG + 1, 10**400])
def test_no_mass_is_no_weight(mass_mg: int) -> None:
    bench = blend()
    bad = weight(1)
    bad = type(bad)(mass_mg=mass_mg, source="typed", shown="?", division_mg=1000)
    assert bench.refuses(Book(weight=bad)).code == "not-a-mass"
    assert bench.refuses(BookExtra(material="water", weight=bad, reason="x")).code == "not-a-mass"
    bench.pours()
    assert bench.refuses(BookPortion(weight=bad, reason="x")).code == "not-a-mass"
    assert bench.refuses(BookRemoved(material="water", weight=bad, reason="x")).code == "not-a-mass"


@pytest.mark.parametrize(
    ("typed", "code"),
    [("19.01", "far-over"), ("2.852", "far-over"), ("0.1901", "far-under"), ("0.95", "far-under")],
)
def test_a_typed_weight_far_off_is_asked_about_once(typed: str, code: str) -> None:
    """1.901 kg asked for: a slipped decimal mark, or past half as much again, or under half."""
    bench = blend(bucket_l=200.0)
    command = Book(weight=weight(kg(typed), "typed"))
    refused = bench.refuses(command)
    assert (refused.code, isinstance(refused, AskedOnce)) == (code, True)
    assert values_of(refused) == {"mass_mg": kg(typed), "target_mg": bench.dosing.target_mg}
    assert bench.dosing.target_mg == kg("1.901")
    bench.does(Book(weight=command.weight, confirmed=True))
    assert bench.run.content["water"] == kg(typed)


@pytest.mark.parametrize("typed", ["0.951", "2.62"])
def test_a_typed_weight_near_enough_is_not_asked_about(typed: str) -> None:
    blend().does(Book(weight=weight(kg(typed), "typed")))


def test_what_is_right_is_never_far_off_and_what_was_asked_for_is_named() -> None:
    """17.8 of 18 kg of blend: the rest is small beside what the whole may miss by."""
    bench = blend(g(5)).goes_to("blend-2")
    bench.does(BookExtra(material="blend", weight=weight(kg("8.967")), reason="second bag"))
    asked = bench.dosing
    assert asked.exact_mg == g(33)
    assert asked.target_mg == g(35)
    assert asked.high_mg > 2 * asked.target_mg
    over = asked.high_mg + g(5)
    refused = bench.refuses(Book(weight=weight(over, "typed")))
    assert (refused.code, values_of(refused)["target_mg"]) == ("far-over", g(35))
    bench.does(Book(weight=weight(2 * asked.target_mg, "typed")))


def test_an_extra_far_beyond_the_whole_plan_is_asked_about_once() -> None:
    bench = raw().goes_to("plasticiser")
    command = BookExtra(material="plasticiser", weight=weight(kg(15), "typed"), reason="x")
    refused = bench.refuses(command)
    assert (refused.code, isinstance(refused, AskedOnce)) == ("far-over-plan", True)
    assert values_of(refused)["then_mg"] == kg(15)
    assert "over-cap" in [other.code for other in refused.also]
    bench.does(replace(command, confirmed=True))


def test_the_ceiling_and_the_cap_are_both_named() -> None:
    """Too much plasticiser, which carries water, passes both."""
    bench = raw().goes_to("plasticiser")
    refused = bench.refuses(BookExtra(material="plasticiser", weight=weight(kg(15)), reason="x"))
    assert (refused.code, [other.code for other in refused.also]) == ("over-ceiling", ["over-cap"])


def test_the_scale_is_not_asked_what_it_means() -> None:
    blend().does(Book(weight=weight(kg("0.2"), "scale")))


def test_over_the_ceiling_is_asked_about_once_whatever_weighed_it() -> None:
    """2.7/18 = 0.150, over 0.146 even with all the powder to come."""
    bench = blend()
    refused = bench.refuses(Book(weight=weight(kg("2.7"))))
    assert (refused.code, isinstance(refused, AskedOnce)) == ("over-ceiling", True)
    assert values_of(refused) == {"ratio": Fraction(2700, 18000), "ceiling_ratio": f("0.146")}
    bench.does(Book(weight=weight(kg("2.7")), confirmed=True))


def test_one_yes_answers_for_all_that_is_odd() -> None:
    """Typed far over what is asked for, and past the ceiling: both are said, and one confirmation books it."""
    bench = blend(bucket_l=200.0)
    refused = bench.refuses(Book(weight=weight(kg("19.01"), "typed")))
    assert (refused.code, [other.code for other in refused.also]) == ("far-over", ["over-ceiling"])
    bench.does(Book(weight=weight(kg("19.01"), "typed"), confirmed=True))


def test_what_brings_water_counts_to_the_ceiling() -> None:
    """Water at 0.35 of binder by itself; the emulsion takes it past 0.38."""
    bench = raw()
    bench.pours(kg("3.08"), confirmed=True)
    refused = bench.refuses(Book(weight=weight(bench.dosing.target_mg)))
    assert refused.code == "over-ceiling"


def test_damp_sand_already_reckoned_with_is_not_asked_about_again() -> None:
    """Over the ceiling and confirmed: the sand's own water was counted then."""
    bench = raw()
    bench.pours(kg("3.3"), confirmed=True)
    bench.goes_to("emulsion")
    bench.pours(confirmed=True)
    bench.goes_to("sand-1")
    bench.does(Book(weight=weight(bench.dosing.target_mg)))


def test_an_extra_is_held_to_the_ceiling_too() -> None:
    bench = blend()
    extra = BookExtra(material="water", weight=weight(kg("2.7")), reason="hose")
    assert bench.refuses(extra).code == "over-ceiling"


def test_over_a_cap_is_asked_about_once() -> None:
    """1.2 % of 8.8 kg binder is 105.6 g."""
    bench = raw().goes_to("plasticiser")
    bench.does(Book(weight=weight(g(50)), confirmed=True))
    again = BookExtra(material="plasticiser", weight=weight(g(60)), reason="still crumbs")
    refused = bench.refuses(again)
    assert (refused.code, isinstance(refused, AskedOnce)) == ("over-cap", True)
    assert values_of(refused) == {
        "fraction": Fraction(g(110), kg("8.8")),
        "cap_fraction": f("0.012"),
        "source": "its label",
    }
    bench.does(BookExtra(material="plasticiser", weight=weight(g(55)), reason="still crumbs"))


def test_a_cap_on_another_basis_than_the_dose_is_kept_too() -> None:
    """Dose on cement, cap 1 % of binder: 88 g."""
    cap = RAW.material("plasticiser").cap
    assert cap is not None
    dosed = RAW.material("plasticiser").dose
    assert dosed is not None
    capped = with_material(
        RAW,
        "ochre",
        dose=type(dosed)(fraction=f("0.009"), of=RAW.material("ochre").dose.of),  # type: ignore[union-attr]
        cap=type(cap)(fraction=f("0.01"), of=cap.of, source="label"),
    )
    bench = Bench.begin(capped, RAW_POWDERS).goes_to("ochre")
    refused = bench.refuses(Book(weight=weight(g(90))))
    assert (refused.code, values_of(refused)["fraction"]) == ("over-cap", Fraction(g(90), kg("8.8")))
    bench.does(Book(weight=weight(g(90)), confirmed=True))
    assert "dose-over-cap" in bench.codes


def test_a_cap_on_solids_counts_the_solids() -> None:
    """6 % solids of 8 kg cement, 48 % of the emulsion: 1000 g. At 1100 g it is 6.6 %."""
    capped = with_material(RAW, "emulsion", cap=Cap(fraction=f("0.06"), of=Basis.CEMENT, source="label"))
    bench = Bench.begin(capped, RAW_POWDERS).goes_to("emulsion")
    refused = bench.refuses(Book(weight=weight(g(1100))))
    assert (refused.code, values_of(refused)["fraction"]) == ("over-cap", f("0.066"))
    bench.does(Book(weight=weight(g(1000))))


def test_nothing_is_weighed_at_a_step_that_weighs_nothing() -> None:
    bench = blend().goes_to("mix-1")
    assert bench.refuses(Book(weight=weight(g(5)))).code == "nothing-to-weigh"
    assert bench.refuses(TakeReference(gross_mg=0, division_mg=1000)).code == "other-step"
    assert bench.refuses(FillTub(weight=weight(g(5)))).code == "other-step"


def test_reference_before_the_pour() -> None:
    bench = blend(weighing="supply")
    (fact,) = bench.does(TakeReference(gross_mg=kg(9), division_mg=5000))
    assert fact == ReferenceTaken(step="water-1", weighing="supply", gross_mg=kg(9), division_mg=5000)
    assert bench.run.references == {"water-1": fact}
    bench.pours()
    assert bench.run.references == {}


def test_a_bucket_that_is_not_as_heavy_as_the_entries_say_is_asked_about() -> None:
    """Three divisions and 0.2 % of 1.901 kg are allowed: 6.802 g."""
    bench = blend()
    bench.does(TakeReference(gross_mg=kg("1.2"), division_mg=1000))
    bench.pours()
    right = kg("1.2") + kg("1.901")
    bench.does(TakeReference(gross_mg=right + g("6.8"), division_mg=1000))
    refused = bench.refuses(TakeReference(gross_mg=right + g("50"), division_mg=1000))
    assert (refused.code, isinstance(refused, AskedOnce)) == ("bucket-differs", True)
    bench.does(TakeReference(gross_mg=right + g("50"), division_mg=1000, confirmed=True))
    assert "bucket-heavier" in bench.codes


def test_a_tub_only_where_a_tub_is_weighed() -> None:
    bench = blend()
    assert bench.refuses(FillTub(weight=weight(kg(1)))).code == "other-step"
    bench.does(ChangeWeighing(weighing="tub"))
    (fact,) = bench.does(FillTub(weight=weight(kg(1))))
    assert fact == TubFilled(
        step="water-1", mass_mg=kg(1), source="scale", shown="1.000 kg", division_mg=1000
    )
    assert bench.run.content["water"] == 0


def test_more_than_a_tub_was_filled_with_is_asked_about_once_where_it_is_typed() -> None:
    bench = blend(weighing="tub")
    filled_mg = bench.dosing.target_mg
    bench.does(FillTub(weight=weight(filled_mg)))
    typed = Book(weight=weight(filled_mg + g(8), "typed"))
    refusal = bench.refuses(typed)
    assert (refusal.code, isinstance(refusal, AskedOnce)) == ("more-than-filled", True)
    assert values_of(refusal) == {"mass_mg": filled_mg + g(8), "filled_mg": filled_mg}
    bench.does(replace(typed, confirmed=True))
    assert bench.run.content["water"] == filled_mg + g(8)


def test_a_split_takes_its_fraction_of_what_is_in() -> None:
    bench = raw().goes_to("face")
    whole = bench.run.in_bucket_mg
    asked = round(whole * f("0.22") / 1000) * 1000
    (fact, done) = bench.does(Book(weight=weight(asked)))
    assert isinstance(fact, PortionTaken)
    assert (fact.layer, fact.step, fact.mass_mg) == ("face coat", "face", asked)
    assert done == StepDone(step="face")
    assert bench.run.in_bucket_mg == whole - asked


def test_a_typed_split_far_off_is_asked_about() -> None:
    bench = raw().goes_to("face")
    assert bench.refuses(Book(weight=weight(kg(10), "typed"))).code == "far-over"


def test_what_cannot_come_out_is_refused_and_not_asked_about() -> None:
    bench = raw()
    bench.does(BringForward(step="face"))
    refusal = bench.refuses(Book(weight=weight(g(20), "typed")))
    assert (refusal.code, isinstance(refusal, AskedOnce)) == ("more-than-in", False)


def test_never_more_out_than_in() -> None:
    bench = blend()
    bench.pours()
    refused = bench.refuses(BookPortion(weight=weight(kg("1.901")), reason="spilt"))
    assert (refused.code, values_of(refused)["in_mg"]) == ("more-than-in", kg("1.901"))
    bench.does(BookPortion(weight=weight(kg("1.9")), reason="spilt"))
    assert bench.run.content["water"] == g(1)
    out = BookRemoved(material="water", weight=weight(g(2)), reason="spilt")
    assert bench.refuses(out).code == "more-than-in"
    (fact,) = bench.does(BookRemoved(material="water", weight=weight(g(1)), reason=" spilt "))
    assert isinstance(fact, MaterialRemoved)
    assert (fact.step, fact.reason) == (None, "spilt")


def test_what_goes_in_or_out_beside_the_steps_needs_a_reason_and_a_known_material() -> None:
    bench = blend()
    for odd in (weight(1), weight(kg(30), "typed")):
        assert bench.refuses(BookExtra(material="water", weight=odd, reason="  ")).code == "no-reason"
    assert (
        bench.refuses(BookExtra(material="gravel", weight=weight(1), reason="x")).code == "unknown-material"
    )
    bench.pours()
    assert bench.refuses(BookRemoved(material="water", weight=weight(1), reason="")).code == "no-reason"
    assert (
        bench.refuses(BookRemoved(material="gravel", weight=weight(1), reason="x")).code == "unknown-material"
    )


@pytest.mark.parametrize(("extra", "asked"), [("1.663", False), ("1.664", True)])
def test_half_more_than_the_whole_plan_is_far_over_it_with_what_is_in(extra: str, asked: bool) -> None:
    """0.132 of 18 kg is 2.376 kg of water; half more is 3.564 kg, of which 1.901 kg are in already."""
    bench = blend().goes_to("blend-1")
    assert bench.run.content["water"] == kg("1.901")
    refused = bench.refuses(BookExtra(material="water", weight=weight(kg(extra), "typed"), reason="x"))
    assert isinstance(refused, AskedOnce)
    assert ("far-over-plan" in {refused.code, *(other.code for other in refused.also)}) is asked


def test_a_cap_on_a_powder_that_never_came_holds_nothing_back() -> None:
    """No cement nor metakaolin in and none to come: there is nothing to hold the plasticiser's cap against."""
    bench = raw().goes_to("cement-1")
    for key in ("cement", "metakaolin"):
        bench.does(RunOut(material=key))
    command = BookExtra(material="plasticiser", weight=weight(g(10)), reason="x")
    decided = bench.tries(command)
    told = (
        {decided.code, *(other.code for other in decided.also)} if isinstance(decided, AskedOnce) else set()
    )
    assert "over-cap" not in told
