"""How plans are spoken of, and one sentence for every reason why there is none."""

from fractions import Fraction
from typing import assert_never

from mixstation.plan import faults as why
from mixstation.plan.faults import Plain, PlanFault, PlanTrouble, Temperature
from mixstation.plan.faults_of_pieces import PieceFault
from mixstation.proportion.error import FigureTrouble, OutOfRange
from mixstation.recipe.model import Recipe
from mixstation.recipe.proportions import NoSuchMaterial, ScalingTrouble
from mixstation.units.show import DisplayUnits, show_density, show_temperature_c, show_volume_l, trimmed
from mixstation.wording.piece_lines import piece_line
from mixstation.wording.proportion_lines import named, scaling_sentence
from mixstation.wording.spoken import Plainly, spoken


class PlanSpeech(Plainly):
    """How to say things of a plan."""

    def volume(self, volume_l: float | Fraction) -> str:
        """A volume with its unit, to three figures or so."""
        return show_volume_l(volume_l, self.units)

    def celsius(self, temperature_c: float) -> str:
        """A temperature with its unit."""
        return show_temperature_c(temperature_c, self.units)

    def density(self, density_kg_m3: float) -> str:
        """A density with its unit."""
        return show_density(density_kg_m3, self.units)


def speech_for(recipe: Recipe, units: DisplayUnits) -> PlanSpeech:
    """How to say things of a plan with this recipe."""
    return PlanSpeech(units=units, names={material.key: material.name for material in recipe.materials})


def plan_fault_line(fault: PlanFault, speech: PlanSpeech) -> str:
    """The sentence for a reason why there is no plan."""
    if isinstance(fault, Plain):
        return _plain(fault)
    if isinstance(fault, PieceFault):
        return piece_line(fault)
    if isinstance(fault, NoSuchMaterial):
        return spoken("This recipe has no material “{asked}”. It has: {known}.", fault, speech)
    if isinstance(fault, ScalingTrouble):
        return scaling_sentence(fault)
    if isinstance(fault, Temperature):
        return _figure(fault.figure, speech)
    return spoken(_template(fault), fault, speech)


def _figure(figure: FigureTrouble, speech: PlanSpeech) -> str:
    what, unit = named(figure.name)

    def said(value: float) -> str:
        return speech.celsius(value) if figure.name.endswith("_c") else f"{trimmed(value, 2)}{unit}"

    bounds = (
        f": it must be {said(figure.least)} to {said(figure.most)}" if isinstance(figure, OutOfRange) else ""
    )
    return f"The plan cannot use {said(figure.found)} for the {what}{bounds}. Correct it."


def _template(fault: PlanTrouble) -> str:
    match fault:
        case why.NotSand():
            if fault.known:
                return "“{asked}” is no sand of this recipe. It has: {known}."
            return "“{asked}” is no sand of this recipe. It has: none."
        case why.NothingOnHand():
            return "There is no {material} on hand. Buy some, or count the stock."
        case why.NoPackSize():
            return "The recipe does not say what a pack of {material} holds. Write pack there."
        case why.MoistureRange():
            return "{found_fraction} moisture in {material} cannot be: give 0 to {limit_fraction}."
        case why.BucketSize():
            return (
                "A bucket of {volume_l:plain} L with these fills cannot be planned with: its volume must be above"
                " nothing, and easy at most limit, limit at most the whole bucket."
            )
        case why.BucketTooSmall():
            return "The bucket may hold {limit_l}, and {loss_l} stays in it. Take a larger one."
        case why.MixOverBucket():
            return (
                "The mix would fill {mixed_l}, the bucket holds {volume_l} to the brim. Mix it in {least_count} "
                "bucketfuls, which “mixstation plan” weighs out, or take a bucket of {large_l} or more and say it"
                " with --bucket."
            )
        case why.TooManyBuckets():
            return (
                "{needed_l} in {found_count} buckets is more than the {limit_count} of one plan. Take a larger "
                "bucket, or look for a zero too many."
            )
        case why.BucketOverLimit():
            return (
                "In {asked_count:bucket|buckets} each would hold {held_l}, over the limit of {limit_l}. Take "
                "{least_count:bucket|buckets} or more."
            )
        case why.BucketCount():
            return "{found_count} buckets cannot be: give 1 or more."
        case why.WasteRange():
            return "Waste of {found_fraction} cannot be: give 0 to 100 %."
        case why.ScaleFigures():
            return (
                "The capacity and division of “{scale_name}” do not go together: the division is above nothing and "
                "below the capacity."
            )
        case why.DensityRange():
            return (
                "A fresh mix of {found_kg_m3} cannot be. Give kilograms per cubic metre, usually about 2100."
            )
        case why.VolumeRange():
            return "A volume of {found_l:plain} L cannot be planned. Give it in litres."
        case why.PanTest():
            return (
                "{wet_mg} wet and {dry_mg} dry is no pan test: the dry mass is above nothing and at most the wet "
                "one. Take the pan off both."
            )
        case _ as forgotten:
            assert_never(forgotten)


def _plain(fault: Plain) -> str:
    match fault:
        case Plain.NOTHING_TO_MIX:
            return "There is nothing to mix. Give pieces, a volume, a mass or bags, above nothing."
        case Plain.UNDER_A_DIVISION:
            return (
                "Each bucket gets too little powder for this scale. Mix more, use fewer buckets, or put a finer scale "
                "on file."
            )
        case Plain.NO_RECIPE:
            return "No recipe on the shelf can be used. See what is wrong with: mixstation recipes"
        case Plain.STOCK_UNKNOWN:
            return "No material of this recipe is in the stock. Enter what is on hand first."
        case Plain.FACE_COAT_ONLY:
            return "The face coat leaves nothing for the backing. Look at the thicknesses."
        case Plain.NEGATIVE_SETTING:
            return "A tare or a loss is below nothing. Correct it in the settings."
        case Plain.CLAIM_SIZE:
            return "A claimed yield needs a mass and a volume above nothing."
        case _ as forgotten:
            assert_never(forgotten)
