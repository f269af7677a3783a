"""The cautions shown before the first bag is opened, printed with every record, plan and way out."""

from collections.abc import Mapping
from typing import Any

from mixstation.proportion.lifting import LIFT_LIMIT_MG

_LIFT = f"Lift no more than about {LIFT_LIMIT_MG // 1_000_000} kg, less when you twist or reach."

BEFORE_THE_FIRST_BAG = (
    "Respirator on before a bag is opened: cement and sand dust hold silica. Pour low, sweep nothing dry.",
    "Waterproof alkali-proof gloves, goggles, long sleeves: wet mix burns, and the burn starts without pain.",
    "Mix on the skin: rinse at once and keep rinsing. In the eyes: rinse and get medical help.",
    "Glass fibre: keep it off skin, eyes and lungs.",
    "Drill: both hands; stop the paddle before hands or trowel go in; no loose sleeves; ear protection; "
    "earth-leakage protection (RCD or GFCI) on wet ground.",
    _LIFT,
)
"""Source: common practice, no source; silica limits OSHA 29 CFR 1926.1153; lifting NIOSH Pub. 94-110."""

LIMITS_OF_USE = (
    "For decorative pieces that bear no load. Anything that bears load, hangs over people or touches a building "
    "code needs a licensed professional and the local code.",
    "Material labels and safety data sheets take precedence over any figure here.",
)

ON_THE_SHEET = (
    "Respirator before a bag is opened; gloves, goggles, long sleeves. Wet mix on the skin or in the eyes: rinse at "
    "once and keep rinsing; eyes: get medical help. Glass fibre: off skin, eyes and lungs. Drill: both hands; stop "
    f"the paddle before hands go in; no loose sleeves; ear protection; RCD or GFCI. {_LIFT}"
)

IN_SHORT = (
    "Respirator, gloves and goggles on before a bag is opened. For pieces that bear no load: labels, safety data "
    "sheets, the local code and licensed professionals come before any figure here."
)
"""Stands with every answer of a command that says how much of what."""

DONE_TEXT = "Gear on and text read"


def with_safety(data: Mapping[str, Any]) -> dict[str, Any]:
    """An answer for other programs, the caution in short with it."""
    return {**data, "safety": IN_SHORT}
