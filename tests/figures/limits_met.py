"""Batches by hand for the ledger: every limit of a mass just kept, met and passed, and how the bucket is weighed."""

from dataclasses import replace
from fractions import Fraction
from math import floor

from mixstation.batch import commands
from mixstation.batch.decide_weighing import most_beside_mg
from mixstation.batch.events import Amount, DoseAim, ScaleChanged, WeighedApart
from mixstation.batch.reconcile import allowed_mg, expected_gross_mg
from mixstation.batch.targets import aim_of
from mixstation.proportion.lifting import LIFT_LIMIT_MG
from mixstation.recipe.model import Basis, Cap
from tests.batch.making import weight
from tests.batch.recipes import CLOUDED, CLOUDED_POWDERS, RAW, RAW_POWDERS, f, g, kg, with_material
from tests.figures.bench import Player, begun
from tests.figures.mixes import MIXES, chips, exact


def brings(player: Player, key: str, total_mg: int) -> None:
    """Exactly so much of a material is in, weighed without any uncertainty."""
    by_mg = total_mg - floor(player.run.content[key])
    moved = weight(abs(by_mg), "typed", 0)
    if by_mg > 0:
        player.tries(commands.BookExtra(material=key, weight=moved, reason="more", confirmed=True))
    elif by_mg < 0:
        player.tries(commands.BookRemoved(material=key, weight=moved, reason="less"))


def typed(player: Player, mass_mg: int, *, confirmed: bool = False, division_mg: int = 0) -> None:
    """A weight typed at the step at hand."""
    player.tries(commands.Book(weight=weight(mass_mg, "typed", division_mg), confirmed=confirmed))


def exactly(player: Player, until: str) -> Player:
    """The advice followed to a step, every weight exact."""
    while player.step != until and player.step:
        asked = player.standing.dosing
        if asked is not None and player.standing.phase in ("pour", "tub-fill") and asked.exact_mg:
            typed(player, round(asked.exact_mg), confirmed=True)
        else:
            player.goes_on()
    return player


ENDS: dict[str, tuple[int, ...]] = {
    "water": (kg("1.3"), kg("1.4"), kg("1.442"), kg("1.5"), kg("1.6")),
    "blend": (kg("9.9"), kg("10.1"), kg("10.4")),
    "shade": (g(194), g(206), g(300)),
    "fibre": (g(180), g(240)),
}


def masses_at_limits(key: str) -> Player:
    """At the end, nothing asked for any more, one material is brought to each of its limits."""
    player = exactly(begun(exact()), "fold")
    for end_mg in ENDS[key]:
        for total_mg in (end_mg - 1, end_mg, end_mg + 1):
            brings(player, key, total_mg)
    return player


def limits_ahead() -> Player:
    """The same limits with steps still to come, on a scale whose division counts."""
    player = begun(exact(), 2000)
    for total_mg in (kg("1.498"), kg("1.499"), kg("1.5"), kg("1.501"), kg("1.503"), kg("1.6")):
        brings(player, "water", total_mg)
    brings(player, "water", kg("0.7"))
    exactly(player, "shade")
    for total_mg in (g(193), g(194), g(206), g(207), g(300)):
        brings(player, "shade", total_mg)
    return player


def asked_about() -> Player:
    """Unconfirmed, at the very ends of what is asked about."""
    player = begun(exact())
    for mass_mg in (0, -1, 10**12, 10**12 + 1, g(1050), g(1050) + 1, g(350), g(350) - 1, g(678), g(680)):
        typed(player, mass_mg)
    brings(player, "water", g(700))
    for key in ("water", "blend", "shade", "fibre"):
        beside = most_beside_mg(player.run, player.projection, key)
        for mass_mg in (beside, beside + 1):
            player.tries(commands.BookExtra(material=key, weight=weight(mass_mg, "typed", 0), reason="more"))
            brings(player, key, g(700) if key == "water" else 0)
    for mass_mg in (g(900), g(900) + 1):
        for source in ("typed", "scale"):
            player.tries(
                commands.BookExtra(material="water", weight=weight(mass_mg, source, 0), reason="more")  # type: ignore[arg-type]
            )
            brings(player, "water", g(700))
    exactly(player, "shade")
    for mass_mg in (g(300), g(300) + 1, g(301)):
        typed(player, mass_mg)
        player.tries(commands.BookExtra(material="shade", weight=weight(mass_mg), reason="more"))
        brings(player, "shade", 0)
    player.tries(commands.EnoughIn())
    player.tries(commands.BringForward(step="shade"))
    brings(player, "shade", g(200))
    for mass_mg in (1, 1000):
        typed(player, mass_mg)
    player.tries(commands.BookExtra(material="gravel", weight=weight(5), reason="more"))
    player.tries(commands.BookRemoved(material="gravel", weight=weight(5), reason="more"))
    return player


def solids_capped() -> Player:
    """A polymer counted by its solids, up to its cap and past it: 7 % of 8 kg of cement are 1166.667 g of emulsion."""
    capped = with_material(RAW, "emulsion", cap=Cap(fraction=f("0.07"), of=Basis.CEMENT, source="its label"))
    player = begun((capped, RAW_POWDERS)).goes_to("emulsion")
    for mass_mg in (1_166_666, 1_166_667):
        typed(player, mass_mg)
        player.tries(commands.BookExtra(material="emulsion", weight=weight(mass_mg), reason="more"))
        brings(player, "emulsion", mass_mg)
        brings(player, "emulsion", 0)
    return player


def taken_out() -> Player:
    """A layer, trials and materials taken out, up to all there is."""
    player = begun(chips())
    player.tries(commands.BookPortion(weight=weight(1), reason="none in"))
    exactly(player, "face")
    player.tries(commands.EnoughIn())
    asked = floor(player.run.in_bucket_mg / 4)
    for mass_mg in (asked * 3 // 2 + 600, asked // 2 - 600, floor(player.run.in_bucket_mg), 0):
        typed(player, mass_mg)
    player.tries(commands.TakeReference(gross_mg=kg(20), division_mg=1000))
    typed(player, asked)
    exactly(player, "edge")
    player.tries(commands.BookPortion(weight=weight(kg(1)), reason="for a trial"))
    for mass_mg in (floor(player.run.in_bucket_mg) - 1, floor(player.run.in_bucket_mg) + 1):
        player.tries(commands.BookPortion(weight=weight(mass_mg), reason="for a trial"))
        player.tries(commands.TakeBack(seq=len(player.run.entries), reason="not so"))
    inside = floor(player.run.content["sand"])
    for mass_mg in (inside + 1, inside):
        player.tries(commands.BookRemoved(material="sand", weight=weight(mass_mg), reason="out"))
    player.tries(commands.BookRemoved(material="sand", weight=weight(10), reason=" "))
    return player


def tubs() -> Player:
    """Tubs filled, tipped, typed, weighed back, and another vessel in between."""
    player = begun(MIXES["raw"](), weighing="tub")
    player.tries(commands.FillTub(weight=weight(kg(2))))
    for mass_mg in (kg(2) + 3000, kg(2) + 3001):
        typed(player, mass_mg, division_mg=1000)
    player.tries(commands.TakeBack(seq=3, reason="slip"))
    player.tries(commands.FillTub(weight=weight(0)))
    player.tries(commands.TakeReference(gross_mg=g(300), division_mg=1000))
    player.tries(commands.FillTub(weight=weight(player.dosing.target_mg)))
    player.tries(
        commands.Book(weight=weight(player.dosing.target_mg, weighing="tub", residue_mg=0, gross_mg=g(302)))
    )
    player.tries(commands.FillTub(weight=weight(g(900))))
    player.tries(commands.ChangeWeighing(weighing="bucket"))
    player.tries(commands.FillTub(weight=weight(g(900))))
    player.tries(commands.TakeReference(gross_mg=kg(4), division_mg=1000))
    player.tries(commands.TakeBack(seq=len(player.run.entries) - 1, reason="slip"))
    player.tries(commands.ChangeWeighing(weighing="supply"))
    player.tries(commands.TakeReference(gross_mg=kg(24), division_mg=1000))
    player.tries(commands.Book(weight=weight(player.dosing.target_mg, weighing="supply", gross_mg=kg(23))))
    player.tries(commands.ChangeWeighing(weighing="tub"))
    player.tries(commands.Book(weight=weight(player.dosing.target_mg, weighing="tub")))
    player.goes_to("mix-1")
    player.tries(commands.FillTub(weight=weight(g(900))))
    player.tries(commands.TakeReference(gross_mg=g(300), division_mg=1000))
    return player


def reconciled() -> Player:
    """The bucket weighed before each pour, off by what it may be, by more, set to zero, and explained."""
    player = begun(MIXES["blend"]())
    player.tries(commands.TakeReference(gross_mg=kg("1.2"), division_mg=1000))
    player.pours()
    allowed = floor(allowed_mg(player.run.in_bucket_mg, 1000))
    expected = expected_gross_mg(player.run)
    assert expected is not None
    for off_mg in (allowed, -allowed, allowed + 1, -allowed - 1, kg(1)):
        player.tries(commands.TakeReference(gross_mg=int(expected) + off_mg, division_mg=1000))
    for off_mg in (allowed + 1, allowed, -allowed, -allowed - 1, g(310)):
        player.tries(
            commands.TakeReference(gross_mg=int(expected) + off_mg, division_mg=1000, confirmed=True)
        )
    for mass_mg in (g(155), g(310), g(700)):
        player.tries(
            commands.BookExtra(material="water", weight=weight(mass_mg), reason="spilt in", confirmed=True)
        )
    player.tries(commands.BookRemoved(material="water", weight=weight(g(855)), reason="out"))
    for gross_mg in (2000, 2001, -2000, -2001):
        player.tries(commands.TakeReference(gross_mg=gross_mg, division_mg=1000, confirmed=True))
    player.pours()
    player.tries(commands.Book(weight=weight(g(5), weighing="bucket", gross_mg=kg(12))))
    player.goes_to("blend-2")
    player.tries(commands.TakeReference(gross_mg=kg(13), division_mg=1000))
    player.tries(commands.BookPortion(weight=weight(kg(1)), reason="for a trial"))
    player.tries(commands.TakeReference(gross_mg=kg(9), division_mg=1000, confirmed=True))
    player.tries(commands.TakeReference(gross_mg=kg(10), division_mg=1000, confirmed=True))
    player.tell(ScaleChanged(state="lost", detail="unplugged"))
    player.pours()
    return player


def weighed_apart() -> Player:
    """Small doses on a finer scale, by the main one all the same, and one that is no finer."""
    apart = tuple(
        WeighedApart(material=key, scale="fine", division_mg=division_mg)
        for key, division_mg in (("slate", 100), ("buff", 5000), ("fibre", 0))
    )
    player = begun((CLOUDED, CLOUDED_POWDERS), 5000, weighed_apart=apart).goes_to("fibre")
    player.tries(commands.TakeReference(gross_mg=kg(20), division_mg=5000))
    player.goes_to("slate")
    assert isinstance(player, Player)
    player.tries(commands.TakeReference(gross_mg=kg(14), division_mg=5000))
    player.tries(commands.TakeReference(gross_mg=kg(14), division_mg=100))
    player.tries(commands.TakeReference(gross_mg=kg(14), division_mg=5000, coarse=True))
    player.pours()
    player.tries(commands.TakeReference(gross_mg=kg(15), division_mg=5000))
    player.goes_through()
    return player


def small_doses() -> Player:
    """Doses about the least a scale can weigh, or show."""
    player = begun((CLOUDED, CLOUDED_POWDERS), g(1)).goes_to("slate")
    assert isinstance(player, Player)
    for division_mg in (g(1), 1600, 3200, 4800, g(5), g(50), 192_000, 192_001, g(200)):
        player.division_mg = division_mg
        player.keeps(f"division {division_mg}", ())
    player.division_mg = g(1)
    typed(player, g(90), confirmed=True)
    for division_mg in (g(2), 3960, 5940, 9900, 11_880):
        player.division_mg = division_mg
        player.keeps(f"division {division_mg}", ())
    return player


def roundings() -> Player:
    """Doses in whole divisions of many scales, where a division falls inside what is right or does not."""
    player = begun((CLOUDED, CLOUDED_POWDERS), g(1))
    for key in ("water-1", "cement", "sand", "release", "fibre"):
        player.goes_to(key)
        for division_mg in (300, 453, 7000, 11_340, 45_359, 130_000, 700_000, 4_100_000):
            player.division_mg = division_mg
            player.keeps(f"division {division_mg}", ())
        player.division_mg = g(1)
    return player


def room_for_more() -> Player:
    """A stiff mix with room for no more water, a part of a step, half a step, or many."""
    player = exactly(begun(exact(), g(5)), "fold")
    for total_g in (900, 1200, *range(1355, 1400, 5), 1470, 1490, 1500):
        brings(player, "water", g(total_g))
        player.tries(commands.StartTimer())
        player.hands.go(40)
        player.tries(commands.DoneStep())
        player.tries(commands.TakeBack(seq=len(player.run.entries) - 1, reason="on"))
    return player


def room() -> Player:
    """Stock just enough or a milligram short; a bucket just as heavy as one person lifts, or heavier."""
    player = exactly(
        begun(
            exact(),
            bucket_l=6.0,
            stock=(
                Amount(material="blend", mass_mg=kg(10)),
                Amount(material="shade", mass_mg=g(200) - 1),
                Amount(material="fibre", mass_mg=g(100)),
            ),
        ),
        "fibre",
    )
    exactly(player, "fold")
    for over_mg in (-1, 0, 1):
        rest = LIFT_LIMIT_MG - sum(mass for key, mass in player.run.content.items() if key != "blend")
        brings(player, "blend", int(rest) + over_mg)
    player.tries(commands.TakeReference(gross_mg=kg(14), division_mg=1000))
    return player


def aimed_at_nothing() -> Player:
    """An aim that names no dose of one material and none at all of another."""
    of, powders = exact()
    aim = aim_of(of, powders)
    aim = replace(aim, doses=(DoseAim(material="shade", fraction=Fraction(0)),))
    player = begun((of, powders), aim=aim)
    exactly(player, "mix")
    brings(player, "shade", g(300))
    brings(player, "shade", g(301))
    player.goes_to("fibre")
    brings(player, "fibre", g(250))
    player.goes_through()
    return player
