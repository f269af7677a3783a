"""A record against one bucket worked by hand: its water, uncertainty, volume, cost and curing."""

from dataclasses import replace
from fractions import Fraction

from mixstation.account.batch_record import batch_record
from mixstation.account.form import Record
from mixstation.batch.commands import Finish
from mixstation.batch.events import WeightRecorded
from mixstation.recipe.model import Basis, Dose, Role
from mixstation.units.show import DisplayUnits
from tests.batch.making import Bench
from tests.batch.recipes import add, f, kg, material, recipe, rule


def record_of(bench: Bench) -> Record:
    return batch_record(bench.run.entries, DisplayUnits.METRIC)


# Worked by hand: water 2.40 kg; emulsion 0.90 kg with half of it water; cement 6.0, metakaolin 0.5, sand 5.0 kg dry.
# All water 2.40 + 0.45 = 2.85 kg; binder 6.5 kg.
ONE_BUCKET = recipe(
    "one bucket",
    rule(Basis.BINDER, "0.44", "0.40", "0.46", "0.48"),
    (
        material("water", Role.WATER),
        material("cement", Role.CEMENT, parts=Fraction(12)),
        material("metakaolin", Role.POZZOLAN, parts=Fraction(1)),
        material("sand", Role.SAND, parts=Fraction(10)),
        material(
            "emulsion",
            Role.POLYMER,
            dose=Dose(fraction=f("0.075"), of=Basis.CEMENT, counts="solids"),
            water_fraction=f("0.5"),
        ),
    ),
    tuple(add(key, key) for key in ("water", "emulsion", "cement", "metakaolin", "sand")),
)


def _one_bucket() -> Bench:
    bench = Bench.begin(ONE_BUCKET, {"cement": kg(6), "metakaolin": kg("0.5"), "sand": kg(5)})
    for mass in ("2.4", "0.9", "6", "0.5", "5"):
        bench.pours(kg(mass), confirmed=True)
    bench.does(Finish(concession="worked by hand"))
    return bench


def test_the_same_water_on_every_basis() -> None:
    water = record_of(_one_bucket())["water"]
    assert [(each["water"], each["of"], each["ratio"], each["steers"]) for each in water["ratios"]] == [
        ("added", "cement and pozzolan", "0.369", False),
        ("all", "cement and pozzolan", "0.438", True),
        ("added", "cement", "0.400", False),
        ("all", "cement", "0.475", False),
    ]
    assert (water["ratio"], water["place"]) == ("0.438", "inside")
    assert (water["added"], water["all"], water["basis"]) == ("2.400 kg", "2.850 kg", "6.500 kg")


def test_the_uncertainty_of_the_ratio_never_claims_too_much() -> None:
    # Nets of 1 g steps, u = 1 g/√6 each [JCGM 100]: u² of the ratio = Σ(∂r/∂m·u)², with r = 2.85/6.5;
    # water 1/6.5, emulsion 0.5/6.5, cement and metakaolin −r/6.5 a kilogram: u = 0.408e-3·0.1965 = 0.0000802;
    # U = 2u = 0.00016, told as 0.001 because it is taken up to the third decimal.
    assert record_of(_one_bucket())["water"]["expanded"] == "0.001"
    bench = _one_bucket()
    coarse = tuple(
        replace(each, fact=replace(each.fact, division_mg=100_000))
        if isinstance(each.fact, WeightRecorded)
        else each
        for each in bench.run.entries
    )
    # A hundred times as coarse: 0.0160, to the third decimal and up.
    water = batch_record(coarse, DisplayUnits.METRIC)["water"]
    assert water["expanded"] == "0.017"


def test_a_scale_too_coarse_to_tell() -> None:
    bench = _one_bucket()
    coarse = tuple(
        replace(each, fact=replace(each.fact, division_mg=200_000))
        if isinstance(each.fact, WeightRecorded)
        else each
        for each in bench.run.entries
    )
    water = batch_record(coarse, DisplayUnits.METRIC)["water"]
    # 0.438 ± 0.033 reaches past 0.46.
    assert (water["place"], water["said"]) == (
        "cannot-tell",
        "on this scale it cannot be told whether it is inside its band",
    )


def test_volume_and_density_by_absolute_volume() -> None:
    # 2.4/998.21 + 0.9/1060 + 6/3150 + 0.5/2500 + 5/2650 = 7.245 L; with 5 % air 7.626 L; 14.8 kg: 1941 kg/m³.
    made = record_of(_one_bucket())["made"]
    assert (made["volume"], made["weighed_in"]) == ("7.63 L", "14.800 kg")
    assert made["density"] == "1941 kg/m³"


def test_cost_of_what_went_in() -> None:
    priced = replace(
        ONE_BUCKET,
        currency="EUR",
        materials=tuple(
            replace(each, pack_mg=kg(25), price_cents=2_000) if each.key == "cement" else each
            for each in ONE_BUCKET.materials
        ),
    )
    bench = Bench.begin(priced, {"cement": kg(6), "metakaolin": kg("0.5"), "sand": kg(5)})
    bench.goes_through()
    made = record_of(bench)["made"]
    # 6 kg of 25 kg at 20.00.
    assert made["cost"] == "4.80 EUR"
    assert made["without_price"] == ["Metakaolin", "Sand", "Emulsion"]


def test_a_lean_polymer_does_not_take_the_place_of_wet_curing() -> None:
    lean = replace(
        ONE_BUCKET,
        materials=tuple(
            replace(each, dose=Dose(fraction=f("0.04"), of=Basis.CEMENT, counts="solids"))
            if each.key == "emulsion"
            else each
            for each in ONE_BUCKET.materials
        ),
    )
    bench = Bench.begin(lean, {"cement": kg(6), "metakaolin": kg("0.5"), "sand": kg(5)})
    bench.goes_through()
    bench.does(Finish())
    assert any("moist for about 7 days" in each["said"] for each in record_of(bench)["after_the_pour"])


def test_how_it_was_weighed() -> None:
    entries = _one_bucket().run.entries
    weights = [at for at, each in enumerate(entries) if isinstance(each.fact, WeightRecorded)]

    def weighing(*typed: int) -> str:
        told = tuple(
            replace(each, fact=replace(each.fact, source="typed"))
            if at in typed and isinstance(each.fact, WeightRecorded)
            else each
            for at, each in enumerate(entries)
        )
        return batch_record(told, DisplayUnits.METRIC)["head"]["weighing"]

    assert len(weights) == 5
    assert weighing() == "the bucket stands on the scale"
    assert weighing(*weights[1:]) == "the bucket stands on the scale"
    assert weighing(*weights) == "typed, none read from a scale"
