"""Sentences for what can be wrong with a recipe file; `file_faults.py` says what stands in braces."""

from typing import assert_never

from mixstation.recipe import faults as of
from mixstation.recipe.faults import RecipeFault
from mixstation.recipe.proportions import BasisEmpty, ScalingTrouble, Unscalable
from mixstation.wording.proportion_lines import scaling_template


def recipe_sentence(told: RecipeFault | ScalingTrouble) -> str:
    """The words for a fault of a recipe file, with its fields in braces."""
    match told:
        case of.OfMaterial():
            return _of_material(told.code)
        case of.AfterEarlier():
            return _after_earlier(told.code)
        case of.Beside():
            return _beside(told.code)
        case of.Plain():
            return _plain(told)
        case of.KeyTwice():
            return "“{found}” is a key already, on line {first_line}. Choose another."
        case of.WaterTwice():
            return "The water stands on line {first_line} already. Keep one."
        case of.RecipeTwice():
            return "Another recipe's file has a name that looks the same: {others}. Give one of them another name."
        case of.BandOrder():
            return "{key} is “{high}”, below {low_key} with “{low}”. {key} must be the larger."
        case of.PackFigureNotOfPowder():
            return (
                "A figure per pack counts on all dry powder, but [water] is of “{basis:plain}”. "
                'Write of = "powder", or give {key} as a ratio, such as {example}.'
            )
        case of.UnknownMaterial():
            return "This recipe has no material “{found}”. {near}It has: {choices}."
        case of.StepKindMissing():
            return "This step does not say what is done. {near}Give it one of: {choices}."
        case of.ShareOverWhole():
            return "With {found} here the shares of “{material}” come to {total}. They must come to 100 %."
        case of.ShareShort():
            return (
                "The shares of “{material}” come to {total}: {missing} never goes in. "
                'Write share = "rest" in the last of its steps.'
            )
        case of.ReleaseNotWater():
            return "Only held-back water is released; “{found}” is a {role}. Use add for it."
        case of.ReleaseOverHeldBack():
            return "{key} is {found}, but only {held_back} is held back. Write less, or hold more back."
        case of.TooEarly():
            return "{key} stands before any {missing} is in. Move it behind the step that adds it."
        case of.OfTotalNotFibre():
            return 'Only fibre is dosed on the whole mix; this is a {role}. Write "cement", "binder" or "powder".'
        case of.KeyNotForRole():
            return "{key} is not for a {role} but for: {roles}. Take it out, or correct the role."
        case of.DensityOfRole():
            return "A {role} has no density of {found}: it must be {bounds}. Look for a digit missing or too many."
        case of.OverCap():
            return "{key} is over the limit of {limit} ({source}). Lower it, or correct the limit."
        case of.BasisUnknown():
            return (
                "“{material}” does not say how much of it is {basis:plain}. Write {missing} there, or take another "
                "basis."
            )
        case _:
            return _scaling(told)


def _scaling(told: ScalingTrouble) -> str:
    match told:
        case Unscalable.POWDER_MISSING:
            return "No material is a powder. Write at least one, such as the cement, with its parts."
        case Unscalable.WATER_ALL_CARRIED:
            return scaling_template(told)
        case Unscalable.FIBRES_FILL_THE_MIX:
            return "The fibres alone would fill the mix. Lower their doses."
        case BasisEmpty():
            return (
                "Nothing in this recipe counts as {basis:plain}, so nothing can be a share of it. Take another"
                " basis."
            )
        case _:
            return scaling_template(told)


def _plain(told: of.Plain) -> str:
    match told:
        case of.Plain.SOLIDS_UNKNOWN:
            return (
                "Its solids are to count, but how much that is is not said. "
                'Write solids = "50 %", as on its label.'
            )
        case of.Plain.CEMENT_OVER_BINDER:
            return (
                "Binder is cement with pozzolan, so binder_share cannot be below cement_share. "
                "Correct the one that is wrong."
            )
        case of.Plain.CURRENCY_MISSING:
            return 'A price needs a currency. Write at the top of the file: currency = "EUR".'
        case of.Plain.WATER_MISSING:
            return 'No material is the water. Write a [[material]] with role = "water".'
        case of.Plain.BUCKET_EMPTY:
            return "{key} stands before anything is in the bucket. Move it behind a step that adds."
        case _ as forgotten:
            assert_never(forgotten)


def _of_material(code: of.MaterialCode) -> str:
    match code:
        case "amount-missing":
            return (
                "“{material}” has no dose, so a step cannot ask for it. Give it dose and of, or take it out of this"
                " step."
            )
        case "nothing-held-back":
            return (
                "Nothing of “{material}” is held back to be released here. "
                'Give the step that adds it a share, such as share = "80 %".'
            )
        case "never-added":
            return 'No step puts “{material}” in. Write a [[step]] with add = "{material}".'
        case _ as forgotten:
            assert_never(forgotten)


def _after_earlier(code: of.EarlierCode) -> str:
    match code:
        case "add-after-release":
            return (
                "“{material}” was released on line {first_line}: none of it is left to add. "
                "Move this step before that one, or take it out."
            )
        case "nothing-left":
            return "All of “{material}” is in since line {first_line}. Give that step a share, or take this one out."
        case "release-twice":
            return "“{material}” is released on line {first_line} already. Take one of the two out."
        case _ as forgotten:
            assert_never(forgotten)


def _beside(code: of.BesideCode) -> str:
    match code:
        case "step-twofold":
            return "A step does one thing; this one has {other} and {key}. Make two steps of it."
        case "both-given":
            return "{key} and {other} say the same in two ways. Keep one."
        case "needs-key":
            return "{key} stands without {other}. Write {other} too, or take {key} out."
        case _ as forgotten:
            assert_never(forgotten)
