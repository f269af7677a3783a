"""What can be wrong with any file, its tables and its values: a type of each kind, whose fields its sentence names.

The sentences are in `mixstation/wording/file_faults.py`. A value that cannot be read is also told with a kind of
`mixstation/units/errors.py`.
"""

from typing import Literal

from mixstation.coded import Coded, PlainCode
from mixstation.frozen import Frozen


class NoText(PlainCode):
    """Nothing could be read."""

    FILE_MISSING = "file-missing"
    FILE_NOT_ORDINARY = "file-not-ordinary"
    NOT_UTF8 = "not-utf8"


LimitCode = Literal["file-too-large", "line-too-long", "key-too-deep", "nesting-too-deep"]
UnreadCode = Literal["file-unreadable", "toml-syntax"]


class OverLimit(Frozen):
    """More than is read: bytes, characters of a line, parts of a key, or depth."""

    code: LimitCode
    limit_count: int


class Unread(Frozen):
    """The system or the parser gave up; the reason is in their words."""

    code: UnreadCode
    reason: str


TextFault = NoText | OverLimit | Unread


class Form(PlainCode):
    """A key that holds not what it must."""

    KEY_MISSING = "key-missing"
    NOT_A_TABLE = "not-a-table"
    NOT_TABLES = "not-tables"


class UnknownKey(Coded, code="unknown-key"):
    """No key of its table.

    Attributes:
        suggestion: What was probably meant; "" where nothing is near.
        choices: The keys of the table.
    """

    suggestion: str
    choices: str


class TooMany(Coded, code="too-many"):
    """More tables or names than a key may hold."""

    found_count: int
    limit_count: int


class NameTwice(Coded, code="name-twice"):
    """A name that is, or looks like, an earlier one."""

    found: str
    other: str
    first_line: int


TableFault = Form | UnknownKey | TooMany | NameTwice

ValueCode = Literal[
    "not-text",
    "not-true",
    "not-true-or-false",
    "not-number",
    "not-latin",
    "day-form",
    "key-reserved",
    "named-twice",
    "one-sided",
    "range-missing",
    "range-order",
]


class BadValue(Frozen):
    """A value of the wrong form; the code says which is wanted."""

    code: ValueCode
    found: str


class KeyForm(Coded, code="key-form"):
    """No name of a material or a step."""

    found: str
    limit_count: int


class OutOfRange(Coded, code="out-of-range"):
    """A figure that is a slip.

    Attributes:
        bounds: What it can be.
        suggestion: What was probably meant; "" where nothing is near.
    """

    found: str
    bounds: str
    suggestion: str = ""


class BadPrice(Coded, code="out-of-range"):
    """Below nought, or with a third decimal."""

    found: str


class OfChoices(Coded):
    """A word that is none of those that may stand there.

    Attributes:
        suggestion: What was probably meant; "" where nothing is near.
        choices: Those there are.
    """

    found: str
    suggestion: str
    choices: str


class NotOneOf(OfChoices, code="not-one-of"):
    """One of a few words is wanted."""


ValueFault = BadValue | KeyForm | OutOfRange | BadPrice | NotOneOf
AnyFileFault = TextFault | TableFault | ValueFault
"""What any file can have; each kind of file has faults of its own besides."""
