"""The one table of shapes: what reads it knows every shape and size in it, and its own examples hold."""

from dataclasses import fields
from fractions import Fraction
from typing import get_args

import pytest

from mixstation.cli.plan_words import IN_ONE_LINE
from mixstation.plan.cut_outs import CutOut
from mixstation.plan.drawing import draw_piece
from mixstation.plan.piece_file import KEYS, read_pieces
from mixstation.plan.pieces import layer_volumes, piece_faults
from mixstation.plan.shape_table import CUT_OUTS, FACE_COAT_SIZE, SHAPES, THICKNESS, Size, size_faults
from mixstation.plan.shapes import Layered, Shape, Slab, Solid
from mixstation.planning.shape_asks import WITH_CUT_OUTS, ShapeAsks
from mixstation.toml.lines import FileRefused
from mixstation.units.parse import parse_length_mm
from mixstation.units.show import DisplayUnits
from mixstation.wording import planning as words

EVERY_SIZE = [
    *((name, size) for name, form in SHAPES.items() for size in form.sizes),
    *((f"{name} cut-out", size) for name, form in CUT_OUTS.items() for size in form.sizes),
    ("any", THICKNESS),
    ("any", FACE_COAT_SIZE),
]
ANSWERS = {"1/water": Fraction(12_400_000), "1/face_coat": Fraction(3), "other": "water fill"}


def asked_of(shape: str) -> ShapeAsks:
    at_screen = "other" if shape == "water fill" else shape
    return ShapeAsks("1/", {"1/shape": at_screen, **ANSWERS}, DisplayUnits.METRIC)


def in_a_file(shape: str, leave_out: str = "") -> str:
    """A piece with the example of every key, as the file reader itself would tell it; the sides of a tray one way."""
    lines = ["[[piece]]", f'shape = "{shape}"', 'name = "test"', f'{FACE_COAT_SIZE.name} = "3 mm"']
    lines += [f"{name} = {key.example}" for name, key in KEYS[shape].items() if name != leave_out]
    return "\n".join(lines) + "\n"


def test_the_table_holds_every_shape_and_every_cut_out() -> None:
    assert {form.make for form in SHAPES.values()} == {*get_args(Shape)}
    assert {form.make for form in CUT_OUTS.values()} == {*get_args(CutOut)}
    solid = {form.make for form in SHAPES.values() if form.is_solid}
    assert solid == {*get_args(Solid)}
    assert not solid & {*get_args(Layered)}


@pytest.mark.parametrize("form", [*SHAPES.values(), *CUT_OUTS.values()], ids=lambda form: form.make.__name__)
def test_every_field_of_a_shape_is_set_by_one_size(form: object) -> None:
    of_sizes = [size.field for size in form.sizes if not size.each]  # type: ignore[attr-defined]
    made_of = [field.name for field in fields(form.make)]  # type: ignore[attr-defined]
    assert of_sizes == [name for name in made_of if name != "cut_outs"]
    names = {size.name for size in form.sizes}  # type: ignore[attr-defined]
    assert all(set(size.each) <= names for size in form.sizes)  # type: ignore[attr-defined]


@pytest.mark.parametrize(("of", "size"), EVERY_SIZE, ids=lambda part: getattr(part, "name", part))
def test_every_size_has_its_words_and_its_usual_lies_in_its_range(of: str, size: Size) -> None:
    name = f"cut_{size.name}" if of.endswith("cut-out") else size.name
    asked = {
        "corners": ["corner_count", "corner_x", "corner_y"],
        "area": [f"{name}_length", f"{name}_width"],
    }.get(size.measure, [] if size.each else [name])
    assert all(words.ASKS[each].endswith(("?", ".")) for each in asked)
    assert size.measure != "choice" or tuple(words.CHOICES[size.name]) == size.choices
    assert size.usual[0] or size.example or size.choices
    if size.measure == "length" and size.usual[0]:
        metric, us = map(parse_length_mm, size.usual)
        assert all(size.range.least <= each <= size.range.most for each in (metric, us))
        # The same size for a person who thinks in inches: a round one, within a fifth.
        assert us == pytest.approx(metric, rel=0.2)


def test_every_shape_has_its_name_and_its_line_at_the_screen() -> None:
    assert {*words.SHAPE_NAMES} == {*SHAPES, WITH_CUT_OUTS}
    assert {*words.SHAPES, *words.OTHER} >= {*SHAPES, WITH_CUT_OUTS}
    assert {*words.SHAPES} - {*SHAPES} == {WITH_CUT_OUTS, "other"}
    assert {*words.CHOICES["cut_kind"]} == {*words.CUT_PLACES} == {*CUT_OUTS}


@pytest.mark.parametrize("shape", SHAPES)
def test_the_usual_answers_make_a_piece_that_can_be_cast_and_drawn(shape: str) -> None:
    asks = asked_of(shape)
    assert asks.complete
    piece = asks.piece()
    assert piece is not None
    assert type(piece.shape) is SHAPES[shape].make
    assert piece_faults(piece) == ()
    assert all(layer.volume_l > 0 for layer in layer_volumes(piece))
    assert draw_piece(piece)


@pytest.mark.parametrize("shape", SHAPES)
def test_the_examples_of_the_file_make_a_piece(shape: str) -> None:
    sides = {each for size in SHAPES[shape].sizes for each in size.each}
    text = "\n".join(line for line in in_a_file(shape).splitlines() if line.split(" ")[0] not in sides)
    (piece,) = read_pieces(text, "test.toml")
    assert type(piece.shape) is SHAPES[shape].make


@pytest.mark.parametrize("shape", SHAPES)
def test_the_file_asks_for_every_size_that_is_needed(shape: str) -> None:
    needed = [size for size in SHAPES[shape].sizes if not size.optional]
    for size in needed:
        with pytest.raises(FileRefused) as refused:
            read_pieces(in_a_file(shape, leave_out=size.name), "test.toml")
        missing = [fault for fault in refused.value.faults if fault.code == "key-missing"]
        assert [fault.key for fault in missing] == [size.name]


def test_sizes_in_one_line_are_lengths_alone_and_end_with_the_thickness() -> None:
    assert {name: [size.words for size in sizes] for name, sizes in IN_ONE_LINE.items()} == {
        "slab": ["length", "width", "thickness"],
        "disc": ["diameter", "thickness"],
        "ring": ["outer diameter", "inner diameter", "thickness"],
        "tray": ["length", "width", "returns", "thickness"],
        "trough": ["length", "top width", "floor width", "height", "thickness"],
    }


def test_a_size_is_looked_at_where_the_shape_stands_in_the_way_of_none() -> None:
    slab = Slab(length_mm=0.0, width_mm=-4.0)
    assert [(fault.code, fault.size) for fault in size_faults(slab)] == [
        ("size-not-positive", "length"),
        ("size-not-positive", "width"),
    ]
