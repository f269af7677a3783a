"""Batches by hand for the ledger: entries taken back with all that hangs on them, ways and remedies taken."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from mixstation.batch import commands, events
from mixstation.batch.bounds import MOST_MG, aim_fits, recipe_fits
from mixstation.batch.commands import Judge
from mixstation.batch.consistency import Remedy
from mixstation.batch.events import Aim, Amount, DoseAim
from mixstation.batch.run import FoldError, Run, apply, fold
from mixstation.batch.way import WaterOff, Way
from mixstation.batch.ways import limits_of, ways_out
from mixstation.recipe.model import Basis, Cap, Dose, Recipe, Tolerance
from tests.batch.follow import next_command
from tests.batch.making import weight
from tests.batch.recipes import BLEND, RAW, RAW_POWDERS, f, g, kg, with_material, with_step
from tests.figures.bench import Player, begun
from tests.figures.mixes import MIXES, iced


def last(player: Player, kind: type, place: int = -1) -> int:
    """Sequence number of a live entry of a kind."""
    return [entry.seq for entry in player.run.live if isinstance(entry.fact, kind)][place]


def back(player: Player, seq: int, reason: str = "slip") -> None:
    player.tries(commands.TakeBack(seq=seq, reason=reason))


def every_entry() -> Player:
    """A whole batch, each of its entries taken back and that taken back again."""
    player = begun(MIXES["blend"]()).goes_through()
    for seq in range(len(player.run.entries) + 2):
        before = len(player.run.entries)
        back(player, seq)
        if len(player.run.entries) > before:
            back(player, len(player.run.entries), "after all")
    back(player, 3, " ")
    return player


def shares_left_out() -> Player:
    """Later shares left out, then an earlier one taken back, of this and of another material; and run out."""
    player = begun(MIXES["chips"]()).goes_to("cement-2")
    player.tries(commands.SkipStep(reason="no"))
    player.tries(commands.SkipStep(reason="no"))
    back(player, last(player, events.WeightRecorded))
    player.goes_to("limestone")
    player.tries(commands.RunOut(material="short"))
    player.tries(commands.RunOut(material="long"))
    player.tries(commands.BringForward(step="water-2"))
    player.tries(commands.SkipStep(reason="no"))
    back(player, last(player, events.StepSkipped, 0))
    back(player, last(player, events.SupplyRanOut))
    player.tries(commands.RunOut(material="long"))
    back(player, last(player, events.StepSkipped))
    back(player, last(player, events.StepDone))
    back(player, last(player, events.StepBroughtForward))
    player.goes_to("release")
    player.tries(commands.SkipStep(reason="no"))
    player.tries(commands.SkipStep(reason="no"))
    back(player, last(player, events.StepSkipped, -2))
    player.goes_to("rest")
    player.goes_on()
    back(player, last(player, events.TimerStarted))
    return player


def came_out_since() -> Player:
    """What came out since cannot come back in; a portion too."""
    player = begun(MIXES["blend"]()).goes_to("blend-2")
    water = last(player, events.WeightRecorded, 0)
    player.tries(commands.BookRemoved(material="water", weight=weight(kg(1)), reason="out"))
    player.tries(commands.BookPortion(weight=weight(kg(2)), reason="trial"))
    back(player, water)
    back(player, last(player, events.PortionTaken))
    back(player, last(player, events.MaterialRemoved))
    player.tries(commands.SwapMaterial(seq=water, material="fibre", reason="wrong"))
    player.tries(commands.SwapMaterial(seq=2, material="fibre", reason="wrong"))
    powder = last(player, events.WeightRecorded, 1)
    for material, reason in (("gravel", "x"), ("blend", "x"), ("water", " "), ("water", "wrong sack")):
        player.tries(commands.SwapMaterial(seq=powder, material=material, reason=reason))
    return player


def offered(player: Player) -> tuple[Way, ...]:
    """The ways out there are."""
    run = player.run
    divisions = {key: run.division_of(key, player.division_mg) for key in run.content}
    return ways_out(run, limits_of(run, divisions, 900, stiffening=player.advice.sets))


def ways_taken_back() -> Player:
    """A way taken, what it rests on taken back; begun, and refused then; a second one on top."""
    player = begun(MIXES["blend"]()).goes_to("release")
    player.tries(
        commands.BookExtra(material="water", weight=weight(kg("0.9")), reason="spilt in", confirmed=True)
    )
    spilt = last(player, events.WeightRecorded)
    for _ in range(2):
        player.tries(commands.TakeWay(way=offered(player)[0], said="grow"))
    player.tries(commands.NoteTemperature(mix_milli_c=20_000, shown="20"))
    back(player, spilt)
    back(player, len(player.run.entries), "after all")
    player.tries(commands.TakeReference(gross_mg=kg(30), division_mg=1000))
    player.pours()
    back(player, last(player, events.WayTaken))
    back(player, last(player, events.WayTaken, 0))
    back(player, spilt)
    back(player, last(player, events.WeightRecorded))
    back(player, last(player, events.WayTaken))
    player.goes_to("fibre")
    player.tries(commands.BookExtra(material="fibre", weight=weight(g(300)), reason="slip", confirmed=True))
    player.tries(commands.TakeWay(way=offered(player)[0], said="grow"))
    player.goes_through()
    return player


def made(player: Player, **changed: object) -> Way:
    """Leaving it, changed."""
    leave = next(way for way in offered(player) if way.kind == "leave")
    return replace(leave, **{"gives_up": (), **changed})  # type: ignore[arg-type]


def ways_that_fit() -> Player:
    """Ways that can be gone to the very end of it, and just not."""
    player = begun(MIXES["raw"]()).goes_to("mix-1")
    water, whole = int(player.run.content["water"]), int(player.run.in_bucket_mg)
    none = Aim(powders=(), doses=(), water_ratio=f("0.3"))
    strange = replace(none, powders=(Amount(material="gravel", mass_mg=1),))
    ends: tuple[dict[str, Any], ...] = (
        {"hindrances": (WaterOff(off_ratio=f("0.1")),)},
        {"aim": strange},
        {"pour_back_mg": -1},
        {"pour_back_mg": water + 1},
        {"scoop_mg": whole},
        {"scoop_mg": -1},
        {"mix_s": -1},
        {"mix_s": MOST_MG + 1},
        {"additions": (Amount(material="gravel", mass_mg=5),)},
        {"pour_back_mg": water},
        {"scoop_mg": whole - 1, "mix_s": 0},
        {
            "scoop_mg": kg(1),
            "pour_back_mg": g(100),
            "mix_s": 1,
            "additions": (Amount(material="sand", mass_mg=5),),
        },
        {"mix_s": MOST_MG},
        {
            "additions": tuple(Amount(material=key, mass_mg=5) for key in ("fibre", "plasticiser")),
            "mix_s": 60,
        },
        {"aim": none, "additions": (Amount(material="water", mass_mg=5),)},
        {"gives_up": ("water-over-ceiling", "dose-over-cap", "ran-out")},
    )
    for changed in ends:
        before = len(player.run.entries)
        player.tries(commands.TakeWay(way=made(player, **changed), said="so"))
        for key in ("cement-2", "mix-2", "face", "release"):
            player.tries(commands.BringForward(step=key))
        player.tries(commands.TakeRemedy(remedy=Remedy(code="wait", rest_s=60, mix_s=20), said="so"))
        for seq in range(len(player.run.entries), before, -1):
            if not isinstance(player.run.entries[seq - 1].fact, events.EntryTakenBack):
                back(player, seq)
    player.tries(commands.TakeWay(way=made(player, scoop_mg=kg(2), pour_back_mg=g(300), mix_s=30), said="so"))
    player.tries(commands.BookRemoved(material="water", weight=weight(water - g(200)), reason="out"))
    for mass_mg in (g(201), g(200)):
        player.tries(commands.Book(weight=weight(mass_mg, "typed"), confirmed=True))
    player.tries(commands.Book(weight=weight(kg(3), "typed")))
    player.tries(commands.TakeReference(gross_mg=kg(20), division_mg=1000, confirmed=True))
    player.tries(next_command(player))
    for _ in range(4):
        player.tries(next_command(player))
    player.tries(commands.TakeWay(way=replace(made(player), kind="discard"), said=" "))
    player.tries(Judge(verdict="stiff-and-warm"))
    player.tries(commands.TakeWay(way=made(player, kind="grow"), said="so"))
    player.tries(commands.TakeWay(way=made(player), said="so"))
    player.tries(commands.TakeWay(way=replace(made(player), kind="discard"), said="so"))
    return player


def remedies_taken() -> Player:
    """Remedies of every sort, at the ends of what can be done, taken back with what hangs on them."""
    player = begun(iced()).goes_to("spread")
    for found in (
        Remedy(code="stop"),
        Remedy(code="wait", rest_s=-1, mix_s=30),
        Remedy(code="wait", rest_s=MOST_MG + 1, mix_s=30),
        Remedy(code="mix-first", mix_s=0),
        Remedy(code="mix-first", mix_s=MOST_MG + 1),
        Remedy(code="plasticiser", material="plasticiser", mass_mg=-1, mix_s=15),
        Remedy(code="plasticiser", material="plasticiser", mass_mg=MOST_MG + 1, mix_s=15),
        Remedy(code="plasticiser", material="gravel", mass_mg=5, mix_s=15),
        Remedy(code="plasticiser", material="cement", mass_mg=5, mix_s=15),
        Remedy(code="plasticiser", material="ice", mass_mg=5, mix_s=15),
    ):
        player.tries(commands.TakeRemedy(remedy=found, said="so"))
    for found in (
        Remedy(code="wait", rest_s=120, mix_s=30),
        Remedy(code="mix-first", mix_s=1),
        Remedy(code="plasticiser", material="plasticiser", mass_mg=g(5), mix_s=15),
        Remedy(code="water-to-limit", material="water", mass_mg=g(20), rest_s=5, mix_s=30),
        Remedy(code="plasticiser", material="fibre", mass_mg=g(100), mix_s=15),
    ):
        player.tries(Judge(verdict="too-stiff"))
        player.tries(commands.TakeRemedy(remedy=found, said=" "))
        player.tries(commands.TakeRemedy(remedy=found, said="so"))
        player.tries(commands.TakeRemedy(remedy=found, said="so"))
        taken = last(player, events.RemedyTaken)
        if found.mass_mg:
            player.tries(next_command(player))
            back(player, taken)
            back(player, last(player, events.WeightRecorded))
        if found.code == "wait":
            player.hands.go(130)
            player.tries(commands.DoneStep())
        back(player, taken)
        player.tries(commands.BookExtra(material="emulsion", weight=weight(g(2)), reason="drop"))
        player.tries(commands.TakeRemedy(remedy=found, said="so"))
        back(player, last(player, events.WeightRecorded))
    player.goes_to("release")
    player.tries(commands.ChangeWeighing(weighing="tub"))
    player.tries(Judge(verdict="too-stiff"))
    player.tries(commands.FillTub(weight=weight(g(50))))
    player.tries(commands.TakeRemedy(remedy=Remedy(code="mix-first", mix_s=1), said="so"))
    player.tries(commands.RunOut(material="plasticiser"))
    player.tries(next_command(player))
    player.tries(commands.StartTimer())
    player.tries(commands.TakeRemedy(remedy=Remedy(code="mix-first", mix_s=1), said="so"))
    player.tries(Judge(verdict="too-stiff"))
    short = Remedy(code="plasticiser", material="plasticiser", mass_mg=g(5), mix_s=15)
    player.tries(commands.TakeRemedy(remedy=short, said="so"))
    player.goes_through()
    return player


def before_all() -> Player:
    """A remedy before anything is in: there is nothing to reckon it from."""
    player = begun((RAW, dict.fromkeys(RAW_POWDERS, 0)))
    for key in ("water", "plasticiser"):
        found = Remedy(code="plasticiser", material=key, mass_mg=5, mix_s=15)
        player.tries(commands.TakeRemedy(remedy=found, said="so"))
    player.tries(commands.EnoughIn())
    player.tries(commands.SkipStep(reason="no"))
    return player


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
