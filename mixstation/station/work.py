"""The batch at hand: how it looks this moment, and the only way anything is added to it."""

from dataclasses import replace

from mixstation.batch.advice import Advice, Cue, Standing, advise, signed_net_mg, stand, take_out_mg
from mixstation.batch.commands import NoteKey
from mixstation.batch.events import Fact, MovedMass, ReferenceTaken, ScaleChanged
from mixstation.batch.moment import Live, Moment
from mixstation.batch.reconcile import allowed_mg
from mixstation.batch.run import Run
from mixstation.batch.vessels import ZERO_DIVISIONS, may_be_set_down_later, moved_by_key
from mixstation.batch.way import Way
from mixstation.batch.ways import limits_of, ways_out
from mixstation.scale.key_press import KeyWatch
from mixstation.station.bench import Settings
from mixstation.station.clocks import Clock
from mixstation.station.counted import last_heard, unit_factor
from mixstation.station.keeper import Keeper
from mixstation.station.scene import Scene
from mixstation.station.set_down import SetDown
from mixstation.station.watch import ScaleWatch
from mixstation.wording.error_lines import reason
from mixstation.wording.words import Speech

# After one of these the hand is not told to hurry again in this pour.
_SLOWED: tuple[Cue, ...] = ("slow", "stop", "over")


# Choice: nearer than this two units are one.
SAME_UNIT = 0.01


class Work:
    """A batch with its clock and its scale. Used from one thread.

    Attributes:
        ways_trouble: Why the ways out could not be worked out the last time, "" where they could.
        booked_serial: Serial of the newest reading when the last weight was booked.
    """

    def __init__(self, keeper: Keeper, clock: Clock, watch: ScaleWatch | None, settings: Settings) -> None:
        """Look at a batch for the first time."""
        self.keeper = keeper
        self.watch = watch
        self.settings = settings
        self.ways_trouble = ""
        self.booked_serial = 0
        self._clock = clock
        self._standing: Standing | None = None
        self._cue: Cue = ""
        self._heard = last_heard(keeper.run)
        self._keys = KeyWatch()
        self._factor = unit_factor(keeper.run)
        self._zeroed: NoteKey | None = None
        self._set_down = SetDown()
        self.moment = clock.moment()
        self._scene = self._seen()

    @property
    def run(self) -> Run:
        """The batch as it stands."""
        return self.keeper.run

    @property
    def scene(self) -> Scene:
        """How it looked at the last look, with all facts kept since."""
        if self._scene.run is not self.run:
            self.look()
        return self._scene

    @property
    def heard(self) -> tuple[str, int] | None:
        """The step at hand, and how much of it was in when the scale was last heard; None where it never was."""
        step = self.run.step
        return (
            self._heard
            if self._heard is not None and step is not None and self._heard[0] == step.key
            else None
        )

    def key_pressed(self) -> NoteKey | ScaleChanged | None:
        """The next key of the scale that was surely pressed: as it is noted, or the unit it shows from now on."""
        press = None
        if self.watch is not None:
            vessels_mg = tuple(vessel.empty_mg for vessel in self.run.start.vessels)
            press = self._keys.pressed(self.watch.recent(), vessels_mg)
        if press is None:
            return None
        counted_mg = self._counted_mg(press.shown_mg - press.by_mg)
        step = None if self.run.step is None or counted_mg is None else self.run.step.key
        counted_mg = max(0, counted_mg or 0)
        if press.key == "unit":
            factor = float(self._factor * press.factor)
            if abs(factor - 1) < SAME_UNIT:
                return ScaleChanged(state="unit-right", detail="")
            self._heard = None if step is None else (step, counted_mg)
            return ScaleChanged(state="other-unit", detail="", step=step, heard_mg=counted_mg, factor=factor)
        note = NoteKey(
            key=press.key,
            by_mg=round(press.by_mg / self._factor),
            counted_mg=counted_mg,
            unsure_mg=press.unsure_mg,
        )
        if press.sure:
            return note
        self._zeroed = note
        return None

    def _counted_mg(self, shown_mg: int) -> int | None:
        """What was in of the dose at hand when the scale showed so much; None where no pour is under way."""
        step = self.run.step
        reference = None if step is None else self.run.references.get(step.key)
        if reference is None:
            return None
        return signed_net_mg(reference.weighing, self.scene.takes_out, shown_mg, reference.gross_mg)

    @property
    def link_state(self) -> str:
        """How the link to the scale stands; "" without one."""
        return self.watch.link_state() if self.watch is not None else ""

    def now(self) -> Moment:
        """What the clock says."""
        return self._clock.moment()

    def look(self) -> None:
        """Read clock and scale and work out the advice of the moment."""
        self.moment = self.now()
        self._scene = self._seen()

    def keep(self, *facts: Fact) -> None:
        """Store facts and fold them in."""
        self.keeper.keep(*facts)
        live = self._scene.live
        if live is not None and any(isinstance(fact, MovedMass) for fact in facts):
            self.booked_serial = live.serial
        if any(isinstance(fact, MovedMass | ReferenceTaken) for fact in facts):
            self._heard = self._zeroed = None
        self._factor = unit_factor(self.run)
        if any(isinstance(fact, ReferenceTaken) for fact in facts):
            # Another pour: what the hand was told before does not bind it.
            self._cue = ""
        self.look()

    def ways(self, run: Run | None = None) -> tuple[Way, ...]:
        """The ways out of the batch as it stands, or as it would stand; none where they could not be worked out."""
        of, advice = run or self.run, self.scene.advice
        working = advice.working
        left_s = None if working.since_s is None else int(working.low_s - working.since_s)
        divisions_mg = {key: of.division_of(key, advice.standing.division_mg) for key in of.content}
        self.ways_trouble = ""
        try:
            return ways_out(of, limits_of(of, divisions_mg, left_s, stiffening=advice.sets))
        except Exception as error:
            # The mix does not wait for a search that failed: guidance goes on, and the mixer is told.
            self.ways_trouble = reason(error)
            return ()

    def _seen(self) -> Scene:
        live = self.watch.live(self.moment.mono_ms / 1000) if self.watch is not None else None
        if live is not None and self._factor != 1:
            live = replace(live, mass_mg=None, state="stale", other_unit=True)
        standing = self._stood(self._division_mg(live))
        preact_s = self.watch.preact_s if self.watch is not None else 0.0
        advice = self._cue_held(advise(standing, self.moment, live, preact_s, slowed=self._cue in _SLOWED))
        off = _vessel_off(advice, live)
        if off:
            advice = replace(advice, net=None)
        self._cue = "" if advice.net is None else advice.net.cue
        step = advice.standing.step
        if step is not None and advice.net is not None:
            self._heard = (step.key, advice.net.net_mg)
        if self.watch is not None and live is not None:
            self.watch.learn(advice.net, live)
        return Scene(
            advice=advice,
            speech=Speech(units=self.settings.units, division_mg=standing.division_mg),
            decimal_comma=self.settings.decimal_comma,
            live=live,
            has_scale=live is not None and self._answers(live),
            vessel_off=off,
            stood_mg=self._stood_mg(standing, live),
            scale_set=self.watch is not None,
            zeroed=self._zeroed if off else None,
            last_heard_mg=None if self.heard is None else self.heard[1],
        )

    def _stood_mg(self, standing: Standing, live: Live | None) -> int | None:
        """What stood there at once after the start reading of the step at hand, where that is borne out by nothing."""
        step, run = standing.step, self.run
        reference = None if step is None else run.references.get(step.key)
        if self.watch is None or live is None or live.mass_mg is None:
            return self._set_down.stood_mg(reference, ()) if reference is not None else None
        doubted = reference is not None and may_be_set_down_later(run, reference)
        return self._set_down.stood_mg(reference if doubted else None, self.watch.recent())

    def _cue_held(self, advice: Advice) -> Advice:
        """A hand that was told to stop is not told to go on before what is in the air has landed."""
        net = advice.net
        if net is None or net.steady or self._cue != "stop" or net.cue not in ("pour", "slow"):
            return advice
        return replace(advice, net=replace(net, cue="stop"))

    def _stood(self, division_mg: int) -> Standing:
        """What the facts say: worked out anew only when they or the scale's division have changed."""
        kept = self._standing
        if kept is None or kept.run is not self.run or kept.division_mg != division_mg:
            kept = self._standing = stand(self.run, division_mg)
        return kept

    def _division_mg(self, live: Live | None) -> int:
        """Of the main scale: as its digits show it, in twos or fives of the last one where the file says so."""
        on_file = self.run.start.scale
        begun = self.run.start.settings
        said_anew = begun is not None and self.settings.division_mg != begun.division_mg
        filed_mg = self.settings.division_mg if on_file is None or said_anew else on_file.division_mg
        if live is None or not live.division_mg:
            return filed_mg
        counts_in = filed_mg // live.division_mg
        is_of_it = on_file is not None and filed_mg == counts_in * live.division_mg and 1 < counts_in < 10
        return filed_mg if is_of_it else live.division_mg

    def _answers(self, live: Live) -> bool:
        """Whether the scale can be asked for a weight; a moment's silence on a live line changes no question."""
        return live.state in ("steady", "moving", "fault") or (
            live.state == "stale" and self.link_state == "live" and not live.other_unit
        )


def _vessel_off(advice: Advice, live: Live | None) -> bool:
    """Whether what stood on the scale is off it: far less is shown than before the pour, or nothing where it falls.

    However much was taken from a supply or a bucket, its vessel still weighs something.
    """
    net, standing, run = advice.net, advice.standing, advice.standing.run
    if net is None or live is None or live.mass_mg is None or standing.step is None:
        return False
    if net.net_mg < -allowed_mg(run.in_bucket_mg, standing.division_mg):
        return True
    reference = run.references[standing.step.key]
    if moved_by_key(run, reference):
        return False
    falls = signed_net_mg(reference.weighing, take_out_mg(standing) is not None, 0, 1) > 0
    nothing_mg = ZERO_DIVISIONS * standing.division_mg
    # One that weighed less than is to come from it was set to zero as it stood.
    asked_mg = standing.dosing.target_mg if standing.dosing is not None else take_out_mg(standing) or 0
    return falls and live.mass_mg <= nothing_mg and reference.gross_mg > max(nothing_mg, asked_mg)
