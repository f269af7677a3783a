"""Batches gone wrong by hand, with what bounds a way out of each."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.events import (
    Amount,
    ConsistencyJudged,
    FlagRaised,
    RemedyTaken,
    StepDone,
    StepSkipped,
    SupplyRanOut,
    WayTaken,
)
from mixstation.batch.run import Run, fold
from mixstation.batch.targets import aim_of
from mixstation.recipe.model import Basis, Dose, Recipe, Role, SplitStep
from tests.batch.recipes import with_material
from tests.batch.ways.bucket import (
    BLEND,
    BLEND_KG,
    RAW,
    RAW_KG,
    add,
    begin,
    limits,
    material,
    per_mille,
    removed,
    scooped,
    skipped,
    told,
    weighed,
    work,
)

RAW_MG = {key: round(mass * 1_000_000) for key, mass in RAW_KG.items()}
Made = tuple[Run, Mapping[str, object]]

# The small plate again: two pigments, and a layer taken out before the fibres.
SECOND = material(
    "umber", Role.PIGMENT, dose=Dose(fraction=per_mille(20), of=Basis.CEMENT), price_cents=2600, pack_mg=10**6
)
TINTED = replace(
    RAW,
    materials=(*RAW.materials, SECOND),
    steps=(
        *RAW.steps[:3],
        add("umber"),
        *RAW.steps[3:14],
        SplitStep(key="face", layer="face coat", fraction=Fraction(1, 4)),
        *RAW.steps[14:],
    ),
)
# The sill again: half of the blend goes in only after a layer was taken out.
HALVED = replace(
    BLEND,
    steps=(
        *BLEND.steps[:3],
        SplitStep(key="face", layer="face coat", fraction=Fraction(1, 5)),
        *BLEND.steps[3:],
    ),
)
ICED = replace(BLEND, materials=(*BLEND.materials, material("ice", Role.ICE)))
BANDED = with_material(
    RAW,
    "fibre",
    dose=Dose(fraction=per_mille(28), of=Basis.TOTAL, least=per_mille(25), most=per_mille(31)),
)
# Growing mends the colour and thins the plasticiser of which there is no more.
THIN = with_material(
    with_material(RAW, "pigment", dose=Dose(fraction=per_mille(30), of=Basis.CEMENT, most=per_mille(40))),
    "plasticiser",
    dose=Dose(fraction=per_mille(6), of=Basis.BINDER, least=per_mille("4.5"), most=per_mille("6.5")),
)
HOLLOW = with_material(BLEND, "blend", binder_fraction=Fraction(0))
BARE = replace(BLEND, materials=tuple(replace(item, price_cents=None) for item in BLEND.materials))


def off(
    of: Recipe,
    until: str,
    *,
    then: Callable[[Run], Run] = lambda run: run,
    bucket_l: float = 30.0,
    start: Mapping[str, object] | None = None,
    bounds: Mapping[str, object] | None = None,
    **factors: str,
) -> Callable[[], Made]:
    """A batch up to a step with some pours off by a factor (a step's key written with _ for -), and then more."""

    def made() -> Made:
        of_blend = any(item.role is Role.BLEND for item in of.materials)
        powders: Mapping[str, int | Fraction] = BLEND_KG if of_blend else RAW_KG  # type: ignore[assignment]
        run = begin(of, powders, bucket_l=bucket_l)
        if start is not None:
            first = replace(run.start, **start)  # type: ignore[arg-type]
            run = fold((replace(run.entries[0], fact=first), *run.entries[1:]))
        poured = {key.replace("_", "-"): Fraction(value) for key, value in factors.items()}
        run = work(run, limits(run).divisions_mg, until=until, factors=poured)
        return then(run), bounds or {}

    return made


def ran_out(key: str) -> Callable[[Run], Run]:
    """No more of a material: its steps are left out."""

    def then(run: Run) -> Run:
        steps = [
            step.key
            for step in run.steps
            if getattr(step, "material", None) == key and step.key not in run.finished
        ]
        return told(
            run, SupplyRanOut(material=key), *(StepSkipped(step=step, reason="ran out") for step in steps)
        )

    return then


def accepted(*codes: str, about: str) -> Callable[[Run], Run]:
    """Flags raised, and left standing by a way that does nothing else."""

    def then(run: Run) -> Run:
        run = told(run, *(FlagRaised(code=code, about=about, gravity="stop", said="") for code in codes))
        return told(
            run,
            WayTaken(
                way="leave",
                aim=run.aim,
                pour_back_mg=0,
                scoop_mg=0,
                make_up=(),
                mix_s=0,
                gives_up=codes,
                said="",
            ),
        )

    return then


def found(verdict: str) -> Callable[[Run], Run]:
    """The mix is found to move so."""
    return lambda run: told(run, ConsistencyJudged(step=None, verdict=verdict))  # type: ignore[arg-type]


def extra(key: str, mass_mg: int) -> Callable[[Run], Run]:
    return lambda run: weighed(run, key, mass_mg, None)


def out(mass_mg: int, layer: str = "") -> Callable[[Run], Run]:
    return lambda run: scooped(run, mass_mg, None, layer)


def both(*acts: Callable[[Run], Run]) -> Callable[[Run], Run]:
    """One after the other."""

    def then(run: Run) -> Run:
        for act in acts:
            run = act(run)
        return run

    return then


def plasticised(run: Run) -> Run:
    """A remedy: half as much plasticiser again, then let in."""
    return told(run, RemedyTaken(material="plasticiser", aimed=per_mille(9), rest_s=0, mix_s=15, said="x"))


def released(run: Run) -> Run:
    """The held-back water is left in its can."""
    return told(run, StepDone(step="release"))


FINE = {"divisions_mg": dict.fromkeys((item.key for item in TINTED.materials), 100)}
COARSE = {"divisions_mg": dict.fromkeys((item.key for item in RAW.materials), 50_000)}

TROUBLES: Mapping[str, Callable[[], Made]] = {
    "nothing in": off(BLEND, "water-80"),
    "nothing planned": off(BLEND, "water-80", start={"aim": aim_of(BLEND, {"blend": 0})}),
    "powder left out": off(BLEND, "blend-50", then=both(skipped, skipped, skipped)),
    "colour matched": off(
        THIN, "fibre-100", then=both(ran_out("plasticiser"), extra("water", 180_000)), pigment_100="1.2"
    ),
    "colour far off": off(
        THIN, "fibre-100", then=both(ran_out("plasticiser"), extra("water", 90_000)), pigment_100="1.33"
    ),
    "blend ran out, water not all in": off(BLEND, "blend-100", then=ran_out("blend"), water_80="0.6"),
    "blend runs short": off(BLEND, "blend-100", bounds={"stock_mg": {"blend": 5_600_000}}),
    "blend runs short, moulds": off(
        BLEND, "blend-100", bounds={"stock_mg": {"blend": 5_000_000}, "needed_l": 8.0}, water_80="0.7"
    ),
    "cement runs short": off(RAW, "cement-100", bounds={"stock_mg": {"cement": 2_000_000}}, water_80="0.7"),
    "cement ran out, water not all in": off(RAW, "cement-100", then=ran_out("cement"), water_80="0.6"),
    "full bucket, runs short": off(
        RAW, "fibre-100", bucket_l=11.0, bounds={"stock_mg": {"cement": 100_000}}, water_80="1.36"
    ),
    "fibre half ran out, accepted": off(
        BLEND, "mix-3", then=both(ran_out("fibre"), accepted("ran-out", about="fibre")), fibre_100="0.5"
    ),
    "fibre short, accepted": off(
        BANDED, "mix-4", then=accepted("dose-under", about="fibre"), fibre_100="0.8"
    ),
    "pigment not wanted": off(
        THIN,
        "fibre-100",
        start={"aim": replace(aim_of(THIN, RAW_MG), doses=aim_of(THIN, RAW_MG).doses[:2])},
        then=extra("pigment", 100_000),
    ),
    "pigment not wanted, left": off(
        RAW,
        "fibre-100",
        start={"aim": replace(aim_of(RAW, RAW_MG), doses=aim_of(RAW, RAW_MG).doses[:2])},
        then=both(extra("pigment", 100_000), accepted("dose-over", "ran-out", about="pigment")),
        water_80="1.42",
    ),
    "pigment left over, then less": off(
        RAW,
        "fibre-100",
        then=both(accepted("dose-over", about="pigment"), lambda run: removed(run, "pigment", 60_000)),
        pigment_100="1.3",
        water_80="1.42",
    ),
    "fibre to come, left missing": off(
        BANDED, "fibre-100", then=accepted("dose-missing", about="fibre"), water_80="1.42"
    ),
    "plasticiser too soon": off(RAW, "polymer-100", then=extra("plasticiser", 60_000), water_80="1.1"),
    "blend without binder": off(HOLLOW, "fibre-100", then=extra("water", 300_000)),
    "found right, then powder": off(
        BLEND, "release", then=both(released, found("right"), extra("blend", 900_000))
    ),
    "nothing wrong": off(BLEND, "fibre-100"),
    "water alone over": off(BLEND, "blend-50", water_80="1.4"),
    "water alone a little over": off(BLEND, "blend-50", water_80="1.03"),
    "first water over its share": off(BLEND, "blend-100", water_80="1.12"),
    "water and ice over": off(ICED, "blend-50", then=extra("ice", 300_000), water_80="1.2"),
    "water and polymer over": off(RAW, "pigment-100", water_80="1.5", polymer_100="1.6"),
    "polymer over, water due": off(RAW, "pigment-100", polymer_100="1.6"),
    "polymer and ice": off(
        replace(RAW, materials=(*RAW.materials, material("ice", Role.ICE))),
        "pigment-100",
        then=extra("ice", 100_000),
        polymer_100="1.6",
    ),
    "water beyond the total": off(RAW, "fibre-100", water_80="1.42"),
    "water far beyond": off(RAW, "fibre-100", water_80="1.8"),
    "water beyond, late": off(RAW, "", water_80="1.42", bounds={"working_left_s": 100}),
    "water beyond, before the first": off(RAW, "fibre-100", water_80="1.42", bounds={"working_left_s": None}),
    "water beyond, fine scale": off(TINTED, "mix-4", water_80="1.42", bounds=FINE),
    "water beyond, coarse scale": off(RAW, "fibre-100", water_80="1.42", bounds=COARSE),
    "blend, water beyond": off(BLEND, "fibre-100", then=extra("water", 400_000)),
    "blend without prices": off(BARE, "fibre-100", then=extra("water", 400_000)),
    "small bucket": off(BLEND, "fibre-100", then=extra("water", 250_000), bucket_l=11.3, release="2"),
    "tiny bucket": off(BLEND, "fibre-100", then=extra("water", 900_000), bucket_l=9.5, release="2"),
    "bucket unknown": off(BLEND, "fibre-100", then=extra("water", 500_000), bucket_l=0.0),
    "bucket unknown, little needed": off(
        BLEND, "fibre-100", then=extra("water", 300_000), bucket_l=0.0, bounds={"needed_l": 1.0}
    ),
    "bucket unknown, much needed": off(BLEND, "fibre-100", bucket_l=0.0, bounds={"needed_l": 40.0}),
    "blend left out by half": off(BLEND, "blend-100", then=skipped),
    "cement left out by half": off(RAW, "cement-100", then=skipped, bucket_l=10.0),
    "two pigments far over, full bucket": off(
        TINTED, "face", bucket_l=10.0, pigment_100="2.6", umber_100="2.6", water_80="1.5"
    ),
    "bucket to be half emptied": off(RAW, "fibre-100", bucket_l=10.0, water_80="2"),
    "no powder": off(
        BLEND, "fibre-100", then=extra("water", 400_000), bounds={"stock_mg": {"blend": 200_000}}
    ),
    "little powder, moulds": off(
        RAW,
        "fibre-100",
        bounds={"stock_mg": {"cement": 300_000, "sand": 10**7}, "needed_l": 8.5},
        water_80="1.5",
    ),
    "moulds larger than planned": off(RAW, "mix-2", bounds={"needed_l": 12.0}),
    "moulds just served": off(RAW, "mix-2", bounds={"needed_l": 7.0}, cement_50="0.9"),
    "plasticiser half over": off(RAW, "mix-2", plasticiser_100="1.5"),
    "plasticiser over, water nearly all in": off(RAW, "mix-2", plasticiser_100="1.75", water_80="1.23"),
    "plasticiser over its band": off(RAW, "mix-2", plasticiser_100="1.75"),
    "plasticiser over its label": off(RAW, "fibre-100", bucket_l=12.0, plasticiser_100="3"),
    "plasticiser over, accepted": off(
        RAW, "mix-3", then=accepted("dose-over-cap", about="plasticiser"), plasticiser_100="2.5"
    ),
    "plasticiser forgotten": off(RAW, "plasticiser-100", then=skipped),
    "plasticiser by remedy": off(RAW, "release", then=both(plasticised, extra("plasticiser", 60_000))),
    "pigment over": off(RAW, "fibre-100", pigment_100="1.3"),
    "pigment short": off(RAW, "fibre-100", pigment_100="0.7"),
    "pigment over, left": off(
        RAW, "fibre-100", then=accepted("dose-over", about="pigment"), pigment_100="1.4"
    ),
    "two pigments over their blend": off(TINTED, "face", pigment_100="2.2", umber_100="2.4"),
    "two pigments, one short": off(TINTED, "face", pigment_100="1.1", umber_100="0.6"),
    "polymer over": off(RAW, "mix-2", polymer_100="1.4"),
    "polymer short": off(RAW, "mix-4", polymer_100="0.6"),
    "fibre over": off(RAW, "mix-4", fibre_100="1.3"),
    "fibre over its band": off(BANDED, "mix-4", fibre_100="1.2"),
    "fibre short": off(BANDED, "mix-4", fibre_100="0.8"),
    "fibre ran out": off(BLEND, "fibre-100", then=ran_out("fibre")),
    "fibre a half ran out": off(BLEND, "mix-3", then=ran_out("fibre"), fibre_100="0.5"),
    "cement over": off(RAW, "pozzolan-100", cement_50="2.3"),
    "sand over": off(RAW, "mix-1", sand_50="2.6"),
    "pozzolan over": off(RAW, "fibre-100", pozzolan_100="1.5"),
    "pozzolan forgotten": off(RAW, "pozzolan-100", then=skipped),
    "cement ran out": off(RAW, "cement-100", then=ran_out("cement")),
    "sand ran out, nearly all in": off(RAW, "sand-100", then=ran_out("sand"), sand_50="1.96", water_80="1.2"),
    "sand ran out, moulds": off(RAW, "sand-100", then=ran_out("sand"), bounds={"needed_l": 7.0}),
    "blend ran out": off(BLEND, "blend-100", then=ran_out("blend")),
    "blend ran out, accepted": off(
        BLEND, "blend-100", then=both(ran_out("blend"), accepted("ran-out", about="blend"))
    ),
    "water ran out": off(RAW, "release", then=ran_out("water")),
    "water over, accepted": off(
        RAW, "fibre-100", then=accepted("water-over-ceiling", "water-over", about="water"), water_80="1.5"
    ),
    "water held, found right": off(RAW, "release", then=both(released, found("right"))),
    "water held, found right, sand over": off(
        RAW, "release", then=both(released, found("right"), extra("sand", 900_000))
    ),
    "found stiff": off(RAW, "release", then=found("too-stiff")),
    "setting": off(RAW, "release", then=found("stiff-and-warm"), bounds={"stiffening": True}, water_80="1.4"),
    "sets on time": off(BLEND, "fibre-100", bounds={"working_left_s": 45}, then=extra("water", 300_000)),
    "portion out, water over": off(RAW, "fibre-100", then=both(out(900_000), extra("water", 250_000))),
    "face taken, water over": off(TINTED, "fibre-100", then=extra("water", 260_000)),
    "face to come, plasticiser over": off(TINTED, "face", plasticiser_100="2.2"),
    "face to come between two shares": off(HALVED, "face", water_80="1.4"),
    "face to come, blend short": off(HALVED, "face", water_80="1.3", blend_50="0.8"),
    "bucket spilt over": off(BLEND, "fibre-100", bucket_l=10.0),
    "mix spilt": off(BLEND, "fibre-100", then=out(3_000_000), bounds={"needed_l": 6.0}),
    "water poured out": off(RAW, "fibre-100", then=lambda run: removed(run, "water", 600_000)),
    "stock for the first share": off(
        BLEND, "blend-100", start={"stock": (Amount(material="blend", mass_mg=9_000_000),)}
    ),
    "smaller aim": off(
        BLEND,
        "blend-100",
        start={"aim": aim_of(BLEND, {"blend": 6_000_000})},
        water_80="1.2",
    ),
    "more than one trouble": off(
        RAW,
        "mix-4",
        bucket_l=16.0,
        bounds={"stock_mg": {"pozzolan": 100_000, "cement": 5_000_000}, "working_left_s": 200},
        water_80="1.3",
        pigment_100="1.25",
        fibre_100="0.7",
    ),
    "no way within the bands": off(
        RAW, "mix-4", bucket_l=10.0, plasticiser_100="3", pigment_100="2.4", water_80="1.7"
    ),
    "taller than the shelf": off(
        RAW,
        "mix-4",
        bounds={"stock_mg": dict.fromkeys(("cement", "pozzolan", "sand", "pigment", "polymer"), 0)},
        water_80="1.7",
    ),
}
