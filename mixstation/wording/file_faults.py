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
        "too-long": "{key} has {length_count} characters; at most {limit_count} fit. Make it shorter.",
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


RECIPE_FAULTS: Sentences = MappingProxyType(
    {
        "key-form": "“{found}” cannot be a key. Write 1 to {limit} of a-z, 0-9, - and _, such as {example}.",
        "key-reserved": "“{found}” means something else in a step. Choose another key.",
        "key-twice": "“{found}” is a key already, on line {first_line}. Choose another.",
        "named-twice": "“{found}” stands twice in {key}. Name it once.",
        "one-sided": "“{found}” gives one side only. Write both, such as -0 % +4 %, or one figure for both.",
        "band-order": "{key} is “{high}”, below {low_key} with “{low}”. {key} must be the larger.",
        "pack-figure-not-of-powder": "A figure per pack counts on all dry powder, but [water] is of “{basis}”. "
        'Write of = "powder", or give {key} as a ratio, such as {example}.',
        "step-kind-missing": "This step does not say what is done. {near}Give it one of: {choices}.",
        "step-twofold": "A step does one thing; this one has {other} and {key}. Make two steps of it.",
        "add-after-release": "“{material}” was released on line {first_line}: none of it is left to add. "
        "Move this step before that one, or take it out.",
        "nothing-left": "All of “{material}” is in since line {first_line}. Give that step a share, or take this one "
        "out.",
        "share-over-whole": "With {found} here the shares of “{material}” come to {total}. They must come to 100 %.",
        "share-short": "The shares of “{material}” come to {total}: {missing} never goes in. "
        'Write share = "rest" in the last of its steps.',
        "amount-missing": "“{material}” has no dose, so a step cannot ask for it. Give it dose and of, or take it out "
        "of this step.",
        "release-not-water": "Only held-back water is released; “{found}” is a {role}. Use add for it.",
        "release-twice": "“{material}” is released on line {first_line} already. Take one of the two out.",
        "nothing-held-back": "Nothing of “{material}” is held back to be released here. "
        'Give the step that adds it a share, such as share = "80 %".',
        "release-over-held-back": "{key} is {found}, but only {held_back} is held back. Write less, or hold more back.",
        "unknown-material": "This recipe has no material “{found}”. {near}It has: {choices}.",
        "bucket-empty": "{key} stands before anything is in the bucket. Move it behind a step that adds.",
        "too-early": "{key} stands before any {missing} is in. Move it behind the step that adds it.",
        "never-added": 'No step puts “{material}” in. Write a [[step]] with add = "{material}".',
        "solids-unknown": "Its solids are to count, but how much that is is not said. "
        'Write solids = "50 %", as on its label.',
        "of-total-not-fibre": "Only fibre is dosed on the whole mix; this is a {role}. "
        'Write "cement", "binder" or "powder".',
        "cement-over-binder": "Binder is cement with pozzolan, so binder_share cannot be below cement_share. "
        "Correct the one that is wrong.",
        "density-of-role": "A {role} has no density of {found}: it must be {bounds}. "
        "Look for a digit missing or too many.",
        "currency-missing": 'A price needs a currency. Write at the top of the file: currency = "EUR".',
        "recipe-twice": "Another recipe's file has a name that looks the same: {others}. "
        "Give one of them another name.",
        "water-twice": "The water stands on line {first_line} already. Keep one.",
        "water-missing": 'No material is the water. Write a [[material]] with role = "water".',
        "powder-missing": "No material is a powder. Write at least one, such as the cement, with its parts.",
        "over-cap": "{key} is over the limit of {limit} ({source}). Lower it, or correct the limit.",
        "basis-unknown": "“{material}” does not say how much of it is {basis}. Write {missing} there, or take another "
        "basis.",
        "basis-empty": "Nothing in this recipe counts as {basis}, so nothing can be a share of it. Take another basis.",
        "key-not-for-role": "{key} is not for a {role} but for: {roles}. Take it out, or correct the role.",
        "needs-key": "{key} stands without {needed}. Write {needed} too, or take {key} out.",
        "both-given": "{key} and {other} say the same in two ways. Keep one.",
        "water-all-carried": "The other materials bring more water than the target allows: none is left to pour. "
        "Raise the target, or lower what carries water.",
        "fibres-fill-the-mix": "The fibres alone would fill the mix. Lower their doses.",
        "amount-not-positive": "The amount to mix must be more than nothing.",
        "nothing-to-scale-by": "The recipe holds none of that material, so an amount of it says nothing. "
        "Give the amount of another one.",
    }
)


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


PIECE_FAULTS: Sentences = MappingProxyType(
    {
        "area-form": "{key} must be a length by a width; found “{found}”. {write}",
        "corners-form": "{key} must be a list of 3 to {limit} corners, each a pair of lengths. {write}",
        "corner-form": "Corner {corner} must be a pair of lengths. {write}",
        "returns-twice": "returns is for all sides at once, and single sides are given too. Keep one of the two.",
        "cut-out-form": "A cut-out has a diameter, or a length and a width. Write one or the other.",
    }
)


CURE_FAULTS: Sentences = MappingProxyType(
    {
        "cure-header": "The first line must name a time and a temperature with its unit. Write: {example}",
        "cure-row": "A line must hold one time and one temperature. Write: {example}",
        "cure-time": "“{found}” is no time of this log. Write: {example}",
        "cure-temperature": "“{found}” is no temperature. Write: {example}",
        "cure-range": "“{found}” is not from {least_c} to {most_c} °C. Look at the logger and at the unit in line 1.",
        "cure-zone": "Some times name their zone, some do not. Write them all the same way.",
        "cure-order": "This time is not later than the one above. Put the lines in order.",
        "cure-long": "This time is more than {limit_count} days after the first. Look at the date.",
        "cure-short": "A log needs at least two readings.",
        "cure-no-clock": "This log counts hours and knows no clock. Leave --batch out, or log the time.",
        "cure-before": "No two readings come after the batch was closed at {closed}. Name the right batch.",
    }
)
