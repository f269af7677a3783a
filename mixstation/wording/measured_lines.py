"""A consistency that is measured: how to test it, what is right, and a figure with its unit."""

from fractions import Fraction

from mixstation.batch.events import ConsistencyJudged
from mixstation.proportion.consistency import ring_diameter_mm
from mixstation.recipe.model import ConsistencyStep
from mixstation.units.show import DisplayUnits, show_length_mm
from mixstation.wording.words import bounds_said

METHOD_WORDS = {
    "trowel": "Lift some on the trowel: right slides off and leaves a thin even coat.",
    "spread": "Fill the ring on a level, wetted plate. Lift it, wait 2 minutes, measure both ways.",
    "flow": "25 drops in 15 seconds; type the flow in per cent.",
    "rings": "Lift the tube; type the number of the ring the mix reaches.",
}
METHOD_ASKS = {
    "trowel": "Judge the consistency.",
    "spread": "Spread test: type one diameter.",
    "flow": "Flow test: type the flow.",
    "rings": "Slump tube: type the ring.",
}
ACROSS = "Type the diameter at right angles to it."
LENGTH_WORDS = {"mm": "millimetres", "in": "inches"}
FIGURE_WORDS = {"flow": "per cent", "rings": "rings", "trowel": ""}


def length_unit(units: DisplayUnits) -> str:
    """What a bare length is typed in."""
    return "mm" if units is DisplayUnits.METRIC else "in"


def figure_words(method: str, figure: int, units: DisplayUnits) -> str:
    """A measured figure.

    Example:
        >>> figure_words("spread", 225, DisplayUnits.US)
        '8.86 in'
    """
    match method:
        case "spread":
            return show_length_mm(figure, units)
        case "flow":
            return f"{figure} %"
        case "rings":
            return f"ring {figure}"
        case _:
            return f"{figure}"


def judged_figure(method: str, fact: ConsistencyJudged, units: DisplayUnits) -> str:
    """The figure of a judgement that has one, with the diameters it is the mean of."""
    assert fact.figure is not None
    figure = figure_words(method, fact.figure, units)
    if not fact.across_um:
        return figure
    both = " and ".join(show_length_mm(Fraction(across, 1000), units) for across in fact.across_um)
    return f"{figure} ({both})"


def target_words(step: ConsistencyStep, units: DisplayUnits) -> str:
    """What the recipe has as right; "" where it says nothing."""
    least, most = (
        "" if end is None else figure_words(step.method, end, units) for end in (step.least, step.most)
    )
    if least and most and step.method != "rings":
        least = least.rpartition(" ")[0]
    return bounds_said(least, most)


def method_lines(step: ConsistencyStep, units: DisplayUnits) -> tuple[str, ...]:
    """What is right and how to test it."""
    target = target_words(step, units)
    if target and step.method == "rings":
        ends = [
            show_length_mm(ring_diameter_mm(end), units) for end in (step.least, step.most) if end is not None
        ]
        target += f", {' to '.join(ends)} across"
    return (*((f"Right: {target}.",) if target else ()), METHOD_WORDS[step.method])


def across_detail(step: ConsistencyStep | None, first_um: int, units: DisplayUnits) -> tuple[str, ...]:
    """What one diameter was, and what their mean is to be."""
    first = f"The first: {show_length_mm(Fraction(first_um, 1000), units)}."
    target = "" if step is None else target_words(step, units)
    return (first, f"Right, as the mean of both: {target}.") if target else (first,)
