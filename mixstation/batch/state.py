"""The state of one bucket's batch: what the facts add up to."""

from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction

from mixstation.batch import events
from mixstation.batch.step import RunStep, TakeOutStep, material_of, put_in_step, way_of_step
from mixstation.frozen import Frozen
from mixstation.recipe.model import AddStep, MixStep, Recipe, ReleaseStep, Role
from mixstation.units.settings import Settings


class Run(Frozen):
    """The state of a batch.

    Attributes:
        entries: Everything stored, the taken-back entries included.
        void: Sequence numbers of entries that no longer count.
        kept: What is left of the powders aimed at, after portions taken out: 0 < kept <= 1.
        content: Weighed mass in the bucket by material, milligrams.
        overdrawn: Materials of which more came out than was in; their content stands at nothing then.
        settings: How it is shown and weighed now; None where that was not kept.
        forward: The step the mixer went to ahead of the order, or "".
        weighing: What the mixer has on the scale; for what stands there at a step see `stands`.
        weighing_told: Whether the mixer has said so in this batch.
        references: What stood on the scale before the pour, by step; gone once the pour is booked.
        tubs: Filled and not yet tipped in, by step; work on another step empties none.
        timers: When each step's timer started; moved on by a pause, gone for mixing that the machine's stop cut off.
        first_water: When the first water went in, by the wall clock as it is set now.
        judged_at: Its sequence number; 0 if none.
        raised: (code, about) of every flag put before the mixer.
        put_away: How each flag that was read and put away stood then, by (code, about).
        gives_up: Flag codes a way out knowingly left standing.
        given_up: (code, about) of those flags, without a material of which more went in unplanned since.
        ended: "", "finished" or "discarded".
    """

    entries: tuple[events.Entry, ...]
    start: events.BatchStarted
    steps: tuple[RunStep, ...]
    aim: events.Aim
    content: Mapping[str, Fraction]
    weighing: events.Weighing
    weighing_told: bool = False
    settings: Settings | None = None
    overdrawn: frozenset[str] = frozenset()
    void: frozenset[int] = frozenset()
    kept: Fraction = Fraction(1)
    acknowledged: bool = False
    finished: frozenset[str] = frozenset()
    skipped: Mapping[str, str] = field(default_factory=dict)
    forward: str = ""
    references: Mapping[str, events.ReferenceTaken] = field(default_factory=dict)
    tubs: Mapping[str, events.TubFilled] = field(default_factory=dict)
    timers: Mapping[str, events.Stamp] = field(default_factory=dict)
    done_at: Mapping[str, events.Stamp] = field(default_factory=dict)
    first_water: events.Stamp | None = None
    paused: bool = False
    paused_at: events.Stamp | None = None
    ran_out: frozenset[str] = frozenset()
    judged: events.ConsistencyJudged | None = None
    judged_at: int = 0
    mix_milli_c: int | None = None
    raised: frozenset[tuple[str, str]] = frozenset()
    damp: Recipe | None = None
    sands: Mapping[str, Fraction] = field(default_factory=dict)
    lots: Mapping[str, str] = field(default_factory=dict)
    put_away: Mapping[tuple[str, str], events.FlagPutAway] = field(default_factory=dict)
    gives_up: frozenset[str] = frozenset()
    given_up: frozenset[tuple[str, str]] = frozenset()
    ended: str = ""

    @property
    def recipe(self) -> Recipe:
        """The recipe the batch was started with, its sand as damp as it was found."""
        return self.damp or self.start.recipe

    @property
    def step(self) -> RunStep | None:
        """The step to do now, or None when all are through."""
        if self.forward:
            return self.step_of(self.forward)
        return next((step for step in self.steps if step.key not in self.finished), None)

    @property
    def tub(self) -> events.TubFilled | None:
        """The tub filled for the step at hand, or None."""
        return None if self.step is None else self.tubs.get(self.step.key)

    def step_of(self, key: str) -> RunStep:
        """The step of that key.

        Raises:
            KeyError: There is none.
        """
        for step in self.steps:
            if step.key == key:
                return step
        raise KeyError(key)

    @property
    def in_bucket_mg(self) -> Fraction:
        """Mass of everything in the bucket, milligrams."""
        return sum(self.content.values(), Fraction(0))

    @property
    def fibres_in(self) -> bool:
        """Whether fibres are in the bucket, so that the paddle is to turn slowly."""
        return any(
            mass and self.recipe.material(key).role is Role.FIBRE for key, mass in self.content.items()
        )

    @property
    def live(self) -> tuple[events.Entry, ...]:
        """The entries that count."""
        return tuple(entry for entry in self.entries if entry.seq not in self.void)

    def due(self, material: str) -> Fraction:
        """Share of a material's total that the steps behind us should have put in, 0 to 1."""
        share = Fraction(0)
        for step in self.steps:
            if step.key in self.finished and step.key not in self.skipped:
                if isinstance(step, AddStep) and step.material == material:
                    share = max(share, step.cumulative)
                elif isinstance(step, ReleaseStep) and step.material == material:
                    share = Fraction(1)
        return share

    def brings_to(self, step: AddStep) -> Fraction:
        """Share of its total a step brings its material to: no less than a later one, already done, should have."""
        return max(step.cumulative, self.due(step.material))

    @property
    def rains_in(self) -> bool:
        """Whether the step at hand brings fibres that are weighed into a tub and rained in while the paddle turns.

        Source: Common practice, no source.
        """
        material = material_of(self.step)
        is_fibre = bool(material) and self.recipe.material(material).role is Role.FIBRE
        return is_fibre and self.start.fibres_apart and not self.weighing_told

    @property
    def stands(self) -> events.Weighing:
        """What stands on the scale at the step at hand."""
        return "tub" if self.weighing == "bucket" and self.rains_in else self.weighing

    def finer_scale(self, material: str, main_mg: int) -> events.WeighedApart | None:
        """The scale on file for a material's small dose; None where the main scale, of that division, is as fine."""
        return next(
            (
                each
                for each in self.start.weighed_apart
                if each.material == material and 0 < each.division_mg < main_mg
            ),
            None,
        )

    def in_slurry(self, step: RunStep | None) -> bool:
        """Whether a step is of a plain slurry that a way has mixed apart: no dry powder goes into fibres."""
        way = way_of_step(step.key) if isinstance(step, AddStep | MixStep) else ""
        return (
            bool(way)
            and self.fibres_in
            and any(
                isinstance(each, AddStep)
                and way_of_step(each.key) == way
                and self.recipe.material(each.material).is_powder
                for each in self.steps
            )
        )

    def apart(self, material: str, main_mg: int) -> events.WeighedApart | None:
        """The finer scale a material is weighed on; None also while it is poured by the main scale all the same.

        That it is so is told by what stood on the main scale before the pour, which is never asked for otherwise.
        """
        step = self.step
        if step is not None and step.key in self.references and material_of(step) == material:
            return None
        if self.in_slurry(step) and material_of(step) == material:
            return events.WeighedApart(material=material, scale="", division_mg=main_mg)
        return self.finer_scale(material, main_mg)

    def division_of(self, material: str, main_mg: int) -> int:
        """Division of the scale a material is weighed on, milligrams, where that of the main one is `main_mg`."""
        apart = self.apart(material, main_mg)
        return main_mg if apart is None else apart.division_mg

    def gave_up(self, code: str, about: str) -> bool:
        """Whether a way out left this flag standing: that of another material is not meant."""
        return code in self.gives_up and (code, about) in self.given_up

    @property
    def takes_out_first(self) -> bool:
        """Whether a way out asks for something to be taken out: all else it asks for is for what is in then."""
        return any(isinstance(step, TakeOutStep) and step.key not in self.finished for step in self.steps)

    @property
    def in_remedy(self) -> bool:
        """Whether a remedy taken is not through yet, its judgement included."""
        own = tuple(
            put_in_step(entry.seq, "") for entry in self.live if isinstance(entry.fact, events.RemedyTaken)
        )
        return any(step.key.startswith(own) and step.key not in self.finished for step in self.steps)

    def pending(self, material: str) -> bool:
        """Whether a step still to come (or now at hand) adds this material."""
        return material not in self.ran_out and any(
            step.key not in self.finished
            for step in self.steps
            if isinstance(step, AddStep | ReleaseStep) and step.material == material
        )
