"""What happens to a batch without an answer: late facts stored, changes around it noted, and what is due."""

from dataclasses import replace
from fractions import Fraction

from mixstation.batch.commands import (
    Book,
    BookExtra,
    Command,
    FillTub,
    NoteKey,
    StartTimer,
    TakeReference,
    Weight,
)
from mixstation.batch.drips import DRIPS_S, LEAST_DOSE_DIVISIONS, dripped_mg, last_dose
from mixstation.batch.events import (
    ClockStepped,
    EntryTakenBack,
    FlagRaised,
    ReferenceTaken,
    ScaleChanged,
    WeightRecorded,
)
from mixstation.batch.moment import worked_s
from mixstation.batch.reconcile import allowed_mg, expected_gross_mg, may_be_noted
from mixstation.batch.run import Run
from mixstation.batch.vessels import moved_by_key
from mixstation.station.clocks import WallClock
from mixstation.station.scene import Scene, newest_deed, steady_weight
from mixstation.station.work import Work
from mixstation.units.tables import ROUNDING_MG
from mixstation.wording.counted_lines import DRIPPED
from mixstation.wording.flag_lines import flag_line
from mixstation.wording.ways import way_line

# Readings after the last booking before the scale is looked at again: a lagging display repeats the old weight.
FRESH_COUNT = 8
# Choice: what has not moved for so long has fallen, and is not the beginning of a pour.
STILL_S = 1.5
# Choice: a scale that wanders moves no faster and, before it is looked at again, no further; a hand pours faster.
CREEP_DIVISIONS_S, MOST_CREEP_DIVISIONS = 5, 4


class ByItself:
    """Looks after a batch between answers; `over_hint`: the first way out in words, while too much is poured."""

    def __init__(self, work: Work) -> None:
        """Look after this batch."""
        self._work = work
        self._wall = WallClock()
        self._steady_since_ms: int | None = None
        self._looked: tuple[int, str, int] | None = None
        self._noted: NoteKey | None = None
        self._still_since_ms: int | None = None
        self._begun: tuple[ReferenceTaken, bool] | None = None
        self.over_hint = ""

    def note(self) -> None:
        """Store what was held, and keep what has changed around the batch."""
        work = self._work
        work.keeper.flush()
        by_ms = self._wall.step_ms(work.now())
        if by_ms and not work.run.ended:
            # Before anything is reckoned from a clock that was set.
            work.keep(ClockStepped(by_ms=by_ms))
        work.look()
        change = work.watch.changed() if work.watch is not None else None
        if work.run.ended:
            return
        self._see_keys()
        if change is not None:
            heard = None if change[0] == "live" else work.heard
            step, heard_mg = (None, 0) if heard is None else heard
            work.keep(ScaleChanged(state=change[0], detail=change[1], step=step, heard_mg=heard_mg))

    def due(self, *, asking: bool) -> Command | None:
        """What is to be carried out now; `asking`: something beside the step at hand is being asked of the mixer."""
        noted, self._noted = self._noted, None
        if noted is not None:
            return noted
        if asking:
            return self._rest() or self._hands_free(asking=asking)
        return (
            self._rest()
            or self._drip()
            or self._reference()
            or self._creep()
            or self._hands_free(asking=asking)
        )

    def raise_flags(self) -> bool:
        """Every flag that is put before the mixer goes into the record, once; whether a grave one is new."""
        work = self._work
        run, scene = work.run, work.scene
        new = [flag for flag in scene.advice.flags if (flag.code, flag.about) not in run.raised]
        if not new or run.ended:
            return False
        work.keep(
            *(
                FlagRaised(
                    code=flag.code,
                    about=flag.about,
                    gravity=flag.gravity,
                    said=flag_line(run, flag, scene.speech),
                )
                for flag in new
            )
        )
        return any(flag.gravity == "stop" for flag in new)

    def hint(self) -> None:
        """Work the first way out anew as the pour runs on, never before "stop" has been shown."""
        scene = self._work.scene
        before, self._looked = self._looked, _looked(scene)
        if self._looked is None or scene.stood_mg is not None:
            self.over_hint = ""
        elif before is not None and (self._looked != before or not self.over_hint):
            ways = self._work.ways(_poured(scene))
            self.over_hint = way_line(ways[0], scene.run, scene.speech.units) if ways else ""

    def _see_keys(self) -> None:
        """Keys of the scale that were pressed: the unit it shows is kept at once, what moved its zero is due."""
        found = self._work.key_pressed()
        if isinstance(found, ScaleChanged):
            self._work.keep(found)
        elif found is not None and may_be_noted(self._work.run):
            self._noted = found

    def _rest(self) -> Command | None:
        """A rest begins when it is at hand, however that came about."""
        standing = self._work.scene.advice.standing
        step = standing.step
        begins = standing.phase == "resting" and step is not None and step.key not in self._work.run.timers
        return StartTimer() if begins else None

    def _drip(self) -> Command | None:
        """Drops of the last dose that fell in after it was booked belong to it."""
        scene, run = self._work.scene, self._work.run
        live, standing = scene.live, scene.advice.standing
        dose = last_dose(run)
        if (
            dose is None
            or live is None
            or live.mass_mg is None
            or standing.phase != "pour"
            or run.stands != "bucket"
        ):
            self._still_since_ms = None
            return None
        now = self._work.moment
        since_s = worked_s(dose.stamp, now) if dose.stamp.boot_id == now.boot_id else DRIPS_S + 1
        fell_mg = dripped_mg(run, live.mass_mg, scene.target_mg or 0, standing.division_mg, since_s)
        if not fell_mg or live.state != "steady" or standing.apart is not None:
            self._still_since_ms = None
            return None
        if self._still_since_ms is None:
            self._still_since_ms = now.mono_ms
        if now.mono_ms - self._still_since_ms < STILL_S * 1000:
            return None
        assert isinstance(dose.fact, WeightRecorded)
        weight = Weight(
            mass_mg=fell_mg,
            source="scale",
            shown=live.shown,
            division_mg=standing.division_mg,
            gross_mg=live.mass_mg,
            weighing="bucket",
        )
        return BookExtra(material=dose.fact.material, weight=weight, reason=DRIPPED, confirmed=True)

    def _creep(self) -> Command | None:
        """A scale that wanders before anything is poured: its start reading goes with it."""
        scene, run = self._work.scene, self._work.run
        standing, live, step = scene.advice.standing, scene.live, scene.advice.standing.step
        reference = None if step is None else run.references.get(step.key)
        if reference is None or live is None or live.mass_mg is None or scene.stood_mg is not None:
            self._begun = None
            return None
        moved_mg = abs(live.mass_mg - reference.gross_mg)
        division_mg = standing.division_mg
        if self._begun is None or self._begun[0] != reference:
            self._begun = (reference, moved_mg > division_mg + ROUNDING_MG)
        fast = (
            abs(live.flow_mg_s) > CREEP_DIVISIONS_S * division_mg
            or moved_mg > MOST_CREEP_DIVISIONS * division_mg
        )
        self._begun = (reference, self._begun[1] or fast)
        if self._begun[1] or live.state != "steady" or moved_mg <= division_mg + ROUNDING_MG:
            return None
        if (scene.target_mg or 0) < LEAST_DOSE_DIVISIONS * division_mg or moved_by_key(run, reference):
            return None
        return TakeReference(gross_mg=live.mass_mg, division_mg=division_mg, confirmed=True, coarse=True)

    def _reference(self) -> Command | None:
        """The reading before a pour: a fresh steady look that fits what the bucket should weigh.

        Only where something is to be weighed on this scale, with the bucket on it, known from an earlier pour and as
        heavy as the entries say.
        """
        scene = self._work.scene
        standing, run, live = scene.advice.standing, scene.run, scene.live
        step = standing.step
        if standing.phase not in ("pour", "take-out") or run.stands != "bucket" or step is None:
            return None
        if standing.apart is not None or not scene.target_mg or step.key in run.references:
            return None
        if live is None or live.mass_mg is None or live.state != "steady":
            return None
        if live.serial < self._work.booked_serial + FRESH_COUNT:
            return None
        expected = expected_gross_mg(run)
        if expected is None or abs(live.mass_mg - expected) > allowed_mg(
            run.in_bucket_mg, standing.division_mg
        ):
            return None
        if _start_taken_back(run) or self._still_since_ms is not None:
            # Drops that may be the last dose's are looked at first.
            return None
        return TakeReference(gross_mg=live.mass_mg, division_mg=standing.division_mg)

    def _hands_free(self, *, asking: bool) -> Command | None:
        """A steady weight inside its tolerance takes itself after a while."""
        scene, mono_ms = self._work.scene, self._work.moment.mono_ms
        after_s = self._work.settings.hands_free_s
        weight = steady_weight(scene)
        if weight is None or asking or not after_s or not _is_plain(scene):
            self._steady_since_ms = None
            return None
        if self._steady_since_ms is None:
            self._steady_since_ms = mono_ms
        if mono_ms - self._steady_since_ms < after_s * 1000:
            return None
        filling = scene.advice.standing.phase == "tub-fill"
        return FillTub(weight=weight) if filling else Book(weight=weight)


def _start_taken_back(run: Run) -> bool:
    """Whether a start reading was just taken back: the next is the mixer's to give."""
    newest = newest_deed(run)
    return isinstance(newest, EntryTakenBack) and any(
        isinstance(run.entries[seq - 1].fact, ReferenceTaken) for seq in newest.seqs
    )


def _is_plain(scene: Scene) -> bool:
    """Inside the tolerance of something asked for, on a scale that is fine enough for it, in the unit it was begun in,
    and not just taken back.
    """
    net, dosing = scene.advice.net, scene.advice.standing.dosing
    coarse = dosing is not None and scene.run.finer_scale(dosing.material, scene.advice.standing.division_mg)
    return (
        net is not None
        and not coarse
        and net.place == "inside"
        and net.net_mg > 0
        and bool(scene.target_mg)
        and scene.stood_mg is None
        and not any(flag.bars_taking for flag in scene.advice.flags)
        and not isinstance(newest_deed(scene.run), EntryTakenBack)
    )


def _looked(scene: Scene) -> tuple[int, str, int] | None:
    """What a hint was worked out for: it is worth another after every tenth of the dose, or once it stands still."""
    net, dosing = scene.advice.net, scene.advice.standing.dosing
    if net is None or dosing is None or net.place != "over":
        return None
    part = max(1, dosing.target_mg) // (50 if net.steady else 10)
    return net.net_mg // max(1, part), dosing.material, len(scene.run.entries)


def _poured(scene: Scene) -> Run:
    """The batch with what is on its way already in."""
    run, net, dosing = scene.run, scene.advice.net, scene.advice.standing.dosing
    assert net is not None
    assert dosing is not None
    mass = run.content[dosing.material] + Fraction(net.net_mg)
    return replace(run, content={**run.content, dosing.material: mass})
