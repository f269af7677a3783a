"""The one form of value in this program, a dataclass frozen, slotted and keyword-only, made in a quarter of the time.

The standard decorator compiles seven methods for each class, and the program has some hundreds of classes: that was
the longest part of its start. Only `__init__` differs from class to class in more than its fields, so it alone is
compiled; the others stand here once and look at the fields. To a type checker it is the standard decorator.
"""

from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, fields
from dataclasses import dataclass as standard_dataclass
from operator import attrgetter
from typing import TYPE_CHECKING, Any, Literal, TypeVar

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(
        *, frozen: Literal[True], slots: Literal[True], kw_only: Literal[True]
    ) -> Callable[[type], type]:
        """As `dataclasses.dataclass` with these three, which must be said so that a type checker knows them."""
        assert frozen, "values are frozen"
        assert slots, "values are slotted"
        assert kw_only, "values are made by name"
        return _made


_Made = TypeVar("_Made")


def _made(cls: type[_Made]) -> type[_Made]:
    own = {"__post_init__", "__eq__", "__hash__"} & set(vars(cls))
    assert not own, f"{cls.__name__}: {own} would be lost; take the standard dataclass"
    # A text of its own for what has none; the standard decorator would work out the signature for it.
    cls.__doc__ = cls.__doc__ or cls.__name__
    made = standard_dataclass(cls, init=False, eq=False, slots=True, kw_only=True)
    of = fields(made)  # type: ignore[arg-type]
    compared = [field.name for field in of if field.compare]
    methods = {
        "__init__": _init(made, of),
        "_compared": attrgetter(*compared) if compared else _nothing,
        "__eq__": _equal,
        "__hash__": _hash,
        "__setattr__": _set,
        "__delattr__": _delete,
        "__getstate__": _state,
        "__setstate__": _set_state,
    }
    for name, method in methods.items():
        setattr(made, name, method)
    return made


def _init(made: type, of: tuple[Field[Any], ...]) -> Any:
    names: dict[str, Any] = {"_set": object.__setattr__, "_missing": MISSING}
    heads, lines = [], []
    for field in of:
        head, value = field.name, field.name
        if field.default is not MISSING:
            head = f"{field.name}=_default_{field.name}"
            names[f"_default_{field.name}"] = field.default
        elif field.default_factory is not MISSING:
            head = f"{field.name}=_missing"
            value = f"_make_{field.name}() if {field.name} is _missing else {field.name}"
            names[f"_make_{field.name}"] = field.default_factory
        heads.append(head)
        lines.append(f"  _set(self, {field.name!r}, {value})\n")
    star = ", *, " if heads else ""
    exec(f"def __init__(self{star}{', '.join(heads)}):\n{''.join(lines) or '  pass'}", names)
    init = names["__init__"]
    init.__qualname__ = f"{made.__qualname__}.__init__"
    init.__annotations__ = {field.name: field.type for field in of}
    return init


def _nothing(_value: object) -> tuple[()]:
    return ()


def _equal(self: Any, other: Any) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    compared = self.__class__._compared
    return compared(self) == compared(other)


def _hash(self: Any) -> int:
    return hash(self.__class__._compared(self))


def _set(_self: object, name: str, _value: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _delete(_self: object, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[object]:
    return [getattr(self, field.name) for field in fields(self)]


def _set_state(self: Any, state: list[object]) -> None:
    for field, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)
