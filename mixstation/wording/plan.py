"""Sentences for plans: every caution and every reason why there is no plan."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from mixstation.frozen import Frozen
from mixstation.plan.faults import Caution, FaultValue, PlanFault
from mixstation.recipe.model import Recipe
from mixstation.toml.lines import FileFault
from mixstation.units.clean import clean
from mixstation.units.show import (
    DisplayUnits,
    show_density,
    show_length_mm,
    show_percent,
    show_temperature_c,
    show_volume_l,
    trimmed,
)
from mixstation.units.show_mass import show_mass
from mixstation.wording.counted import counted
from mixstation.wording.fault_lines import names_in, sentence_of


class PlanSpeech(Frozen):
    """How to say things of a plan.

    Attributes:
        units: What the person reads in.
        names: Material names by key.
    """

    units: DisplayUnits
    names: Mapping[str, str]

    def name(self, key: str) -> str:
        """A material's name; the key itself where there is none."""
        return clean(self.names.get(key, key), 60)

    def mass(self, mass_mg: FaultValue, division_mg: int | None = None) -> str:
        """A mass with its unit."""
        return show_mass(round(_number(mass_mg)), self.units, division_mg)

    def volume(self, volume_l: FaultValue) -> str:
        """A volume with its unit, to three figures or so."""
        return show_volume_l(_number(volume_l), self.units)

    def length(self, length_mm: FaultValue) -> str:
        """A length with its unit."""
        return show_length_mm(Fraction(round(_number(length_mm) * 10_000), 10_000), self.units)

    def celsius(self, temperature_c: FaultValue) -> str:
        """A temperature with its unit."""
        return show_temperature_c(_number(temperature_c), self.units)

    def density(self, density_kg_m3: FaultValue) -> str:
        """A density with its unit."""
        return show_density(_number(density_kg_m3), self.units)


def speech_for(recipe: Recipe, units: DisplayUnits) -> PlanSpeech:
    """How to say things of a plan with this recipe."""
    return PlanSpeech(units=units, names={material.key: material.name for material in recipe.materials})


def caution_line(caution: Caution, speech: PlanSpeech) -> str:
    """The sentence for a caution: what was found, what is usual, what to do.

    Raises:
        KeyError: A caution without a sentence.
    """
    return _sentence(CAUTIONS[caution.code], caution, speech)


def plan_fault_line(fault: PlanFault, speech: PlanSpeech) -> str:
    """The sentence for a reason why there is no plan.

    Raises:
        KeyError: A fault without a sentence.
    """
    if fault.code in _FAULTS:
        return _sentence(_FAULTS[fault.code], fault, speech)
    texts = {
        name: value if isinstance(value, str) else trimmed(value, 2) for name, value in fault.values.items()
    }
    values = {"piece": fault.about, "material": speech.name(fault.about), **texts}
    return sentence_of(FileFault(path="", line=0, line_text="", code=fault.code, values=values))


@dataclass(frozen=True, slots=True)
class _Shown:
    """A value in a sentence: with the unit its name ends in, unless the sentence says how to show it."""

    name: str
    value: FaultValue
    speech: PlanSpeech

    def __format__(self, how: str) -> str:
        value, speech = self.value, self.speech
        if isinstance(value, str):
            return clean(value, 200)
        match how or next((unit for unit in _UNITS if self.name.endswith(unit)), ""):
            case "_mg":
                return speech.mass(value)
            case "_l":
                return speech.volume(value)
            case "_mm":
                return speech.length(value)
            case "_c":
                return speech.celsius(value)
            case "_kg_m3":
                return speech.density(value)
            case "_min":
                return f"{round(Fraction(value))} min"
            case "_fraction":
                return show_percent(Fraction(value), 1)
            case "whole percent":
                return show_percent(Fraction(value), 0)
            case "" | "plain":
                return trimmed(value, 2)
            case noun:
                return counted(int(value), noun)


_UNITS = ("_mg", "_l", "_mm", "_c", "_kg_m3", "_min", "_fraction")


def _sentence(forms: str | tuple[str, ...], of: Caution | PlanFault, speech: PlanSpeech) -> str:
    """Say the first form all of whose values are known; the last one where none is."""
    shown = {name: _Shown(name, value, speech) for name, value in of.values.items()}
    quantity = of.about
    for unit in ("_c", "_fraction", "_kmh"):
        quantity = quantity.removesuffix(unit)
    about = {
        "name": clean(of.about, 60),
        "material": speech.name(of.about),
        "quantity": quantity.replace("_", " "),
    }
    unknown = {
        name for name, value in of.values.items() if value == "" or (name.endswith("_count") and value == -1)
    }
    held = (forms,) if isinstance(forms, str) else forms
    form = next((form for form in held if not unknown & names_in(form)), held[-1])
    return form.format(**about, **shown)


def _number(value: FaultValue) -> Fraction:
    if isinstance(value, str):
        raise TypeError(value)
    return Fraction(value)


CAUTIONS: Mapping[str, str | tuple[str, ...]] = {
    "thickness-unusual": "“{name}” is {found_mm} thick; thin pieces are usually {least_mm} to {most_mm}. Look at the "
    "figure again.",
    "face-thickness-unusual": "The face coat of “{name}” is {found_mm}; usual are {least_mm} to {most_mm}. Look at "
    "the figure again.",
    "mix-below-film-forming": "Do not cast: the mix will be {found:_c}, and the polymer forms no film below "
    "{limit:_c}. Warm the materials or the water.",
    "air-below-film-forming": "Do not cast: the shop is at {found:_c}, and the polymer forms no film below "
    "{limit:_c}. Warm the shop and keep it warm until the film is there.",
    "ice-over-sure-share": "{found:whole percent} of the water as ice is more than {limit:whole percent}, beyond "
    "which the figure is less sure. Cool the materials too, and measure the mix.",
    "water-too-hot": ("Water of {found:_c} is too hot: stay below {limit:_c}. Warm the materials instead."),
    "water-off-cement": "Water of {found:_c} can scald: gloves and goggles on before it is handled. Above {limit:_c} "
    "sand goes into it first, cement or blend last.",
    "wanted-out-of-reach": "{wanted_c} is out of reach: at most {reached_c}, with water of {water_c}, and no hotter. "
    "Warm the materials instead.",
    "wanted-too-cold": "Neither cold water nor ice brings the mix down to {wanted_c}; it will be {mix_c}. Cool the "
    "materials.",
    "working-time-short": (
        "The mix may stiffen after {least_min}. Keep it cooler, mix less at a time, or use a retarder."
    ),
    "drying-thin-skin": (
        "A fresh face may lose {rate_kg_m2_h} kg/m² of water an hour: cover thin skins at once."
    ),
    "drying-any-surface": "A fresh face may lose {rate_kg_m2_h} kg/m² of water an hour, enough to crack it. Shield it "
    "from wind and sun, cover it at once.",
    "yield-contradicts": "{claimed_l} is claimed, which means {implied_kg_m3}; the materials fill {computed_l}, "
    "{computed_kg_m3}. Do not plan by the claim.",
    "odd-density": "{material} is read as {found_kg_m3}; usual is near {usual_kg_m3}. Look for a digit missing or too "
    "many: all volumes follow from it.",
    "denser-than-air-free": "A measured density of {measured_kg_m3} is more than the materials have without any air "
    "({air_free_kg_m3}). A mass, a volume or a density is wrong: measure again.",
    "density-contradicts": "The measured density is {measured_kg_m3}, the recipe gives {computed_kg_m3}; it would "
    "mean {air_fraction} of air. Measure again, or correct the air or the densities.",
    "bucket-above-easy": "Bucket {name} holds {held_l}; up to {easy_l} mixes with ease. Mix longer and scrape well, "
    "or take more buckets.",
    "bucket-heavy": "Bucket {name} weighs {found_mg} full; one person lifts {limit_mg} at most. Do not lift it alone, "
    "or take more buckets.",
    "piece-heavy": ("“{name}” weighs {found_mg}; one person lifts {limit_mg} at most. Plan help or a hoist."),
    "no-scale": (
        "No scale is on file, so weights are to {division_mg}. Put your scale on file, in {file}: small doses may need "
        "a finer one.",
        "No scale is on file, so weights are to {division_mg}. Put your scale on file: small doses may need a finer "
        "one.",
    ),
    "dose-diluted": "{material}: {dose_mg} is too small for “{scale}”, which is good for {least_mg} and more. Weigh "
    "it as a dilution; its water is counted.",
    "dose-too-small": "{material}: {dose_mg} is too small for “{scale}”, which is good for {least_mg} and more. Use a "
    "finer scale; or weigh the packet before and after, for all buckets together where you can. As it is, the dose "
    "may be {error_fraction:whole percent} off.",
    "scale-unchecked": "“{name}” has no check on file. Check it with a known mass.",
    "scale-check-old": ("“{name}” was last checked {age_days} days ago. Check it with a known mass."),
    "split-added": (
        "The recipe takes no {layer} out; this plan does, before the fibres go in. See that it suits the mix."
    ),
    "split-left-out": ("The recipe takes out a {layer}, but no piece has one: that step is left out."),
    "face-from-several-buckets": "One bucket is too small for the face coat: it comes from {bucket_count}, whose "
    "colour may differ. Take a larger bucket if you can.",
    "stiff-before-placed": "Bucket {name} may begin to stiffen {working_min} after its first water, but is placed "
    "only after {placed_min}. Keep the mix cooler, or mix the backing as a bucket of its own.",
    "backing-after-window": "Bucket {name} goes on {after_min} after the face; the window ends at {window_min}. Work "
    "with a helper, cast fewer pieces at once, or keep the face moist and judge it by touch.",
    "short": (
        "{material}: short by {short_mg} of {need_mg}. Buy {buy_count:pack}, or make a smaller batch.",
        "{material}: short by {short_mg} of {need_mg}. Buy more, or make a smaller batch.",
    ),
    "several-lots": "{material} comes from several lots ({lots}), whose colour may differ. Use one lot for what will "
    "stand side by side, or blend them dry first.",
}

_FAULTS: Mapping[str, str | tuple[str, ...]] = {
    "nothing-to-mix": ("There is nothing to mix. Give pieces, a volume, a mass or bags, above nothing."),
    "no-recipe": "No recipe on the shelf can be used. See what is wrong with: mixstation recipes",
    "unknown-material": "This recipe has no material “{name}”. It has: {known}.",
    "stock-unknown": "No material of this recipe is in the stock. Enter what is on hand first.",
    "nothing-on-hand": "There is no {material} on hand. Buy some, or count the stock.",
    "no-pack-size": "The recipe does not say what a pack of {material} holds. Write pack there.",
    "face-coat-only": "The face coat leaves nothing for the backing. Look at the thicknesses.",
    "bucket-size": "A bucket of {volume_l:plain} L with these fills cannot be planned with: its volume must be above "
    "nothing, and easy at most limit, limit at most the whole bucket.",
    "bucket-too-small": ("The bucket may hold {limit_l}, and {loss_l} stays in it. Take a larger one."),
    "mix-over-bucket": "The mix would fill {mixed_l}, the bucket holds {volume_l} to the brim. Mix it in "
    "{least_count} bucketfuls, which “mixstation plan” weighs out, or take a bucket of {large_l} or more and say it "
    "with --bucket.",
    "too-many-buckets": "{needed_l} in {found_count} buckets is more than the {limit_count} of one plan. Take a "
    "larger bucket, or look for a zero too many.",
    "bucket-over-limit": "In {asked_count:bucket} each would hold {held_l}, over the limit of {limit_l}. Take "
    "{least_count:bucket} or more.",
    "bucket-count": "{found_count} buckets cannot be: give 1 or more.",
    "waste-range": "Waste of {found:_fraction} cannot be: give 0 to 100 %.",
    "negative-setting": "A tare or a loss is below nothing. Correct it in the settings.",
    "scale-figures": "The capacity and division of “{name}” do not go together: the division is above nothing and "
    "below the capacity.",
    "density-range": (
        "A fresh mix of {found_kg_m3} cannot be. Give kilograms per cubic metre, usually about 2100."
    ),
    "volume-range": "A volume of {found_l:plain} L cannot be planned. Give it in litres.",
    "claim-size": "A claimed yield needs a mass and a volume above nothing.",
    "temperature": (
        "The {quantity} of {found} cannot be reckoned with; it must be {least} to {most}. Correct it.",
        "The {quantity} of {found} cannot be reckoned with. Correct it.",
    ),
    "pan-test": "{wet_mg} wet and {dry_mg} dry is no pan test: the dry mass is above nothing and at most the wet one. "
    "Take the pan off both.",
    "not-sand": (
        "“{name}” is no sand of this recipe. It has: {known}.",
        "“{name}” is no sand of this recipe. It has: none.",
    ),
    "moisture-range": ("{found:_fraction} moisture in {material} cannot be: give 0 to {limit:_fraction}."),
}
