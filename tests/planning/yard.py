"""The tests' own yard: a recipe with hardly any waiting in it, two scales, and what stands around a planning talk."""

from datetime import date

from mixstation.plan.buckets import Bucket
from mixstation.plan.dosing import Scale
from mixstation.plan.job_parts import Shop
from mixstation.plan.stock import StockLine
from mixstation.planning.around import Around, StockHeld
from mixstation.planning.talk import PlanTalk
from mixstation.recipe.file import LoadedRecipe, load_recipe, read_recipe
from mixstation.recipe.shelf import find_recipe
from mixstation.station.view import Answer, View
from mixstation.units.show import DisplayUnits

# Its plasticiser is too small a dose for either scale, so it is weighed as a dilution.
SILL = """
name = "Sill cap"
revision = "2"
air = "5 %"
working_time = "30 min"
currency = "EUR"

[water]
of = "binder"
target = "0.34"
least = "0.32"
most = "0.36"
ceiling = "0.39"

[[material]]
key = "water"
name = "Water"
role = "water"

[[material]]
key = "cement"
name = "White cement"
role = "cement"
parts = 10
density = "3140 kg/m3"
pack = "25 kg"
price = "15.00"

[[material]]
key = "sand"
name = "Fine quartz sand"
role = "sand"
parts = 8
moisture = "2 %"
absorption = "0.5 %"
density = "2650 kg/m3"
pack = "25 kg"
price = "6.00"

[[material]]
key = "plasticiser"
name = "Plasticiser"
role = "plasticiser"
dose = "0.6 %"
of = "binder"
most = "0.9 %"
cap = "1.2 %"
cap_source = "its label"
solids = "32 %"
density = "1075 kg/m3"
pack = "1 kg"
price = "16.00"

[[material]]
key = "fibre"
name = "AR glass fibre"
role = "fibre"
dose = "2.5 %"
of = "total"
least = "2.3 %"
most = "2.7 %"
density = "2690 kg/m3"
pack = "5 kg"
price = "45.00"

[[step]]
add = "water"

[[step]]
add = "plasticiser"
say = "Onto the water."

[[step]]
add = "powders"

[[step]]
mix = "1 s to 40 s"

[[step]]
add = "fibre"

[[step]]
note = "Fill the mould."
"""

FLOOR = Scale(name="floor", capacity_mg=30_000_000, division_mg=5_000, checked=date(2026, 2, 1))
BENCH = Scale(name="bench", capacity_mg=3_000_000, division_mg=1_000, checked=date(2026, 2, 1))
SHOP = Shop(bucket=Bucket(volume_l=12.0, tare_mg=700_000), scales=(FLOOR, BENCH), tub_tare_mg=150_000)
TODAY = date(2026, 5, 4)


def sill() -> LoadedRecipe:
    """The yard's recipe."""
    return read_recipe(SILL, "sill_cap.toml")


def shipped() -> dict[str, LoadedRecipe]:
    """The recipes that come with the program."""
    return {key: load_recipe(find_recipe(key)) for key in ("bench_top", "hearth_plate", "planter_wall")}


def around(
    *,
    recipes: dict[str, LoadedRecipe] | None = None,
    units: DisplayUnits = DisplayUnits.METRIC,
    shop: Shop = SHOP,
    stock: StockHeld | None = None,
    **more: object,
) -> Around:
    """What stands around a talk."""
    shelf = {"sill_cap": sill()} if recipes is None else recipes
    return Around(units=units, shop=shop, recipes=shelf, stock=stock, today=TODAY, **more)  # type: ignore[arg-type]


def held(**masses_mg: int) -> StockHeld:
    """A stock of loose materials; those with nothing are kept count of all the same."""
    lines = tuple(
        StockLine(material=key, lot="", mass_mg=mass_mg) for key, mass_mg in masses_mg.items() if mass_mg
    )
    return StockHeld(lines=lines, known=frozenset(masses_mg))


def say(talk: PlanTalk, *typed: str) -> View:
    """Type answers one after the other; an act is named as "[name]"."""
    for text in typed:
        pressed = text[1:-1] if text.startswith("[") else "enter"
        typed_text = "" if text.startswith("[") else text
        talk.answer(Answer(question=talk.view().question.ident, pressed=pressed, typed=typed_text))
    return talk.view()


def asked(talk: PlanTalk) -> str:
    """Key of what is asked now."""
    return talk.draft.at
