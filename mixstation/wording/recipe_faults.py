"""Sentences for what can be wrong with a recipe; how they are written is said in `file_faults`."""

from types import MappingProxyType

from mixstation.wording.file_faults import Sentences

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
