"""Sentences for what can be wrong with any file: its reading, its form as TOML, its keys and their values.

In a sentence `{key}` is the key, `{hint}` what was probably meant or else what may be written, `{near}` the former
alone and `{write}` the latter alone; each is empty where nothing is known. Other names are the fault's own values.
"""

from collections.abc import Mapping
from types import MappingProxyType

Sentences = Mapping[str, str]

FILE_FAULTS: Sentences = MappingProxyType(
    {
        "file-missing": "There is no such file. Look at its name and folder.",
        "file-not-ordinary": "This is no ordinary file but a folder, a link or a device. Name the file itself.",
        "file-unreadable": "This file cannot be read: {reason}. See that it is there and that you may read it.",
        "file-too-large": "This file is larger than {limit_byte_count} bytes, far more than it needs. "
        "Is it the right one?",
        "not-utf8": "This line is not UTF-8 text. Save the file as UTF-8.",
        "line-too-long": "This line is longer than {limit_character_count} characters. Break it up.",
        "key-too-deep": "This key has more than {limit_count} parts. Write fewer.",
        "nesting-too-deep": "Lists and tables lie more than {limit_count} deep here. Write them flatter.",
        "toml-syntax": "This is not TOML: {reason}. Look for a missing quotation mark, bracket or = here or above.",
        "key-missing": "{key} is missing. {write}",
        "unknown-key": "“{key}” is no key known here. {near}Known: {choices}.",
        "not-a-table": "{key} must be a table. {write}",
        "not-tables": "{key} must be a list of tables. {write}",
        "too-many": "{count} are too many for {key}: at most {limit}. Take some out.",
        "not-text": "{key} must be text in quotation marks, with its unit where it has one; found {found}. {write}",
        "empty": "{key} is empty. {write}",
        "too-long": "{key} has {length} characters; at most {limit} fit. Make it shorter.",
        "not-one-of": "{key} cannot be “{found}”. {near}It can be: {choices}.",
        "not-true": "{key} can only be true, without quotation marks; found {found}.",
        "not-true-or-false": "{key} must be true or false, without quotation marks; found “{found}”.",
        "not-number": "{key} must be a number; found {found}. {write}",
        "not-whole": "{key} must be a whole number; found {found}. {write}",
        "out-of-range": "{key} must be {bounds}; found “{found}”. {hint}",
        "range-missing": "{key} needs a least and a most; found “{found}”. {write}",
        "day-form": "{key} must be a day, year first; found “{found}”. {write}",
        "division-over-capacity": "The division of a scale must be below its capacity. Correct the one that is wrong.",
        "easy-over-limit": "easy cannot be more than limit. Correct the one that is wrong.",
        "name-twice": "“{found}” is, or looks like, “{other}” on line {first_line}. Give one of them another name.",
        "range-order": "In “{found}” the first is the larger. Write the smaller first.",
    }
)
