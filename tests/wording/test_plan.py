"""Every caution and fault of a plan has a sentence; plans read well in both systems of units."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import get_args

import pytest

from mixstation.coded import Coded
from mixstation.plan import cautions, faults, faults_of_pieces
from mixstation.plan.buckets import Bucket, check_it_fits
from mixstation.plan.cautions import Caution
from mixstation.plan.checks import YieldClaim
from mixstation.plan.dosing import Scale
from mixstation.plan.faults import Plain, PlanFault, PlanRefused, PlanTrouble, Temperature
from mixstation.plan.faults_of_pieces import PieceFault
from mixstation.plan.job import plan_job
from mixstation.plan.job_parts import (
    ForBags,
    ForMass,
    ForPieces,
    ForStock,
    ForVolume,
    JobAmount,
    JobPlan,
    JobRequest,
    Shop,
)
from mixstation.plan.pieces import Piece, coats
from mixstation.plan.sand import moisture_by_pan, with_moisture
from mixstation.plan.shapes import Slab
from mixstation.plan.stock import StockLine
from mixstation.plan.temperature import Climate
from mixstation.planning.pages import result_pages
from mixstation.recipe.proportions import Unscalable
from mixstation.units.show import DisplayUnits
from mixstation.wording.caution_lines import caution_line
from mixstation.wording.plan import plan_fault_line, speech_for
from mixstation.wording.plan_sections import TAKE_OUT_HEAD, WEIGH_IN_HEAD, plan_sections
from mixstation.wording.plan_sheet import MOST_COLUMN_COUNT, plan_sheets, sheets_of
from mixstation.wording.safety import IN_SHORT, LIMITS_OF_USE, ON_THE_SHEET
from mixstation.wording.sections import PlanSections, plan_text, section_lines
from tests.plan.recipes import blend_recipe, raw_recipe
from tests.wording.samples import samples

OLD = Scale(name="platform", capacity_mg=60_000_000, division_mg=5000, checked=date(2020, 1, 1))
FINE = Scale(name="fine", capacity_mg=2_000_000, division_mg=1000)
SHOP = Shop(bucket=Bucket(volume_l=25.0, tare_mg=1_000_000), scales=(OLD, FINE), tub_tare_mg=200_000)
SPEECH = speech_for(raw_recipe(), DisplayUnits.METRIC)


def wall(count: int = 2, thickness_mm: float = 18.0, face_mm: float = 3.0, side_mm: float = 700) -> ForPieces:
    slab = Slab(length_mm=side_mm, width_mm=450)
    piece = Piece(name="wall", shape=slab, layers=coats(thickness_mm, face_mm), count=count)
    return ForPieces(pieces=(piece,))


def job(amount: JobAmount, **more: object) -> JobPlan:
    request = JobRequest(recipe=raw_recipe(), amount=amount, shop=SHOP)
    return plan_job(replace(request, **more))  # type: ignore[arg-type]


STOCK = (
    StockLine(material="cement", lot="A", mass_mg=1_000_000, pack_mg=25_000_000),
    StockLine(material="cement", lot="B", mass_mg=2_000_000, pack_mg=25_000_000),
)
COLD_SHOP = replace(SHOP, scales=(), window=SHOP.window)


def many_plans() -> list[JobPlan]:
    boast = YieldClaim(mass_mg=10_000_000, of="mix", claimed_l=9.0)
    light = tuple(
        replace(each, density_kg_m3=1279.0) if each.key == "blend" else each
        for each in blend_recipe().materials
    )
    tiny = replace(SHOP, scales=(replace(OLD, division_mg=50_000), replace(FINE, division_mg=200_000)))
    return [
        job(wall(), today=date(2026, 3, 1), stock=STOCK, claim=boast, density_kg_m3=1700.0),
        job(wall(thickness_mm=30, face_mm=6), density_kg_m3=2600.0),
        job(wall(count=8), climate=Climate(shop_c=33.0, humidity_fraction=0.2, wind_kmh=18.0)),
        job(wall(), bucket_count=1),
        job(wall(side_mm=4000, count=1)),
        job(wall(count=5, face_mm=9)),
        job(wall(), shop=COLD_SHOP, climate=Climate(shop_c=6.0, wanted_c=22.0)),
        job(wall(), climate=Climate(shop_c=6.0, wanted_c=29.0)),
        job(wall(), climate=Climate(shop_c=38.0, water_c=22.0, wanted_c=20.0, humidity_fraction=0.4)),
        job(wall(), climate=Climate(shop_c=5.0, wanted_c=58.0)),
        job(wall(), climate=Climate(shop_c=45.0, water_c=30.0, wanted_c=2.0)),
        job(wall(), climate=Climate(shop_c=7.0)),
        job(wall(), climate=Climate(shop_c=15.0, water_c=66.0)),
        job(wall(), climate=Climate(shop_c=24.0, humidity_fraction=0.2, wind_kmh=9.0)),
        job(wall(count=1), shop=tiny),
        job(wall(), recipe=blend_recipe()),
        job(wall(), recipe=replace(blend_recipe(), materials=light)),
        job(wall(face_mm=0)),
        job(ForBags(material="cement")),
    ]


def metric(plan: JobPlan) -> PlanSections:
    return plan_sections(plan, DisplayUnits.METRIC)


@pytest.fixture(scope="module")
def plans() -> list[JobPlan]:
    return many_plans()


def kinds(union: object) -> list[type[Coded]]:
    """All kinds of a union, however it is put together."""
    return [each for part in get_args(union) for each in (kinds(part) or [part])]


def test_every_caution_can_be_said_with_its_own_fields() -> None:
    for kind in kinds(Caution):
        for caution in samples(kind):
            assert caution_line(caution, SPEECH).endswith("."), kind
            assert caution.source


def test_every_caution_is_reached_by_some_plan(plans: list[JobPlan]) -> None:
    seen = {caution.code for plan in plans for caution in plan.cautions}
    assert seen == {kind.code for kind in kinds(Caution)}


def test_every_kind_there_is_stands_in_its_union_with_a_code_of_its_own() -> None:
    for module, union in ((cautions, Caution), (faults, PlanFault), (faults_of_pieces, PieceFault)):
        made = {each for each in vars(module).values() if isinstance(each, type) and issubclass(each, Coded)}
        assert {each for each in made if "code" in vars(each)} <= set(kinds(union))
        codes = [code.code for kind in kinds(union) for code in (kind if issubclass(kind, Plain) else [kind])]
        assert len(codes) == len(set(codes))


def test_no_sentence_holds_a_raw_figure_or_an_open_brace(plans: list[JobPlan]) -> None:
    for plan in plans:
        for units in DisplayUnits:
            speech = speech_for(plan.request.recipe, units)
            for caution in plan.cautions:
                line = caution_line(caution, speech)
                assert line[0].isupper() or line[0].isdigit() or line[0] == "“", line
                assert line.endswith(".")
                assert "{" not in line
                assert "Fraction" not in line
                assert "_mg" not in line
                assert caution.source


def test_sentences_say_found_limit_and_what_to_do(plans: list[JobPlan]) -> None:
    lines = [line for plan in plans for line in section_lines(metric(plan).cautions)]
    assert any(line.startswith("Do not cast: the shop is at 6 °C") for line in lines)
    assert any("short by" in line and "Buy 1 pack" in line for line in lines)
    assert any(line.startswith("9 L is claimed, which means 1111 kg/m³") for line in lines)
    assert any("Weigh it as a dilution" in line for line in lines)
    assert all(line.endswith(")") for line in lines)
    assert not any("[mem]" in line for line in lines)


def refused(call: object) -> tuple[PlanFault, ...]:
    with pytest.raises(PlanRefused) as caught:
        call()  # type: ignore[operator]
    return caught.value.faults


def all_refusals() -> list[PlanFault]:
    drowned = replace(raw_recipe(), water=replace(raw_recipe().water, target=Fraction(1, 100)))
    bad_shop = replace(
        SHOP, scales=(replace(OLD, division_mg=0),), waste_fraction=Fraction(3), loss_per_bucket_mg=-1
    )
    small = replace(SHOP, bucket=Bucket(volume_l=0.2))
    fills = replace(SHOP, bucket=Bucket(volume_l=25.0, easy_fraction=Fraction(9, 10)))
    calls = [
        lambda: job(ForPieces(pieces=())),
        lambda: job(ForBags(material="lime")),
        lambda: job(ForBags(material="water")),
        lambda: job(ForStock()),
        lambda: job(ForStock(), stock=(StockLine(material="sand", lot="", mass_mg=0),)),
        lambda: job(ForMass(mass_mg=100)),
        lambda: job(ForVolume(volume_l=-2.0)),
        lambda: job(ForVolume(volume_l=9000.0)),
        lambda: job(wall(count=40), bucket_count=1),
        lambda: job(wall(), bucket_count=0, density_kg_m3=1.0, shop=bad_shop),
        lambda: job(wall(), shop=small),
        lambda: job(wall(), shop=fills),
        lambda: check_it_fits(40.0, Bucket(volume_l=30.0)),
        lambda: job(wall(), recipe=drowned),
        lambda: job(wall(), claim=YieldClaim(mass_mg=0, of="mix", claimed_l=0.0)),
        lambda: job(wall(), climate=Climate(shop_c=300.0)),
        lambda: job(wall(thickness_mm=500)),
        lambda: job(wall(count=0, side_mm=-3)),
        lambda: moisture_by_pan(10_000, 20_000),
        lambda: with_moisture(raw_recipe(), "cement", Fraction(1, 100)),
        lambda: with_moisture(raw_recipe(), "sand", Fraction(9, 10)),
    ]
    return [fault for call in calls for fault in refused(call)]


def test_every_refusal_has_a_sentence() -> None:
    found = all_refusals()
    for fault in found:
        line = plan_fault_line(fault, SPEECH)
        assert line.endswith((".", "?")), line
        assert "{" not in line
    reached = {fault.code for fault in found}
    own = {plain.code for plain in Plain} | {kind.code for kind in (*kinds(PlanTrouble), Temperature)}
    assert own - {"face-coat-only", "no-recipe"} <= reached


def test_every_fault_can_be_said_with_its_own_fields() -> None:
    lines = [plan_fault_line(plain, SPEECH) for plain in (*Plain, *Unscalable)]
    assert len(set(lines)) == len(lines)
    for kind in (*kinds(PlanTrouble), *kinds(PieceFault), Temperature):
        lines += [plan_fault_line(fault, SPEECH) for fault in samples(kind)]
    assert all(line.endswith((".", "?", "mixstation recipes")) and "{" not in line for line in lines)


def test_the_whole_plan_in_text(plans: list[JobPlan]) -> None:
    text = "\n".join(plan_text(metric(plans[0])))
    for head in (
        "Cautions",
        "Pieces",
        "Volume",
        "Weigh out",
        "Water ratio",
        "From stock",
        "Cost",
        "Rescue bag",
    ):
        assert f"\n{head}" in text
    assert "2 × wall: each 5.67 L (face coat 940 mL, backing coat 4.72 L)" in text
    assert "as measured" in text
    for plan in plans:
        for units in DisplayUnits:
            lines = plan_text(plan_sections(plan, units))
            assert all("None" not in line and "Fraction" not in line for line in lines)


def test_the_table_holds_every_weight_of_every_bucket(plans: list[JobPlan]) -> None:
    plan = plans[2]
    text = "\n".join(plan_text(metric(plan)))
    for bucket in plan.buckets:
        for line in bucket.weigh_outs:
            assert SPEECH.mass(line.mass_mg, line.division_mg) in text
    order = [row.split("  ")[1] for row in text.splitlines() if row.startswith("  ") and "platform" in row]
    assert order[0] == "Water"
    assert order.index("Water, held back") > order.index("Cement, part 2 of 2")
    # What is taken out stands under its own heading, not among what is weighed in.
    rows = [row.strip() for row in text.partition("Weigh out\n")[2].partition("\n\n")[0].splitlines()]
    out, back = rows.index(TAKE_OUT_HEAD), rows.index(WEIGH_IN_HEAD)
    assert back == out + 2
    assert rows[out + 1].startswith("face coat  ")
    assert rows[back + 1].startswith("Fibre  ")


def test_sheets_hold_five_buckets_each(plans: list[JobPlan]) -> None:
    plan = job(wall(count=40))
    count = len(plan.buckets)
    sheets = sheets_of(metric(plan))
    assert len(sheets) == -(-count // MOST_COLUMN_COUNT)
    heads = [column for sheet in sheets for column in sheet.columns]
    assert heads == [f"Bucket {number}" for number in range(1, count + 1)]
    for plan in plans:
        for page in plan_sheets(plan_sections(plan, DisplayUnits.US)):
            assert page.startswith("<!DOCTYPE html>")


def test_the_sheet_says_the_dilution_and_the_safety_text(plans: list[JobPlan]) -> None:
    (sheet,) = sheets_of(metric(plans[0]))
    assert sheet.notes[0].startswith("Respirator")
    assert any("stirred" in note and "of it for each bucket" in note for note in sheet.notes)
    assert any(row.name == "Plasticiser, diluted" for row in sheet.rows)


def test_what_a_sheet_may_not_leave_out_stands_over_the_figures(plans: list[JobPlan]) -> None:
    for plan in plans:
        for page in plan_sheets(metric(plan)):
            above, below = page.split("<table>")
            assert all(sentence in above for sentence in LIMITS_OF_USE)
            assert ON_THE_SHEET in below
    for words in ("licensed professional", "local code", "labels"):
        assert words in " ".join(LIMITS_OF_USE)
    for words in ("Respirator", "Wet mix", "Glass fibre", "Drill", "Lift no more than about 23 kg"):
        assert words in ON_THE_SHEET


def test_every_plan_says_the_caution_in_short(plans: list[JobPlan]) -> None:
    for plan in plans:
        assert plan_text(metric(plan))[1] == IN_SHORT


def test_text_sheet_and_screen_show_the_same_figures(plans: list[JobPlan]) -> None:
    for plan in plans:
        for units in DisplayUnits:
            said = plan_sections(plan, units)
            text, sheets = "\n".join(plan_text(said)), plan_sheets(said)
            pages = result_pages(plan, said, units)
            on_screen = " ".join(" ".join(line.split()) for page in pages for line in page)
            for row in said.weigh_out.rows:
                held = [cell for cell in row.cells if cell]
                line = " ".join([row.name, *(cell or "–" for cell in row.cells), row.note]).rstrip()
                assert line in " ".join(text.split())
                assert line in on_screen
                for cell in () if row.is_sum else held:
                    assert any(f"<i></i><b>{cell}</b>" in sheet for sheet in sheets)
            assert sum(sheet.count("<i></i>") for sheet in sheets) == sum(
                bool(cell) for row in said.weigh_out.rows if not row.is_sum for cell in row.cells
            )


def test_the_first_page_at_the_screen_is_the_weigh_out_and_its_cautions(plans: list[JobPlan]) -> None:
    said = metric(plans[0])
    first, *_ = result_pages(plans[0], said, DisplayUnits.METRIC)
    assert list(first) == section_lines(said.weigh_out)[: len(first)]
    assert said.cost.brief.startswith("Cost ")
    assert said.cost.brief.split()[1] in said.cost.lines[0]


def test_a_part_of_the_columns_keeps_names_and_notes() -> None:
    whole = metric(job(wall(count=40))).weigh_out
    part = whole.columns(5, 5)
    assert part.heads == whole.heads[5:10]
    assert [(row.name, row.note) for row in part.rows] == [(row.name, row.note) for row in whole.rows]
    assert all(
        row.cells == whole_row.cells[5:10] for row, whole_row in zip(part.rows, whole.rows, strict=True)
    )


def test_us_units_reach_every_figure() -> None:
    plan = job(wall(), climate=Climate(shop_c=25.0, wanted_c=20.0, water_c=12.0))
    text = "\n".join(plan_text(plan_sections(plan, DisplayUnits.US)))
    assert " kg" not in text.replace("kg/m²", "")
    assert "°C" not in text
    assert "lb/ft³" in text
    assert "US gal" in text
