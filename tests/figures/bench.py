"""A batch played at the public door, and what is kept of every command: in short what was done, in digits the rest."""

from dataclasses import dataclass, field, fields, replace
from typing import Any

from mixstation.batch.advice import Advice, Standing, advise, take_out_mg
from mixstation.batch.commands import Command
from mixstation.batch.consistency import remedy, sets
from mixstation.batch.decide import decide
from mixstation.batch.decide_weighing import most_beside_mg
from mixstation.batch.events import DensityMeasured, Entry, Fact, Verdict
from mixstation.batch.moment import Live
from mixstation.batch.phase import phase
from mixstation.batch.ratio_place import expanded_up, place_of_ratio
from mixstation.batch.reconcile import expected_gross_mg, lifted_mg, reconciliation_mg
from mixstation.batch.refusal import Refusal
from mixstation.batch.run import Run, apply, fold
from mixstation.batch.ways import limits_of
from mixstation.batch.wet_density import wet_density
from tests.batch.making import Bench
from tests.figures.compared import digest, plain
from tests.figures.mixes import Mix

# What the digits of a command stand for, in order.
SECTIONS = ("decided", "targets", "dose", "flags", "moment", "run")
# Choice: so few digits let one change in sixteen million pass.
DIGITS = 6
VERDICTS: tuple[Verdict, ...] = ("too-stiff", "right", "too-loose", "stiff-and-warm")
# The scale against the reference: how far off a limit, how fast it runs.
FLOWS_G_S = (0.0, 4.0, 40.0)


@dataclass
class Player(Bench):
    """A bench that keeps what every command came to."""

    kept: list[tuple[str, dict[str, Any]]] = field(default_factory=list)

    def tell(self, *facts: Fact) -> None:
        """Facts stored as they are; that folding anew gives the same is looked at once, at the end."""
        for fact in facts:
            entry = Entry(seq=len(self.run.entries) + 1, stamp=self.hands.stamp(), fact=fact)
            self.run = apply(self.run, entry)

    def tries(self, command: Command) -> tuple[Fact, ...] | Refusal:
        """Give a command, a second after the last."""
        self.hands.go(1)
        decided = decide(self.advice, command)
        if not isinstance(decided, Refusal):
            self.tell(*decided)
        self.keeps(type(command).__name__, decided)
        return decided

    def happens(self, *facts: Fact) -> None:
        """Facts that no command asks for."""
        self.tell(*facts)
        self.keeps("", facts)

    def waits(self, seconds: float) -> None:
        """Time passes, and the advice is looked at."""
        self.hands.go(seconds)
        self.keeps(f"wait {seconds:g}", ())

    def keeps(self, done: str, decided: tuple[Fact, ...] | Refusal) -> None:
        """Keep how it stands now."""
        codes = [each.kind for each in decided] if isinstance(decided, tuple) else [f"!{decided.code}"]
        head = f"{done}: {' '.join(codes)}; {phase(self.run)} {self.step}"
        self.kept.append((head, {"decided": plain(decided), **standing(self)}))

    def notes(self, head: str, data: object) -> None:
        """Keep something besides."""
        self.kept.append((head, {section: plain(data) for section in SECTIONS[:1]}))

    @property
    def lines(self) -> list[str]:
        """What was kept, a line a command."""
        assert fold(self.run.entries) == self.run
        return [f"{head}; {_digits(whole)}" for head, whole in self.kept]


def begun(of: Mix, division_mg: int = 1000, **fields: object) -> Player:
    """A batch begun, the safety text behind the mixer."""
    player = Player.begin(of[0], of[1], division_mg, **fields)  # type: ignore[arg-type]
    assert isinstance(player, Player)
    return player


def _digits(whole: dict[str, Any]) -> str:
    return " ".join(digest(whole[section], DIGITS) for section in SECTIONS if section in whole)


def standing(bench: Bench) -> dict[str, Any]:
    """All that is told of a batch as it stands, by section."""
    advice, run, found = bench.advice, bench.run, bench.standing
    projection = found.projection
    return {
        "targets": plain(projection) | _places(bench),
        "dose": plain(
            [found.dosing, take_out_mg(found), found.apart, _coming(found.coming), _if_sets(found)]
        ),
        "flags": [_flag(each) for each in advice.flags],
        "moment": _moment(bench, advice),
        "run": _run(run, bench.division_mg),
    }


def _coming(coming: Any) -> list[Any]:
    return [[step.key, mass] for step, mass in coming]


def _if_sets(found: Standing) -> list[Any] | None:
    dry = found.if_sets
    return None if dry is None else [dry.phase, dry.projection, _coming(dry.coming), dry.flags]


def _flag(flag: Any) -> list[Any]:
    return [flag.gravity, flag.about, plain(flag)]


def _places(bench: Bench) -> dict[str, Any]:
    """Where the ratio stands, how sure; how much more of each may be in before it is asked about."""
    run, projection = bench.run, bench.projection
    water, ratio = run.recipe.water, projection.ratio
    place = None if ratio is None else place_of_ratio(ratio, projection.expanded, water.least, water.most)
    beside = [most_beside_mg(run, projection, key) for key in run.content]
    return {"place": place, "told": str(expanded_up(projection.expanded)), "beside": beside}


def _moment(bench: Bench, advice: Advice) -> list[Any]:
    """Times, what the scale says at every limit, and what helps a mix that moves so."""
    told: list[Any] = [phase(bench.run), advice.standing.phase, advice.sets]
    told += [advice.working, advice.timing, advice.net]
    told += [sets(bench.run, past_time=past) for past in (False, True)]
    if bench.step in bench.run.references:
        told.append(_readings(bench))
    if advice.standing.phase in ("judge", "release-judge", "release-rest", "setting", "finish"):
        divisions = {key: bench.run.division_of(key, bench.division_mg) for key in bench.run.content}
        told += [
            remedy(bench.run, verdict, divisions, past_time=past)
            for verdict in VERDICTS
            for past in (False, True)
        ]
        coarse = {key: 20 * division for key, division in divisions.items()}
        told.append(remedy(bench.run, "too-stiff", coarse))
    return [plain(each) for each in told]


def _readings(bench: Bench) -> list[Any]:
    """The net and the cue at every limit of the dose, poured slowly and fast, and a scale that fails."""
    run, found, moment = bench.run, bench.standing, bench.hands.moment()
    reference, out_mg = run.references[bench.step], take_out_mg(found)
    falls = -1 if reference.weighing == "supply" or (out_mg and reference.weighing == "bucket") else 1
    if found.dosing is not None:
        nets = (found.dosing.target_mg, found.dosing.low_mg, found.dosing.high_mg)
    else:
        slack = max(bench.division_mg, (out_mg or 0) // 50)
        nets = (out_mg or 0, (out_mg or 0) - slack, (out_mg or 0) + slack)
    masses = [0, nets[0] // 2, *(net + by for net in nets for by in (-1, 0, 1))]
    told: list[Any] = []
    for net_mg in masses:
        for flow_g_s in FLOWS_G_S:
            live = _live(bench, reference.gross_mg + falls * net_mg, "moving", flow_g_s)
            told.append(advise(found, moment, live, slowed=flow_g_s == 4.0).net)
        told.append(advise(found, moment, _live(bench, reference.gross_mg + falls * net_mg), 1.5).net)
    odd = [_live(bench, 0, state) for state in ("stale", "fault", "none")]
    odd.append(replace(_live(bench, reference.gross_mg), division_mg=reference.division_mg + 1))
    for live in odd:
        told.append([advise(found, moment, live).net, advise(found, moment, live).flags])
    return told


def _live(bench: Bench, mass_mg: int, state: str = "steady", flow_g_s: float = 0.0) -> Live:
    return Live(
        mass_mg=mass_mg,
        division_mg=bench.division_mg,
        state=state,
        flow_mg_s=1000 * flow_g_s,
        shown="ST",
        serial=1,
    )


def _run(run: Run, division_mg: int) -> list[Any]:
    """What the facts add up to."""
    beside = ("entries", "start")
    keys = list(run.content)
    divisions = {key: run.division_of(key, division_mg) for key in keys}
    told: list[Any] = [
        {each.name: getattr(run, each.name) for each in fields(run) if each.name not in beside},
        [[run.due(key), run.pending(key)] for key in keys],
        [run.in_bucket_mg, run.fibres_in, run.takes_out_first, run.in_remedy],
        [expected_gross_mg(run), lifted_mg(run, run.in_bucket_mg), reconciliation_mg(run)],
        limits_of(run, divisions, 60, stiffening=False),
    ]
    last = run.entries[-1].fact
    if isinstance(last, DensityMeasured):
        told.append(wet_density(run.recipe, run.content, last, run.in_bucket_mg))
    return [plain(each) for each in told]
