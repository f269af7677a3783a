"""The one form of value in this program: frozen, slotted, made by name, and cheap to declare.

The standard decorator makes each class twice and compiles seven methods for it, and the program has some hundreds of
classes: that was the longest part of its start. Here a class is made once; its `__init__` is compiled when its first
value is made, and what the standard library's `replace` and `fields` look at when they first look. To a type checker
the classes are dataclasses.
"""

import sys
from collections.abc import Mapping
from dataclasses import MISSING, Field, FrozenInstanceError, field, make_dataclass
from operator import attrgetter
from typing import TYPE_CHECKING, Any, ClassVar, dataclass_transform, get_origin


def _annotations(body: Mapping[str, Any]) -> Any:
    if "__annotations__" in body or sys.version_info < (3, 14):
        return body.get("__annotations__", {})
    import annotationlib  # type: ignore[import-not-found]

    annotate = annotationlib.get_annotate_from_class_namespace(body)
    if annotate is None:
        return {}
    return annotationlib.call_annotate_function(annotate, annotationlib.Format.FORWARDREF)


def _init_at_first(self: Any, /, *values: Any, **named: Any) -> None:
    kind: Any = type(self)
    kind.__init__ = _init(kind)
    kind.__init__(self, *values, **named)


def _init(kind: "_Kind") -> Any:
    names: dict[str, Any] = {"_set": object.__setattr__, "_missing": MISSING}
    heads, lines = [], []
    for name, (_, described) in kind._given.items():
        head, value = name, name
        if described.default is not MISSING:
            head = f"{name}=_default_{name}"
            names[f"_default_{name}"] = described.default
        elif described.default_factory is not MISSING:
            head = f"{name}=_missing"
            value = f"_make_{name}() if {name} is _missing else {name}"
            names[f"_make_{name}"] = described.default_factory
        heads.append(head)
        lines.append(f"  _set(self, {name!r}, {value})\n")
    star = ", *, " if heads else ""
    exec(f"def __init__(self{star}{', '.join(heads)}):\n{''.join(lines) or '  pass'}", names)
    init = names["__init__"]
    init.__qualname__ = f"{kind.__qualname__}.__init__"
    init.__annotations__ = {name: type_ for name, (type_, _) in kind._given.items()}
    return init


def _nothing(_value: object) -> tuple[()]:
    return ()


class _Described:
    """The fields as the standard library knows them, worked out when it asks."""

    def __get__(self, value: object, kind: "_Kind") -> Any:
        given = [(name, type_, default) for name, (type_, default) in kind._given.items()]
        # With a text of its own; the standard decorator would work out the signature for one.
        body = {"__doc__": kind.__name__}
        made: Any = make_dataclass(
            kind.__name__, given, namespace=body, init=False, repr=False, eq=False, kw_only=True
        )
        kind.__dataclass_fields__ = made.__dataclass_fields__
        return kind.__dataclass_fields__


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(field,))
class _Kind(type):
    """Makes the classes of values."""

    _given: dict[str, tuple[Any, Any]]
    _compared: Any
    __dataclass_fields__: Any

    def __new__(cls, name: str, bases: tuple[type, ...], body: dict[str, Any], **given: Any) -> "_Kind":
        """Take the annotated names for fields; what is given with the class goes to `__init_subclass__`."""
        lost = {"__init__", "__post_init__", "__eq__", "__hash__"} & set(body) if bases else set()
        assert not lost, f"{name}: {lost} would be lost; take the standard dataclass"
        fields = {
            key: value for base in reversed(bases) for key, value in getattr(base, "_given", {}).items()
        }
        inherited = set(fields)
        for key, type_ in _annotations(body).items():
            if type_ is not ClassVar and get_origin(type_) is not ClassVar:
                default = body.pop(key, MISSING)
                fields[key] = (type_, default if isinstance(default, Field) else field(default=default))
        compared = [key for key, (_, described) in fields.items() if described.compare]
        body |= {
            "__slots__": tuple(key for key in fields if key not in inherited),
            "__match_args__": (),
            "__dataclass_fields__": _Described(),
            "_given": fields,
            "_compared": attrgetter(*compared) if compared else _nothing,
        }
        if bases:
            body["__init__"] = _init_at_first
        return super().__new__(cls, name, bases, body, **given)

    @property
    def __signature__(cls) -> Any:
        """What its values are made of, for whoever inspects the class."""
        from inspect import signature

        made = signature(_init(cls))
        return made.replace(parameters=[each for each in made.parameters.values() if each.name != "self"])


class Frozen(metaclass=_Kind):
    """A value: the annotated names of a class below it are its fields, given by name; it never changes."""

    if TYPE_CHECKING:
        __dataclass_fields__: ClassVar[dict[str, Field[Any]]]

    def __repr__(self) -> str:
        """The class with each field."""
        said = ", ".join(f"{name}={getattr(self, name)!r}" for name in type(self)._given)
        return f"{type(self).__qualname__}({said})"

    def __eq__(self, other: object) -> Any:
        """Of the same class, with the same in each field that is compared."""
        if other.__class__ is not self.__class__:
            return NotImplemented
        compared = type(self)._compared
        return compared(self) == compared(other)

    def __hash__(self) -> int:
        """Of the fields that are compared."""
        return hash(type(self)._compared(self))

    def __setattr__(self, name: str, _value: object) -> None:
        """Never."""
        raise FrozenInstanceError(f"cannot assign to field {name!r}")

    def __delattr__(self, name: str) -> None:
        """Never."""
        raise FrozenInstanceError(f"cannot delete field {name!r}")

    def __getstate__(self) -> list[object]:
        """All fields, for copies."""
        return [getattr(self, name) for name in type(self)._given]

    def __setstate__(self, state: list[object]) -> None:
        """Fill a copy."""
        for name, value in zip(type(self)._given, state, strict=True):
            object.__setattr__(self, name, value)
