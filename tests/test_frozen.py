"""Our own form of values against the standard library's, of which it must not differ but in its time."""

import copy
import dataclasses
import inspect
import pickle
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter

import mixstation
from mixstation.frozen import Frozen

ROOT = Path(mixstation.__path__[0])


class Ours(Frozen):
    """A value."""

    a: int
    b: str = "b"
    c: Mapping[str, int] = dataclasses.field(default_factory=dict)
    d: int = dataclasses.field(default=0, compare=False)


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """A value."""

    a: int
    b: str = "b"
    c: Mapping[str, int] = dataclasses.field(default_factory=dict)
    d: int = dataclasses.field(default=0, compare=False)


class Bare(Frozen):
    """Nothing."""


class Longer(Ours):
    """A value that has more."""

    e: tuple[int, ...] = ()


BOTH: list[Any] = [Ours, Standard]


@pytest.mark.parametrize("kind", BOTH)
def test_what_is_not_said_is_the_default_and_made_anew(kind: Any) -> None:
    one, other = kind(a=1), kind(a=1)
    assert (one.a, one.b, one.c, one.d) == (1, "b", {}, 0)
    assert one.c is not other.c


@pytest.mark.parametrize("kind", BOTH)
@pytest.mark.parametrize(
    ("args", "names"), [((), {}), ((1,), {}), ((), {"a": 1, "z": 2})], ids=["missing", "by place", "unknown"]
)
def test_what_does_not_fit_is_refused(kind: Any, args: tuple[Any, ...], names: dict[str, Any]) -> None:
    with pytest.raises(TypeError):
        kind(*args, **names)


@pytest.mark.parametrize("kind", BOTH)
def test_a_value_does_not_change(kind: Any) -> None:
    value = kind(a=1)
    with pytest.raises(dataclasses.FrozenInstanceError):
        value.a = 2
    with pytest.raises(dataclasses.FrozenInstanceError):
        del value.a
    with pytest.raises((AttributeError, TypeError)):
        value.other = 2
    assert not hasattr(value, "__dict__")
    assert value.a == 1


@pytest.mark.parametrize("kind", BOTH)
def test_equal_is_what_compares_equal_and_of_one_kind(kind: Any) -> None:
    assert kind(a=1, d=1) == kind(a=1, d=2)
    assert kind(a=1) != kind(a=2)
    assert kind(a=1) != (1, "b", {})
    assert hash(kind(a=1, c=(), d=1)) == hash(kind(a=1, c=(), d=2))
    with pytest.raises(TypeError):
        hash(kind(a=1))


def test_two_kinds_with_equal_fields_differ() -> None:
    assert Ours(a=1) != Standard(a=1)
    assert Longer(a=1) != Ours(a=1)


@pytest.mark.parametrize("kind", BOTH)
def test_the_tools_of_the_library_know_it(kind: Any) -> None:
    value = kind(a=1, c={"x": 1}, d=3)
    assert dataclasses.replace(value, a=2) == kind(a=2, c={"x": 1})
    assert dataclasses.asdict(value) == {"a": 1, "b": "b", "c": {"x": 1}, "d": 3}
    for other in (copy.copy(value), copy.deepcopy(value), pickle.loads(pickle.dumps(value))):
        assert other == value
        assert other.d == 3
    assert repr(value) == f"{kind.__name__}(a=1, b='b', c={{'x': 1}}, d=3)"
    match value:
        case Ours(a=a) | Standard(a=a):
            assert a == 1
        case _:
            pytest.fail("not matched by its names")


@pytest.mark.parametrize("kind", BOTH)
def test_a_strict_reader_knows_it(kind: Any) -> None:
    reader = TypeAdapter(kind)
    assert reader.validate_json('{"a":1,"c":{"x":1}}', strict=True) == kind(a=1, c={"x": 1})
    assert reader.dump_python(kind(a=1)) == {"a": 1, "b": "b", "c": {}, "d": 0}


def test_a_value_may_have_no_fields_or_those_of_another() -> None:
    assert Bare() == Bare()
    assert hash(Bare()) == hash(Bare())
    longer = Longer(a=1, e=(2,))
    assert (longer.a, longer.b, longer.e) == (1, "b", (2,))
    assert longer == dataclasses.replace(Longer(a=0, e=(2,)), a=1)


def test_what_is_asked_of_a_kind_is_asked_of_each_for_itself() -> None:
    """What is worked out late for one class is not taken for the class below it, whichever is asked first."""
    assert [each.name for each in dataclasses.fields(Ours)] == ["a", "b", "c", "d"]
    assert [each.name for each in dataclasses.fields(Longer)] == ["a", "b", "c", "d", "e"]
    assert list(inspect.signature(Longer).parameters) == ["a", "b", "c", "d", "e"]
    assert all(each.kind is each.KEYWORD_ONLY for each in inspect.signature(Ours).parameters.values())


@pytest.mark.parametrize("method", ["__init__", "__post_init__", "__eq__", "__hash__"])
def test_what_would_be_lost_is_refused(method: str) -> None:
    with pytest.raises(AssertionError, match=method):
        type(Frozen)("Own", (Frozen,), {method: repr})


def test_every_value_of_the_program_is_made_so() -> None:
    """The standard decorator stands only where another form is needed."""
    form = re.compile(r"^ *@dataclass\(frozen=True, slots=True, kw_only=True\)", re.MULTILINE)
    slow = [
        path.relative_to(ROOT).as_posix()
        for path in ROOT.rglob("*.py")
        if form.search(path.read_text("utf-8"))
    ]
    assert slow == []
