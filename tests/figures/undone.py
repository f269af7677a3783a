"""Batches by hand for the ledger: entries taken back with all that hangs on them, ways and remedies taken."""

from dataclasses import replace
from typing import Any

from mixstation.batch import commands, events
from mixstation.batch.bounds import MOST_MG
from mixstation.batch.commands import Judge
from mixstation.batch.consistency import Remedy
from mixstation.batch.events import Aim, Amount
from mixstation.batch.way import WaterOff, Way
from mixstation.batch.ways import limits_of, ways_out
from tests.batch.follow import next_command
from tests.batch.making import weight
from tests.batch.recipes import RAW, RAW_POWDERS, f, g, kg
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


def hanging_shares() -> Player:
    """A share poured before its material ran out; a way's taking out and its make-up both left out."""
    player = begun(MIXES["blend"]()).goes_to("blend-2")
    player.tries(commands.RunOut(material="blend"))
    back(player, last(player, events.WeightRecorded))
    back(player, last(player, events.EntryTakenBack))
    way = made(player, pour_back_mg=g(100), additions=(Amount(material="water", mass_mg=g(50)),), mix_s=20)
    player.tries(commands.TakeWay(way=way, said="so"))
    player.tries(commands.SkipStep(reason="no"))
    player.tries(commands.SkipStep(reason="no"))
    back(player, last(player, events.WayTaken))
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
        if len(player.run.entries) > before:
            for key in ("cement-2", "mix-2", "face", "release"):
                player.tries(commands.BringForward(step=key))
            player.tries(commands.TakeRemedy(remedy=Remedy(code="wait", rest_s=60, mix_s=20), said="so"))
            back(player, last(player, events.StepBroughtForward))
            back(player, before + 1)
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
    for key in ("plasticiser", "water"):
        player.tries(commands.BookExtra(material=key, weight=weight(g(5)), reason="spilt in"))
    return player
