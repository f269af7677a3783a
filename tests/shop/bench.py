"""What is truly there: the bucket, the tub, the supply, and the scale under one of them. Its account is the truth."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from mixstation.scale.emulator import EmulatedScale

Vessel = Literal["bucket", "tub", "supply", "spare"]

TUB_MG = 310_000
# Another bucket like it, empty.
SPARE_MG = 1_150_000


@dataclass(slots=True, kw_only=True)
class Flow:
    """A stream on its way.

    Attributes:
        vessel: What stands on the scale meanwhile.
        material: Which; "" for the mix itself.
        index: Its place among the scale's own pours.
        out: Whether it leaves the bucket.
    """

    vessel: Vessel
    material: str
    index: int
    out: bool


class Bench:
    """The bench and the bucket.

    Attributes:
        scale: The emulated scale, whose account of each pour is taken as true.
        content: True masses in the bucket by material, milligrams.
        on: What stands on the scale, "" for nothing.
        untold: Materials of which more or less is in than the mixer ever told or the scale could show.
        mix_untold: Something went on with the mix as a whole that was not told.
        disturbed: How often the display was made to say something else than what moved.
        blurred: How often it said something else and nothing that it sends can tell.
        coarsest_mg: Largest step the display was set to on the way, whatever the line says.
    """

    def __init__(self, scale: EmulatedScale, materials: Mapping[str, str], bucket_mg: int) -> None:
        self.scale = scale
        self.names = dict(materials)
        self.content = {key: Fraction(0) for key in materials}
        self.bucket_mg = bucket_mg
        self.tub_holds_mg = 0
        self.tub_stuck_mg = 0
        self.supply_mg = 0
        self.on: Vessel | Literal[""] = ""
        self.untold: set[str] = set()
        self.mix_untold = False
        self.disturbed = 0
        self.blurred = 0
        self.coarsest_mg = 0
        self._flow: Flow | None = None

    @property
    def in_bucket_mg(self) -> Fraction:
        return sum(self.content.values(), Fraction(0))

    def key_named(self, text: str) -> str:
        """The material whose name stands in a sentence; the longest where one name holds another."""
        found = [key for key, name in self.names.items() if name in text]
        return max(found, key=lambda key: len(self.names[key])) if found else ""

    def set_on(self, vessel: Vessel | Literal[""]) -> None:
        """Change what stands on the scale."""
        self.still()
        self.on = vessel
        self._weigh_down()

    def change_bucket(self, bucket_mg: int) -> None:
        """Tip everything into another bucket."""
        self.still()
        self.disturbed += 1
        self.bucket_mg = bucket_mg
        self._weigh_down()

    def new_supply(self, mass_mg: int) -> None:
        """A full supply of the next material, not on the scale yet."""
        self.still()
        self.supply_mg = mass_mg

    def open_hand(self, material: str, rate_mg_s: int, *, out: bool = False) -> None:
        """Begin to pour (with `out`, to take out) what stands on the scale is poured into or taken from."""
        self.still()
        assert self.on, "nothing stands on the scale"
        falls = self.on == "supply" or (out and self.on == "bucket")
        self.scale.pour(-rate_mg_s if falls else rate_mg_s)
        self._flow = Flow(
            vessel=self.on,
            material=material,
            index=len(self.scale.poured) - 1,
            out=out,
        )

    def change_rate(self, rate_mg_s: int) -> None:
        """The hand tips more or less; what has gone is booked to the truth."""
        flow = self._flow
        assert flow is not None
        self.open_hand(flow.material, rate_mg_s, out=flow.out)

    def close_hand(self) -> None:
        """Stop the stream; what is in the air still lands."""
        self.scale.stop_pour()

    @property
    def pouring(self) -> bool:
        return self.scale.is_pouring

    def still(self) -> None:
        """Put what the running stream has brought down to the truth."""
        self.scale.stop_pour()
        flow, self._flow = self._flow, None
        if flow is None:
            return
        moved_mg = abs(self.scale.poured[flow.index].mass_mg)
        if flow.vessel == "tub":
            self.tub_holds_mg += moved_mg
        if flow.out:
            self.take_out(flow.material, moved_mg)
        elif flow.vessel not in ("tub", "spare"):
            self.content[flow.material] += moved_mg
            if flow.vessel == "supply":
                self.supply_mg -= moved_mg

    def now_in_mg(self, material: str) -> Fraction:
        """What is in the bucket of a material, what a running stream has brought down included."""
        flow, within_mg = self._flow, self.content[material]
        if flow is None or flow.out or flow.vessel in ("tub", "spare") or flow.material != material:
            return within_mg
        return within_mg + abs(self.scale.poured[flow.index].mass_mg)

    def drop_in(self, material: str, mass_mg: int) -> None:
        """Something goes in by hand, at once."""
        self.still()
        self.content[material] += mass_mg
        if self.on == "bucket":
            self.scale.pour_at_once(mass_mg)

    def scoop(self, material: str, mass_mg: int) -> None:
        """Something comes out by hand, at once."""
        self.still()
        self.take_out(material, mass_mg)
        if self.on == "bucket":
            self.scale.pour_at_once(-mass_mg)

    def take_out(self, material: str, mass_mg: int | Fraction) -> None:
        """One material unmixed, or, without one, a part of the mix."""
        if material:
            self.content[material] = max(Fraction(0), self.content[material] - mass_mg)
        elif whole := self.in_bucket_mg:
            left = max(Fraction(0), 1 - Fraction(mass_mg) / whole)
            self.content = {key: mass * left for key, mass in self.content.items()}

    def tip_tub(self, material: str, sticks_mg: int) -> None:
        """Empty the tub into the bucket; some sticks. The tub is in the hand afterwards."""
        self.still()
        sticks_mg = min(sticks_mg, self.tub_holds_mg)
        self.content[material] += self.tub_holds_mg - sticks_mg
        self.tub_holds_mg = self.tub_stuck_mg = sticks_mg
        self.set_on("")

    def wipe_tub(self) -> None:
        """Nothing is in the tub or sticks to it any more."""
        self.tub_holds_mg = self.tub_stuck_mg = 0

    @property
    def net_on_scale_mg(self) -> int:
        """True mass on the scale now, vessel included, what has landed of a running stream included."""
        return self.scale.load_mg

    def _weigh_down(self) -> None:
        on_mg = {
            "": 0,
            "bucket": self.bucket_mg + round(self.in_bucket_mg),
            "tub": TUB_MG + self.tub_holds_mg,
            "supply": self.supply_mg,
            "spare": SPARE_MG,
        }[self.on]
        # What is still in the air comes down before anything is moved.
        self.scale.advance(0.3)
        self.scale.put_mg(on_mg - self.scale.load_mg)
