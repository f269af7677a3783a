"""Sentences for plans: every caution and every reason why there is no plan."""

from collections.abc import Callable, Mapping
from fractions import Fraction

from mixstation.frozen import dataclass
from mixstation.plan.faults import Caution, Fault, Value
from mixstation.recipe.model import Recipe
from mixstation.toml_lines import FileFault
from mixstation.units.clean import clean
from mixstation.units.show import (
    DisplayUnits,
    show_length_mm,
    show_percent,
    show_temperature_c,
    show_volume_l,
    trimmed,
)
from mixstation.units.show_mass import show_mass
from mixstation.wording.fault_lines import sentence_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSpeech:
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

    def mass(self, mass_mg: Value, division_mg: int | None = None) -> str:
        """A mass with its unit."""
        return show_mass(round(_number(mass_mg)), self.units, division_mg)

    def volume(self, volume_l: Value) -> str:
        """A volume with its unit, to three figures or so."""
        return show_volume_l(_number(volume_l), self.units)

    def length(self, length_mm: Value) -> str:
        """A length with its unit."""
        return show_length_mm(Fraction(round(_number(length_mm) * 10_000), 10_000), self.units)

    def celsius(self, temperature_c: Value) -> str:
        """A temperature with its unit."""
        return show_temperature_c(_number(temperature_c), self.units)

    def density(self, density_kg_m3: Value) -> str:
        """A density with its unit."""
        if self.units is DisplayUnits.METRIC:
            return f"{trimmed(_number(density_kg_m3), 0)} kg/m³"
        return f"{trimmed(_number(density_kg_m3) / Fraction('16.018463'), 1)} lb/ft³"


def speech_for(recipe: Recipe, units: DisplayUnits) -> PlanSpeech:
    """How to say things of a plan with this recipe."""
    return PlanSpeech(units=units, names={material.key: material.name for material in recipe.materials})


def caution_line(caution: Caution, speech: PlanSpeech) -> str:
    """The sentence for a caution: what was found, what is usual, what to do.

    Raises:
        KeyError: A caution without a sentence.
    """
    return _CAUTIONS[caution.code](_Told(about=caution.about, values=caution.values, speech=speech))


def plan_fault_line(fault: Fault, speech: PlanSpeech) -> str:
    """The sentence for a reason why there is no plan.

    Raises:
        KeyError: A fault without a sentence.
    """
    if fault.code in _FAULTS:
        return _FAULTS[fault.code](_Told(about=fault.about, values=fault.values, speech=speech))
    texts = {
        name: value if isinstance(value, str) else trimmed(value, 2) for name, value in fault.values.items()
    }
    values = {"piece": fault.about, "material": speech.name(fault.about), **texts}
    return sentence_of(FileFault(path="", line=0, line_text="", code=fault.code, values=values))


def known_caution_codes() -> frozenset[str]:
    """Codes of all cautions that have a sentence."""
    return frozenset(_CAUTIONS)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """What a sentence is made from."""

    about: str
    values: Mapping[str, Value]
    speech: PlanSpeech

    @property
    def name(self) -> str:
        return clean(self.about, 60)

    @property
    def material(self) -> str:
        return self.speech.name(self.about)

    def text(self, key: str) -> str:
        value = self.values[key]
        return clean(value, 200) if isinstance(value, str) else trimmed(value, 2)

    def mass(self, key: str) -> str:
        return self.speech.mass(self.values[key])

    def volume(self, key: str) -> str:
        return self.speech.volume(self.values[key])

    def length(self, key: str) -> str:
        return self.speech.length(self.values[key])

    def celsius(self, key: str) -> str:
        return self.speech.celsius(self.values[key])

    def density(self, key: str) -> str:
        return self.speech.density(self.values[key])

    def percent(self, key: str, places: int = 1) -> str:
        return show_percent(_number(self.values[key]), places)

    def minutes(self, key: str) -> str:
        return f"{round(_number(self.values[key]))} min"

    def count(self, key: str, one: str, more: str) -> str:
        number = int(_number(self.values[key]))
        return f"{number} {one if number == 1 else more}"


def _number(value: Value) -> Fraction:
    if isinstance(value, str):
        raise TypeError(value)
    return Fraction(value)


def _thickness(told: _Told) -> str:
    return (
        f"“{told.name}” is {told.length('found_mm')} thick; thin pieces are usually {told.length('least_mm')} to "
        f"{told.length('most_mm')}. Look at the figure again."
    )


def _face_thickness(told: _Told) -> str:
    return (
        f"The face coat of “{told.name}” is {told.length('found_mm')}; usual are {told.length('least_mm')} to "
        f"{told.length('most_mm')}. Look at the figure again."
    )


def _short(told: _Told) -> str:
    buy = _number(told.values["buy_count"])
    advice = "Buy more, or make a smaller batch."
    if buy >= 0:
        advice = f"Buy {told.count('buy_count', 'pack', 'packs')}, or make a smaller batch."
    return f"{told.material}: short by {told.mass('short_mg')} of {told.mass('need_mg')}. {advice}"


def _yield(told: _Told) -> str:
    return (
        f"{told.volume('claimed_l')} is claimed, which means {told.density('implied_kg_m3')}; the materials fill "
        f"{told.volume('computed_l')}, {told.density('computed_kg_m3')}. Do not plan by the claim."
    )


def _dose_small(told: _Told) -> str:
    return (
        f"{told.material}: {told.mass('dose_mg')} is too small for “{told.text('scale')}”, which is good for "
        f"{told.mass('least_mg')} and more. Use a finer scale; or weigh the packet before and after, for all buckets "
        f"together where you can. As it is, the dose may be {told.percent('error_fraction', 0)} off."
    )


def _over_limit(told: _Told) -> str:
    return (
        f"In {told.count('asked_count', 'bucket', 'buckets')} each would hold {told.volume('held_l')}, over the limit "
        f"of {told.volume('limit_l')}. Take {told.count('least_count', 'bucket', 'buckets')} or more."
    )


def _temperature_fault(told: _Told) -> str:
    name = told.about.removesuffix("_c").removesuffix("_fraction").removesuffix("_kmh").replace("_", " ")
    found, least, most = told.text("found"), told.text("least"), told.text("most")
    bounds = f"; it must be {least} to {most}" if least and most else ""
    return f"The {name} of {found} cannot be reckoned with{bounds}. Correct it."


_CAUTIONS: Mapping[str, Callable[[_Told], str]] = {
    "thickness-unusual": _thickness,
    "face-thickness-unusual": _face_thickness,
    "mix-below-film-forming": lambda t: (
        f"Do not cast: the mix will be {t.celsius('found')}, and the polymer forms no film below {t.celsius('limit')}. "
        "Warm the materials or the water."
    ),
    "air-below-film-forming": lambda t: (
        f"Do not cast: the shop is at {t.celsius('found')}, and the polymer forms no film below {t.celsius('limit')}. "
        "Warm the shop and keep it warm until the film is there."
    ),
    "ice-over-sure-share": lambda t: (
        f"{t.percent('found', 0)} of the water as ice is more than {t.percent('limit', 0)}, beyond which the figure is "
        "less sure. Cool the materials too, and measure the mix."
    ),
    "water-too-hot": lambda t: (
        f"Water of {t.celsius('found')} is too hot: stay below {t.celsius('limit')}. Warm the materials instead."
    ),
    "water-off-cement": lambda t: (
        f"Water of {t.celsius('found')} can scald: gloves and goggles on before it is handled. Above "
        f"{t.celsius('limit')} sand goes into it first, cement or blend last."
    ),
    "wanted-out-of-reach": lambda t: (
        f"{t.celsius('wanted_c')} is out of reach: at most {t.celsius('reached_c')}, with water of "
        f"{t.celsius('water_c')}, and no hotter. Warm the materials instead."
    ),
    "wanted-too-cold": lambda t: (
        f"Neither cold water nor ice brings the mix down to {t.celsius('wanted_c')}; it will be "
        f"{t.celsius('mix_c')}. Cool the materials."
    ),
    "working-time-short": lambda t: (
        f"The mix may stiffen after {t.minutes('least_min')}. Keep it cooler, mix less at a time, or use a retarder."
    ),
    "drying-thin-skin": lambda t: (
        f"A fresh face may lose {t.text('rate_kg_m2_h')} kg/m² of water an hour: cover thin skins at once."
    ),
    "drying-any-surface": lambda t: (
        f"A fresh face may lose {t.text('rate_kg_m2_h')} kg/m² of water an hour, enough to crack it. Shield it from "
        "wind and sun, cover it at once."
    ),
    "yield-contradicts": _yield,
    "denser-than-air-free": lambda t: (
        f"A measured density of {t.density('measured_kg_m3')} is more than the materials have without any air "
        f"({t.density('air_free_kg_m3')}). A mass, a volume or a density is wrong: measure again."
    ),
    "density-contradicts": lambda t: (
        f"The measured density is {t.density('measured_kg_m3')}, the recipe gives {t.density('computed_kg_m3')}; it "
        f"would mean {t.percent('air_fraction')} of air. Measure again, or correct the air or the densities."
    ),
    "bucket-above-easy": lambda t: (
        f"Bucket {t.name} holds {t.volume('held_l')}; up to {t.volume('easy_l')} mixes with ease. Mix longer and "
        "scrape well, or take more buckets."
    ),
    "bucket-heavy": lambda t: (
        f"Bucket {t.name} weighs {t.mass('found_mg')} full; one person lifts {t.mass('limit_mg')} at most. Do not lift "
        "it alone, or take more buckets."
    ),
    "piece-heavy": lambda t: (
        f"“{t.name}” weighs {t.mass('found_mg')}; one person lifts {t.mass('limit_mg')} at most. Plan help or a hoist."
    ),
    "no-scale": lambda t: (
        f"No scale is on file, so weights are to {t.mass('division_mg')}. Put your scale on file"
        + (f", in {t.text('file')}" if t.values["file"] else "")
        + ": small doses may need a finer one."
    ),
    "dose-diluted": lambda t: (
        f"{t.material}: {t.mass('dose_mg')} is too small for “{t.text('scale')}”, which is good for "
        f"{t.mass('least_mg')} and more. Weigh it as a dilution; its water is counted."
    ),
    "dose-too-small": _dose_small,
    "scale-unchecked": lambda t: f"“{t.name}” has no check on file. Check it with a known mass.",
    "scale-check-old": lambda t: (
        f"“{t.name}” was last checked {t.text('age_days')} days ago. Check it with a known mass."
    ),
    "split-added": lambda t: (
        f"The recipe takes no {t.text('layer')} out; this plan does, before the fibres go in. See that it suits the "
        "mix."
    ),
    "split-left-out": lambda t: (
        f"The recipe takes out a {t.text('layer')}, but no piece has one: that step is left out."
    ),
    "face-from-several-buckets": lambda t: (
        f"One bucket is too small for the face coat: it comes from {t.text('bucket_count')}, whose colour may differ. "
        "Take a larger bucket if you can."
    ),
    "stiff-before-placed": lambda t: (
        f"Bucket {t.name} may begin to stiffen {t.minutes('working_min')} after its first water, but is placed only "
        f"after {t.minutes('placed_min')}. Keep the mix cooler, or mix the backing as a bucket of its own."
    ),
    "backing-after-window": lambda t: (
        f"Bucket {t.name} goes on {t.minutes('after_min')} after the face; the window ends at "
        f"{t.minutes('window_min')}. Work with a helper, cast fewer pieces at once, or keep the face moist and judge "
        "it by touch."
    ),
    "short": _short,
    "several-lots": lambda t: (
        f"{t.material} comes from several lots ({t.text('lots')}), whose colour may differ. Use one lot for what will "
        "stand side by side, or blend them dry first."
    ),
}

_FAULTS: Mapping[str, Callable[[_Told], str]] = {
    "nothing-to-mix": lambda _: (
        "There is nothing to mix. Give pieces, a volume, a mass or bags, above nothing."
    ),
    "no-recipe": lambda _: "No recipe on the shelf can be used. See what is wrong with: mixstation recipes",
    "unknown-material": lambda t: f"This recipe has no material “{t.name}”. It has: {t.text('known')}.",
    "stock-unknown": lambda _: "No material of this recipe is in the stock. Enter what is on hand first.",
    "nothing-on-hand": lambda t: f"There is no {t.material} on hand. Buy some, or count the stock.",
    "no-pack-size": lambda t: f"The recipe does not say what a pack of {t.material} holds. Write pack there.",
    "face-coat-only": lambda _: "The face coat leaves nothing for the backing. Look at the thicknesses.",
    "bucket-size": lambda t: (
        f"A bucket of {t.text('volume_l')} L with these fills cannot be planned with: its volume must be above "
        "nothing, and easy at most limit, limit at most the whole bucket."
    ),
    "bucket-too-small": lambda t: (
        f"The bucket may hold {t.volume('limit_l')}, and {t.volume('loss_l')} stays in it. Take a larger one."
    ),
    "mix-over-bucket": lambda t: (
        f"The mix would fill {t.volume('mixed_l')}, the bucket holds {t.volume('volume_l')} to the brim. Mix it in "
        f"{t.text('least_count')} bucketfuls, which “mixstation plan” weighs out, or take a bucket of "
        f"{t.volume('large_l')} or more and say it with --bucket."
    ),
    "too-many-buckets": lambda t: (
        f"{t.volume('needed_l')} in {t.text('found_count')} buckets is more than the {t.text('limit_count')} of one "
        "plan. Take a larger bucket, or look for a zero too many."
    ),
    "bucket-over-limit": _over_limit,
    "bucket-count": lambda t: f"{t.text('found_count')} buckets cannot be: give 1 or more.",
    "waste-range": lambda t: f"Waste of {t.percent('found')} cannot be: give 0 to 100 %.",
    "negative-setting": lambda _: "A tare or a loss is below nothing. Correct it in the settings.",
    "scale-figures": lambda t: (
        f"The capacity and division of “{t.name}” do not go together: the division is above nothing and below the "
        "capacity."
    ),
    "density-range": lambda t: (
        f"A fresh mix of {t.density('found_kg_m3')} cannot be. Give kilograms per cubic metre, usually about 2100."
    ),
    "volume-range": lambda t: f"A volume of {t.text('found_l')} L cannot be planned. Give it in litres.",
    "claim-size": lambda _: "A claimed yield needs a mass and a volume above nothing.",
    "temperature": _temperature_fault,
    "pan-test": lambda t: (
        f"{t.mass('wet_mg')} wet and {t.mass('dry_mg')} dry is no pan test: the dry mass is above nothing and at most "
        "the wet one. Take the pan off both."
    ),
    "not-sand": lambda t: f"“{t.name}” is no sand of this recipe. It has: {t.text('known') or 'none'}.",
    "moisture-range": lambda t: (
        f"{t.percent('found')} moisture in {t.material} cannot be: give 0 to {t.percent('limit')}."
    ),
}
