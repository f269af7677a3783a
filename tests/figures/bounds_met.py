"""By hand for the ledger: stored entries, recipes and aims at the bounds of what can be reckoned, and past."""

from collections.abc import Callable
from dataclasses import replace

from mixstation.batch import events
from mixstation.batch.bounds import MOST_MG, aim_fits, recipe_fits
from mixstation.batch.decide_back import TAKES_BACK, TAKES_BACK_BESIDES
from mixstation.batch.events import Amount, DoseAim
from mixstation.batch.flag import KINDS
from mixstation.batch.run import FoldError, Run, apply, fold
from mixstation.recipe.model import Basis, Cap, Dose, Recipe, Tolerance
from tests.batch.recipes import BLEND, RAW, RAW_POWDERS, f, with_material, with_step
from tests.figures.bench import Player, begun
from tests.figures.mixes import MIXES


def strangers() -> Player:
    """Stored entries that cannot be a batch, and those that just can."""
    player = begun(MIXES["blend"]()).goes_to("mix-1")
    run = player.run
    start, second = run.entries[:2]
    way = events.WayTaken(
        way="grow", aim=run.aim, pour_back_mg=0, scoop_mg=0, make_up=(), mix_s=0, gives_up=(), said=""
    )
    many = replace(run.aim, water_ratio=f("1001"))
    tub = events.TubFilled(step="mix-1", mass_mg=MOST_MG, source="typed", shown="", division_mg=0)
    facts: tuple[events.Fact, ...] = (
        run.start,
        events.SupplyRanOut(material="gravel"),
        events.StepDone(step="nowhere"),
        tub,
        replace(tub, mass_mg=MOST_MG + 1),
        replace(tub, mass_mg=0),
        way,
        replace(way, aim=many),
        replace(way, aim=replace(many, water_ratio=f("1000"))),
        replace(way, make_up=("gravel",)),
        events.RemedyTaken(material="water", aimed=f("1001"), rest_s=0, mix_s=1, said=""),
        events.RemedyTaken(material="fibre", aimed=f("1"), rest_s=0, mix_s=1, said=""),
        events.RemedyTaken(material="gravel", aimed=f("1"), rest_s=0, mix_s=1, said=""),
        events.RemedyTaken(material=None, aimed=None, rest_s=9, mix_s=0, said=""),
        events.EntryTakenBack(seqs=(0, 1, 3, len(run.entries) + 1, 99), reason=""),
    )
    for fact in facts:
        entry = events.Entry(seq=len(run.entries) + 1, stamp=second.stamp, fact=fact)
        player.notes(fact.kind, _folded(lambda entry=entry: apply(run, entry)))  # type: ignore[misc]
    for name, entries in (
        ("none", ()),
        ("no start", (second,)),
        ("gap", (start, replace(second, seq=3))),
        ("again", (start, replace(start, seq=2))),
        ("aim", (replace(start, fact=replace(run.start, aim=many)),)),
        ("recipe", (replace(start, fact=replace(run.start, recipe=_unfit()[1])),)),
    ):
        player.notes(name, _folded(lambda entries=entries: fold(entries)))  # type: ignore[misc]
    player.notes("next", _folded(lambda: apply(run, start)))
    return player


def _folded(act: Callable[[], Run]) -> object:
    try:
        run = act()
    except FoldError as error:
        return [error.code, error.seq]
    return [run.content, run.finished, run.aim, run.void, [step.key for step in run.steps]]


def _unfit() -> tuple[Recipe, ...]:
    """Recipes at the bounds of what can be reckoned, and past them."""
    water = BLEND.water
    of_total = {"of": Basis.TOTAL, "fraction": f("0.5")}
    return (
        BLEND,
        replace(BLEND, materials=(*BLEND.materials, BLEND.materials[1])),
        replace(BLEND, steps=(*BLEND.steps, BLEND.steps[0])),
        replace(BLEND, materials=BLEND.materials[1:]),
        replace(BLEND, water=replace(water, of=Basis.TOTAL)),
        *(
            replace(BLEND, water=replace(water, **{end: f(at)}))
            for end in ("least", "most", "ceiling")
            for at in ("0", "1000", "1001", "-1")
        ),
        *(replace(BLEND, air_fraction=f(at)) for at in ("0", "1", "-1/9", "99/100")),
        *(replace(BLEND, working_min=at) for at in (0, -1, MOST_MG, MOST_MG + 1)),
        *(with_material(BLEND, "blend", density_kg_m3=at) for at in (0.0, -1.0, float("inf"), 0.1)),
        *(
            with_material(BLEND, "blend", **{part: f(at)})
            for part in (
                "water_fraction",
                "moisture_fraction",
                "absorption_fraction",
                "cement_fraction",
                "binder_fraction",
            )
            for at in ("0", "1", "-1/9", "10/9")
        ),
        *(
            with_material(BLEND, "blend", tolerance=Tolerance(under=f(under), over=f(over)))
            for under, over in (("0", "1"), ("1", "0"), ("-1/9", "0"), ("0", "10/9"))
        ),
        with_material(BLEND, "blend", dose=Dose(fraction=f("0.1"), of=Basis.CEMENT)),
        with_material(BLEND, "water", dose=Dose(fraction=f("0.1"), of=Basis.CEMENT)),
        *(with_material(RAW, "emulsion", water_fraction=f(at)) for at in ("1", "99/100")),
        *(
            with_material(RAW, "ochre", dose=Dose(fraction=f("0.1"), of=Basis.CEMENT, **{end: f(at)}))
            for end in ("least", "most")
            for at in ("0", "1", "-1/9", "99/100")
        ),
        *(
            with_material(RAW, "ochre", dose=Dose(fraction=f(at), of=Basis.CEMENT))
            for at in ("0", "1", "-1/9")
        ),
        *(
            with_material(
                RAW, "fibre", dose=Dose(**of_total), tolerance=Tolerance(under=f("0"), over=f(over))
            )
            for over in ("1", "99/100")
        ),
        *(
            with_material(RAW, "ochre", cap=Cap(fraction=f(at), of=Basis.CEMENT, source=""))
            for at in ("0", "1000", "1001", "-1")
        ),
        *(
            with_step(BLEND, "blend-1", **{name: at})
            for name, at in (
                ("material", "gravel"),
                ("cumulative", f("0")),
                ("cumulative", f("10/9")),
                ("cumulative", f("-1/9")),
            )
        ),
        *(
            with_step(BLEND, "release", **{name: at})
            for name, at in (
                ("material", "gravel"),
                ("increment", f("0")),
                ("increment", f("1")),
                ("increment", f("10/9")),
                ("mix_s", 0),
            )
        ),
        *(
            with_step(BLEND, "mix-1", **{name: at})
            for name, at in (("min_s", -1), ("min_s", 0), ("min_s", 90), ("min_s", 91), ("max_s", 0))
        ),
        with_step(BLEND, "rest", min_s=0, max_s=0),
        *(with_step(RAW, "face", fraction=f(at)) for at in ("0", "1", "-1/9", "10/9")),
    )


def kinds() -> Player:
    """What is so of every kind of flag."""
    player = begun((RAW, RAW_POWDERS))
    names = ("grave", "mended_by_ways", "asks_to_add", "bars_taking", "says_too", "reach", "place")
    player.notes("flags", {kind.code: [getattr(kind, name) for name in names] for kind in KINDS})
    player.notes("facts", [[kind.__name__ for kind in each] for each in (TAKES_BACK, TAKES_BACK_BESIDES)])
    return player


def bounds() -> Player:
    """What can be reckoned, recipe by recipe and aim by aim."""
    player = begun((RAW, RAW_POWDERS))
    player.notes("recipes", [recipe_fits(recipe) for recipe in _unfit()])
    aim = player.run.aim
    aims = [
        aim,
        *(
            replace(aim, powders=(Amount(material="cement", mass_mg=at),))
            for at in (-1, 0, MOST_MG, MOST_MG + 1)
        ),
        *(
            replace(aim, doses=(DoseAim(material="ochre", fraction=f(at)),))
            for at in ("-1/9", "0", "1000", "1001")
        ),
        *(replace(aim, doses=(DoseAim(material="fibre", fraction=f(at)),)) for at in ("99/100", "1")),
        replace(aim, doses=tuple(DoseAim(material="fibre", fraction=f(at)) for at in ("2", "1/2"))),
        replace(aim, doses=(DoseAim(material="gravel", fraction=f("0")),)),
        *(replace(aim, water_ratio=f(at)) for at in ("-1000", "-1001", "1000", "1001")),
    ]
    player.notes("aims", [aim_fits(RAW, each) for each in aims])
    return player
