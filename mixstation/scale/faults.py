"""What can be wrong with a scale profile besides what any file can have, and with a frame: a type of each kind.

The sentences are in `mixstation/wording/profile_faults.py`. `frame` is a frame as it would be written in the file.
"""

from typing import Literal

from mixstation.coded import Coded, PlainCode
from mixstation.toml.faults_of_files import OfChoices

FrameCode = Literal[
    "text-differs",
    "choice-unknown",
    "sign-missing",
    "number-unreadable",
    "number-too-long",
    "unit-unknown",
    "space-missing",
    "check-differs",
    "too-short",
    "left-over",
]
"""Why a frame is no reading."""


class Plain(PlainCode):
    """Kinds that need no value."""

    UNIT_UNSAID = "unit-unsaid"
    CHECK_BYTE_PLACE = "check-byte-place"


class ProfileTwice(Coded, code="profile-twice"):
    """A profile's file whose name looks like another's; the path of the other."""

    other: str


class ProfileUnknown(Coded, code="profile-unknown"):
    """No profile has this name."""

    name: str
    suggestion: str
    choices: str


class NumberCount(Coded, code="number-count"):
    """No field for the number, or several."""

    found_count: int


class LeadLength(Coded, code="lead-length"):
    """A frame too short for its lead and the bytes after it."""

    after_count: int


class MeaningUnknown(OfChoices, code="meaning-unknown"):
    """A word that says of no text what it stands for."""


class TextCount(Coded, code="text-count"):
    """Too few texts in a table, or too many."""

    found_count: int
    least_count: int
    most_count: int


class InsteadWithoutFault(Coded, code="instead-without-fault"):
    """A text in place of a number that says of no fault."""

    found: str
    choices: str


class SampleEmpty(Coded, code="sample-empty"):
    """A sample that does not say what it must read as."""

    frame: str


class SampleFrames(Coded, code="sample-frames"):
    """A sample that holds no frame, or several."""

    frame: str
    found_count: int


class SampleRefused(Coded, code="sample-refused"):
    """A sample that is no reading; the character and the field are counted from 1."""

    frame: str
    reason: FrameCode
    at_number: int
    field_number: int


class SampleDiffers(Coded, code="sample-differs"):
    """A sample that reads otherwise than is written.

    Attributes:
        what: The key it differs in.
    """

    frame: str
    what: str
    found: str
    expected: str


class RefuseRead(Coded, code="refuse-read"):
    """A frame that must not read, and does."""

    frame: str
    found: str


ProfileFault = (
    Plain
    | ProfileTwice
    | ProfileUnknown
    | NumberCount
    | LeadLength
    | MeaningUnknown
    | TextCount
    | InsteadWithoutFault
    | SampleEmpty
    | SampleFrames
    | SampleRefused
    | SampleDiffers
    | RefuseRead
)
