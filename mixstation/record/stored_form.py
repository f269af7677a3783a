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
from typing import Any, Generic, Literal, Protocol, TypeVar

from mixstation.record.typed_content import ContentError, NotAsWrittenError, content_of, reader_of
from mixstation.units.clean import clean

CodecCode = Literal["newer-form", "not-an-entry", "not-canonical"]


class CodecError(ValueError):
    """Stored text that is none of ours.

    Attributes:
        detail: What was wrong, cleaned.
    """

    def __init__(self, code: CodecCode, detail: str) -> None:
        """Keep the code and what was wrong."""
        cleaned = clean(detail, 200)
        super().__init__(f"{code}: {cleaned}")
        self.code: CodecCode = code
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
        self._canonical = json.JSONEncoder(
            sort_keys=True,
            separators=(",", ":") if indent is None else None,
            indent=indent,
            ensure_ascii=False,
            allow_nan=False,
            default=content_of,
        ).encode

    def written(self, value: Stored) -> str:
        """The text to store; what could not be read back is refused here.

        Raises:
            ValueError: A number is not finite, a text holds half a surrogate pair, or a value is not of its type.
        """
        try:
            text = self._canonical(value)
        except (TypeError, OverflowError, RecursionError) as error:
            raise ValueError(str(error)) from error
        reader_of(self._kind)(_parsed(text))
        return text

    def read(self, text: str) -> Stored:
        """The value a stored text holds, in the form of now.

        Raises:
            CodecError: It is none of ours, or of a later form.
        """
        try:
            content = _parsed(text)
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
            value: Stored = reader_of(self._kind)(self._upgraded(content))
        except NotAsWrittenError as error:
            raise CodecError("not-canonical", str(error)) from error
        except ContentError as error:
            raise CodecError("not-an-entry", str(error)) from error
        except (ValueError, LookupError, TypeError, AttributeError, RecursionError) as error:
            raise CodecError("not-an-entry", f"not to be read as form {form}: {error!r}") from error
        return value

    def _upgraded(self, content: dict[str, Any]) -> dict[str, Any]:
        for form in range(content["form"], self._form):
            upgrade = self._upgrades.get(form)
            content = content if upgrade is None else _parsed(self._canonical(upgrade(content)))
        return {**content, "form": self._form}


def _parsed(text: str) -> Any:
    """Content of a text; half a surrogate pair is none."""
    text.encode()
    return json.loads(text)
