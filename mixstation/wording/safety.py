"""The cautions shown before the first bag is opened and printed with every record."""

BEFORE_THE_FIRST_BAG = (
    "Respirator on before a bag is opened: cement and sand dust hold silica. Pour low, sweep nothing dry.",
    "Waterproof alkali-proof gloves, goggles, long sleeves: wet mix burns, and the burn starts without pain.",
    "Mix on the skin: rinse at once and keep rinsing. In the eyes: rinse and get medical help.",
    "Glass fibre: keep it off skin, eyes and lungs.",
    "Drill: both hands; stop the paddle before hands or trowel go in; no loose sleeves; ear protection; "
    "earth-leakage protection (RCD or GFCI) on wet ground.",
    "Lift no more than about 23 kg, less when you twist or reach.",
)
"""Source: common practice, no source; silica limits OSHA 29 CFR 1926.1153; lifting NIOSH Pub. 94-110."""

LIMITS_OF_USE = (
    "For decorative pieces that bear no load. Anything that bears load, hangs over people or touches a building "
    "code needs a licensed professional and the local code.",
    "Material labels and safety data sheets take precedence over any figure here.",
)

DONE_TEXT = "Gear on and text read"
