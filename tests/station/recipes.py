"""Two recipes with hardly any waiting in them, from the tests' own yard."""

from mixstation.recipe.file import LoadedRecipe, read_recipe

_HEAD = """
name = "Sill cap"
revision = "4"
air = "5 %"
working_time = "30 min"

[water]
of = "powder"
target = "0.13"
least = "0.12"
most = "0.14"
ceiling = "0.15"

[[material]]
key = "water"
name = "Water"
role = "water"

[[material]]
key = "blend"
name = "Casting blend"
role = "blend"
parts = 1
cement_share = "40 %"
binder_share = "44 %"
density = "2790 kg/m3"

[[material]]
key = "fibre"
name = "AR glass fibre"
role = "fibre"
dose = "2.8 %"
of = "total"
least = "2.6 %"
most = "3 %"
density = "2690 kg/m3"
"""

_REST = """
[[step]]
rest = "10 s to 5 min"
"""

QUICK = (
    _HEAD
    + """
[[step]]
add = "water"
share = "80 %"

[[step]]
add = "blend"
share = "50 %"

[[step]]
mix = "1 s to 40 s"

[[step]]
add = "blend"

[[step]]
mix = "1 s to 40 s"

[[step]]
scrape = "sides and bottom"
"""
    + _REST
    + """
[[step]]
consistency = "trowel"

[[step]]
release = "water"
by = "10 %"
mix = "1 s"

[[step]]
add = "fibre"

[[step]]
mix = "1 s to 40 s"
speed = "slow"

[[step]]
temperature = true
least = "12 °C"
most = "28 °C"
"""
)

BRISK = QUICK.replace(_REST, "")
"""Without the rest: no test that runs on a real clock waits ten seconds for nothing."""

SPLIT = (
    _HEAD
    + """
[[step]]
add = "water"

[[step]]
add = "blend"

[[step]]
mix = "1 s to 40 s"

[[step]]
split = "face coat"
fraction = "25 %"

[[step]]
scrape = "sides and bottom"

[[step]]
add = "fibre"

[[step]]
note = "Fill the mould."
"""
)


_SLATE = """
[[material]]
key = "slate"
name = "Slate pigment"
role = "pigment"
dose = "1.32 %"
of = "powder"
density = "4500 kg/m3"
"""


def slate() -> LoadedRecipe:
    """The quick one with a pigment in it, too small a dose for a scale that carries a bucket."""
    text = QUICK.replace('\n[[step]]\nadd = "fibre"', '\n[[step]]\nadd = "slate"\n\n[[step]]\nadd = "fibre"')
    return read_recipe(text.replace("\n[[step]]", _SLATE + "\n[[step]]", 1), "sill_cap_slate.toml")


def quick() -> LoadedRecipe:
    """Every kind of step but a split, in the usual order."""
    return read_recipe(QUICK, "sill_cap.toml")


def brisk() -> LoadedRecipe:
    """The same without its rest, for batches in real time."""
    return read_recipe(BRISK, "sill_cap.toml")


def split() -> LoadedRecipe:
    """All water at once, and a face coat taken out before the fibres."""
    return read_recipe(SPLIT, "sill_cap_two_coats.toml")
