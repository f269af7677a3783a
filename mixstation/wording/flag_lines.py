"""One sentence for every flag: what was found, what was expected, what to do."""

from collections.abc import Callable, Mapping
from fractions import Fraction

from mixstation.batch.flag import Flag, Value
from mixstation.batch.run import Run
from mixstation.frozen import dataclass
from mixstation.recipe.model import MixStep, ReleaseStep
from mixstation.units.show import show_duration, show_percent, show_ratio, show_temperature_c, show_volume_l
from mixstation.units.show_mass import show_mass
from mixstation.wording.words import BASIS_WORDS, Speech, in_its_steps, name_of, step_words, told_apart

GRAVITY_WORDS = {"stop": "STOP", "warn": "CHECK", "note": "note"}
GRAVITY_SYMBOLS = {"stop": "■", "warn": "▲", "note": "·"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a sentence is made from."""

    run: Run
    flag: Flag
    values: Mapping[str, Value]
    speech: Speech


Sentence = Callable[[Told], str]


def flag_line(run: Run, flag: Flag, speech: Speech) -> str:
    """The sentence for a flag.

    Raises:
        KeyError: A flag without a sentence.
    """
    # Of a material it is spoken in the steps of its own scale; of anything else this changes nothing.
    its = in_its_steps(run, flag.about, speech)
    return _SENTENCES[flag.code](Told(run=run, flag=flag, values=dict(flag.values), speech=its))


def known_codes() -> frozenset[str]:
    """Codes of all flags that have a sentence."""
    return frozenset(_SENTENCES)


def _number(value: Value) -> Fraction:
    if isinstance(value, str):
        raise TypeError(value)
    return Fraction(value)


def _material(told: Told) -> str:
    return name_of(told.run.recipe, told.flag.about)


def _step(told: Told) -> str:
    return step_words(told.run, told.run.step_of(told.flag.about))


def _ratio(told: Told, name: str) -> str:
    return show_ratio(_number(told.values[name]))


def _apart(told: Told, bound: str) -> tuple[str, str]:
    """The ratio and a bound it has passed, with as many decimals as tell them apart."""
    return told_apart(_number(told.values["ratio"]), _number(told.values[bound]))


def _unsure(told: Told) -> str:
    return show_ratio(_number(told.values["expanded"]))


def _c(told: Told, name: str) -> str:
    return show_temperature_c(_number(told.values[name]), told.speech.units)


def _s(told: Told, name: str) -> str:
    return show_duration(_number(told.values[name]))


def _water_over_ceiling(told: Told) -> str:
    ends, ceiling = _apart(told, "ceiling")
    return f"Add no water: it will end at {ends}, over the ceiling of {ceiling}. Press * for the ways out."


def _water_over(told: Told) -> str:
    ends, most = _apart(told, "most")
    return f"Add no water: it will end at {ends}, over the band's {most}. Press * for the ways out."


def _water_unsure(told: Told) -> str:
    return (
        f"Water will end at {_ratio(told, 'ratio')} ± {_unsure(told)}: on this scale it cannot be told whether "
        f"that is over {_ratio(told, 'most')}."
    )


def _water_high(told: Told) -> str:
    return (
        f"Water will end at {_ratio(told, 'ratio')}, above the target of {_ratio(told, 'target')} but inside the "
        f"band to {_ratio(told, 'most')}."
    )


def _water_under(told: Told) -> str:
    ends, least = _apart(told, "least")
    ended = f"Water ended at {ends}, under the band's {least}."
    judged = told.run.judged
    right = judged is not None and judged.verdict == "right"
    if right:
        # Common practice, no source: a mix too stiff is packed badly.
        ended += " You judged it right; a stiffer mix compacts and bonds worse."
    if told.run.fibres_in:
        return ended
    if right:
        return _unless_late(told, ended, "Press + to add water after all.")
    return _unless_late(told, ended, "Add water in small steps if the mix is too stiff and still fresh.")


def _dose(told: Told) -> tuple[str, str]:
    return show_percent(_number(told.values["fraction"]), 2), BASIS_WORDS.get(
        str(told.values.get("of", "")), ""
    )


def _dose_over_cap(told: Told) -> str:
    return (
        f"{_material(told)} will be {_dose(told)[0]}, over its limit of "
        f"{show_percent(_number(told.values['cap']), 2)} ({told.values['source']}). Press * for the ways out."
    )


def _dose_over(told: Told) -> str:
    amount, basis = _dose(told)
    most = show_percent(_number(told.values["most"]), 2)
    return f"{_material(told)} will be {amount} of {basis}, over {most}. Press * for the ways out."


def _dose_under(told: Told) -> str:
    amount, basis = _dose(told)
    least = show_percent(_number(told.values["least"]), 2)
    return _unless_late(
        told, f"{_material(told)} is {amount} of {basis}, under {least}.", "Press + to add more."
    )


def _dose_missing(told: Told) -> str:
    return _unless_late(told, f"No {_material(told)} went in.", "Press + to add it.")


def _unless_late(told: Told, found: str, to_do: str) -> str:
    """What to do about it is left away where nothing may be added any more."""
    return found if told.values.get("too_late") else f"{found} {to_do}"


def _plasticiser_first(told: Told) -> str:
    return _unless_late(told, "The plasticiser is not in yet.", "Add it and mix before more water.")


def _mix_plasticiser_first(told: Told) -> str:
    return _unless_late(told, "The plasticiser has not acted yet.", "Mix 10 to 15 s before more water.")


def _powder_over(told: Told) -> str:
    over = told.speech.mass(_number(told.values["final_mg"]) - _number(told.values["total_mg"]))
    return f"{_material(told)} is {over} over its total; the rest follows what is in."


def _powder_under(told: Told) -> str:
    under = told.speech.mass(_number(told.values["total_mg"]) - _number(told.values["final_mg"]))
    return f"{_material(told)} is {under} under its total; the rest follows what is in."


def _ran_out(told: Told) -> str:
    short = told.speech.mass(_number(told.values["short_mg"]))
    return f"{_material(told)} ran out {short} short. Press * for the ways out."


def _stock_short(told: Told) -> str:
    short = told.speech.mass(_number(told.values["short_mg"]))
    return f"There will be {short} too little {_material(told)}. Find more before you go on."


def _bucket_full(told: Told) -> str:
    ends, limit = (
        show_volume_l(_number(told.values[key]), told.speech.units) for key in ("volume_l", "limit_l")
    )
    return f"The mix will be {ends}; this bucket is to hold {limit}. Use a larger one or take some out."


def _bucket_heavy(told: Told) -> str:
    # A back feels no grams, whatever the scale shows.
    filled = show_mass(round(_number(told.values["mass_mg"])), told.speech.units, 100_000)
    limit = show_mass(round(_number(told.values["limit_mg"])), told.speech.units)
    return (
        f"The filled bucket will be {filled} or more; one person lifts {limit} at most. Do not lift it alone."
    )


def _timed(verb: str, end: str) -> Sentence:
    def sentence(told: Told) -> str:
        bound = _s(told, "min_s") if end == "short" else _s(told, "max_s")
        than = "at least" if end == "short" else "at most"
        return f"{verb} {_s(told, 'took_s')}; it should be {than} {bound}."

    return sentence


_COUNTED = ("first", "second", "third", "fourth", "fifth", "sixth")


def _which_mix(told: Told) -> str:
    """Which of a batch's mixings is meant."""
    step = told.run.step_of(told.flag.about)
    if isinstance(step, ReleaseStep):
        return f"The mix of the {step_words(told.run, step)}"
    if step not in told.run.recipe.steps:
        return "The mix of a way out"
    place = [one.key for one in told.run.recipe.steps if isinstance(one, MixStep)].index(step.key)
    return f"The {_COUNTED[place]} mix" if place < len(_COUNTED) else f"Mix {place + 1}"


def _mix_short(told: Told) -> str:
    return f"{_which_mix(told)} took {_s(told, 'took_s')}; it should be at least {_s(told, 'min_s')}."


def _mix_long(told: Told) -> str:
    harm = "fibres fray, air goes in" if told.run.fibres_in else "air goes in"
    if told.flag.about in told.run.finished:
        return (
            f"{_which_mix(told)} took {_s(told, 'took_s')}; it should be at most {_s(told, 'max_s')}: {harm}."
        )
    return f"Stop the paddle: {_s(told, 'took_s')} is past {_s(told, 'max_s')}; {harm}."


def _skipped(what: str) -> Sentence:
    def sentence(told: Told) -> str:
        return f"{what} was left out ({_step(told)})."

    return sentence


def _plain(text: str) -> Sentence:
    def sentence(_: Told) -> str:
        return text

    return sentence


def _out_of_order(told: Told) -> str:
    return f"Done out of the recipe's order: {_step(told)}."


def _dose_below_division(told: Told) -> str:
    dose, division_mg = (
        told.speech.finely(_number(told.values["dose_mg"])),
        _number(told.values["division_mg"]),
    )
    division = show_mass(round(division_mg), told.speech.units, division_mg)
    return (
        f"{_material(told)}: {dose} is less than this scale can show ({division}). Use a finer scale "
        "or a weighed dilution, and type the weight."
    )


def _dose_small(told: Told) -> str:
    dose, least = (told.speech.finely(_number(told.values[name])) for name in ("dose_mg", "least_mg"))
    return (
        f"{_material(told)}: {dose} is too small for this scale (good from {least}). Use a finer "
        "scale and type the weight."
    )


def _tub_not_back(told: Told) -> str:
    return f"The tub of {_material(told)} was not weighed back: what stuck to it counts as gone in."


def _cold_polymer(told: Told) -> str:
    return (
        f"{_c(told, 'mix_c')} is below what {_material(told)} needs to "
        f"form its film ({_c(told, 'least_c')}). Warm the shop, or do not cast."
    )


def _mix_warm(told: Told) -> str:
    return (
        f"The mix is at {_c(told, 'mix_c')}, above "
        f"{_c(told, 'max_c')}: it will stiffen early. Place it at once."
    )


def _mix_cold(told: Told) -> str:
    return (
        f"The mix is at {_c(told, 'mix_c')}, below "
        f"{_c(told, 'min_c')}: it will set slowly. Keep the piece warm."
    )


def _bucket(word: str, cause: str) -> Sentence:
    def sentence(told: Told) -> str:
        by = told.speech.mass(_number(told.values["by_mg"]))
        return f"The bucket is {by} {word} than the entries say. {cause}"

    return sentence


def _time(text: str) -> Sentence:
    def sentence(told: Told) -> str:
        low, high = int(_number(told.values["low_s"])) // 60, int(_number(told.values["high_s"])) // 60
        return f"{int(_number(told.values['since_s'])) // 60} min since the first water, of {low} to {high}. {text}"

    return sentence


def _scale_fault(told: Told) -> str:
    return f"The scale shows no weight ({told.values['shown']}). Take the load off, or type the weight."


def _unit_changed(_: Told) -> str:
    return "The scale's unit or step changed in mid-pour. The weight is converted; look, then Enter."


_SENTENCES: Mapping[str, Sentence] = {
    "water-over-ceiling": _water_over_ceiling,
    "water-over": _water_over,
    "water-unsure": _water_unsure,
    "water-high": _water_high,
    "water-under": _water_under,
    "dose-over-cap": _dose_over_cap,
    "dose-over": _dose_over,
    "dose-under": _dose_under,
    "dose-missing": _dose_missing,
    "powder-over": _powder_over,
    "powder-under": _powder_under,
    "ran-out": _ran_out,
    "stock-short": _stock_short,
    "bucket-full": _bucket_full,
    "bucket-heavy": _bucket_heavy,
    "fibres-unscraped": _plain(
        "Fibres went in with powder still on the wall. Scrape now, mix slowly, look for pale spots."
    ),
    "scrape-first": _plain(
        "Powder went in since the last scraping. Scrape sides and bottom before the fibres."
    ),
    "scrape-skipped": _plain(
        "The scraping was left out with powder on the wall: it falls in late and leaves weak, pale spots."
    ),
    "mix-short": _mix_short,
    "mix-long": _mix_long,
    "rest-short": _timed("Rested", "short"),
    "rest-long": _timed("Rested", "long"),
    "mix-skipped": _skipped("A mixing"),
    "rest-skipped": _skipped("A rest"),
    "out-of-order": _out_of_order,
    "plasticiser-not-acted": _plain("Water went in before the plasticiser had acted; mix, then judge again."),
    "plasticiser-first": _plasticiser_first,
    "mix-plasticiser-first": _mix_plasticiser_first,
    "dose-below-division": _dose_below_division,
    "dose-small-for-scale": _dose_small,
    "tub-not-weighed-back": _tub_not_back,
    "polymer-cold": _cold_polymer,
    "mix-warm": _mix_warm,
    "mix-cold": _mix_cold,
    "bucket-heavier": _bucket("heavier", "If something went in, press + and enter it."),
    "bucket-lighter": _bucket("lighter", "If something came out, press * and enter it."),
    "time-near": _time("Place it soon."),
    "time-late": _time("Place it now."),
    "time-past": _time("If it stiffens, add no water: discard it."),
    "stiff-and-warm": _plain("Stiff and warm: it is setting. Add nothing; discard it."),
    "scale-silent": _plain("No live reading from the scale. Type the weight, or mend the cable."),
    "scale-fault": _scale_fault,
    "scale-unit-changed": _unit_changed,
}
