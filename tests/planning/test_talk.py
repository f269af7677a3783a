"""The planning talk: one question at a time, none lost by going back, and never an exception."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.lines.said import all_lines
from mixstation.plan.job_parts import ForBags, ForMass, ForPieces, ForVolume
from mixstation.plan.pieces import Piece
from mixstation.plan.shapes import (
    CornerShape,
    Disc,
    Profile,
    Ring,
    Shape,
    Slab,
    Tray,
    Trough,
    WaterFill,
)
from mixstation.planning.pages import SKETCH_COLUMN_COUNT, result_pages
from mixstation.planning.talk import PlanTalk
from mixstation.screens.gloves import Hands
from mixstation.screens.layout import board
from mixstation.station.view import Answer, View
from mixstation.units.show import DisplayUnits
from mixstation.wording import planning as words
from mixstation.wording.plan_sections import plan_sections
from tests.depth import examples
from tests.planning.yard import around, asked, held, say, shipped

RECIPES = shipped()


def piece_of(talk: PlanTalk) -> Piece:
    assert talk.planned is not None, talk.view().notice
    amount = talk.planned.plan.request.amount
    assert isinstance(amount, ForPieces)
    return amount.pieces[-1]


def to_the_end(talk: PlanTalk) -> View:
    """Take what Enter takes until the plan is there."""
    for _ in range(40):
        if asked(talk) == "result":
            break
        assert talk.view().question.enter, talk.view().question.ask
        say(talk, "")
    return talk.view()


def test_a_slab_with_a_face_coat_by_number_pad() -> None:
    talk = PlanTalk(around(recipes=RECIPES))
    say(talk, "", "600", "300", "20", "3", "", "2", "", "", "")
    assert asked(talk) == "result"
    piece = piece_of(talk)
    assert piece.shape == Slab(length_mm=600, width_mm=300)
    assert [layer.thickness_mm for layer in piece.layers] == [3, 17]
    assert talk.planned is not None
    assert talk.planned.loaded.recipe.key == "hearth_plate"
    assert talk.planned.plan.volume.mould_l == pytest.approx(3.6, abs=0.02)
    assert talk.view().question.enter == words.MIX_ENTER.format(number=1, count=2)


SHAPES: list[tuple[list[str], Shape]] = [
    (["1", "600", "300"], Slab(length_mm=600, width_mm=300)),
    (["3", "400"], Disc(diameter_mm=400)),
    (["4", "400", "100"], Ring(outer_diameter_mm=400, inner_diameter_mm=100)),
    (
        ["5", "600", "300", "90", "60", "0", "40"],
        Tray(length_mm=600, width_mm=300, front_mm=90, back_mm=60, right_mm=40),
    ),
    (
        ["6", "800", "300", "200", "250", "2"],
        Trough(length_mm=800, top_width_mm=300, floor_width_mm=200, height_mm=250, ends="open"),
    ),
    (
        ["7", "3", "0", "0", "500", "0", "0", "400"],
        CornerShape(corners=((0.0, 0.0), (500.0, 0.0), (0.0, 400.0))),
    ),
]


@pytest.mark.parametrize(("typed", "shape"), SHAPES, ids=lambda value: type(value).__name__)
def test_every_flat_shape_and_shell(typed: list[str], shape: Shape) -> None:
    talk = PlanTalk(around())
    say(talk, *typed, "16")
    to_the_end(talk)
    piece = piece_of(talk)
    assert piece.shape == shape
    assert piece.thickness_mm == 16


def test_solids_have_no_thickness_and_ask_what_is_faced() -> None:
    talk = PlanTalk(around())
    say(talk, "8", "4", "0", "0", "100", "0", "100", "50", "0", "30", "1200", "2", "180")
    to_the_end(talk)
    section = ((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 30.0))
    assert piece_of(talk).shape == Profile(section=section, length_mm=1200, faced_mm=180)

    talk = PlanTalk(around())
    say(talk, "9", "1", "4.2", "18", "2,5", "500", "400")
    to_the_end(talk)
    assert piece_of(talk).shape == WaterFill(water_kg=4.2, water_c=18, face_mm2=200_000)


def test_cut_outs_are_drawn_as_soon_as_they_are_placed() -> None:
    talk = PlanTalk(around())
    view = say(talk, "2", "800", "400", "2", "1", "150")
    assert not any(" 1 " in line for line in view.sketch)
    view = say(talk, "200", "60")
    assert any("1" in line and "#" in line for line in view.sketch)
    say(talk, "2", "500", "100", "150", "120")
    to_the_end(talk)
    shape = piece_of(talk).shape
    assert isinstance(shape, Slab)
    assert len(shape.cut_outs) == 2


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        (["9", "2", "", "", "3"], ForBags(material="cement", count=3)),
        (["9", "3", "", "8,5"], ForMass(mass_mg=8_500_000)),
        (["9", "4", "", "6"], ForVolume(volume_l=6.0)),
    ],
)
def test_without_a_piece(typed: list[str], amount: object) -> None:
    talk = PlanTalk(around())
    say(talk, *typed)
    to_the_end(talk)
    assert talk.planned is not None
    assert talk.planned.plan.request.amount == amount
    assert "another" not in {act.name for act in talk.view().question.acts}


def test_the_stock_is_offered_where_it_is_kept() -> None:
    assert len(say(PlanTalk(around()), "9").question.choices) == 4
    talk = PlanTalk(around(stock=held(cement=4_000_000, sand=9_000_000)))
    assert len(say(talk, "9").question.choices) == 5
    say(talk, "5")
    to_the_end(talk)
    assert talk.planned is not None
    assert talk.planned.plan.limited_by == "cement"


def test_of_what_is_not_kept_count_of_nothing_is_said() -> None:
    talk = PlanTalk(around(stock=held(cement=100_000)))
    to_the_end(talk)
    assert talk.planned is not None
    assert [take.material for take in talk.planned.plan.stock] == ["cement"]
    assert {c.about for c in talk.planned.plan.cautions if c.code == "short"} == {"cement"}


def test_lines_are_chosen_by_their_number_alone() -> None:
    for typed in ("0", "10", "1.0", "slab", "11"):
        view = say(PlanTalk(around()), typed)
        assert view.notice == words.NOT_A_CHOICE


def test_going_back_loses_nothing() -> None:
    talk = PlanTalk(around())
    say(talk, "4", "640", "120", "17", "2", "5")
    assert asked(talk) == "recipe"
    say(talk, "[back]", "[back]", "[back]", "[back]", "[back]")
    assert asked(talk) == "1/outer_diameter"
    assert talk.view().question.enter == "take 640 mm"
    say(talk, "700")
    to_the_end(talk)
    piece = piece_of(talk)
    assert piece.shape == Ring(outer_diameter_mm=700, inner_diameter_mm=120)
    assert (piece.count, piece.thickness_mm) == (5, 17)
    say(talk, *["[back]"] * 30)
    assert asked(talk) == "1/shape"
    assert "back" not in {act.name for act in talk.view().question.acts}


def test_the_piece_is_drawn_while_its_sizes_are_asked_so_that_a_slip_is_seen() -> None:
    talk = PlanTalk(around())
    for typed, drawn in [
        ("1", "900 mm"),
        ("6000", "6000 mm"),
        ("300", "300 mm"),
        ("20", "20 mm"),
        ("3", "3 mm"),
    ]:
        view = say(talk, typed)
        assert any(drawn in line for line in view.sketch), (typed, view.sketch)
        assert all(len(line) <= SKETCH_COLUMN_COUNT for line in view.sketch)
    assert say(talk, "1").sketch == ()


def test_a_piece_that_cannot_be_is_said_at_its_last_size_and_can_be_mended() -> None:
    talk = PlanTalk(around())
    view = say(talk, "4", "300", "400", "18", "0")
    assert asked(talk) == "1/face_coat"
    assert "The hole must be smaller" in view.notice
    say(talk, "[back]", "[back]", "200")
    say(talk, "", "")
    assert asked(talk) == "1/count"


def test_a_plan_that_cannot_be_is_said_and_can_be_mended() -> None:
    talk = PlanTalk(around())
    say(talk, "1", "20000", "20000", "100", "0", "50", "", "")
    view = to_the_end(talk)
    assert talk.planned is None
    assert "Take a larger bucket, or look for a zero too many." in view.notice
    assert view.question.enter == ""
    say(talk, "[keep]", "")
    assert talk.wish == ""
    say(talk, *["[back]"] * 8)
    assert asked(talk) != "result"


def test_several_kinds_of_pieces_in_one_batch() -> None:
    talk = PlanTalk(around())
    to_the_end(talk)
    say(talk, "[another]", "3", "350", "15", "2", "4")
    to_the_end(talk)
    assert talk.planned is not None
    amount = talk.planned.plan.request.amount
    assert isinstance(amount, ForPieces)
    assert [(type(piece.shape), piece.count) for piece in amount.pieces] == [(Slab, 1), (Disc, 4)]
    # Another kind asked for by mistake goes away by going back.
    say(talk, "[another]", "[back]")
    assert asked(talk) == "result"
    assert talk.draft.kinds_count == 2


def test_sand_by_pan_test_and_by_figure() -> None:
    talk = PlanTalk(around())
    say(talk, *[""] * 7)
    assert asked(talk) == "moisture/sand"
    say(talk, "[pan]", "0.515 kg", "500 g")
    to_the_end(talk)
    assert talk.planned is not None
    sand = talk.planned.plan.request.recipe.material("sand")
    assert float(sand.moisture_fraction) == pytest.approx(0.03)
    talk = PlanTalk(around())
    say(talk, *[""] * 7, "[pan]", "[figure]", "4,5")
    to_the_end(talk)
    assert talk.planned is not None
    assert float(talk.planned.plan.request.recipe.material("sand").moisture_fraction) == pytest.approx(0.045)


def test_a_pan_test_that_cannot_be_is_said() -> None:
    talk = PlanTalk(around())
    say(talk, *[""] * 7, "[pan]", "400 g", "500 g")
    view = to_the_end(talk)
    assert talk.planned is None
    assert "is no pan test" in view.notice


def test_bucket_waste_and_warmth_reach_the_plan() -> None:
    talk = PlanTalk(around(shop_c=9.0))
    say(talk, *[""] * 8)
    assert asked(talk) == "bucket"
    say(talk, "24", "5")
    assert talk.view().question.enter == "take 9 °C"
    say(talk, "26")
    assert talk.planned is not None
    plan = talk.planned.plan
    assert (plan.request.shop.bucket.volume_l, float(plan.request.shop.waste_fraction)) == (24.0, 0.05)
    assert plan.temperature is not None
    assert plan.temperature.mix_c == pytest.approx(26)
    assert any("26 °C" in line for line in talk.view().question.detail)
    say(talk, "[back]", "")
    assert talk.planned is not None
    assert talk.planned.plan.request.climate is not None


def test_a_shelf_of_many_recipes_is_paged() -> None:
    many = {f"r{number:02d}": next(iter(RECIPES.values())) for number in range(20)}
    talk = PlanTalk(around(recipes=many))
    say(talk, *[""] * 6)
    assert asked(talk) == "recipe"
    assert [choice.words for choice in talk.view().question.choices][-1] == words.MORE_LINE
    say(talk, "9", "9")
    assert len(talk.view().question.choices) == 5
    say(talk, "5")
    assert talk.view().question.ident.startswith("plan/recipe/0")
    say(talk, "9", "3")
    assert talk.draft.given["recipe"] == "r10"


def test_an_empty_shelf_is_said() -> None:
    talk = PlanTalk(around(recipes={}))
    view = say(talk, *[""] * 12)
    assert asked(talk) == "result"
    assert "No recipe on the shelf can be used." in view.notice


def test_the_pages_of_the_plan_hold_all_of_it() -> None:
    talk = PlanTalk(around(recipes=RECIPES))
    say(talk, "1", "1800", "900", "20", "3")
    to_the_end(talk)
    assert talk.planned is not None
    plan = talk.planned.plan
    pages = result_pages(plan, plan_sections(plan, DisplayUnits.METRIC), DisplayUnits.METRIC)
    seen = [talk.view().sketch]
    for _ in range(len(pages)):
        seen.append(say(talk, "[more]").sketch)
    assert tuple(seen[:-1]) == pages
    assert seen[-1] == pages[0]
    text = "\n".join(line for page in pages for line in page)
    for section in ("Cautions", "Weigh out", "Water ratio", "Cost", "Rescue bag"):
        assert section in text
    assert all(len(line) <= 200 for page in pages for line in page)


def test_an_old_answer_changes_nothing() -> None:
    talk = PlanTalk(around())
    old = talk.view().question.ident
    say(talk, "1")
    before = talk.view()
    talk.answer(Answer(question=old, pressed="enter", typed="2"))
    assert talk.view() == replace(before, serial=talk.view().serial, answered=before.answered + 1)


def test_wishes() -> None:
    for pressed, wish in (("", "mix"), ("[keep]", "keep")):
        talk = PlanTalk(around())
        to_the_end(talk)
        say(talk, pressed)
        assert talk.wish == wish
        talk.say("No.")
        assert (talk.wish, talk.view().notice) == ("", "No.")


ACTS = ["enter", "enter", "enter", "enter", "back", "pan", "figure", "another", "more", "keep", "nothing"]
TYPED = st.one_of(
    st.sampled_from(["", "", "", "1", "2", "3", "9", "0", "500", "20", "3,5", "0.4", "18", "8 %", "24 in"]),
    st.integers(-10, 10**7).map(str),
    st.text(max_size=12),
)
PRESSES = st.lists(st.tuples(st.sampled_from(ACTS), TYPED), max_size=60)


@settings(max_examples=examples(150))
@given(PRESSES, st.sampled_from(list(DisplayUnits)), st.booleans(), st.booleans())
def test_whatever_is_pressed_never_raises(
    presses: list[tuple[str, str]], units: DisplayUnits, comma: bool, stocked: bool
) -> None:
    talk = PlanTalk(
        around(
            recipes=RECIPES,
            units=units,
            decimal_comma=comma,
            stock=held(cement=7_000_000, fibre=0) if stocked else None,
        )
    )
    for pressed, typed in presses:
        view = talk.view()
        talk.answer(Answer(question=view.question.ident, pressed=pressed, typed=typed))
        view = talk.view()
        assert view.notice.isprintable()
        assert view.question.ask
        for columns, height in ((80, 24), (40, 10)):
            assert len(board(view, Hands(), columns, height)) == height
        assert all(line.isprintable() for line in all_lines(view))
        if talk.wish:
            talk.say("")


@settings(max_examples=examples(60))
@given(st.lists(TYPED, max_size=40))
def test_answers_typed_one_after_the_other_come_to_an_end(typed: list[str]) -> None:
    talk = PlanTalk(around(recipes=RECIPES))
    for text in typed:
        say(talk, text.strip("[]"))
    before = ""
    while asked(talk) not in ("result", before):
        before = asked(talk)
        # Only the water of a mould has nothing that Enter takes.
        say(talk, "" if talk.view().question.enter else "4")
    view = talk.view()
    if asked(talk) != "result":
        # A piece that cannot be is said at one of its sizes, and the way back to its first is open.
        assert asked(talk).startswith("1/")
        assert view.notice
        say(talk, *["[back]"] * 40)
        assert asked(talk) == "1/shape"
    elif talk.planned is None:
        assert (view.question.ident, view.question.enter) == ("plan/none", "")
        assert view.notice
    else:
        assert view.question.ident == "plan/result/0"
        assert view.question.enter == words.MIX_ENTER.format(number=1, count=len(talk.planned.plan.buckets))
