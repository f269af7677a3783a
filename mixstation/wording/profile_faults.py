"""Sentences for what can be wrong with a scale profile; what stands in braces is said in `file_faults.py`."""

from typing import assert_never, get_args

from mixstation.scale import faults as of
from mixstation.scale.faults import FrameCode, ProfileFault


def profile_sentence(told: ProfileFault) -> str:
    """The words for a fault of a scale profile, with its fields in braces."""
    match told:
        case of.Plain.UNIT_UNSAID:
            return (
                "Neither the frame nor the profile says the unit. {write} Or write a field of the kind unit."
            )
        case of.Plain.CHECK_BYTE_PLACE:
            return "A check byte can look like any other, so it must be the last field, with after = 1 in [frame]."
        case of.ProfileTwice():
            return "Another profile's file has a name that looks the same: {other}. Give one of them another name."
        case of.ProfileUnknown():
            return "There is no scale profile “{name}”. {near}There are: {choices}."
        case of.NumberCount():
            return (
                "A frame has exactly one field of the kind number; found {found_count}. Correct the fields."
            )
        case of.LeadLength():
            return "{key} must be more than the lead plus {after_count:byte|bytes} after it."
        case of.MeaningUnknown():
            return "“{found}” is no meaning. {near}Known: {choices}."
        case of.TextCount():
            return "{found_count} texts stand here; it must be {least_count} to {most_count}."
        case of.InsteadWithoutFault():
            return "“{found}” comes in place of a number, so it must mean one of: {choices}."
        case of.SampleEmpty():
            return "The sample {frame} does not say what it must read as. {write}"
        case of.SampleFrames():
            return "The sample {frame} holds {found_count} frames; it must hold one, whole."
        case of.SampleRefused():
            return (
                f"The sample {{frame}} cannot be read: {_frame_words(told.reason)}, at character {{at_number}}, "
                "field {field_number}. Correct the fields or the sample."
            )
        case of.SampleDiffers():
            return (
                "The sample {frame} reads with {what} {found}, but {expected} is written. "
                "Correct the one that is wrong."
            )
        case of.RefuseRead():
            return "{frame} must not read, but reads as {found}. Make the fields stricter."
        case _ as forgotten:
            assert_never(forgotten)


def _frame_words(code: FrameCode) -> str:
    match code:
        case "text-differs":
            return "another text stands there"
        case "choice-unknown":
            return "none of the choices stands there"
        case "sign-missing":
            return "the sign is missing"
        case "number-unreadable":
            return "no number stands there"
        case "number-too-long":
            return "the number is too long"
        case "unit-unknown":
            return "the unit is not one of those listed"
        case "space-missing":
            return "a space is missing"
        case "check-differs":
            return "the check does not agree"
        case "too-short":
            return "the frame ends too soon"
        case "left-over":
            return "something is left over at the end"
        case _ as forgotten:
            assert_never(forgotten)


FRAME_REFUSALS: dict[str, str] = {code: _frame_words(code) for code in get_args(FrameCode)}
"""Why a frame is no reading, for the middle of a sentence."""
