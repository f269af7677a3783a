"""Checked on every view: what is advised, shown and raised, and whether the clocks behave."""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass

from mixstation.batch.advice import Advice, Standing, stand, take_out_mg
from mixstation.batch.dosing import Dosing, dosing
from mixstation.batch.events import Entry, Fact, MaterialRemoved, PortionTaken, StepDone, WeightRecorded
from mixstation.batch.flag import Flag
from mixstation.batch.flag.doses import DoseMissing, DoseOver, DoseUnder, WaterUnder
from mixstation.batch.flag.weighing import DoseBelowDivision
from mixstation.batch.run import Run, TakeOutStep, apply
from mixstation.batch.targets import project
from mixstation.recipe.model import AddStep, ReleaseStep, RestStep, SplitStep
from mixstation.station.scene import turn
from mixstation.station.view import View
from mixstation.units.parse import parse_mass_mg
from tests.shop.broken import hold
from tests.shop.ledger import drawn_mg, litres

_SHOWN_BADLY = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
# Flags that a whole dose may bring about although it was the one asked for: the scale's fault or the order's.
_NOT_OF_THE_DOSE = frozenset(
    {"water-unsure", "bucket-heavier", "bucket-lighter", "fibres-unscraped", "tub-not-weighed-back"}
)
MOST_STEPS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One view with what it was made from."""

    view: View
    advice: Advice
    mono_ms: int
    boot_ms: int
    boot_id: str


class ViewAudit:
    """Looks at each view as a front end gets it."""

    def __init__(self) -> None:
        self.view_count = 0
        self._before: Seen | None = None
        self._looked_at: tuple[int, int] | None = None
        self._clean: set[object] = set()

    def shown(self, seen: Seen) -> None:
        """A view has just been made."""
        self.view_count += 1
        view, advice = seen.view, seen.advice
        self._no_control_characters(view)
        self._flags_recorded(view, advice)
        self._timers(seen)
        self._figures(view, advice)
        standing = advice.standing
        looked_at = (turn(standing.run), standing.division_mg)
        if looked_at != self._looked_at:
            self._looked_at = looked_at
            self._advice(standing, {flag.code for flag in advice.flags} | standing.run.gives_up)
        self._before = seen

    def forget(self) -> None:
        """The program started again."""
        self._before = None

    def _no_control_characters(self, view: View) -> None:
        for part in _parts(view):
            if part in self._clean:
                continue
            for text in texts(part):
                bad = [sign for sign in text if unicodedata.category(sign) in _SHOWN_BADLY]
                hold("I33", not bad, f"{text!r} is shown")
            self._clean.add(part)
            if len(self._clean) > 2_000:
                self._clean.clear()

    def _flags_recorded(self, view: View, advice: Advice) -> None:
        run = advice.standing.run
        if run.ended:
            return
        missing = [flag for flag in advice.flags if (flag.code, flag.about) not in run.raised]
        hold("I29", not missing, f"shown and not in the record: {missing}")
        hold("I29", len(view.flags) == len(advice.flags), "flags shown are not those advised")

    def _timers(self, seen: Seen) -> None:
        """Never below nothing, never faster than their clock, never back while the same timer runs."""
        timing, working, before = seen.advice.timing, seen.advice.working, self._before
        hold("I25", timing is None or timing.elapsed_s >= 0, f"{timing}")
        hold("I25", working.since_s is None or working.since_s >= 0, f"{working}")
        if before is None or before.boot_id != seen.boot_id:
            return
        went_s = (seen.boot_ms - before.boot_ms) / 1000
        since, since_before = working.since_s, before.advice.working.since_s
        run = seen.advice.standing.run
        same_water = run.first_water == before.advice.standing.run.first_water
        if since is not None and since_before is not None and same_water:
            aged_s = since - since_before
            if run.ended:
                # It stands still at the end, and the end is not before what was last seen.
                hold("I25", -0.002 < aged_s < went_s + 0.002, f"{since_before} to {since} in {went_s} s")
            else:
                hold("I25", abs(aged_s - went_s) < 0.002, f"{since_before} to {since} in {went_s} s")
        was, step = before.advice.timing, seen.advice.standing.step
        if timing is None or was is None or step is None or step != before.advice.standing.step:
            return
        if seen.advice.standing.run.timers[step.key] == before.advice.standing.run.timers[step.key]:
            # A rest goes on while the machine sleeps, mixing does not.
            if not isinstance(step, RestStep):
                went_s = (seen.mono_ms - before.mono_ms) / 1000
            passed_s = timing.elapsed_s - was.elapsed_s
            hold("I25", -0.002 < passed_s < went_s + 0.002, f"{was} to {timing} in {went_s} s")

    def _figures(self, view: View, advice: Advice) -> None:
        """What is shown is what is advised."""
        dose, pour = advice.standing.dosing, view.pour
        if pour is not None:
            target_mg = parse_mass_mg(pour.target)
            hold("I3", target_mg > 0, f"asks for {pour.target}")
            if dose is not None:
                off = abs(target_mg - dose.target_mg)
                hold(
                    "I32",
                    off <= advice.standing.division_mg / 2 + 1,
                    f"{pour.target} for {dose.target_mg} mg",
                )
            if advice.net is not None:
                shown_mg = parse_mass_mg(pour.actual)
                off = abs(shown_mg - advice.net.net_mg)
                hold(
                    "I32",
                    off <= advice.standing.division_mg / 2 + 1,
                    f"{pour.actual} for {advice.net.net_mg} mg",
                )
        hold("I32", view.scale.fresh or advice.net is None, "a weight is shown that is not fresh")

    def _advice(self, standing: Standing, codes: set[str]) -> None:
        """What is asked for next, against what there is room, stock and a scale for."""
        run, dose = standing.run, standing.dosing
        out_mg = take_out_mg(standing)
        if out_mg and standing.step is not None:
            inside = run.content.get(getattr(standing.step, "material", ""), run.in_bucket_mg)
            hold("I2", out_mg <= inside, f"asks for {out_mg} mg out of {float(inside)} mg")
        if dose is None or standing.phase not in ("pour", "tub-fill", "release-judge", "release-mixing"):
            return
        hold("I3", dose.target_mg >= 0, f"asks for {dose.target_mg} mg")
        hold(
            "I3",
            dose.target_mg > 0 or dose.exact_mg == 0 or "dose-below-division" in codes,
            f"asks for nothing: {dose}",
        )
        hold(
            "I7",
            dose.target_mg % standing.division_mg == 0,
            f"{dose.target_mg} mg on {standing.division_mg} mg",
        )
        hold("I3", dose.low_mg <= dose.target_mg <= dose.high_mg or not dose.target_mg, f"{dose}")
        if not dose.target_mg:
            return
        key = dose.material
        after = {**run.content, key: run.content[key] + dose.target_mg}
        room_l = run.start.bucket_l * run.start.fill_limit
        hold(
            "I5",
            litres(run.recipe, after) <= room_l + 1e-6 or "bucket-full" in codes,
            f"more than {room_l} l",
        )
        for amount in run.start.stock:
            if amount.material == key:
                left = amount.mass_mg - drawn_mg(run.entries, key)
                hold(
                    "I6",
                    dose.target_mg <= left + standing.division_mg or "stock-short" in codes,
                    f"{left} mg of {key} left",
                )
        self._lands_inside(standing)

    def _lands_inside(self, standing: Standing) -> None:
        """Doing as told from here on raises no flag on masses that does not stand already, and comes to an end."""
        run, division_mg = standing.run, standing.division_mg
        stood = {(flag.code, flag.about) for flag in standing.flags}
        told = standing.dosing
        too_little: set[str] = set()
        for _ in range(MOST_STEPS):
            if run.step is None:
                break
            before, run, told = run, as_told(run, division_mg, told), None
            if isinstance(before.step, AddStep) and before.content == run.content:
                too_little |= {
                    flag.material
                    for flag in stand(before, division_mg).flags
                    if isinstance(flag, DoseBelowDivision)
                }
        hold("I9", run.step is None, "the guidance has no end")
        end = stand(run, division_mg)
        new = [
            flag
            for flag in end.flags
            if (flag.code, flag.about) not in stood
            and flag.code not in _NOT_OF_THE_DOSE
            and not is_waived(run, flag)
            and not _is_narrower(run, flag, division_mg)
            and not (isinstance(flag, DoseMissing) and flag.material in too_little)
            and flag.code.startswith(("water", "dose", "powder"))
        ]
        hold("I4", not new, f"doing as told from {standing.step and standing.step.key} ends with {new}")


def is_waived(run: Run, flag: Flag) -> bool:
    """Too little water where the hand has found less right, or by less than the scales can tell, is nobody's fault.

    Found right it stands as a check all the same: it is the hand that answers for it, not the guidance.
    """
    if not isinstance(flag, WaterUnder):
        return False
    found_right = run.judged is not None and run.judged.verdict == "right"
    return found_right or float(flag.least_ratio) - float(flag.ratio) <= flag.expanded_ratio


def _is_narrower(run: Run, flag: Flag, division_mg: int) -> bool:
    """Whether the band of a dose is narrower than a step of the scale: that is said when the dose comes up."""
    if not isinstance(flag, DoseUnder | DoseOver):
        return False
    mass_mg = float(run.content[flag.material]) / float(flag.fraction)
    return float(flag.most_fraction - flag.least_fraction) * mass_mg < division_mg


def _told(run: Run, *facts: Fact) -> Run:
    stamp = run.entries[-1].stamp
    for fact in facts:
        run = apply(run, Entry(seq=len(run.entries) + 1, stamp=stamp, fact=fact))
    return run


def as_told(run: Run, division_mg: int, told: Dosing | None = None) -> Run:
    """The step at hand done exactly as advised: as was told, where it was."""
    step = run.step
    assert step is not None
    if isinstance(step, AddStep | ReleaseStep):
        dose = told or dosing(run, project(run, division_mg), step, division_mg)
        assert dose is not None
        if dose.target_mg:
            shown = WeightRecorded(
                step=step.key,
                material=step.material,
                mass_mg=dose.target_mg,
                source="scale",
                shown="",
                division_mg=division_mg,
            )
            run = _told(run, shown)
            if isinstance(step, ReleaseStep):
                return run
    elif isinstance(step, TakeOutStep | SplitStep):
        mass_mg = step.mass_mg if isinstance(step, TakeOutStep) else round(run.in_bucket_mg * step.fraction)
        material = step.material if isinstance(step, TakeOutStep) else ""
        common = {
            "step": step.key,
            "mass_mg": mass_mg,
            "source": "scale",
            "shown": "",
            "division_mg": division_mg,
        }
        if mass_mg and material:
            run = _told(run, MaterialRemoved(material=material, reason="told", **common))  # type: ignore[arg-type]
        elif mass_mg:
            run = _told(run, PortionTaken(layer="", **common))  # type: ignore[arg-type]
    return _told(run, StepDone(step=step.key))


def _parts(view: View) -> Iterator[object]:
    yield from (getattr(view, field.name) for field in fields(view))


def texts(value: object) -> Iterator[str]:
    """Every text in a view."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for part in value:
            yield from texts(part)
    elif is_dataclass(value):
        for field in fields(value):
            yield from texts(getattr(value, field.name))
