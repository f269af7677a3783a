"""One sentence for every flag: what was found, what was expected, what to do."""

from typing import assert_never

from mixstation.batch.flag import Flag, doses, weighing, work
from mixstation.batch.run import Run
from mixstation.recipe.model import MixStep, ReleaseStep
from mixstation.wording.spoken import spoken
from mixstation.wording.words import KEYS, OfBatch, Speech, in_its_steps, step_words

GRAVITY_WORDS = {"stop": "STOP", "warn": "CHECK", "note": "note"}
GRAVITY_SYMBOLS = {"stop": "■", "warn": "▲", "note": "·"}

_COUNTED = ("first", "second", "third", "fourth", "fifth", "sixth")


def flag_line(run: Run, flag: Flag, speech: Speech) -> str:
    """The sentence for a flag; of a material it is spoken in the steps of the material's own scale."""
    mixing = isinstance(flag, work.MixShort | work.MixLong)
    also = {"which_mix": _which_mix(run, flag.about)} if mixing else {}
    voice = OfBatch(run=run, speech=in_its_steps(run, flag.about, speech))
    return spoken(_template(flag), flag, voice, **also)


def whole_line(run: Run, flag: Flag, speech: Speech) -> str:
    """A flag with its gravity as a word."""
    return f"{GRAVITY_WORDS[flag.gravity]}: {flag_line(run, flag, speech)}"


def _template(flag: Flag) -> str:
    if isinstance(flag, doses.DoseFlags):
        return _of_doses(flag)
    if isinstance(flag, weighing.WeighingFlags):
        return _of_weighing(flag)
    return _of_work(flag)


def _of_doses(flag: doses.DoseFlags) -> str:
    match flag:
        case doses.WaterOverCeiling():
            return (
                "Add no water: it will end at {ratio:from ceiling_ratio}, over the ceiling of "
                "{ceiling_ratio:from ratio}. Press * for the ways out."
            )
        case doses.WaterOver():
            return (
                "Add no water: it will end at {ratio:from most_ratio}, over the band's {most_ratio:from ratio}. "
                "Press * for the ways out."
            )
        case doses.WaterUnsure():
            return (
                "Water will end at {ratio} ± {expanded_ratio}: on this scale it cannot be told whether that is over "
                "{most_ratio}."
            )
        case doses.WaterHigh():
            return "Water will end at {ratio}, above the target of {target_ratio} but inside the band to {most_ratio}."
        case doses.WaterUnder():
            return _water_under(flag)
        case doses.DoseOverCap():
            return (
                "{material} will be {fraction:2}, over its limit of {cap_fraction:2} ({source}). "
                "Press * for the ways out."
            )
        case doses.DoseOver():
            return "{material} will be {fraction:2} of {basis}, over {most_fraction:2}. Press * for the ways out."
        case doses.DoseUnder():
            found = "{material} is {fraction:2} of {basis}, under {least_fraction:2}."
            return _unless_late(flag, found, "Press a (pad: * 2) to add more.")
        case doses.DoseMissing():
            return _unless_late(flag, "No {material} went in.", "Press a (pad: * 2) to add it.")
        case doses.PowderOver():
            return "{material} is {off_mg} over its total; the rest follows what is in."
        case doses.PowderUnder():
            return "{material} is {off_mg} under its total; the rest follows what is in."
        case doses.RanOut():
            return "{material} ran out {short_mg} short. Press * for the ways out."
        case doses.StockShort():
            return "There will be {short_mg} too little {material}. Find more before you go on."
        case _ as forgotten:
            assert_never(forgotten)


def _of_weighing(flag: weighing.WeighingFlags) -> str:
    match flag:
        case weighing.BucketFull():
            return "The mix will be {volume_l}; this bucket is to hold {limit_l}. Use a larger one or take some out."
        case weighing.BucketHeavy():
            return (
                "The filled bucket will be {mass_mg:rough} or more; one person lifts {limit_mg:fine} at most. "
                "Do not lift it alone."
            )
        case weighing.BucketHeavier():
            return "The bucket is {by_mg} heavier than the entries say. If something went in: a (pad: * 2)."
        case weighing.BucketLighter():
            return "The bucket is {by_mg} lighter than the entries say. If something came out, press * and enter it."
        case weighing.DoseBelowDivision():
            return (
                "{material}: {dose_mg:fine} is less than this scale can show ({division_mg}). Use a finer scale or a "
                "weighed dilution, and type the weight."
            )
        case weighing.DoseSmallForScale():
            return (
                "{material}: {dose_mg:fine} is too small for this scale (good from {least_mg:fine}). Use a finer "
                "scale and type the weight."
            )
        case weighing.TubNotWeighedBack():
            return "The tub of {material} was not weighed back: what stuck to it counts as gone in."
        case weighing.ScaleKeyPressed():
            unsure = " Up to {unsure_mg} may be missing: look." if flag.unsure_mg else ""
            counted = "{counted_mg} counted before." if flag.counted_mg else "nothing was in before."
            return f"{KEYS[flag.key].capitalize()}: {counted} Go on to the target.{unsure}"
        case weighing.ScaleOtherUnit():
            return "The scale shows another unit than before. Press its unit key until it is back. Or type weights."
        case weighing.ScaleSilent():
            return "No live reading from the scale. Type the weight, or mend the cable."
        case weighing.ScaleUnreadable():
            return (
                "Unreadable lines from the scale: seat its plugs, check speed and profile. Or type. ({shown})"
            )
        case weighing.ScaleFault():
            return "The scale shows no weight ({shown}). Take the load off, or type the weight."
        case weighing.ScaleUnitChanged():
            return "The scale's unit or step changed in mid-pour. The weight is converted; look, then Enter."
        case _ as forgotten:
            assert_never(forgotten)


def _of_work(flag: work.WorkFlags) -> str:
    match flag:
        case work.FibresUnscraped():
            return (
                "Fibres went in with powder still on the wall. Scrape now, mix slowly, look for pale spots."
            )
        case work.ScrapeFirst():
            return "Powder went in since the last scraping. Scrape sides and bottom before the fibres."
        case work.ScrapeSkipped():
            return "The scraping was left out with powder on the wall: it falls in late and leaves weak, pale spots."
        case work.MixShort():
            return "{which_mix} took {took_s}; it should be at least {min_s}."
        case work.MixLong():
            harm = "fibres fray, air goes in" if flag.fibres_in else "air goes in"
            if flag.ended:
                return "{which_mix} took {took_s}; it should be at most {max_s}: " + harm + "."
            return "Stop the paddle: {took_s} is past {max_s}; " + harm + "."
        case work.RestShort():
            return "Rested {took_s}; it should be at least {min_s}."
        case work.RestLong():
            return "Rested {took_s}; it should be at most {max_s}."
        case work.MixSkipped():
            return "A mixing was left out ({step})."
        case work.RestSkipped():
            return "A rest was left out ({step})."
        case work.OutOfOrder():
            return "Done out of the recipe's order: {step}."
        case work.PlasticiserNotActed():
            return "Water went in before the plasticiser had acted; mix, then judge again."
        case work.PlasticiserFirst():
            return _unless_late(flag, "The plasticiser is not in yet.", "Add it and mix before more water.")
        case work.MixPlasticiserFirst():
            return _unless_late(
                flag, "The plasticiser has not acted yet.", "Mix 10 to 15 s before more water."
            )
        case work.PolymerCold():
            return "{mix_c} is below what {material} needs to form its film ({least_c}). Warm the shop, or do not cast."
        case work.MixWarm():
            return "The mix is at {mix_c}, above {max_c}: it will stiffen early. Place it at once."
        case work.MixCold():
            return "The mix is at {mix_c}, below {min_c}: it will set slowly. Keep the piece warm."
        case work.TimeNear():
            return _since_first_water("Place it soon.")
        case work.TimeLate():
            return _since_first_water("Place it now.")
        case work.TimePast():
            return _since_first_water("If it stiffens, add no water: discard it.")
        case work.StiffAndWarm():
            return "Stiff and warm: it is setting. Add nothing; discard it."
        case work.TooLoose():
            return "The mix was last judged too loose: it bleeds and settles. Let it stand, mix, judge again (/)."
        case _ as forgotten:
            assert_never(forgotten)


def _water_under(flag: doses.WaterUnder) -> str:
    ended = "Water ended at {ratio:from least_ratio}, under the band's {least_ratio:from ratio}."
    if flag.found_right:
        # Common practice, no source: a mix too stiff is packed badly.
        ended += " You judged it right; a stiffer mix compacts and bonds worse."
    if flag.fibres_in or flag.found_loose:
        return ended
    if flag.found_right:
        return _unless_late(flag, ended, "Press a (pad: * 2) to add water after all.")
    return _unless_late(flag, ended, "Add water in small steps if the mix is too stiff and still fresh.")


def _unless_late(flag: Flag, found: str, to_do: str) -> str:
    """What to do about it is left away where nothing may be added any more."""
    return found if flag.too_late else f"{found} {to_do}"


def _since_first_water(to_do: str) -> str:
    return "{since_s:min} min since the first water, of {low_s:min} to {high_s:min}. " + to_do


def _which_mix(run: Run, key: str) -> str:
    """Which of a batch's mixings is meant."""
    step = run.step_of(key)
    if isinstance(step, ReleaseStep):
        return f"The mix of the {step_words(run, step)}"
    if step not in run.recipe.steps:
        return "The mix of a way out"
    place = [one.key for one in run.recipe.steps if isinstance(one, MixStep)].index(key)
    return f"The {_COUNTED[place]} mix" if place < len(_COUNTED) else f"Mix {place + 1}"
