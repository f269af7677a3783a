"""A form that grows: old texts are read, what is foreign is not, and what is read writes back stably."""

import json
from dataclasses import dataclass, fields, make_dataclass
from fractions import Fraction
from pathlib import Path
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixstation.batch import events
from mixstation.batch.events import BatchStarted
from mixstation.planning.kept import KeptPlan, keep_plan, read_kept
from mixstation.recipe import model
from mixstation.record.codec import StoredBody
from mixstation.record.stored_form import CodecError, StoredForm
from tests.depth import examples

HERE = Path(__file__).parent
PINNED = HERE.parent / "pinned"


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    kind: Literal["round"] = "round"
    across_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Square:
    kind: Literal["square"] = "square"
    across_mm: float
    corner_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What is stored, as the first program had it."""

    form: int
    name: str
    share: Fraction
    shapes: tuple[Round | Square, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    colour: str
    grain_um: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class GrownSquare:
    kind: Literal["square"] = "square"
    across_mm: float
    corner_mm: float = 0.0
    tilt_percent: float = 0.0
    paint: Paint | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GrownSheet:
    """The same later: more names, all with a default, one of them two floors down; and a shape more."""

    form: int
    name: str
    share: Fraction
    shapes: tuple[Round | GrownSquare, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RenamedSheet:
    """The same later still: a name is another, and a share is told in per cent."""

    form: int
    title: str
    share_percent: int
    shapes: tuple[Round | GrownSquare, ...]
    remarks: tuple[str, ...] = ()


def in_per_cent(content: dict[str, Any]) -> dict[str, Any]:
    rest = {name: value for name, value in content.items() if name not in ("name", "share")}
    share = Fraction(content["share"])
    if str(share) != content["share"]:
        raise ValueError("no share as it was written")
    return {**rest, "title": content["name"], "share_percent": int(share * 100)}


FIRST: StoredForm[Sheet] = StoredForm(Sheet, 1)
GROWN: StoredForm[GrownSheet] = StoredForm(GrownSheet, 2)
RENAMED: StoredForm[RenamedSheet] = StoredForm(RenamedSheet, 3, {2: in_per_cent})

SIZES = st.floats(0.1, 9e6, allow_nan=False)
SHEETS = st.builds(
    Sheet,
    form=st.just(1),
    name=st.text(st.characters(codec="utf-8"), max_size=8),
    share=st.fractions(0, 1, max_denominator=100),
    shapes=st.lists(
        st.builds(Round, across_mm=SIZES) | st.builds(Square, across_mm=SIZES, corner_mm=SIZES), max_size=4
    ).map(tuple),
)
SHEET = Sheet(
    form=1, name="lid", share=Fraction(1, 4), shapes=(Round(across_mm=30.0), Square(across_mm=40.0))
)
TEXT = (
    '{"form":1,"name":"lid","shapes":[{"across_mm":30.0,"kind":"round"},'
    '{"across_mm":40.0,"corner_mm":0.0,"kind":"square"}],"share":"1/4"}'
)


def refusal(form: StoredForm[Any], text: str) -> str:
    with pytest.raises(CodecError) as caught:
        form.read(text)
    assert caught.value.detail
    return caught.value.code


def test_what_is_stored_is_what_was_given_with_every_name() -> None:
    assert FIRST.written(SHEET) == TEXT
    assert FIRST.read(TEXT) == SHEET


@given(sheet=SHEETS)
@settings(max_examples=examples(60))
def test_written_read_written_is_stable_and_a_later_program_reads_it(sheet: Sheet) -> None:
    text = FIRST.written(sheet)
    assert FIRST.read(text) == sheet
    assert FIRST.written(FIRST.read(text)) == text
    grown = GROWN.read(text)
    again = GROWN.written(grown)
    assert GROWN.read(again) == grown
    assert (grown.form, grown.name, grown.share, grown.remarks) == (2, sheet.name, sheet.share, ())
    sizes = [(shape.kind, shape.across_mm) for shape in sheet.shapes]
    assert [(shape.kind, shape.across_mm) for shape in grown.shapes] == sizes
    renamed = RENAMED.read(text)
    assert (renamed.form, renamed.title) == (3, sheet.name)
    assert renamed.share_percent == int(sheet.share * 100)
    assert RENAMED.read(again) == renamed
    assert RENAMED.read(RENAMED.written(renamed)) == renamed


def test_an_earlier_program_says_that_it_is_too_old() -> None:
    later = GROWN.written(GROWN.read(TEXT))
    assert refusal(FIRST, later) == "newer-form"
    assert refusal(GROWN, RENAMED.written(RENAMED.read(later))) == "newer-form"


def test_an_upgrade_that_cannot_be_says_that_the_text_is_none_of_ours() -> None:
    for broken in (TEXT.replace('"name":"lid",', ""), TEXT.replace('"1/4"', '"a part"')):
        assert refusal(RENAMED, broken) == "not-an-entry"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"form":1', '"form":1,"mood":"good"'),
        ('"kind":"round"', '"grain":1,"kind":"round"'),
        ('{"across_mm":30.0,"kind":"round"}', '{"across_mm":30.0}'),
        ('{"across_mm":30.0,"kind":"round"}', '{"kind":"round"}'),
        ('"across_mm":30.0', '"across_mm":30.0,"across_mm":30.0'),
        ('"across_mm":30.0', '"across_mm":30'),
        ('"across_mm":30.0', '"across_mm":3e1'),
        ('"across_mm":30.0', '"across_mm":"30.0"'),
        ('"across_mm":30.0', '"across_mm":true'),
        ('"share":"1/4"', '"share":"2/8"'),
        ('"share":"1/4"', '"share":0.25'),
        ('"lid"', '"\\u006cid"'),
        ('"lid"', "null"),
        ('"name":"lid",', ""),
        ('"form":1', '"form": 1'),
        ('"form":1', '"form":0'),
        ('"form":1', '"form":true'),
        ('"shapes":[', '"shapes":[{"across_mm":1.0,"kind":"oval"},'),
    ],
)
def test_nothing_foreign_gets_in_whatever_has_grown(old: str, new: str) -> None:
    """Neither where the text is word for word of our form nor where it is read by its content."""
    assert TEXT.count(old) == 1
    for form in (FIRST, GROWN, RENAMED):
        assert refusal(form, TEXT.replace(old, new)) in ("not-an-entry", "not-canonical")


@given(at=st.integers(0, len(TEXT) - 1), letter=st.sampled_from('0123456789.-eE",:{}[]abz \\'))
@settings(max_examples=examples(150))
def test_a_letter_changed_is_refused_or_says_just_what_it_says(at: int, letter: str) -> None:
    """Where a digit or a letter makes another sheet, it is that one, and writes back word for word."""
    changed = TEXT[:at] + letter + TEXT[at + 1 :]
    for form in (FIRST, GROWN, RENAMED):
        try:
            value = form.read(changed)
        except CodecError:
            continue
        assert json.loads(changed)["shapes"][0]["across_mm"] == value.shapes[0].across_mm
        if form is FIRST:
            assert FIRST.written(value) == changed


def with_one_more(cls: type, name: str, kind: Any, default: Any) -> type:
    """A variant of a stored class with one optional field more."""
    return grown(cls, {name: kind}, {name: default})


def grown(cls: type, kinds: dict[str, Any], defaults: dict[str, Any]) -> type:
    """A variant of a stored class with fields added, or of another type; made as every class of ours."""
    body = {"__annotations__": kinds, "__module__": __name__, **defaults}
    return type(cls)(cls.__name__, (cls,), body)


def grown_bodies() -> StoredForm[Any]:
    """Bodies as a later program would store them: each material, each dose and the start know one thing more."""
    material = with_one_more(model.Material, "shelf_life_days", int | None, None)
    dose = with_one_more(model.Dose, "why", str, "")
    hints = get_type_hints(model.Material)
    material = with_one_more(material, "dose", dose | None, None)
    assert hints["dose"] == model.Dose | None
    recipe = grown(model.Recipe, {"materials": tuple[material, ...]}, {})
    start = grown(BatchStarted, {"recipe": recipe, "shown_in": str}, {"shown_in": "metric"})
    return StoredForm(
        make_dataclass(
            "Body", [("form", int), ("stamp", events.Stamp), ("fact", start)], frozen=True, kw_only=True
        ),
        3,
    )


@pytest.mark.parametrize("name", ["planter_wall", "sill_cap_discarded", "stair_stiff"])
def test_one_more_optional_field_deep_in_the_recipe_leaves_stored_batches_readable(name: str) -> None:
    line = (PINNED / f"{name}.jsonl").read_text("utf-8").splitlines()[0]
    before = StoredForm[StoredBody](StoredBody, 2).read(line).fact
    assert isinstance(before, BatchStarted)
    bodies = grown_bodies()
    start = bodies.read(line).fact
    assert start.shown_in == "metric"
    assert {material.shelf_life_days for material in start.recipe.materials} == {None}
    assert {m.dose.why for m in start.recipe.materials if m.dose is not None} <= {""}
    for each in fields(BatchStarted):
        if each.name != "recipe":
            assert getattr(start, each.name) == getattr(before, each.name)
    # Written by the later program it says all of it, and reads back; ours is told that it is too old.
    text = bodies.written(bodies.read(line))
    assert '"shelf_life_days":null' in text
    assert bodies.written(bodies.read(text)) == text
    assert refusal(StoredForm(StoredBody, 2), text) == "newer-form"
    assert refusal(StoredForm(StoredBody, 2), text.replace('"form":3', '"form":2')) == "not-canonical"


def unions(kind: Any, seen: set[Any]) -> list[tuple[type, ...]]:
    """All unions of classes somewhere in a stored class."""
    if get_origin(kind) is not None:
        found = [each for part in get_args(kind) for each in unions(part, seen)]
        if get_origin(kind) in (Union, UnionType):
            classes = tuple(part for part in get_args(kind) if hasattr(part, "__dataclass_fields__"))
            found += [classes] if len(classes) > 1 else []
        return found
    if hasattr(kind, "__dataclass_fields__") and kind not in seen:
        seen.add(kind)
        hints = get_type_hints(kind)
        return [each for hint in hints.values() for each in unions(hint, seen)]
    return []


@pytest.mark.parametrize("kind", [StoredBody, KeptPlan])
def test_what_may_stand_in_one_place_is_told_apart_by_its_kind(kind: type) -> None:
    """So that one text is one value: two kinds with the same names would be read back as one."""
    found = unions(kind, set())
    assert found
    for classes in found:
        words = [get_args(get_type_hints(each)["kind"]) for each in classes]
        assert all(len(each) == 1 for each in words)
        assert len(set(words)) == len(words)


class TestKeptPlans:
    @pytest.fixture
    def text(self) -> str:
        return next((PINNED / "home_1" / "data" / "plans").glob("*.json")).read_text("utf-8")

    def test_one_without_what_came_later_is_read_and_kept_again(self, text: str, tmp_path: Path) -> None:
        content = json.loads(text)
        for bucket in content["buckets"]:
            del bucket["weighed_apart"]
        plan_id = content["plan_id"]
        older = json.dumps(content, sort_keys=True, ensure_ascii=False, indent=1)
        (tmp_path / f"{plan_id}.json").write_text(older, "utf-8")
        plan = read_kept(tmp_path, plan_id)
        assert [bucket.weighed_apart for bucket in plan.buckets] == [()] * len(plan.buckets)
        keep_plan(tmp_path, plan)
        assert read_kept(tmp_path, plan_id) == plan
