"""Entries as stored text and back, strictly.

Rules: a body is canonical JSON (sorted names, no spaces, no NaN); a body that does not read back to the very same
text is refused, so unknown names, doubled names and foreign number forms cannot slip in; a fraction is refused by its
form, before it is reckoned. Stored kinds are the words in `batch.events`, never class paths.
"""

import json
from functools import cache
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError
from pydantic_core import SchemaValidator

from mixstation.batch.events import Entry, Fact, Stamp
from mixstation.frozen import dataclass
from mixstation.record.guarded import guarded
from mixstation.units.clean import clean

FORM = 1
# Fields that bodies of this form may lack: nothing in them is written as nothing.
_LATER = ("weighed_apart",)


class CodecError(ValueError):
    """Stored text that is no entry of ours.

    Attributes:
        code: "newer-form", "not-an-entry" or "not-canonical".
        detail: What was wrong, cleaned.
    """

    def __init__(self, code: str, detail: str) -> None:
        """Keep the code and what was wrong."""
        super().__init__(f"{code}: {detail}")
        self.code = code
        self.detail = detail


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredBody:
    """The body of one stored entry: form of the store, stamp, fact."""

    form: int
    stamp: Stamp
    fact: Annotated[Fact, Field(discriminator="kind")]


@cache
def _adapter() -> TypeAdapter[StoredBody]:
    return TypeAdapter(StoredBody)


@cache
def _validator() -> SchemaValidator:
    return guarded(_adapter())


def entry_schema() -> dict[str, Any]:
    """JSON Schema of a stored body."""
    return _adapter().json_schema()


def written(entry: Entry) -> str:
    """The body to store for an entry; what could not be read back is refused here.

    Raises:
        ValueError: A number in it is not finite, a text holds half a surrogate pair, or a value is not of its type.
    """
    body = StoredBody(form=FORM, stamp=entry.stamp, fact=entry.fact)
    text = _text(body)
    # A whole number where a float belongs is written as one: the text is that of what will be read.
    return _text(_validator().validate_json(text, strict=True))


def read(seq: int, body: str) -> Entry:
    """The entry a stored body holds.

    Args:
        seq: Its place in the batch.
        body: As `written` made it.

    Returns:
        An entry equal to the one that was written.

    Raises:
        CodecError: It is no entry of ours, or of a later form.
    """
    try:
        stored = _validator().validate_json(body, strict=True)
    except ValidationError as error:
        first = error.errors(include_url=False, include_context=False)[0]
        raise CodecError(_why(body), clean(f"{first['msg']} at {first['loc']}", 200)) from error
    if stored.form != FORM:
        raise CodecError("newer-form" if stored.form > FORM else "not-an-entry", f"form {stored.form}")
    entry = Entry(seq=seq, stamp=stored.stamp, fact=stored.fact)
    try:
        same = _text(stored) == body
    except ValueError as error:
        raise CodecError("not-an-entry", str(error)) from error
    if not same:
        raise CodecError("not-canonical", f"entry {seq}")
    return entry


def _text(body: StoredBody) -> str:
    value = _adapter().dump_python(body, mode="json", warnings=False)
    for name in _LATER:
        if not value["fact"].get(name, True):
            del value["fact"][name]
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def _why(body: str) -> str:
    """A form later than ours is told apart from damage, so that the reader can be told to use a newer program."""
    try:
        form = json.loads(body).get("form")
    except (ValueError, AttributeError, RecursionError):
        return "not-an-entry"
    return "newer-form" if isinstance(form, int) and form > FORM else "not-an-entry"
