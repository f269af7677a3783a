"""Commands drawn from a seed: mostly what the advice asks for, often at its very limits, now and then anything."""

from collections.abc import Callable, Sequence
from fractions import Fraction
from math import floor
from random import Random

from mixstation.batch import commands, events
from mixstation.batch.advice import take_out_mg
from mixstation.batch.consistency import Remedy, remedy
from mixstation.batch.decide_weighing import TUB_SLACK_DIVISIONS, most_beside_mg
from mixstation.batch.reconcile import allowed_mg, expected_gross_mg
from mixstation.batch.step import bounds_s
from mixstation.batch.targets import dose_band
from mixstation.batch.ways import limits_of, ways_out
from mixstation.recipe.model import ConsistencyStep, TemperatureStep
from mixstation.recipe.proportions import basis_mass, free_water
from tests.batch.follow import next_command
from tests.batch.making import weight
from tests.figures.bench import VERDICTS, Player

Draw = Callable[[Random, Player], commands.Command]

# Choice: a batch that is not through by then is gone on with as advised for a while, and thrown away.
MOST_COMMANDS = 36
MOST_FOLLOWED = 12
REASONS = ("slip", " spilt ", "", "   ")


def plays(dice: Random, player: Player) -> None:
    """Play a batch from its first command to its end."""
    while player.run.ended == "" and len(player.kept) < MOST_COMMANDS:
        _one(dice, player)
    for _ in range(MOST_FOLLOWED):
        if player.run.ended:
            break
        command = next_command(player)
        player.tries(commands.Finish() if isinstance(command, commands.Finish) else command)
        if isinstance(command, commands.Finish):
            player.tries(command)
    if not player.run.ended:
        player.tries(commands.Discard(reason="late"))
    player.tries(commands.WriteNote(text=" over "))
    player.tries(commands.TakeUp())


def _one(dice: Random, player: Player) -> None:
    """The next thing that happens."""
    chance = dice.random()
    if chance < 0.45:
        player.tries(_followed(dice, player))
    elif chance < 0.53:
        _passes(dice, player)
    else:
        draw = dice.choices([each for each, _ in DRAWS], [weigh for _, weigh in DRAWS])[0]
        player.tries(draw(dice, player))


def _followed(dice: Random, player: Player) -> commands.Command:
    """As advised, poured to a limit of what is right, the time kept to the second or nearly."""
    phase = player.advice.standing.phase
    if phase in ("pour", "tub-fill", "tub-tip"):
        return _poured(dice, player)
    if phase in ("mixing", "resting"):
        _times(dice, player)
        return commands.DoneStep(confirmed=dice.random() < 0.8)
    if phase == "judge" and isinstance(player.run.step, ConsistencyStep) and dice.random() < 0.6:
        return _judged(dice, player)
    return next_command(player)


def _poured(dice: Random, player: Player) -> commands.Command:
    dosing, run = player.standing.dosing, player.run
    if dosing is None or not dosing.exact_mg:
        return commands.EnoughIn()
    if run.weighing == "tub" and run.tub is None and dice.random() < 0.6:
        return commands.FillTub(weight=_weight(dice, player, dosing.target_mg or 1))
    mass = dice.choice((dosing.target_mg, dosing.target_mg, dosing.low_mg, dosing.high_mg)) or 1
    return commands.Book(weight=_weight(dice, player, mass), confirmed=dice.random() < 0.7)


def _times(dice: Random, player: Player) -> None:
    """Wait until the step is just not, just, or more than long enough; a command takes a second more."""
    timing, bounds = player.advice.timing, bounds_s(player.run.step) if player.run.step else None
    if timing is None or bounds is None:
        return
    until = dice.choice(
        (bounds[0], bounds[0], bounds[0] - 1, bounds[0] - 0.001, bounds[1], bounds[1] + 0.001)
    )
    player.hands.go(max(0.0, round(until - timing.elapsed_s - 1, 3)))


def _passes(dice: Random, player: Player) -> None:
    """Time, sleep of the machine, its being started anew, a clock set, a flag put before the mixer, a scale lost."""
    working, since = player.advice.working, player.advice.working.since_s
    match dice.randrange(8):
        case 0 | 1:
            ends = (0.8 * working.low_s, working.low_s, working.high_s)
            left = [] if since is None else [end - since for end in ends if end > since]
            if left and dice.random() < 0.5:
                player.waits(round(left[0] + dice.choice((-0.001, 0.0, 0.001)), 3))
            else:
                player.waits(dice.choice((5.0, 61.5, 150.0)))
        case 2:
            player.hands.suspend(dice.choice((10, 200)))
            player.keeps("asleep", ())
        case 3:
            player.hands.restart(dice.choice((30, 30, -400)))
            player.happens(events.ProgramResumed(program="1"))
        case 4:
            by_ms = dice.choice((-90_000, 3_600_000))
            player.hands.utc_ms += by_ms
            player.happens(events.ClockStepped(by_ms=by_ms))
        case 5:
            for flag in player.advice.flags[:1]:
                raised = events.FlagRaised(code=flag.code, about=flag.about, gravity=flag.gravity, said="so")
                player.happens(raised)
        case 6:
            player.happens(events.ScaleChanged(state="lost", detail=""))
        case 7:
            player.happens(events.ProgramResumed(program="1"))


def _weight(dice: Random, player: Player, mass_mg: int) -> commands.Weight:
    """A weight from the scale or typed, with all that is known of how it was weighed or with nothing."""
    division = player.division_mg if player.standing.dosing is None else player.shows_mg
    run, step = player.run, player.step
    known: dict[str, object] = {}
    if dice.random() < 0.6:
        known["weighing"] = run.weighing
        reference = run.references.get(step)
        if reference is not None and run.weighing == "bucket":
            known["gross_mg"] = reference.gross_mg + mass_mg
        if run.weighing == "tub" and dice.random() < 0.5:
            known["residue_mg"] = dice.choice((0, 2 * division))
    if dice.random() < 0.5:
        return weight(mass_mg, "scale", division, **known)
    return weight(
        mass_mg, dice.choice(("typed", "typed", "estimated")), dice.choice((0, 1, division)), **known
    )


def _odd_mass(dice: Random, player: Player) -> int:
    """A mass at a limit, or just past it."""
    run, found = player.run, player.standing
    out_mg, ends = take_out_mg(found), [0, 1, -5, 10**12 + 1]
    if found.dosing is not None:
        dosing, key = found.dosing, found.dosing.material
        aim = dosing.target_mg or round(dosing.exact_mg)
        ends = [
            dosing.low_mg,
            dosing.high_mg,
            aim // 2,
            aim * 3 // 2,
            3 * aim,
            *_limits(player, key),
            ends[0],
        ]
        if run.tub is not None:
            ends.append(run.tub.mass_mg + TUB_SLACK_DIVISIONS * run.tub.division_mg)
    elif out_mg is not None:
        ends = [out_mg, out_mg // 2, out_mg * 3 // 2, int(run.in_bucket_mg), *ends]
    return dice.choice(ends) + dice.choice((-1, 0, 0, 1))


def _limits(player: Player, key: str) -> list[int]:
    """How much more of a material goes in up to each of its limits."""
    run, projection = player.run, player.projection
    material, inside = run.recipe.material(key), run.content[key]
    ends: list[Fraction] = []
    if material.dose is not None:
        basis = basis_mass(run.recipe, projection.finals, material.dose.of) / material.counted_share
        ends += [end * basis for end in dose_band(material)]
        if material.cap is not None:
            whole = basis_mass(run.recipe, projection.finals, material.cap.of) / material.counted_share
            ends.append(material.cap.fraction * whole)
    elif key == run.recipe.water_key:
        water = run.recipe.water
        basis = basis_mass(run.recipe, projection.finals, water.of)
        carried = free_water(run.recipe, {**projection.finals, key: Fraction(0)})
        unsure = Fraction(projection.expanded)
        ratios = (
            water.least,
            water.target,
            water.most,
            water.most - unsure,
            water.most + unsure,
            water.ceiling,
        )
        ends += [ratio * basis - carried for ratio in ratios]
    else:
        tolerance = material.tolerance
        ends += [projection.totals[key] * (1 + by) for by in (-tolerance.under, tolerance.over)]
    return [floor(end - inside) for end in ends if end > inside] or [1000]


def _key(dice: Random, player: Player) -> str:
    return dice.choice((*player.run.content, "gravel") if dice.random() < 0.1 else tuple(player.run.content))


def _seq(dice: Random, player: Player) -> int:
    """Mostly of an entry that can be taken back, and mostly of a late one."""
    known = [entry.seq for entry in player.run.live if not isinstance(entry.fact, events.BatchStarted)]
    if not known or dice.random() < 0.1:
        return dice.choice((0, 1, 10_000))
    return dice.choice(known[-8:])


def _book(dice: Random, player: Player) -> commands.Command:
    return commands.Book(
        weight=_weight(dice, player, _odd_mass(dice, player)), confirmed=dice.random() < 0.35
    )


def _extra(dice: Random, player: Player) -> commands.Command:
    key = _key(dice, player)
    ends = [5000, 0]
    if key in player.run.content:
        ends += _limits(player, key)
        ends += [most_beside_mg(player.run, player.projection, key)] * 2
    mass = dice.choice(ends) + dice.choice((0, 0, 1))
    return commands.BookExtra(
        material=key,
        weight=_weight(dice, player, mass),
        reason=dice.choice(REASONS[:3]),
        confirmed=dice.random() < 0.5,
    )


def _removed(dice: Random, player: Player) -> commands.Command:
    key = _key(dice, player)
    inside = int(player.run.content.get(key, 0))
    mass = dice.choice((inside, inside // 10, inside // 10, inside + 1, 0))
    return commands.BookRemoved(
        material=key, weight=_weight(dice, player, mass), reason=dice.choice(REASONS[:3])
    )


def _portion(dice: Random, player: Player) -> commands.Command:
    inside = int(player.run.in_bucket_mg)
    mass = dice.choice((inside // 12, inside // 9, inside, inside - 1 if inside < 4000 else 0))
    return commands.BookPortion(weight=_weight(dice, player, mass), reason="for a trial")


def _reference(dice: Random, player: Player) -> commands.Command:
    """The vessel on the scale, at odds with the entries by just as much as it may be, or more, or set to zero."""
    run, division = player.run, player.division_mg
    expected = expected_gross_mg(run)
    gross = round(expected) if expected is not None else 1_200_000 + round(run.in_bucket_mg)
    allowed = floor(allowed_mg(run.in_bucket_mg, division))
    off = dice.choice(
        (0, 0, 0, allowed, -allowed, allowed + 1, -allowed - 1, 4 * allowed, -gross, 2 * division - gross)
    )
    return commands.TakeReference(
        gross_mg=gross + off,
        division_mg=division,
        confirmed=dice.random() < 0.4,
        coarse=dice.random() < 0.5,
    )


def _tub(dice: Random, player: Player) -> commands.Command:
    return commands.FillTub(weight=_weight(dice, player, _odd_mass(dice, player)))


def _back(dice: Random, player: Player) -> commands.Command:
    return commands.TakeBack(seq=_seq(dice, player), reason=dice.choice(REASONS[:3]))


def _swap(dice: Random, player: Player) -> commands.Command:
    live = [entry.seq for entry in player.run.live if isinstance(entry.fact, events.WeightRecorded)]
    seq = dice.choice(live[-4:]) if live and dice.random() < 0.8 else _seq(dice, player)
    return commands.SwapMaterial(seq=seq, material=_key(dice, player), reason="wrong bag")


def _judged(dice: Random, player: Player) -> commands.Command:
    step = player.run.step
    ends: Sequence[int | None] = (None, 0, 300)
    if isinstance(step, ConsistencyStep):
        ends = [end + by for end in (step.least, step.most) if end is not None for by in (-1, 0, 1)] or ends
    figure = dice.choice(ends) if dice.random() < 0.5 else None
    verdict = dice.choices((*VERDICTS[:3], None), (5, 3, 2, 1))[0]
    return commands.Judge(verdict=verdict if dice.random() < 0.98 else "stiff-and-warm", figure=figure)


def _temperature(dice: Random, player: Player) -> commands.Command:
    ends = [-5000, 70_000, 18_000, 21_500]
    for step in player.run.steps:
        if isinstance(step, TemperatureStep):
            ends += [round(1000 * end) for end in (step.min_c, step.max_c) if end is not None] * 2
    ends += [round(1000 * item.film_forming_c) for item in player.run.recipe.materials if item.film_forming_c]
    milli_c = dice.choice(ends) + dice.choice((-1, 0, 1))
    return commands.NoteTemperature(mix_milli_c=milli_c, shown=f"{milli_c / 1000} °C")


def _forward(dice: Random, player: Player) -> commands.Command:
    keys = [step.key for step in player.run.steps]
    waiting = [key for key in keys if key not in player.run.finished] or keys
    return commands.BringForward(step=dice.choice((*waiting[:6], keys[0], "nowhere")))


def _way(dice: Random, player: Player) -> commands.Command:
    """One of the ways out there are, the best most of the time."""
    run, left_s = player.run, dice.choice((None, 900))
    divisions = {key: run.division_of(key, player.division_mg) for key in run.content}
    found = ways_out(run, limits_of(run, divisions, left_s, stiffening=player.advice.sets))
    way = found[0] if dice.random() < 0.7 else dice.choice([each for each in found if each.kind != "discard"])
    return commands.TakeWay(way=way, said="so")


def _remedy(dice: Random, player: Player) -> commands.Command:
    """What the mix wants, or a remedy at odds with the batch."""
    run = player.run
    divisions = {key: run.division_of(key, player.division_mg) for key in run.content}
    found = remedy(run, dice.choice(VERDICTS[:3]), divisions)
    if dice.random() < 0.5:
        found = dice.choice(
            (
                Remedy(code="wait", rest_s=120, mix_s=30),
                Remedy(code="mix-first", mix_s=20),
                Remedy(code="mix-first", mix_s=0),
                Remedy(code="plasticiser", material=_key(dice, player), mass_mg=4000, mix_s=15),
                Remedy(code="water-to-limit", material=run.recipe.water_key, mass_mg=20_000, mix_s=30),
                Remedy(code="stop"),
            )
        )
    return commands.TakeRemedy(remedy=found, said=dice.choice(REASONS[:3]))


def _cup(dice: Random) -> commands.Command:
    cup_ul = dice.choice((1_000_000, 500_000, 50_000, 49_999, 20_000_000, 20_000_001))
    kg_m3 = dice.choice((2050, 2210, 1000, 999, 3000, 3001, 2790))
    return commands.MeasureDensity(cup_ul=cup_ul, weight=weight(kg_m3 * cup_ul // 1000, division_mg=100))


def _pressed(dice: Random, player: Player) -> commands.Command:
    """What needs no look at the batch."""
    pressed: tuple[tuple[commands.Command, int], ...] = (
        (commands.StartTimer(), 5),
        (commands.DoneStep(confirmed=dice.random() < 0.3), 4),
        (commands.EnoughIn(), 3),
        (commands.SkipStep(reason=dice.choice(REASONS)), 3),
        (_cup(dice), 2),
        (commands.Pause(reason="door"), 2),
        (commands.TakeUp(), 2),
        (commands.ChangeWeighing(weighing=dice.choice(("bucket", "tub", "supply"))), 2),
        (commands.RunOut(material=_key(dice, player)), 1),
        (commands.WriteNote(text=dice.choice(REASONS)), 1),
        (commands.Finish(), 1),
        (commands.AcknowledgeSafety(), 1),
    )
    return dice.choices([each for each, _ in pressed], [weigh for _, weigh in pressed])[0]


DRAWS: tuple[tuple[Draw, int], ...] = (
    (_pressed, 27),
    (_book, 20),
    (_back, 14),
    (_reference, 12),
    (_extra, 8),
    (_judged, 6),
    (_remedy, 5),
    (_tub, 4),
    (_removed, 4),
    (_forward, 4),
    (_temperature, 4),
    (_portion, 3),
    (_swap, 3),
    (_way, 2),
)
