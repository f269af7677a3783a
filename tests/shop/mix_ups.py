"""Mix-ups at the bucket: the wrong thing or nothing on the scale, drips, a slipped mark; mended as asked."""

from random import Random

from mixstation.units.parse import parse_mass_mg
from tests.shop.bench import Vessel
from tests.shop.hands import LOOK_S, Place, Waits
from tests.shop.slips import Slips
from tests.shop.yard import Setup

DRAWN = {"nothing-on-the-scale", "wrong-vessel", "another-bucket", "slipped-mark", "mid-pour-key", "drip"}
"""Mix-ups that every shop draws."""

ON_WISH = ("drift",)
"""Drawn besides where asked for: the program does not stand all of these yet."""

# So much a hand that believes itself right insists on it, where the program asks.
INSISTS = 0.3


class MixUps(Slips):
    """What is mixed up, drawn apart from all else so that a seed keeps the rest of its meaning.

    Attributes:
        mix_ups_left: How many more there may be.
        key_hit: A key of the scale was hit in mid-pour.
        only_now: The vessel came onto the scale after its start reading.
    """

    def __init__(self, place: Place, setup: Setup, random: Random) -> None:
        super().__init__(place, setup, random)
        self.luck = Random(f"mix-ups {setup.start.batch_id}")
        self.mix_ups_left = {"calm": 0, "slips": 2, "wild": 4}[setup.mood]
        self.only_now = False
        self.key_hit = False

    def mixes_up(self, what: str, chance: float) -> bool:
        """Whether this is mixed up now."""
        if what not in DRAWN or self.mix_ups_left <= 0 or self.luck.random() >= chance:
            return False
        self.mix_ups_left -= 1
        self.place.drew(what)
        return True

    def put_wrong(self, vessel: Vessel) -> Waits:
        """Before a start reading: nothing stands on the scale, or something else does.

        Where nothing is known of the bucket, another is as good as it until the mix is in.
        """
        bench = self.bench
        self.only_now = False
        known = bool(bench.in_bucket_mg or self.setup.start.vessels)
        if self.mixes_up("nothing-on-the-scale", 0.06):
            bench.set_on("")
        elif self.mixes_up("wrong-vessel", 0.06):
            bench.set_on({"bucket": "tub", "tub": "bucket", "supply": "tub"}[vessel])  # type: ignore[arg-type]
        elif vessel == "bucket" and known and self.mixes_up("another-bucket", 0.06):
            bench.set_on("spare")
        else:
            return
        self.only_now = True
        yield 2.5
        yield from self.until_steady()

    def put_right(self) -> Waits:
        """What is to stand on the scale stands on it, and nothing has been poured meanwhile."""
        vessel, self.only_now = self.should_stand, False
        if self.bench.on != vessel:
            self.bench.set_on(vessel)
            yield 2.5
            yield from self.until_steady()

    def in_mid_pour(self, part: float) -> bool:
        """A key of the scale is hit while it is poured; from then on the hand does as the screen says."""
        scale = self.bench.scale
        if self.key_hit or not 0.2 < part < 0.8 or not self.mixes_up("mid-pour-key", 0.4):
            return False
        self.luck.choice((scale.press_tare, scale.press_zero, scale.press_unit))()
        self.bench.disturbed += 1
        self.key_hit = True
        return True

    def trusts_the_scale(self) -> bool:
        """Whether the hand believes the display: it knows of no key that was hit."""
        return self.key_hit

    def drips(self, material: str) -> None:
        """Some drops more run from the jug once the dose was taken."""
        if material and self.bench.on == "bucket" and self.mixes_up("drip", 0.3):
            self.bench.drop_in(material, self.luck.randint(3, 12) * 1_000)

    def creeps(self) -> Waits:
        """The scale wanders by ten grams while nothing is poured, slower than a hand pours."""
        if self.bench.on and self.mixes_up("drift", 0.3):
            for _ in range(40):
                self.bench.scale.put_mg(250)
                yield 2.5

    @property
    def should_stand(self) -> Vessel:
        """What the step at hand wants on the scale."""
        takes_out = "/take-out" in self.view.question.ident
        return "bucket" if takes_out and self.weighing == "supply" else self.weighing

    def weighing_told(self) -> Vessel | None:
        """What the question at hand wants on the scale, where it says so."""
        words = self.view.question.ask
        told: dict[str, Vessel] = {"Put the bucket": "bucket", "Put the empty tub": "tub"}
        found = next((vessel for start, vessel in told.items() if words.startswith(start)), None)
        return found or ("supply" if words.endswith("supply on the scale.") else None)

    def slipped_mark(self, text: str) -> str:
        """Now and then ten times as much, a tenth, a digit dropped or doubled, or the other unit."""
        number, _, unit = text.partition(" ")
        digits = [place for place, sign in enumerate(number) if sign in "123456789"]
        if not unit or not digits or not self.mixes_up("slipped-mark", 0.12):
            return text
        place = self.luck.choice(digits)
        comma = "," in number
        times = {0: 10.0, 1: 0.1}.get(self.luck.randrange(5), 0.0)
        if times:
            number = f"{float(number.replace(',', '.')) * times:.4f}".rstrip("0").rstrip(".")
            number = number.replace(".", ",") if comma else number
        elif self.luck.random() < 1 / 3:
            number = number[:place] + number[place + 1 :]
        elif self.luck.random() < 0.5:
            number = number[:place] + number[place] + number[place:]
        else:
            unit = {"g": "kg", "kg": "g"}[unit]
        return f"{number} {unit}"

    def told_of_tub_mg(self) -> int:
        """What the tub holds by the words that have it tipped in; 0 where they do not say."""
        words = self.view.question.ask.partition("Tip the ")[2].partition(" of ")[0]
        return parse_mass_mg(words) if words else 0

    def start_doubted(self) -> Waits:
        """It is looked at: what should stand there does, or it is put there; now and then one insists."""
        choices = self.view.question.choices
        right = self.bench.on == self.weighing
        if right or self.luck.random() < INSISTS:
            self.press("enter", str(len(choices)))
            yield LOOK_S
            return
        self.press("enter", "1")
        yield LOOK_S
        yield from self.put_right()

    def set_down(self) -> Waits:
        """What came onto the scale at once was poured, unless the vessel was not there before."""
        yield from self.until_steady()
        number = 1 if self.only_now else len(self.view.question.choices)
        self.press("enter", str(number))
        if self.view.question.ident.split("/", 1)[1] != "set-down":
            self.only_now = False
        yield LOOK_S
