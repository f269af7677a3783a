"""Where a recipe leaves what standards and the trade give: what it has, the limit, who says so, and what to do."""

from collections.abc import Iterator, Mapping

from mixstation.recipe.limits import LimitWarning
from mixstation.recipe.model import Recipe
from mixstation.units.clean import clean
from mixstation.units.show import show_duration, show_percent, show_ratio, trimmed
from mixstation.wording.counted import counted
from mixstation.wording.spoken import BASIS_WORDS
from mixstation.wording.words import bounds_said, name_of

LIMITS_SAID: Mapping[str, str] = {
    "density-low": "{material} is read as {value}; usual is {limit} or more{source}. See that no digit is missing: "
    "all volumes follow from it.",
    "density-high": "{material} is read as {value}; usual is {limit} at most{source}. See that no digit is too "
    "many: all volumes follow from it.",
    "water-low": "The band lets the water down to {value} of {of}; usual is {limit} or more{source}. "
    "Raise least unless a plasticiser makes so little work.",
    "water-high": "The ceiling lets the water up to {value} of {of}; usual is {limit} at most{source}: "
    "weaker, paler, more shrinkage. Lower the ceiling.",
    "pigment-high": "All pigment is {value} of {of}, over {limit}{source}: more gives no more colour and costs "
    "strength. Lower the dose.",
    "pigment-blend-high": "All pigment is {value} of {of}; a blend with {material} is held to {limit}{source}. "
    "Lower the dose, or leave {material} out.",
    "tolerance-high": "{material} may be {value} off its target; the widest for it is {limit}{source}. Narrow its "
    "tolerance.",
    "polymer-low": "The polymer's solids are {value} of {of}; usual is {limit} or more{source}. Raise the dose, "
    "or cure it wet.",
    "polymer-high": "The polymer's solids are {value} of {of}; usual is {limit} at most{source}. Lower the dose, "
    "or see that it counts solids.",
    "curing-polymer-low": "The polymer's solids are {value} of {of}; from {limit} on they take the place of seven "
    "days' wet curing{source}. Raise the dose, or cure it wet.",
    "plasticiser-low": "{material} is {value} of {of}; usual is {limit} or more{source}. Look at its label.",
    "plasticiser-high": "{material} is {value} of {of}; usual is {limit} at most{source}. Follow its label, and "
    "write the label's limit as cap.",
    "pozzolan-high": "Pozzolan is {value} of {of}; usual is {limit} at most{source}. Lower its parts.",
    "sand-low": "Sand is {value} of {of}; usual is {limit} or more{source}: more shrinkage. Raise its parts.",
    "sand-high": "Sand is {value} of {of}; usual is {limit} at most{source}. Lower its parts.",
    "fibre-low": "Fibre is {value} of {of}; usual is {limit} or more{source}. See that its dose is of the total.",
    "fibre-high": "Fibre is {value} of {of}; usual is {limit} at most{source}: it balls and traps air. "
    "Lower the dose.",
    "ice-high": "Ice is {value} of {of}; the reckoning of temperatures is fair to {limit}{source}. Use less, and "
    "cool the powders.",
    "no-scrape-before-fibres": "{material} goes in (step {step}) with powder still on the wall{source}: weak, pale "
    "spots. Write a scrape step before it.",
    "fibres-mixed-fast": "Step {step} mixes fast with fibres in{source}: they fray and ball. Write slow.",
    "split-after-fibres": "Step {step} takes the layer out with fibres in it{source}: they would show. "
    "Put it before the fibres.",
    "plasticiser-after-release": "{material} (step {step}) comes after held-back water{source}: more water would "
    "go in than is needed. Put it before the release.",
    "plasticiser-not-mixed": "{material} (step {step}) gets {value} of mixing before more water; it needs {limit} "
    "to act{source}. Write a mix step behind it.",
}

_MOST_PLACES = 8
_OF_WORDS = {**BASIS_WORDS, "water": "water and ice"}


FAULTY = "  FAULTY: mixstation recipes {key}"
OWN_FOLDER = "\nYour own recipes go into {folder}"
CHECK = "CHECK  {line}"


def recipe_said(recipe: Recipe) -> Iterator[str]:
    """A recipe in lines: its water, its doses and parts, how many steps."""
    yield f"{recipe.name}, revision {recipe.revision}"
    water = recipe.water
    band = bounds_said(show_ratio(water.least), show_ratio(water.most))
    yield f"water: {show_ratio(water.target)} of {BASIS_WORDS[water.of]}, band {band}"
    for material in recipe.materials:
        if material.dose is not None:
            dose = show_percent(material.dose.fraction, 2)
            yield f"{material.name}: {dose} of {BASIS_WORDS[material.dose.of]}"
        elif material.parts is not None:
            yield f"{material.name}: {float(material.parts):g} parts"
    yield counted(len(recipe.steps), "step")


def warning_line(recipe: Recipe, warning: LimitWarning) -> str:
    """What a recipe has, the limit it leaves, on which basis, who says so, and what to do.

    Args:
        recipe: The recipe it is about.
        warning: One of its warnings.

    Returns:
        One or two sentences.

    Raises:
        KeyError: A warning without a sentence.
    """
    value, limit = _amounts(warning)
    return LIMITS_SAID[warning.code].format(
        material=clean(name_of(recipe, warning.material), 100) if warning.material else "",
        step=clean(warning.step, 60),
        value=value,
        limit=limit,
        of=_OF_WORDS.get(warning.of, warning.of),
        source=f" ({clean(warning.source, 200)})" if warning.source else "",
    )


def _amounts(warning: LimitWarning) -> tuple[str, str]:
    """Value and limit, with digits enough to be told apart."""
    if warning.value is None or warning.limit is None:
        return "", ""
    if warning.of == "kg/m3":
        return f"{trimmed(warning.value, 1)} kg/m³", f"{trimmed(warning.limit, 1)} kg/m³"
    if warning.of == "s":
        return show_duration(warning.value), show_duration(warning.limit)
    is_water = warning.code.startswith("water-")
    show, places = (show_ratio, 3) if is_water else (show_percent, 2)
    while show(warning.value, places) == show(warning.limit, places) and places < _MOST_PLACES:
        places += 1
    return show(warning.value, places), show(warning.limit, places)
