"""Sentences for what can be wrong with a scale profile; how they are written is said in `file_faults`."""

from collections.abc import Mapping
from types import MappingProxyType

from mixstation.wording.file_faults import Sentences

PROFILE_FAULTS: Sentences = MappingProxyType(
    {
        "profile-twice": "Another profile's file has a name that looks the same: {other}. "
        "Give one of them another name.",
        "profile-unknown": "There is no scale profile “{name}”. {near}There are: {choices}.",
        "not-latin": "{key} holds a sign that does not fit into one byte on the line. Use signs up to ÿ.",
        "number-count": "A frame has exactly one field of the kind number; found {found}. Correct the fields.",
        "unit-unsaid": "Neither the frame nor the profile says the unit. {write} Or write a field of the kind unit.",
        "check-byte-place": "A check byte can look like any other, so it must be the last field, "
        "with after = 1 in [frame].",
        "lead-length": "{key} must be larger than the lead and the {after} bytes after it together.",
        "meaning-unknown": "“{found}” is no meaning. {near}Known: {choices}.",
        "text-count": "{found} texts stand here; it must be {least} to {most}.",
        "instead-without-fault": "“{found}” comes in place of a number, so it must mean one of: {choices}.",
        "sample-empty": "The sample {frame} does not say what it must read as. {write}",
        "sample-frames": "The sample {frame} holds {found} frames; it must hold one, whole.",
        "sample-refused": "The sample {frame} cannot be read: {reason_words}, at character {at}, field {field}. "
        "Correct the fields or the sample.",
        "sample-differs": "The sample {frame} reads with {what} {found}, but {expected} is written. "
        "Correct the one that is wrong.",
        "refuse-read": "{frame} must not read, but reads as {found}. Make the fields stricter.",
    }
)

FRAME_REFUSALS: Mapping[str, str] = MappingProxyType(
    {
        "text-differs": "another text stands there",
        "choice-unknown": "none of the choices stands there",
        "sign-missing": "the sign is missing",
        "number-unreadable": "no number stands there",
        "number-too-long": "the number is too long",
        "unit-unknown": "the unit is not one of those listed",
        "space-missing": "a space is missing",
        "check-differs": "the check does not agree",
        "too-short": "the frame ends too soon",
        "left-over": "something is left over at the end",
    }
)
"""Why a frame is no reading, for the middle of a sentence."""
