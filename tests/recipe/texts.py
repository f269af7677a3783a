"""A small sound recipe, and the changes that make it unsound."""

from mixstation.recipe.file import read_recipe
from mixstation.toml.lines import FileFault, FileRefused

SOUND = """\
name = "Sill cap"
revision = "1"
air = "5 %"
working_time = "30 min"
currency = "EUR"

[water]
of = "binder"
target = "33 %"
least = "31 %"
most = "35 %"
ceiling = "38 %"

[[material]]
key = "water"
name = "Water"
role = "water"

[[material]]
key = "cement"
name = "White cement"
role = "cement"
parts = 10
density = "3150 kg/m3"
pack = "25 kg"
price = "18.50"

[[material]]
key = "sand"
name = "Fine quartz sand"
role = "sand"
parts = 9
moisture = "2 %"
absorption = "0.6 %"

[[material]]
key = "emulsion"
name = "Acrylic polymer emulsion"
role = "polymer"
dose = "5.5 %"
of = "cement"
counts = "solids"
solids = "48 %"
cap = "8 %"
cap_source = "its label"

[[material]]
key = "fibre"
name = "AR glass fibre"
role = "fibre"
dose = "3 %"
of = "total"

[[step]]
add = "water"
share = "80 %"

[[step]]
add = "emulsion"

[[step]]
add = "powders"

[[step]]
mix = "60 s to 90 s"

[[step]]
release = "water"
by = "5 %"
mix = "25 s"

[[step]]
split = "face coat"
fraction = "25 %"

[[step]]
scrape = "sides and bottom"

[[step]]
add = "fibre"

[[step]]
mix = "45 s to 75 s"
speed = "slow"

[[step]]
temperature = true
least = "12 °C"
most = "28 °C"
"""


def changed(*changes: tuple[str, str]) -> str:
    """The sound recipe with pieces of text exchanged, each of which stands in it exactly once."""
    text = SOUND
    for old, new in changes:
        assert text.count(old) == 1, f"{text.count(old)} times {old!r}"
        text = text.replace(old, new)
    return text


def faults_of(text: str) -> tuple[FileFault, ...]:
    """All faults of a text; none where it is sound."""
    try:
        read_recipe(text, "some.toml")
    except FileRefused as refusal:
        return refusal.faults
    return ()


def brief(text: str) -> list[tuple[str, str]]:
    """Code and line text of each fault, with the line checked against the text."""
    for fault in faults_of(text):
        assert fault.path == "some.toml"
        assert fault.line_text == ((["", *text.split("\n")])[fault.line])
    return [(fault.code, fault.line_text) for fault in faults_of(text)]
