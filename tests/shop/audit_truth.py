"""Checked against what truly is there: each weight taken from the scale, each way out, and the end of the batch."""

from dataclasses import dataclass, field
from fractions import Fraction

from mixstation.batch.advice import signed_net_mg, stand
from mixstation.batch.events import (
    BatchFinished,
    Entry,
    MaterialRemoved,
    PortionTaken,
    ReferenceTaken,
    TubFilled,
    WayTaken,
    WeightRecorded,
)
from mixstation.batch.run import Run, TakeOutStep
from mixstation.batch.way import Way
from mixstation.recipe.model import Material, SplitStep
from tests.shop.audit_views import MOST_STEPS, as_told, is_waived
from tests.shop.bench import Bench
from tests.shop.broken import hold
from tests.shop.ledger import basis, drawn_mg, litres, voided, water_ratio
from tests.shop.yard import Setup

_ON_MASSES = frozenset(
    {"water-over", "water-over-ceiling", "water-under", "dose-over", "dose-over-cap", "dose-under"}
)


@dataclass(slots=True)
class Looked:
    """The truth when a start reading (or a full tub) was taken."""

    load_mg: int
    disturbed: int
    worked_ms: int
    division_mg: int
    serial: int


@dataclass(slots=True)
class TruthAudit:
    """Holds the bench's truth against what is booked."""

    bench: Bench
    setup: Setup
    references: dict[str, Looked] = field(default_factory=dict)
    tub: Looked | None = None
    budget_mg: dict[str, float] = field(default_factory=dict)
    last_serial: int = 0
    entry_count: int = 0

    def kept(self, run: Run, entry: Entry, *, serial: int, counted_mg: int, worked_ms: int, by: str) -> None:
        """An entry has just been kept.

        Args:
            run: The run after it.
            entry: The entry.
            serial: Of the newest reading of the link.
            counted_mg: Part of what is on the scale that a start reading was told to count into the dose.
            worked_ms: Simulated time gone by.
            by: "tick" or what was pressed.
        """
        fact = entry.fact
        self.entry_count = entry.seq
        if isinstance(fact, ReferenceTaken):
            if by == "tick":
                hold(
                    "I22",
                    serial >= self.last_serial + 8,
                    f"reading {serial} after {self.last_serial} as start",
                )
            self.references[fact.step] = self._now(fact.division_mg, serial, worked_ms)
            self.references[fact.step].load_mg -= counted_mg
        elif isinstance(fact, TubFilled) and fact.source == "scale":
            looked = self._net("tub", False, fact.step, fact.mass_mg, fact.division_mg, serial, worked_ms)
            self.tub = self._now(fact.division_mg, serial, worked_ms)
            self.tub.load_mg -= looked.load_mg if looked is not None else 0
        elif isinstance(fact, WeightRecorded | PortionTaken | MaterialRemoved):
            self._booked(run, entry, fact, serial, worked_ms)

    def resumed(self, run: Run, known_count: int, worked_ms: int) -> None:
        """Readings count from 1 again; what was stored as the program was killed has just happened.

        Args:
            run: As it was taken up.
            known_count: Entries that had been looked at.
            worked_ms: Simulated time gone by.
        """
        self.last_serial = 0
        for looked in self.references.values():
            looked.serial = 0
        for entry in run.entries[known_count:]:
            fact = entry.fact
            if isinstance(fact, ReferenceTaken):
                self.references[fact.step] = self._now(fact.division_mg, 0, worked_ms)
            elif isinstance(fact, WeightRecorded | TubFilled | PortionTaken | MaterialRemoved):
                # Nobody saw from what it was taken.
                self.bench.disturbed += 1
        self.entry_count = len(run.entries)

    def _booked(
        self,
        run: Run,
        entry: Entry,
        fact: WeightRecorded | PortionTaken | MaterialRemoved,
        serial: int,
        worked_ms: int,
    ) -> None:
        keys = [fact.material] if not isinstance(fact, PortionTaken) else list(run.content)
        if fact.source != "scale" or fact.step is None:
            for key in keys:
                # Beside the scale it is read off another display, often in whole grams.
                self._allow(key, max(self.setup.settings.division_mg, 500))
            return
        hold("I22", serial > self.last_serial, f"reading {serial} booked twice")
        self.last_serial = serial
        weighing = fact.weighing if isinstance(fact, WeightRecorded) else run.weighing
        out = not isinstance(fact, WeightRecorded)
        if isinstance(fact, WeightRecorded) and fact.weighing == "tub":
            self._tipped(fact, worked_ms)
        else:
            self._net(weighing or "bucket", out, fact.step, fact.mass_mg, fact.division_mg, serial, worked_ms)
        for key in keys:
            self._allow(key, self.allowed_mg(fact.division_mg, 60_000))

    def _net(
        self, weighing: str, out: bool, step: str, mass_mg: int, division_mg: int, serial: int, worked_ms: int
    ) -> Looked | None:
        """A net from the scale against what truly moved since the start reading."""
        looked = self.references.get(step)
        hold("I22", looked is not None, f"a weight for {step} without a start reading")
        assert looked is not None
        hold("I22", serial > looked.serial, f"reading {serial} not after the start reading {looked.serial}")
        if looked.disturbed != self.bench.disturbed:
            return looked
        moved = signed_net_mg(weighing, out, self.bench.net_on_scale_mg, looked.load_mg)  # type: ignore[arg-type]
        off = abs(moved - mass_mg)
        allowed = self.allowed_mg(max(division_mg, looked.division_mg), worked_ms - looked.worked_ms)
        hold("I23", off <= allowed, f"{mass_mg} mg booked, {moved} mg moved (allowed {allowed:.0f})")
        return looked

    def _tipped(self, fact: WeightRecorded, worked_ms: int) -> None:
        looked = self.tub
        if looked is None or looked.disturbed != self.bench.disturbed or fact.step is None:
            return
        reference = self.references[fact.step]
        moved = looked.load_mg - (self.bench.net_on_scale_mg - reference.load_mg)
        allowed = 2 * self.allowed_mg(fact.division_mg, worked_ms - reference.worked_ms)
        hold(
            "I23",
            abs(moved - fact.mass_mg) <= allowed,
            f"{fact.mass_mg} mg booked from the tub, {moved} mg went in",
        )

    def _now(self, division_mg: int, serial: int, worked_ms: int) -> Looked:
        return Looked(
            load_mg=self.bench.net_on_scale_mg,
            disturbed=self.bench.disturbed,
            worked_ms=worked_ms,
            division_mg=division_mg,
            serial=serial,
        )

    def allowed_mg(self, division_mg: int, took_ms: int) -> float:
        """Rounding of two readings, what steadiness lets pass, noise, drift, and a hand that is still pouring."""
        make = self.setup.make
        if make is None:
            return division_mg
        division_mg = max(division_mg, self.bench.coarsest_mg)
        drift = abs(make.drift_mg_s) * took_ms / 1000 + (division_mg * 2 if make.tracks_zero else 0)
        running = 5_000 * (0.6 + make.lag_s) if self.bench.pouring else 0
        return division_mg * (2.5 + 4 * make.lag_s) + 8 * make.noise_mg + drift + running

    def _allow(self, key: str, mass_mg: float) -> None:
        self.budget_mg[key] = self.budget_mg.get(key, 0.0) + mass_mg

    def ended(self, run: Run) -> None:
        """At the end: in its bands or said why, and what is booked is what is there."""
        finish = run.entries[-1].fact if isinstance(run.entries[-1].fact, BatchFinished) else None
        if finish is not None:
            _bands(run, finish)
        bench = self.bench
        if bench.untold or bench.mix_untold or bench.disturbed:
            return
        # Thrown away in the middle of a pour, what was poured till then is in no entry.
        poured = getattr(run.step, "material", "") if run.ended == "discarded" else ""
        for key, mass in run.content.items():
            if key == poured:
                continue
            off = abs(mass - bench.content[key])
            allowed = self.budget_mg.get(key, 0.0) + 1
            hold(
                "I23", off <= allowed, f"{key}: {float(mass)} mg booked, {float(bench.content[key])} mg is in"
            )


def conceded(before: Run, finish: BatchFinished, division_mg: int) -> None:
    """Whatever stands that is more than a note was conceded, in a finish or a way."""
    stood = {flag.code for flag in stand(before, division_mg).flags if flag.gravity != "note"}
    left = stood - set(finish.accepted) - before.gives_up
    hold("I13", not left, f"{left} stood and were not conceded")


def _bands(run: Run, finish: BatchFinished) -> None:
    """Every dose and the water ratio are inside, or the record says that they are not and why that will do."""
    recipe, content = run.recipe, run.content
    excused = set(finish.accepted) | run.gives_up
    if finish.accepted:
        hold("I13", finish.concession.strip(), "flags stand and nothing was conceded")
    for material in recipe.materials:
        skipped = any(
            getattr(step, "material", "") == material.key and step.key in run.skipped for step in run.steps
        )
        if material.dose is None or skipped or material.key in run.ran_out:
            continue
        low, high = dose_ends(material)
        dosed = content[material.key] * material.counted_share
        under = basis(recipe, content, material.dose.of)
        if not under:
            # Nothing to hold it against; that there is none is in the record.
            hold("I10", run.ran_out or run.skipped or run.void, f"{material.key} on nothing")
            continue
        slack = _half_division(run, material.key) * material.counted_share
        if dosed > high * under + slack:
            hold(
                "I10",
                excused & {"dose-over", "dose-over-cap"},
                f"{material.key} over",
            )
        if dosed < low * under - slack:
            hold("I10", excused & {"dose-under", "dose-missing"}, f"{material.key} under")
    ratio = water_ratio(recipe, content)
    if ratio is not None and ratio > recipe.water.ceiling:
        hold("I11", "water-over-ceiling" in excused, f"water {float(ratio):.4f}")
    elif ratio is not None and ratio > recipe.water.most:
        hold("I11", excused & {"water-over", "water-unsure"}, f"water {float(ratio):.4f}")


def dose_ends(material: Material) -> tuple[Fraction, Fraction]:
    """From where to where a dose is right, by the recipe alone."""
    dose = material.dose
    assert dose is not None
    low = dose.least if dose.least is not None else dose.fraction * (1 - material.tolerance.under)
    high = dose.most if dose.most is not None else dose.fraction * (1 + material.tolerance.over)
    return low, high


def _half_division(run: Run, key: str) -> Fraction:
    void = voided(run.entries)
    divisions = [
        entry.fact.division_mg
        for entry in run.entries
        if entry.seq not in void and isinstance(entry.fact, WeightRecorded) and entry.fact.material == key
    ]
    return Fraction(max(divisions, default=0), 2)


def ways_fit(run: Run, ways: tuple[Way, ...], division_mg: int) -> None:
    """A way that is offered as open keeps to the bucket, the shelf and the scale, and asks for nothing below none."""
    for way in ways:
        masses = {amount.material: Fraction(amount.mass_mg) for amount in way.totals}
        hold("I2", all(mass >= 0 for mass in masses.values()), f"{way.kind} ends below nothing")
        hold("I8", all(amount.mass_mg > 0 for amount in way.additions), f"{way.kind} adds nothing or less")
        hold("I7", all(a.mass_mg % division_mg == 0 for a in way.additions), f"{way.kind} not in divisions")
        if way.hindrances or way.kind in ("leave", "discard"):
            continue
        room_l = run.start.bucket_l * run.start.fill_limit
        hold("I8", litres(run.recipe, masses) <= room_l + 1e-4, f"{way.kind} over {room_l} l")
        for amount in run.start.stock:
            left = max(0, amount.mass_mg - drawn_mg(run.entries, amount.material))
            added = sum(a.mass_mg for a in way.additions if a.material == amount.material)
            hold("I8", added <= left, f"{way.kind} adds {added} of {left} mg {amount.material}")
        ratio = water_ratio(run.recipe, masses)
        if ratio is not None and not way.gives_up and not run.gives_up & {"water-over", "water-over-ceiling"}:
            rule = run.recipe.water
            hold("I8", ratio <= rule.most, f"{way.kind} ends at {float(ratio):.4f}")


def way_leads_inside(run: Run, taken: WayTaken, division_mg: int) -> None:
    """What a way promised, done as told, ends inside."""
    if taken.way in ("leave", "discard") or taken.gives_up:
        return
    for _ in range(MOST_STEPS):
        if run.step is None:
            break
        run = as_told(run, division_mg)
    split = any(isinstance(step, SplitStep | TakeOutStep) for step in run.steps)
    outside = [
        flag for flag in stand(run, division_mg).flags if flag.code in _ON_MASSES and not is_waived(run, flag)
    ]
    hold("I4", split or not outside, f"way {taken.way} ends with {outside}")
