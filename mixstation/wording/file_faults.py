"""Sentences for what can be wrong with any file: its reading, its form as TOML, its keys and their values.

In a sentence `{key}` is the key, `{hint}` what was probably meant or else what may be written, `{near}` the former
alone and `{write}` the latter alone; each is empty where nothing is known. Other names are fields of what is told.
"""

from typing import assert_never

from mixstation.toml import faults_of_files as of
from mixstation.units import errors as units
from mixstation.units.errors import UnitsFault
from mixstation.wording.quantity_lines import template_of


def file_sentence(told: of.AnyFileFault | UnitsFault) -> str:
    """The words for a fault that any file can have, with its fields in braces."""
    match told:
        case of.NoText() | of.OverLimit() | of.Unread():
            return _of_text(told)
        case of.BadValue():
            return _of_value(told.code)
        case of.Form.KEY_MISSING:
            return "{key} is missing. {write}"
        case of.Form.NOT_A_TABLE:
            return "{key} must be a table. {write}"
        case of.Form.NOT_TABLES:
            return "{key} must be a list of tables. {write}"
        case of.UnknownKey():
            return "“{key}” is no key known here. {near}Known: {choices}."
        case of.TooMany():
            return "{found_count} are too many for {key}: at most {limit_count}. Take some out."
        case of.NameTwice():
            return (
                "“{found}” is, or looks like, “{other}” on line {first_line}. Give one of them another name."
            )
        case of.KeyForm():
            return (
                "“{found}” cannot be a key. Write 1 to {limit_count} of a-z, 0-9, - and _, such as {example}."
            )
        case of.OutOfRange():
            return "{key} must be {bounds}; found “{found}”. {hint}"
        case of.BadPrice():
            return "{key} must be 0 or more, with at most two decimals; found “{found}”. {hint}"
        case of.NotOneOf():
            return "{key} cannot be “{found}”. {near}It can be: {choices}."
        case units.Nothing():
            return "{key} is empty. {write}"
        case units.TooLong():
            return "{key} has {length_count} characters; at most {limit_count} fit. Make it shorter."
        case units.UnitNotWhole():
            return "{key} must be a whole number; found {found}. {write}"
        case _:
            return "{key}: " + template_of(told) + " {write}"


def _of_text(told: of.TextFault) -> str:
    match told:
        case of.NoText.FILE_MISSING:
            return "There is no such file. Look at its name and folder."
        case of.NoText.FILE_NOT_ORDINARY:
            return "This is no ordinary file but a folder, a link or a device. Name the file itself."
        case of.NoText.NOT_UTF8:
            return "This line is not UTF-8 text. Save the file as UTF-8."
        case of.OverLimit():
            return _over_limit(told.code)
        case of.Unread():
            return _unread(told.code)
        case _ as forgotten:
            assert_never(forgotten)


def _unread(code: of.UnreadCode) -> str:
    match code:
        case "file-unreadable":
            return "This file cannot be read: {reason}. See that it is there and that you may read it."
        case "toml-syntax":
            return (
                "This is not TOML: {reason}. Look for a missing quotation mark, bracket or = here or above."
            )
        case _ as forgotten:
            assert_never(forgotten)


def _over_limit(code: of.LimitCode) -> str:
    match code:
        case "file-too-large":
            return (
                "This file is larger than {limit_count} bytes, far more than it needs. Is it the right one?"
            )
        case "line-too-long":
            return "This line is longer than {limit_count} characters. Break it up."
        case "key-too-deep":
            return "This key has more than {limit_count} parts. Write fewer."
        case "nesting-too-deep":
            return "Lists and tables lie more than {limit_count} deep here. Write them flatter."
        case _ as forgotten:
            assert_never(forgotten)


def _of_value(code: of.ValueCode) -> str:
    match code:
        case "not-text":
            return "{key} must be text in quotation marks, with its unit where it has one; found {found}. {write}"
        case "not-true":
            return "{key} can only be true, without quotation marks; found {found}."
        case "not-true-or-false":
            return "{key} must be true or false, without quotation marks; found “{found}”."
        case "not-number":
            return "{key} must be a number; found {found}. {write}"
        case "not-latin":
            return "{key} holds a sign that does not fit into one byte on the line. Use signs up to ÿ."
        case "day-form":
            return "{key} must be a day, year first; found “{found}”. {write}"
        case "key-reserved":
            return "“{found}” means something else in a step. Choose another key."
        case "named-twice":
            return "“{found}” stands twice in {key}. Name it once."
        case "one-sided":
            return "“{found}” gives one side only. Write both, such as -0 % +4 %, or one figure for both."
        case "range-missing":
            return "{key} needs a least and a most; found “{found}”. {write}"
        case "range-order":
            return "In “{found}” the first is the larger. Write the smaller first."
        case _ as forgotten:
            assert_never(forgotten)
