"""Why nothing changed, and what to do: one sentence for every refusal."""

from typing import assert_never

from mixstation.batch import refusal as why
from mixstation.batch.refusal import Asked, AskedOnce, Plain, Refusal, Refused
from mixstation.batch.run import Run
from mixstation.wording.spoken import spoken
from mixstation.wording.words import OfBatch, Speech, in_its_steps


def refusal_line(run: Run, refusal: Refusal, speech: Speech) -> str:
    """The sentence for a refusal, and one for each thing the same yes would answer."""
    if isinstance(refusal, Plain):
        return _plain(refusal)
    its = speech
    if isinstance(refusal, why.FarOver | why.FarUnder):
        its = in_its_steps(run, refusal.material, speech)
    also = refusal.also if isinstance(refusal, AskedOnce) else ()
    line = spoken(_template(refusal, its.division_mg), refusal, OfBatch(run=run, speech=its))
    return " ".join([line, *(refusal_line(run, other, speech) for other in also)])


def confirm_words(asked: Asked, *, out: bool) -> str:
    """What Enter says to a question that is asked once; `out` where something comes out of the bucket."""
    match asked:
        case why.FarOver():
            return "yes, that much came out" if out else "yes, that much went in"
        case why.FarUnder():
            return "yes, only that came out" if out else "yes, only that went in"
        case why.FarOverPlan() | why.MoreThanFilled():
            return "yes, that is right" if out else "yes, that much went in"
        case why.OverCeiling() | why.OverCap():
            return "yes, that is right" if out else "yes, it went in"
        case why.TooSoon():
            return "yes, that is right" if out else "end it early all the same"
        case why.BucketDiffers() | why.FlagsStand() | why.NothingOn() | why.OtherVessel():
            return "yes, that is right"
        case why.SupplyShort() | why.SetDown() | why.TubLighter() | why.TubWaits():
            return "yes, that is right"
        case _ as forgotten:
            assert_never(forgotten)


def _template(refusal: Asked | Refused, division_mg: int) -> str:
    match refusal:
        case why.FarOver():
            return _far("over", refusal.target_mg, division_mg)
        case why.FarUnder():
            return _far("under", refusal.target_mg, division_mg)
        case why.FarOverPlan():
            if not refusal.planned_mg:
                return "{then_mg:fine} would then be in, and none is planned."
            return "{then_mg:fine} would then be in, far over the {planned_mg:fine} planned in all."
        case why.MoreThanFilled():
            return "{mass_mg:fine} is more than the {filled_mg} the tub was filled with."
        case why.OverCeiling():
            return "With this the water would end at {ratio}, over the ceiling of {ceiling_ratio}."
        case why.OverCap():
            return (
                "With this the dose would end at {fraction:2}, over its limit of {cap_fraction:2} ({source})."
            )
        case why.BucketDiffers():
            word = "more" if refusal.by_mg > 0 else "less"
            return "The scale shows {off_mg} " + word + " than the bucket should weigh by the entries."
        case why.NothingOn():
            on = {"bucket": "the bucket is", "tub": "the tub is", "supply": "the supply is"}[refusal.weighing]
            return f"The scale shows {{gross_mg}}: {on} not on it."
        case why.OtherVessel():
            return "The scale shows {gross_mg}" + _other_vessel(refusal)
        case why.SupplyShort():
            return "The supply weighs {gross_mg}: {needed_mg} is to come from it."
        case why.SetDown():
            on = {"bucket": "the bucket", "tub": "the tub", "supply": "the supply"}[refusal.weighing]
            return f"{{mass_mg:fine}} came onto the scale at once: {on} itself, or a pour."
        case why.TubLighter():
            return "The tub is {by_mg:fine} lighter than before. Then {mass_mg:fine} went in."
        case why.TubWaits():
            return "A tub with {mass_mg:fine} of {material} is not tipped in yet."
        case why.TooSoon():
            return "Only {took_s} of at least {min_s}."
        case why.FlagsStand():
            return "{open_count:check is|checks are} open: say what becomes of the batch."
        case why.OnFinerScale():
            return "{material}: weigh it on “{scale}” and type what that shows."
        case why.MoreThanIn():
            return "{mass_mg:fine} cannot come out: only {in_mg:fine} is in."
        case why.UnknownMaterial():
            return "This recipe has no {found}."
        case why.NothingIn():
            return "No {material} is in yet; leave the step out instead (/)."
        case why.CannotTakeBack():
            return "That entry cannot be taken back."
        case why.CupSize():
            return "Use a cup of {least_ul} to {most_ul}. Type its volume again."
        case why.NoMixDensity():
            return (
                "That makes {found_kg_m3}. A mix weighs {least_kg_m3} to {most_kg_m3}. Weigh the cup again."
            )
        case why.NoMixTemperature():
            return "{mix_milli_c} cannot be the mix's temperature."
        case why.NoSpread():
            return "{across_mm} cannot be a spread: {least_mm} to {most_mm} can. Measure again."
        case why.OutOfRound():
            return "The diameters are {by_mm} apart. Level the plate; wet it; test again."
        case why.NoFigure():
            return "{figure:g} cannot be: {least:g} to {most:g} can. Look again."
        case why.PlacedBeforeWater():
            return "Placed {placed_s} ago? The first water went in {water_s} ago. Type fewer minutes."
        case why.NothingToType():
            again = " Enter alone: {enter}." if refusal.enter else ""
            return "Nothing is typed at this question: “{typed}” is wiped." + again
        case _ as forgotten:
            assert_never(forgotten)


def _other_vessel(refusal: why.OtherVessel) -> str:
    """What that is, or what it should be."""
    if refusal.kind:
        if not refusal.name and refusal.kind == "bucket":
            return ": that can be the bucket with what is in it."
        named = " “{name}”" if refusal.name else ""
        return f": that is what the {refusal.kind}{named} weighs."
    empty = {"bucket": "the bucket", "tub": "an empty tub", "supply": "the supply"}[refusal.weighing]
    return f": by your settings {empty} shows {{expected_mg}}."


def _far(word: str, target_mg: int, division_mg: int) -> str:
    if not target_mg:
        return "{mass_mg:fine}, where no more is asked for."
    # What is too little for the scale is asked for in full.
    target = "{target_mg}" if target_mg >= division_mg else "{target_mg:fine}"
    return "{mass_mg:fine} is far " + word + " the " + target + " asked for."


def _plain(refusal: Plain) -> str:
    match refusal:
        case Plain.BATCH_OVER:
            return "The batch is closed; only notes can be added."
        case Plain.NO_REASON:
            return "Say why first: pick a line or type some words."
        case Plain.NO_STEP:
            return "All steps are through."
        case Plain.OTHER_STEP:
            return "That belongs to another step."
        case Plain.NOT_A_MASS:
            return "A weight must be more than nothing. Type what went in."
        case Plain.NOTHING_TO_WEIGH:
            return "Nothing is weighed in this step. Press a (pad: * 2) to add something else."
        case Plain.NEEDS_ANSWER:
            return "This step needs an answer: type it or pick a line."
        case Plain.NOT_STARTED:
            return "Start the paddle first."
        case Plain.NO_SUCH_STEP:
            return "That step is done or is not in this recipe."
        case Plain.ALREADY_THERE:
            return "That is the step at hand."
        case Plain.CAME_OUT_SINCE:
            return "More of it came out later than would then be in; take that back first."
        case Plain.NOT_THROUGH:
            return "First finish what is under way: the mixing, the tub, or the remedy taken before."
        case Plain.EARLIER_SHARE_FIRST:
            return "An earlier share of it is not in yet; weigh that in, or leave that out first."
        case Plain.TAKE_OUT_FIRST:
            return "First take out what the way out asks for, or take that way back."
        case Plain.SETS:
            return (
                "It sets or is past its time: nothing more goes in. What is in all the same: enter it with +."
            )
        case Plain.STAYS:
            return "That warning stays until it is mended."
        case Plain.WAY_BEGUN:
            return "Work on this way out has begun; take that back first."
        case Plain.WAY_HINDERED:
            return "That way is barred here; its line says by what."
        case Plain.STEPS_LEFT:
            return "Steps are left; do them or leave them out with a reason."
        case Plain.NOT_STEADY:
            return "Wait until the scale is steady, or type the weight."
        case Plain.NO_READING:
            return "There is no live reading. Type the weight."
        case Plain.TUB_STILL_FULL:
            return "The tub is not empty: tip it in, then put it back on the scale."
        case Plain.TUB_NOT_ON:
            return "The tub is not on the scale: put the empty tub back, or type what went in."
        case Plain.TUB_HOLDS:
            return "The tub is full: tip it in, or empty it and take the filling back (-)."
        case Plain.VESSEL_OFF:
            return "Put back on the scale what stood on it, or type what went in."
        case Plain.QUESTION_CHANGED:
            return "The question had changed; look, then press again."
        case Plain.NOT_A_CHOICE:
            return "Type the number of a line, then Enter."
        case Plain.NOTHING_TO_TAKE_BACK:
            return "There is nothing to take back."
        case Plain.NOTHING_TYPED:
            return "Type the answer, then Enter."
        case Plain.NOT_WHOLE:
            return "Type a whole number."
        case Plain.NOT_THE_SAME:
            return "That is another number. Go back and type what went in."
        case Plain.NO_WAYS:
            return "Nothing is out of its band; say what happened."
        case _ as forgotten:
            assert_never(forgotten)
