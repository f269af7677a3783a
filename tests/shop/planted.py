"""Planted bugs: each breaks the program in one place, as a slip of its makers might, and a check must find it."""

import contextlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any
from unittest import mock

from mixstation.batch import advice, decide_weighing, decide_work, flags, run
from mixstation.batch.events import BatchFinished, ReferenceTaken, WeightRecorded
from mixstation.batch.moment import Live
from mixstation.batch.run import Run
from mixstation.batch.ways.limits import Limits
from mixstation.record import journal
from mixstation.scale import receiver
from mixstation.station import by_itself, keeper, present, watch, work
from mixstation.station.by_itself import ByItself
from mixstation.station.keeper import Keeper
from mixstation.station.scene import Scene
from tests.shop.yard import Mood


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted:
    """One bug.

    Attributes:
        name: What it does.
        rules: The invariants that may find it.
        mood: Of the seeds it is looked for in.
        owner: Where it is planted: a module or a class.
        member: The name that is put over.
        bug: What is put there, made from what was there.
        seed: The first it is looked for in: one that is known to find it.
    """

    name: str
    rules: tuple[str, ...]
    owner: object
    member: str
    bug: Callable[[Any], Any]
    mood: Mood | None = None
    seed: int = 0

    @contextlib.contextmanager
    def there(self) -> Iterator[None]:
        """The bug is in the program meanwhile."""
        with mock.patch.object(self.owner, self.member, self.bug(getattr(self.owner, self.member))):
            yield


def _booked_twice(keep: Any) -> Any:
    def kept(self: Any, *facts: Any) -> None:
        twice = [again for fact in facts for again in (fact, fact) if isinstance(fact, WeightRecorded)]
        keep(self, *(twice or facts))

    return kept


def _as_if_live(live: Any) -> Any:
    """A reading is believed however old it is."""

    def lives(self: Any, now_s: float) -> Live:
        seen: Live = live(self, now_s)
        newest = self._link.latest()
        if seen.state == "stale" and newest is not None:
            return replace(seen, state="steady", mass_mg=newest.mass_mg)
        return seen

    return lives


def _pounds_as_kilograms(weigh: Any) -> Any:
    def weighed(shown: Any, steps: Any) -> Any:
        return weigh(replace(shown, unit="kg"), steps)

    return weighed


def _below_nothing(dosing: Any) -> Any:
    """What is too much comes out as less than nothing to add."""

    def dosed(of: Run, projection: Any, step: Any, division_mg: int) -> Any:
        dose = dosing(of, projection, step, division_mg)
        if dose is None or dose.exact_mg:
            return dose
        return replace(dose, exact_mg=Fraction(-division_mg), target_mg=-division_mg)

    return dosed


def _unrounded(dosing: Any) -> Any:
    def dosed(*given: Any) -> Any:
        dose = dosing(*given)
        return dose and replace(dose, target_mg=round(dose.exact_mg))

    return dosed


def _too_much(dosing: Any) -> Any:
    """A tenth more than is right is asked for."""

    def dosed(of: Run, projection: Any, step: Any, division_mg: int) -> Any:
        dose = dosing(of, projection, step, division_mg)
        target_mg = dose and round(dose.target_mg * 1.1 / division_mg) * division_mg
        return dose and replace(dose, target_mg=target_mg, high_mg=max(dose.high_mg, target_mg))

    return dosed


def _loses_every_ninth(stored: Any) -> Any:
    def kept(self: Keeper, entries: Any) -> Any:
        return True if any(entry.seq % 9 == 0 for entry in entries) else stored(self, entries)

    return kept


def _to_the_gram(apply: Any) -> Any:
    """The running batch is rounded, its replay is not."""

    def applied(before: Run, entry: Any) -> Run:
        after: Run = apply(before, entry)
        rounded = {key: Fraction(round(mass / 1000) * 1000) for key, mass in after.content.items()}
        return replace(after, content=rounded)

    return applied


def _only_the_first(voided: Any) -> Any:
    def void(entries: Any) -> Any:
        return frozenset(min((seq,), default=seq) for seq in sorted(voided(entries))[:1])

    return void


def _wall_clock(_: Any) -> Any:
    return lambda since, now: max(0, now.utc_ms - since.utc_ms) / 1000


def _without_consent(_: Any) -> Any:
    return lambda *_: BatchFinished(accepted=(), concession="")


def _shelf_without_end(limits_of: Any) -> Any:
    def limits(*given: Any, **more: Any) -> Limits:
        found: Limits = limits_of(*given, **more)
        return replace(found, stock_mg={}, bucket_l=0.0)

    return limits


def _typed_as_read(typed: Any) -> Any:
    return lambda self, *told: replace(typed(self, *told), source="scale")


def _as_they_say(title_words: Any) -> Any:
    return lambda scene: f"{title_words(scene)}\x1b[2J"


def _twice_in_store(_: Any) -> Any:
    def stored(self: Any, batch_id: str, events: Any) -> Any:
        held_count = len(self.events(batch_id))
        again = [replace(event, seq=held_count + place) for place, event in enumerate(events, start=1)]
        return self.append(batch_id, again)

    return stored


def _forgets_the_newest(stored_entries: Any) -> Any:
    return lambda store, batch_id: stored_entries(store, batch_id)[:-1]


def _reference_as_asked(reference: Any) -> Any:
    """Whatever the bucket weighs is taken for what it should weigh."""

    def taken(of: Run, command: Any) -> ReferenceTaken:
        fact: ReferenceTaken = reference(of, replace(command, confirmed=True))
        return fact

    return taken


def _stumbles(learn: Any) -> Any:
    def learned(self: Any, net: Any, live: Live) -> None:
        learn(self, net, live)
        if live.state == "fault" or (net is not None and net.place == "over"):
            raise ZeroDivisionError("flow")

    return learned


class NoLock:
    """A lock that keeps nobody out."""

    def __init__(self, path: object) -> None:
        self.path = path

    def in_place(self) -> bool:
        return True

    def release(self) -> None:
        """Nothing to let go."""


BUGS = (
    Planted(
        name="a weight is booked twice",
        rules=("I22", "I24"),
        seed=22,
        owner=work.Work,
        member="keep",
        bug=_booked_twice,
    ),
    Planted(
        name="a stale reading is booked",
        rules=("I21", "I22", "I23", "I32"),
        seed=33,
        owner=watch.ScaleWatch,
        member="live",
        bug=_as_if_live,
        mood="wild",
    ),
    Planted(
        name="pounds are read as kilograms",
        rules=("I21", "I23", "I35", "I36"),
        owner=receiver,
        member="weigh",
        bug=_pounds_as_kilograms,
    ),
    Planted(
        name="less than nothing is asked for",
        rules=("I3",),
        owner=advice,
        member="dosing",
        bug=_below_nothing,
    ),
    Planted(
        name="the target is no multiple of the division",
        rules=("I7",),
        owner=advice,
        member="dosing",
        bug=_unrounded,
    ),
    Planted(
        name="a tenth too much is asked for",
        rules=("I3", "I4"),
        seed=11,
        owner=advice,
        member="dosing",
        bug=_too_much,
    ),
    Planted(
        name="every ninth event is lost",
        rules=("I14", "I20"),
        owner=Keeper,
        member="_stored",
        bug=_loses_every_ninth,
    ),
    Planted(
        name="the running batch drifts from its replay",
        rules=("I1", "I16"),
        owner=keeper,
        member="apply",
        bug=_to_the_gram,
    ),
    Planted(
        name="taking back voids only one entry",
        rules=("I1", "I31"),
        owner=run,
        member="_voided",
        bug=_only_the_first,
    ),
    Planted(
        name="more than the bucket holds is asked for",
        rules=("I5",),
        seed=27,
        owner=flags,
        member="room_flags",
        bug=lambda _: lambda *_: (),
    ),
    Planted(
        name="the ceiling is passed without a question",
        rules=("I12",),
        seed=3,
        owner=decide_weighing,
        member="_over_limits",
        bug=lambda _: lambda *_: (),
        mood="wild",
    ),
    Planted(
        name="a flag is shown and not recorded",
        rules=("I29",),
        owner=ByItself,
        member="raise_flags",
        bug=lambda _: lambda *_: False,
    ),
    Planted(
        name="a control character is shown",
        rules=("I33",),
        owner=present,
        member="title_words",
        bug=_as_they_say,
    ),
    Planted(
        name="a typed weight passes for one from the scale",
        rules=("I28",),
        owner=Scene,
        member="typed",
        bug=_typed_as_read,
    ),
    Planted(
        name="mixing is timed by the wall clock",
        rules=("I25", "I26"),
        seed=14,
        owner=advice,
        member="worked_s",
        bug=_wall_clock,
        mood="wild",
    ),
    Planted(
        name="the start reading is not waited for",
        rules=("I22",),
        owner=by_itself,
        member="FRESH_COUNT",
        bug=lambda _: 0,
    ),
    Planted(
        name="a bucket that disagrees is not asked about",
        rules=("I22",),
        seed=6,
        owner=decide_weighing,
        member="allowed_mg",
        bug=lambda _: lambda *_: Fraction(10**9),
    ),
    Planted(
        name="flags that stand are not conceded",
        rules=("I10", "I11", "I13"),
        owner=decide_work,
        member="finished",
        bug=_without_consent,
    ),
    Planted(
        name="ways go beyond shelf and bucket",
        rules=("I8",),
        seed=6,
        owner=work,
        member="limits_of",
        bug=_shelf_without_end,
        mood="wild",
    ),
    Planted(
        name="an event is stored twice",
        rules=("I18", "I19", "I20"),
        seed=7,
        owner=journal.Journal,
        member="append_once",
        bug=_twice_in_store,
        mood="wild",
    ),
    Planted(
        name="the newest event is gone after a kill",
        rules=("I14", "I16", "I20"),
        owner=keeper,
        member="stored_entries",
        bug=_forgets_the_newest,
        mood="wild",
    ),
    Planted(
        name="a second instance may write",
        rules=("I27",),
        seed=48,
        owner=journal,
        member="FolderLock",
        bug=lambda _: NoLock,
        mood="wild",
    ),
    Planted(
        name="an exception gets out of the session",
        rules=("I34",),
        seed=7,
        owner=watch.ScaleWatch,
        member="learn",
        bug=_stumbles,
    ),
)
