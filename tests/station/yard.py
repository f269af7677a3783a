"""A batch on the bench: a session on a clock moved by hand, a scale beside it, and a mixer who sees only the view."""

import copy
from collections.abc import Callable, Mapping
from typing import Final

from mixstation.batch.events import Amount, Fact, Lot, ScaleOnFile, WeighedApart, Weighing, WeightRecorded
from mixstation.batch.run import Run
from mixstation.plan.vessels import VesselOnFile
from mixstation.recipe.file import LoadedRecipe, load_recipe
from mixstation.recipe.shelf import find_recipe
from mixstation.record.codec import stored_entries
from mixstation.record.stored import EventStore, NewEvent
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.profile_folder import find_profile
from mixstation.station.bench import Settings
from mixstation.station.keeper import Keeper
from mixstation.station.opening import resumed
from mixstation.station.order import Order, powders_for, start_fact
from mixstation.station.session import Session
from mixstation.station.view import Answer, Question, View
from mixstation.station.watch import ScaleWatch
from mixstation.units.parse import parse_mass_mg
from tests.record.memory_journal import MemoryJournal
from tests.scale.emulated_link import EmulatedLink
from tests.station.clock import HandClock

BUCKET_MG: Final = 1_240_000
BATCH: Final = "b1"
# A tick of the station, and how long anything at the bench may take before something is stuck.
TICK_S: Final = 0.07
LONGEST_S: Final = 900.0
# Quiet, so that what a record may differ by is the division alone.
QUIET = Make(noise_mg=20.0)


class Yard:
    """One bucket. Everything happens when it is told to."""

    def __init__(
        self,
        recipe: str | LoadedRecipe = "hearth_plate",
        powder: str = "2 kg",
        *,
        scale: EmulatedScale | None = None,
        weighing: Weighing = "bucket",
        settings: Settings | None = None,
        store: EventStore | None = None,
        stock: Mapping[str, str] | None = None,
        bucket_l: float = 30.0,
        profile: str = "header-token-line",
        weighed_apart: tuple[WeighedApart, ...] = (),
        on_file: ScaleOnFile | None = None,
        vessels: tuple[VesselOnFile, ...] = (),
        lots: tuple[Lot, ...] = (),
        sand_unsaid: bool = False,
        fibres_apart: bool = False,
    ) -> None:
        loaded = load_recipe(find_recipe(recipe)) if isinstance(recipe, str) else recipe
        self.clock = HandClock()
        self.store = store if store is not None else MemoryJournal()
        self.settings = settings or Settings(hands_free_s=0)
        self.scale = scale
        self.profile = profile
        order = Order(
            loaded=loaded,
            powders=powders_for(loaded, powder_mg=parse_mass_mg(powder)),
            weighing=weighing,
            bucket_l=bucket_l,
            stock=tuple(
                Amount(material=key, mass_mg=parse_mass_mg(mass)) for key, mass in (stock or {}).items()
            ),
            weighed_apart=weighed_apart,
            scale=on_file,
            vessels=vessels,
            lots=lots,
            sand_unsaid=sand_unsaid,
            fibres_apart=fibres_apart,
        )
        self.session = self._session(Keeper.begin(self.store, self.clock, "Ida", start_fact(order, BATCH)))

    def _session(self, keeper: Keeper) -> Session:
        return Session(keeper, self.clock, self._watch(), self.settings)

    def _watch(self) -> ScaleWatch | None:
        if self.scale is None:
            return None
        return ScaleWatch(EmulatedLink(self.scale, find_profile(self.profile), self.clock.mono_s))

    def come_back(self) -> None:
        """The program was cut off; it is started again over the same store."""
        self.session = self._session(resumed(self.store, self.clock, "Ida", BATCH))

    def fork(self) -> "Yard":
        """Another batch that has come as far as this one, for one without a scale."""
        other = copy.copy(self)
        other.clock, other.store = copy.copy(self.clock), MemoryJournal()
        kept = self.store.events(BATCH)
        other.store.append(BATCH, [NewEvent(seq=e.seq, kind=e.kind, body=e.body) for e in kept])
        other.session = Session(
            Keeper(other.store, other.clock, "Ida", self.run), other.clock, None, self.settings
        )
        return other

    @property
    def view(self) -> View:
        return self.session.view()

    @property
    def question(self) -> Question:
        return self.session.view().question

    @property
    def run(self) -> Run:
        return self.session.run

    @property
    def facts(self) -> tuple[Fact, ...]:
        return tuple(entry.fact for entry in self.run.entries)

    @property
    def flags(self) -> set[str]:
        """Codes of all flags that have been put before the mixer."""
        return {code for code, _ in self.run.raised}

    @property
    def weights(self) -> list[WeightRecorded]:
        """All weights that count."""
        return [entry.fact for entry in self.run.live if isinstance(entry.fact, WeightRecorded)]

    def stored(self) -> Run:
        """The batch as the store has it, folded anew."""
        from mixstation.batch.run import fold

        return fold(stored_entries(self.store, BATCH))

    def wait(self, seconds: float) -> None:
        """Time passes, a tick at a time."""
        for _ in range(max(1, round(seconds / TICK_S))):
            self.clock.go_on(TICK_S)
            self.session.tick()

    def press(self, pressed: str = "enter", typed: str = "") -> View:
        """Answer what is asked."""
        self.session.answer(Answer(question=self.question.ident, pressed=pressed, typed=typed))
        return self.view

    def pick(self, words: str) -> View:
        """Type the number of the line that holds these words."""
        numbers = [choice.number for choice in self.question.choices if words in choice.words]
        assert numbers, f"{words!r} is none of {[choice.words for choice in self.question.choices]}"
        return self.press(typed=str(numbers[0]))

    def until(self, condition: Callable[[View], object], limit_s: float = 60.0) -> View:
        """Wait for a view like that."""
        end_ms = self.clock.mono_ms + limit_s * 1000
        while not condition(view := self.view):
            assert self.clock.mono_ms < end_ms, f"it did not come about: {view}"
            self.wait(TICK_S)
        return view

    def put_gear_on(self) -> None:
        """Get past the cautions."""
        if self.question.ident.split("/")[2] == "safety":
            self.press()

    def bucket_on(self) -> None:
        """Stand the bucket on the scale and have its weight taken as the start."""
        assert self.scale is not None
        self.put_gear_on()
        self.scale.put_mg(BUCKET_MG)
        self.until(lambda view: view.scale.state == "steady")
        self.press()
        assert self.view.pour is not None
        assert self.view.pour.fraction is not None

    def pour(self, mass: str, seconds: float = 3.0) -> None:
        """Pour so much at an even rate and let the scale come to rest; nothing is answered."""
        assert self.scale is not None
        mass_mg = parse_mass_mg(mass)
        self.scale.pour(round(mass_mg / seconds), total_mg=mass_mg)
        self.wait(seconds + 2.0)
        self.until(lambda view: view.scale.state == "steady")
