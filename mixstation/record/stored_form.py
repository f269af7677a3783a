"""Stored values as text and back: strict, and able to grow.

Rules: a text is the canonical JSON of its own content (sorted names, no spaces but those of an indent, no NaN, no name
twice), and every value in it reads to one that writes back the same, so that nothing foreign slips in. A name may be
missing, at any depth, where its class has a default for it; one that no class has is refused. A literal with a single
value tells kinds apart and is never missing. A fraction is refused by its form, before it is reckoned.

New texts hold every name: what an entry says does not hang on what a default is later. A text carries the number of
its form. The number is raised whenever what is written changes, so that an earlier program says that it is too old;
what an earlier form wrote otherwise than by leaving names out goes through the upgrades of its table.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cached_property
from typing import Any, Generic, Protocol, TypeVar

from pydantic import TypeAdapter, ValidationError
from pydantic_core import SchemaValidator

from mixstation.record.guarded import guarded
from mixstation.units.clean import clean


class CodecError(ValueError):
    """Stored text that is none of ours.

    Attributes:
        code: "newer-form", "not-an-entry" or "not-canonical".
        detail: What was wrong, cleaned.
    """

    def __init__(self, code: str, detail: str) -> None:
        """Keep the code and what was wrong."""
        cleaned = clean(detail, 200)
        super().__init__(f"{code}: {cleaned}")
        self.code = code
        self.detail = cleaned


class HasForm(Protocol):
    """What is stored says in which form."""

    @property
    def form(self) -> int:
        """Number of the form, from 1."""


Stored = TypeVar("Stored", bound=HasForm)
Upgrade = Callable[[dict[str, Any]], dict[str, Any]]


class StoredForm(Generic[Stored]):
    """How values of one class are stored."""

    def __init__(
        self,
        kind: Any,
        form: int,
        upgrades: Mapping[int, Upgrade] | None = None,
        *,
        indent: int | None = None,
    ) -> None:
        """Load nothing yet.

        Args:
            kind: The class; it has a field `form`.
            form: Of what is written now.
            upgrades: By number of a form: the content of a text in it as the next form has it. None is needed
                where all that came was names with a default. What it does not hand on as it stands it must
                itself refuse, with any error, where it is not as that form wrote it.
            indent: Spaces for each level, for texts that are looked at; None for one line.
        """
        self._kind = kind
        self._form = form
        self._upgrades = dict(upgrades or {})
        self._indent = indent

    @cached_property
    def adapter(self) -> TypeAdapter[Stored]:
        """Of the class, for its schema."""
        return TypeAdapter(self._kind)

    @cached_property
    def _validator(self) -> SchemaValidator:
        return guarded(self.adapter)

    def written(self, value: Stored) -> str:
        """The text to store; what could not be read back is refused here.

        Raises:
            ValueError: A number is not finite, a text holds half a surrogate pair, or a value is not of its type.
        """
        # A whole number where a float belongs is written as one: the text is that of what will be read.
        return self._text(self._validator.validate_json(self._text(value), strict=True))

    def read(self, text: str) -> Stored:
        """The value a stored text holds, in the form of now.

        Raises:
            CodecError: It is none of ours, or of a later form.
        """
        try:
            found: Any = self._validator.validate_json(text, strict=True)
            if self._is_as_now(found.form) and self._text(found) == text:
                now: Stored = found if found.form == self._form else replace(found, form=self._form)
                return now
        except ValueError:
            pass
        return self._read_by_content(text)

    def _read_by_content(self, text: str) -> Stored:
        """What is not word for word as it would be written now: names left out, an old form, or none of ours."""
        try:
            content = json.loads(text)
            form, is_canonical = content.get("form"), self._canonical(content) == text
        except (ValueError, AttributeError, RecursionError) as error:
            raise CodecError("not-an-entry", str(error)) from error
        if type(form) is not int or form < 1:
            raise CodecError("not-an-entry", f"form {form}")
        if form > self._form:
            raise CodecError("newer-form", f"form {form}")
        if not is_canonical:
            raise CodecError("not-canonical", "it would be written otherwise")
        try:
            grown = self._upgraded(content)
            value: Stored = self._validator.validate_json(self._canonical(grown), strict=True)
        except ValidationError as error:
            first = error.errors(include_url=False, include_context=False)[0]
            raise CodecError("not-an-entry", f"{first['msg']} at {first['loc']}") from error
        except (ValueError, LookupError, TypeError, AttributeError) as error:
            raise CodecError("not-an-entry", f"not to be read as form {form}: {error!r}") from error
        odd = _not_within(grown, self.adapter.dump_python(value, mode="json", warnings=False))
        if odd is not None:
            raise CodecError("not-canonical", f"unknown, or written otherwise: {odd}")
        return value

    def _is_as_now(self, form: int) -> bool:
        """Whether all that can lie between a form and that of now is names left out."""
        return 1 <= form <= self._form and not any(form <= old < self._form for old in self._upgrades)

    def _upgraded(self, content: dict[str, Any]) -> dict[str, Any]:
        for form in range(content["form"], self._form):
            upgrade = self._upgrades.get(form)
            content = content if upgrade is None else upgrade(content)
        return {**content, "form": self._form}

    def _text(self, value: Stored) -> str:
        return self._canonical(self.adapter.dump_python(value, mode="json", warnings=False))

    def _canonical(self, content: Any) -> str:
        return json.dumps(
            content,
            sort_keys=True,
            separators=(",", ":") if self._indent is None else None,
            indent=self._indent,
            ensure_ascii=False,
            allow_nan=False,
        )


def _not_within(part: Any, whole: Any, at: str = "") -> str | None:
    """Where some value of stored content is not the same in what was read from it; None where all are."""
    if isinstance(part, dict) and isinstance(whole, dict):
        inside = ((name, value, whole.get(name, _ABSENT)) for name, value in part.items())
    elif isinstance(part, list) and isinstance(whole, list) and len(part) == len(whole):
        inside = ((str(place), *pair) for place, pair in enumerate(zip(part, whole, strict=True)))
    else:
        # 1, 1.0 and true are equal, and three texts.
        return None if type(part) is type(whole) and part == whole else at
    found = (_not_within(mine, its, f"{at}.{name}".lstrip(".")) for name, mine, its in inside)
    return next((odd for odd in found if odd is not None), None)


_ABSENT = object()
