"""Our reader of stored content beside pydantic's strict one, which knows the same types and is no part of the store."""

import json
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter
from pydantic_core import SchemaValidator

from mixstation.batch.events import Entry, Stamp
from mixstation.planning.kept import KeptPlan
from mixstation.record.codec import FORM, CodecError, StoredBody, read, written
from mixstation.record.stored_form import StoredForm
from mixstation.record.typed_content import MOST_DEPTH_COUNT, ContentError, reader_of
from tests.batch.arbitrary import FACT_TYPES, values
from tests.depth import examples

ADAPTER: TypeAdapter[StoredBody] = TypeAdapter(StoredBody)


def without_default_kinds(schema: Any) -> Any:
    """A schema of pydantic's in which a literal with a single value is never missing."""
    if isinstance(schema, dict):
        inner = schema.get("schema")
        if schema.get("type") == "default" and inner["type"] == "literal" and len(inner["expected"]) == 1:
            return inner
        return {name: without_default_kinds(part) for name, part in schema.items()}
    if isinstance(schema, list | tuple):
        return type(schema)(map(without_default_kinds, schema))
    return schema


WITNESS = SchemaValidator(without_default_kinds(ADAPTER.core_schema))


def canonical(content: Any) -> str:
    return json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def within(part: Any, whole: Any) -> bool:
    """Whether all that content says stands in what was read from it, in the same words."""
    if isinstance(part, dict) and isinstance(whole, dict):
        return all(name in whole and within(value, whole[name]) for name, value in part.items())
    if isinstance(part, list) and isinstance(whole, list):
        return len(part) == len(whole) and all(map(within, part, whole))
    return type(part) is type(whole) and bool(part == whole)


def by_witness(text: str) -> StoredBody | None:
    """What pydantic reads from a text, None where it refuses it or would write it otherwise."""
    try:
        content = json.loads(text)
        value: StoredBody = WITNESS.validate_json(text, strict=True)
        same = canonical(content) == text
    # Its fractions divide by nought.
    except (ValueError, ArithmeticError, RecursionError):
        return None
    whole = ADAPTER.dump_python(value, mode="json", warnings=False)
    return value if same and 1 <= value.form <= FORM and within(content, whole) else None


def by_us(text: str) -> Entry | None:
    try:
        return read(1, text)
    except CodecError:
        return None


def agree(text: str) -> bool:
    """Hold both against each other; whether they took the text."""
    theirs, ours = by_witness(text), by_us(text)
    assert (ours is None) is (theirs is None), text
    if ours is not None and theirs is not None:
        assert (ours.stamp, ours.fact) == (theirs.stamp, theirs.fact)
        assert type(ours.fact) is type(theirs.fact)
    return ours is not None


ENTRIES = st.builds(
    Entry, seq=st.just(1), stamp=values(Stamp), fact=st.sampled_from(FACT_TYPES).flatmap(values)
)
# No text that reckons without an end where pydantic reads it as a fraction.
LEAVES: tuple[Any, ...] = (
    *(None, True, False, 0, 1, -1, 10**30, 0.0, -0.0, 1.0, 1.5, 1e308, "", "x", "0", "-0", "1/3", "2/6"),
    *("1/0", "1", "1.5", "01", "+1", " 1", "1_0", "-1/2", "1/-2", "bucket", "typed", "add", "mix", "scrape"),
    *("water", "mass", "binder", [], {}, [1], ["x"], {"kind": "note"}, {"kind": "scrape", "key": "x"}),
)


def places(content: Any) -> Iterator[tuple[Any, Any]]:
    """All places in content: what holds it, and its name or number there."""
    inside = content.items() if isinstance(content, dict) else enumerate(content)
    for at, part in list(inside):
        yield content, at
        if isinstance(part, dict | list):
            yield from places(part)


@settings(max_examples=examples(150), deadline=None)
@given(entry=ENTRIES)
def test_what_we_write_pydantic_writes_too_and_reads(entry: Entry) -> None:
    text = written(entry)
    body = StoredBody(form=FORM, stamp=entry.stamp, fact=entry.fact)
    assert text == canonical(ADAPTER.dump_python(body, mode="json"))
    assert by_witness(text) == body
    assert agree(text)


@settings(max_examples=examples(400), deadline=None)
@given(entry=ENTRIES, data=st.data())
def test_of_what_is_changed_we_take_just_what_pydantic_takes(entry: Entry, data: st.DataObject) -> None:
    content = json.loads(written(entry))
    for _ in range(data.draw(st.integers(1, 2))):
        holder, at = data.draw(st.sampled_from(list(places(content))))
        change = data.draw(st.sampled_from(("other", "gone", "more")))
        if change == "other":
            holder[at] = data.draw(st.sampled_from(LEAVES))
        elif change == "gone" and len(content) > 1:
            del holder[at]
        elif isinstance(holder, dict):
            holder[data.draw(st.sampled_from(("kind", "key", "late", "colour", "reason")))] = "x"
        else:
            holder.append(data.draw(st.sampled_from(LEAVES)))
        if not content:
            break
    agree(canonical(content))


@settings(max_examples=examples(300), deadline=None)
@given(entry=ENTRIES, data=st.data())
def test_of_a_text_with_a_sign_changed_too(entry: Entry, data: st.DataObject) -> None:
    text = written(entry)
    at = data.draw(st.integers(0, len(text) - 1))
    sign = data.draw(st.sampled_from([*'0123456789.-/",:{}[]aN \\', "\ud800", ""]))
    agree(text[:at] + sign + text[at + 1 :])


def test_both_take_and_both_refuse_some_of_what_is_changed() -> None:
    """So that the comparison above says something."""
    text = written(Entry(seq=1, stamp=STAMP, fact=FACT_TYPES[1]()))
    assert agree(text)
    assert agree(text.replace('"late":false,', ""))
    assert not agree(text.replace('"late":false', '"late":0'))


STAMP = Stamp(utc_ms=1, offset_min=0, boot_ms=1, mono_ms=1, boot_id="b", who="Mara")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    at_mm: tuple[int, float]
    marks: Mapping[str, bool]
    anything: Any = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    form: int
    spots: tuple[Spot, ...]
    about: dict[str, Any]


def told(**given: Any) -> dict[str, Any]:
    spot = {"at_mm": [1, 2.0], "marks": {"a": True}, "anything": [None, {"b": 1.5}]}
    return {"form": 1, "spots": [spot | given], "about": {}}


def test_pairs_mappings_and_anything() -> None:
    found = reader_of(Told)(told())
    assert found == Told(
        form=1,
        spots=(Spot(at_mm=(1, 2.0), marks={"a": True}, anything=[None, {"b": 1.5}]),),
        about={},
    )


@pytest.mark.parametrize(
    ("given_content", "where"),
    [
        ({"at_mm": [1]}, "spots.0.at_mm"),
        ({"at_mm": [1, 2.0, 3]}, "spots.0.at_mm"),
        ({"at_mm": [1, 2]}, "spots.0.at_mm.1"),
        ({"at_mm": [1, float("inf")]}, "spots.0.at_mm.1"),
        ({"at_mm": (1, 2.0)}, "spots.0.at_mm"),
        ({"marks": {"a": 1}}, "spots.0.marks.a"),
        ({"marks": [["a", True]]}, "spots.0.marks"),
        ({"colour": "grey"}, "spots.0.colour"),
    ],
)
def test_a_fault_is_told_with_its_place(given_content: dict[str, Any], where: str) -> None:
    with pytest.raises(ContentError) as caught:
        reader_of(Told)(told(**given_content))
    assert str(caught.value).endswith(f" at {where}")


@pytest.mark.parametrize("depth", [MOST_DEPTH_COUNT * 2, 900, 100_000])
def test_what_is_nested_too_deep_is_refused_where_anything_may_stand(depth: int) -> None:
    form: StoredForm[Told] = StoredForm(Told, 1)
    deep = f"{'[' * depth}{']' * depth}"
    with pytest.raises(CodecError) as caught:
        form.read(f'{{"about":{{"a":{deep}}},"form":1,"spots":[]}}')
    assert caught.value.code == "not-an-entry"
    inner: list[Any] = []
    for _ in range(depth):
        inner = [inner]
    with pytest.raises(ValueError, match=r"deep|recursion"):
        form.written(Told(form=1, spots=(), about={"a": inner}))


@pytest.mark.parametrize("name", ["1" * 4_299, "1" * 5_000])
def test_a_huge_number_is_a_number_or_refused(name: str) -> None:
    text = written(Entry(seq=1, stamp=STAMP, fact=FACT_TYPES[1]()))
    assert agree(text.replace('"boot_ms":1', f'"boot_ms":{name}')) is (len(name) < 4_300)


def test_a_whole_number_beyond_all_floats_is_not_written() -> None:
    form: StoredForm[Any] = StoredForm(Wide, 1)
    assert form.written(Wide(form=1, wide_mm=2)) == '{"form":1,"wide_mm":2.0}'
    with pytest.raises(ValueError, match="float"):
        form.written(Wide(form=1, wide_mm=10**400))
    with pytest.raises(ValueError, match="not stored"):
        form.written(Wide(form=1, wide_mm=object()))  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wide:
    form: int
    wide_mm: float | None


class Number(Enum):
    ONE = 1


@pytest.mark.parametrize(
    "kind", [Number, Literal[1, "a"], Spot | Told, int | str, set[int], object, list[int]]
)
def test_a_type_without_a_stored_form_is_a_slip_of_the_program(kind: Any) -> None:
    with pytest.raises(TypeError, match=r"not stored|tells"):
        reader_of(kind)


def test_entries_and_plans_are_read_and_written_without_pydantic() -> None:
    code = (
        "import sys; from mixstation.batch.events import *; from mixstation.record.codec import read, written; "
        "from mixstation.planning.kept import KeptPlan, _plans; from mixstation.record.typed_content import reader_of; "
        "stamp = Stamp(utc_ms=1, offset_min=0, boot_ms=1, mono_ms=1, boot_id='b', who='M'); "
        "entry = Entry(seq=1, stamp=stamp, fact=NoteWritten(text='x')); "
        "assert read(1, written(entry)) == entry; reader_of(KeptPlan); _plans(); "
        "print(sorted({name.partition('.')[0] for name in sys.modules} & {'pydantic', 'pydantic_core'}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_all_that_is_stored_has_a_reader() -> None:
    for kind in (StoredBody, KeptPlan, *FACT_TYPES):
        assert callable(reader_of(kind))
