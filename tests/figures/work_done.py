"""Batches by hand for the ledger: times just kept or not, judging, temperatures, cups, and a mix that sets."""

from dataclasses import replace

from mixstation.batch import commands, events
from mixstation.batch.commands import Judge, NoteTemperature
from mixstation.batch.consistency import Remedy
from mixstation.recipe.model import MixStep, RestStep
from tests.batch.follow import next_command
from tests.batch.making import weight
from tests.batch.recipes import RAW, RAW_POWDERS, g, kg, with_step
from tests.figures.bench import Player, begun
from tests.figures.mixes import MIXES, chips


def timed(player: Player, seconds: float, *, confirmed: bool = True) -> None:
    """The step at hand takes so long, to the millisecond."""
    if isinstance(player.run.step, MixStep):
        player.tries(commands.StartTimer())
    player.hands.go(round(seconds - 1, 3))
    player.tries(commands.DoneStep(confirmed=confirmed))


def times_at_limits() -> Player:
    """Mixing and resting for the least and the most, and a thousandth of a second off."""
    player = begun(MIXES["blend"]()).goes_to("mix-1")
    player.tries(commands.DoneStep())
    player.tries(commands.BringForward(step="rest"))
    player.tries(commands.StartTimer())
    for by_s in (-0.001, 0.0, 0.001):
        for key in ("rest", "remix"):
            step = player.run.step_of(key)
            assert isinstance(step, MixStep | RestStep)
            for bound_s in (step.min_s, step.max_s):
                player.tries(commands.BringForward(step=key))
                timed(player, bound_s + by_s, confirmed=False)
                timed(player, 0.5)
                player.tries(commands.TakeBack(seq=len(player.run.entries), reason="slip"))
                player.tries(commands.TakeBack(seq=len(player.run.entries) - 2, reason="slip"))
    player.tries(commands.StartTimer())
    player.tries(commands.StartTimer())
    player.tries(commands.Pause(reason="door"))
    player.tries(commands.Pause(reason="phone"))
    player.hands.go(40)
    player.tries(commands.TakeUp())
    player.tries(commands.TakeUp())
    player.hands.restart(30)
    player.happens(events.ProgramResumed(program="1"))
    return player


def mended_mixes() -> Player:
    """Short mixes owed to later ones: just enough, a second too little, and none any more once fibres are in."""
    player = begun(MIXES["raw"]()).goes_to("mix-1")
    timed(player, 40)
    player.goes_to("cream")
    timed(player, 5)
    player.goes_to("mix-2")
    for seconds in (99.999, 100.0, 119.0, 119.999, 120.0, 200.0):
        timed(player, seconds)
        player.tries(commands.TakeBack(seq=len(player.run.entries) - 1, reason="on"))
        player.keeps("back", ())
    timed(player, 85)
    player.goes_to("fold")
    timed(player, 120)
    player.tries(commands.Finish())
    player.tries(commands.DoneStep())
    return player


def plasticiser_acts() -> Player:
    """Held-back water before the plasticiser is in, or has had its ten seconds, or just after."""
    player = begun(MIXES["raw"]()).goes_to("plasticiser")
    player.tries(commands.BringForward(step="release"))
    player.tries(Judge(verdict="too-stiff"))
    player.pours()
    player.tries(commands.TakeBack(seq=len(player.run.entries), reason="slip"))
    player.tries(commands.BringForward(step="plasticiser"))
    player.pours()
    timed(player, 9.999)
    player.tries(commands.BringForward(step="release"))
    player.tries(Judge(verdict="too-stiff"))
    player.pours()
    player.tries(commands.StartTimer())
    player.hands.go(5)
    player.tries(Judge(verdict="too-stiff"))
    player.tries(commands.BookExtra(material="plasticiser", weight=weight(g(2)), reason="more"))
    player.pours()
    player.tries(commands.StartTimer())
    player.hands.go(8.999)
    player.tries(Judge(verdict="too-stiff"))
    player.tries(commands.StartTimer())
    player.hands.go(0)
    player.tries(Judge(verdict="too-stiff"))
    player.pours()
    player.tries(commands.StartTimer())
    player.hands.go(24)
    player.tries(Judge(verdict="right"))
    player.tries(commands.BringForward(step="release"))
    return player


def released() -> Player:
    """Held-back water mixed just long enough or not, timed or judged at once, and let go for good."""
    player = begun(MIXES["blend"]()).goes_to("release")
    for seconds in (23.999, 24.0, 74.0, 74.001):
        player.tries(Judge(verdict="too-stiff"))
        player.tries(next_command(player))
        player.tries(commands.DoneStep())
        player.tries(commands.StartTimer())
        player.hands.go(seconds)
        player.tries(Judge(verdict="too-stiff"))
    player.tries(next_command(player))
    player.hands.go(3)
    player.tries(Judge(verdict="too-loose"))
    player.tries(commands.TakeBack(seq=len(player.run.entries), reason="slip"))
    player.tries(commands.TakeBack(seq=len(player.run.entries) - 2, reason="slip"))
    player.goes_to("fibre")
    player.tries(Judge(verdict="too-stiff"))
    player.tries(Judge(verdict=None))
    player.tries(commands.EnoughIn())
    player.tries(Judge(verdict="right"))
    return player


def judged_at_limits() -> Player:
    """Figures at the ends of what is right, of each method, and a verdict against the figure."""
    player = begun(chips()).goes_to("flow-least")
    for figure in (179, 180, 181):
        player.tries(Judge(verdict=None, figure=figure))
        player.tries(commands.TakeBack(seq=len(player.run.entries) - 1, reason="slip"))
    player.goes_to("rings-most")
    for figure in (5, 6, 7):
        player.tries(Judge(verdict=None, figure=figure))
        player.tries(commands.TakeBack(seq=len(player.run.entries) - 2, reason="slip"))
    player.tries(Judge(verdict=None))
    player.tries(Judge(verdict="too-loose", figure=3))
    player.tries(commands.BringForward(step="remix"))
    player.tries(commands.TakeRemedy(remedy=Remedy(code="wait", rest_s=60, mix_s=20), said="wait"))
    player.goes_through()
    return player


def warm_and_cold() -> Player:
    """Temperatures at the ends of what may be, of what is wanted, and of the polymer."""
    player = begun(MIXES["raw"](), shop_c=10.0)
    for milli_c in (-5001, -5000, 70_000, 70_001, 10_000, 9_999):
        player.tries(NoteTemperature(mix_milli_c=milli_c, shown="x"))
    player.goes_to("temperature")
    for milli_c in (28_000, 28_001, 12_000, 11_999):
        player.tries(NoteTemperature(mix_milli_c=milli_c, shown="x"))
    none = begun(MIXES["raw"](), shop_c=9.9)
    none.pours()
    player.kept += none.kept
    for shop_c in (None, -20.0, 90.0, 5.5, 35.0):
        other = begun(MIXES["exact"](), shop_c=shop_c)
        other.pours()
        player.kept += other.kept
    return player


def cups() -> Player:
    """Cups of every size and density that may be, before anything is in, and of a mix without air in it."""
    player = begun(MIXES["blend"]())
    for cup_ul, mass_mg in (
        (49_999, g(100)),
        (50_000, g(100)),
        (20_000_000, kg(44)),
        (20_000_001, kg(44)),
        (1_000_000, kg(1) - 1),
        (1_000_000, kg(1)),
        (1_000_000, kg(3)),
        (1_000_000, kg(3) + 1),
        (1_000_000, 0),
    ):
        player.tries(commands.MeasureDensity(cup_ul=cup_ul, weight=weight(mass_mg)))
    player.goes_to("judge")
    for mass_mg in (kg("2.05"), kg("2.2"), kg("2.4"), kg("2.9")):
        player.tries(commands.MeasureDensity(cup_ul=1_000_000, weight=weight(mass_mg, division_mg=100)))
    player.tries(commands.TakeBack(seq=len(player.run.entries), reason="not level"))
    return player


def aged() -> Player:
    """The working time at each of its ends to the millisecond, the machine asleep and begun anew."""
    player = begun(MIXES["blend"]())
    player.pours()
    low_s, high_s = player.advice.working.low_s, player.advice.working.high_s
    for end_s in (0.8 * low_s, low_s, high_s):
        for by_s in (-0.001, 0.0, 0.001):
            since_s = player.advice.working.since_s
            assert since_s is not None
            player.waits(round(end_s + by_s - since_s, 3))
    player.hands.suspend(600)
    player.keeps("asleep", ())
    for seconds in (30, -3000):
        player.hands.restart(seconds)
        player.keeps("anew", ())
        player.happens(events.ProgramResumed(program="1"))
    player.happens(events.ClockStepped(by_ms=-60_000))
    player.tries(commands.Finish(concession="all of it"))
    player.tries(commands.Discard(reason=""))
    player.tries(commands.Discard(reason=" set "))
    player.tries(commands.WriteNote(text=""))
    return player


def sets_in_hand() -> Player:
    """Found too stiff, then past its time with a pour begun: nothing more goes in, whatever is tried."""
    player = begun(MIXES["blend"]()).goes_to("blend-2")
    player.goes_to("release")
    player.tries(Judge(verdict="too-stiff"))
    player.tries(commands.TakeReference(gross_mg=kg(22), division_mg=1000, confirmed=True))
    player.shows(kg(22) + 40_000)
    player.hands.go(24 * 60)
    player.keeps("late", ())
    for vessel in ("bucket", "tub", "supply"):
        player.tries(commands.ChangeWeighing(weighing=vessel))  # type: ignore[arg-type]
        player.tries(commands.FillTub(weight=weight(g(50))))
        player.tries(commands.Book(weight=weight(g(50))))
        player.tries(commands.TakeReference(gross_mg=kg(22), division_mg=1000, confirmed=True))
    player.tries(commands.ChangeWeighing(weighing="tub"))
    reference = events.ReferenceTaken(step="release", weighing="tub", gross_mg=g(300), division_mg=1000)
    player.happens(reference)
    player.tries(commands.TakeRemedy(remedy=Remedy(code="wait", rest_s=60, mix_s=20), said="wait"))
    player.tries(commands.BookExtra(material="water", weight=weight(g(40)), reason="was in"))
    player.tries(commands.SkipStep(reason="sets"))
    player.goes_to("fibre")
    player.tries(Judge(verdict="stiff-and-warm"))
    player.tries(commands.SkipStep(reason="sets"))
    player.tries(commands.Finish())
    return player


def skipped_and_done() -> Player:
    """Every step left out or called done, an earlier share before a later, brought forward and back."""
    player = begun((with_step(RAW, "rest", min_s=0), RAW_POWDERS))
    player.tries(commands.SkipStep(reason="no"))
    player.tries(commands.BringForward(step="cement-2"))
    player.tries(commands.SkipStep(reason="later"))
    player.tries(commands.EnoughIn())
    player.tries(commands.BringForward(step="cement-2"))
    player.tries(commands.BringForward(step="nowhere"))
    player.tries(commands.BringForward(step="cement-1"))
    player.pours()
    while player.step:
        player.tries(commands.DoneStep())
        player.tries(commands.SkipStep(reason=" "))
        player.tries(commands.SkipStep(reason="no"))
    for command in (
        commands.SkipStep(reason="no"),
        commands.DoneStep(),
        commands.EnoughIn(),
        commands.StartTimer(),
    ):
        player.tries(command)
    player.tries(commands.Finish())
    player.tries(commands.Finish(concession=" "))
    player.tries(commands.Finish(concession=" it is a trial "))
    player.tries(commands.WriteNote(text="done"))
    return player


def run_out() -> Player:
    """Materials that run out at once, with a share in, twice, and one unknown."""
    player = begun(MIXES["raw"]()).goes_to("cement-2")
    player.tries(commands.RunOut(material="gravel"))
    player.tries(commands.RunOut(material="cement"))
    player.tries(commands.RunOut(material="cement"))
    player.tries(commands.RunOut(material="fibre"))
    player.tries(commands.RunOut(material="water"))
    player.tries(commands.BookExtra(material="cement", weight=weight(kg(4) - 80_001), reason="found"))
    for _ in range(2):
        player.tries(commands.BookExtra(material="cement", weight=weight(1, "typed", 0), reason="found"))
    player.goes_through()
    player.tries(commands.Finish())
    return player


def nothing_stands() -> Player:
    """A batch without a flag, its rest begun anew by hand, is closed without a word."""
    player = begun(MIXES["blend"]()).goes_to("rest")
    player.tries(commands.TakeBack(seq=len(player.run.entries), reason="not yet"))
    player.tries(commands.StartTimer())
    player.goes_through()
    player.tries(commands.Finish())
    return player


def before_safety() -> Player:
    """Nothing but a note and an end goes before the safety text is read; nothing but a note after the end."""
    player = begun(MIXES["blend"](), acknowledged=False)
    player.tries(commands.EnoughIn())
    player.tries(commands.WriteNote(text=" gloves torn "))
    player.tries(commands.AcknowledgeSafety())
    player.tries(commands.Discard(reason=" trial "))
    player.tries(commands.Discard(reason="again"))
    player.tries(commands.WriteNote(text="x"))
    return player


def off_scale() -> Player:
    """A pour watched on the scale: every state of it, in and out, from every vessel."""
    player = begun(MIXES["raw"]())
    player.tries(commands.TakeReference(gross_mg=kg("1.2"), division_mg=1000))
    player.shows(kg(2), flow_g_s=20)
    live = player.live
    assert live is not None
    for state in ("steady", "moving", "stale", "fault", "none"):
        player.live = replace(live, state=state, mass_mg=None if state == "fault" else live.mass_mg)
        player.keeps(state, ())
    player.live = replace(live, division_mg=453)
    player.keeps("pounds", ())
    player.live = None
    for vessel in ("supply", "tub"):
        player.tries(commands.ChangeWeighing(weighing=vessel))  # type: ignore[arg-type]
        player.tries(commands.TakeReference(gross_mg=kg(12), division_mg=1000))
    player.tries(commands.ChangeWeighing(weighing="bucket"))
    player.goes_to("face")
    player.tries(commands.TakeReference(gross_mg=kg(24), division_mg=1000))
    player.tries(commands.ChangeWeighing(weighing="tub"))
    player.tries(commands.TakeReference(gross_mg=g(400), division_mg=1000))
    player.tries(commands.Finish())
    return player
