"""What a person does besides what is asked: slips, second thoughts, interruptions, and mending what went wrong."""

from random import Random

from mixstation.units.parse import parse_mass_mg
from tests.shop.hands import LOOK_S, Hands, Place, Waits
from tests.shop.yard import Setup

PAD = ("enter", "add-else", "take-back", "trouble", "menu", "back")
HOSTILE = ("\x1b[2J gone", "ok\u202etxt", "a\u0000b", "n\u0301" * 3 + " n\u00f6te", "[/] [bold]x", "=1+1")


class Slips(Hands):
    """The ways to go wrong, each with what the person does about it.

    Attributes:
        stiff_left: How often the mix will still be found too stiff.
        slip_pending: Something was typed wrong and is not yet seen.
        confirmed_count: Questions answered with yes.
        ways_tried: Ways out taken.
    """

    def __init__(self, place: Place, setup: Setup, random: Random) -> None:
        super().__init__(place, setup, random)
        self.stiff_left = setup.releases
        self.slip_pending = False
        self.typed, self.meant_mg = "", 0
        self.confirmed_count = 0
        self.ways_tried = 0

    @property
    def material_of_step(self) -> str:
        """The material the step at hand is about, as the list of what is to come names it."""
        now = next((line.name for line in self.view.to_come if line.mark == "now"), "")
        return self.bench.key_named(now)

    def asked_for(self) -> str:
        """The material the question names; the bucket's own words name none."""
        return self.bench.key_named(self.view.question.ask) or self.material_of_step

    def press_enter_maybe_twice(self) -> None:
        """A held or doubled key says the same thing again, for the question it was pressed for."""
        ident = self.view.question.ident
        self.press("enter")
        if self.slips("double-key", 2.0):
            self.press("enter", ident=ident)

    def blind(self, material: str, *, out: bool) -> Waits:
        """No scale, or one that says nothing: weigh elsewhere and type, after a look whether it comes back."""
        if self.setup.make is not None:
            for _ in range(8):
                if self.sees_scale:
                    return
                yield 1.0
            if self.bench.scale.shown() is None and self.bench.scale.is_plugged:
                self.bench.scale.press_on()
                self.bench.disturbed += 1
                yield from self.scale_was_set_anew(material, out=out)
                return
        yield from self.weigh_elsewhere(material, out=out)

    def weigh_elsewhere(self, material: str, *, out: bool) -> Waits:
        """On another scale, and typed."""
        target_mg = self.target_mg()
        if not target_mg:
            yield from self.too_little_for_the_scale(material, out=out)
            return
        if self.went_in_mg(material) < target_mg // 2:
            part = self.random.randint(-6, 6)
            if self.slips("over-pour"):
                part = self.random.randint(20, 300)
            mass_mg = target_mg + target_mg * part // 1000 - self.went_in_mg(material)
            self.bench.set_on("")
            yield 4.0
            if out:
                self.bench.scoop(material, mass_mg)
            else:
                self.bench.drop_in(material, mass_mg)
        yield from self.type_mass(self.went_in_mg(material), material)

    def too_little_for_the_scale(self, material: str, *, out: bool) -> Waits:
        """What the scale cannot show is left out."""
        yield from self.from_menu("menu", "leave this step out")
        yield LOOK_S

    def type_mass(self, mass_mg: int, material: str) -> Waits:
        """Type a weight until it is taken; a slip is mostly seen when asked about."""
        counted_mg = self.counted_told_mg()
        text = self.typed_words(mass_mg - counted_mg)
        if counted_mg and mass_mg - counted_mg < 1:
            self.press("enter")
            return
        if mass_mg < 1:
            yield from self.from_menu("menu", "leave this step out")
            return
        self.slip_pending = self.slips("typed-slip", 2.0)
        if self.slip_pending:
            text = self.slipped_words(text)
        elif (slipped := self.slipped_mark(text)) != text:
            text, self.slip_pending = slipped, True
        before = self.view.question.ident
        self.typed, self.meant_mg = text, mass_mg
        self.press("enter", text)
        yield 0.8
        if self.view.question.ident.split("/")[1] in ("confirm", "far-off"):
            return
        if self.view.question.ident == before:
            # It could not be read.
            self.slip_pending = False
            self.press("enter", f"{max(1, round((mass_mg - counted_mg) / 1000))} g")
            yield 0.8
            return
        if self.slip_pending:
            self.slip_pending = False
            if self.random.random() < 0.6:
                yield from self.take_back_newest()
                return
            self.bench.untold.add(material)
        self.taken_to_heart()

    def counted_told_mg(self) -> int:
        """What is counted of the dose though its scale is gone, as read from the screen: only the rest is typed."""
        pour = self.view.pour
        if pour is None or not pour.actual.endswith(" counted"):
            return 0
        return parse_mass_mg(pour.actual.removesuffix(" counted"))

    def slipped_mark(self, text: str) -> str:
        """A weight as it was meant: marks slip only where mix-ups are drawn."""
        return text

    def wrong_material(self, material: str, *, out: bool) -> str:
        """Now and then the hand reaches for another bag."""
        if out or not self.slips("wrong-material", 0.4):
            return material
        return self.random.choice(sorted(self.bench.content))

    def after_booking(self, poured: str) -> Waits:
        """Look at what was said; mend what was wrong, sometimes."""
        yield 0.5
        if len(self.view.went_in) == self.line_count:
            return
        asked = self.material_booked()
        if poured and asked and asked != poured:
            if self.random.random() < 0.7:
                mass_mg = self.went_in_mg(poured)
                yield from self.take_back_newest()
                yield from self.add_else(poured, mass_mg)
            else:
                self.bench.untold |= {poured, asked}
        self.taken_to_heart()

    def material_booked(self) -> str:
        """What the last line of what went in names, if it counts."""
        lines = self.view.went_in
        return self.bench.key_named(lines[-1].name) if lines and lines[-1].mark == "in" else ""

    def reads_as_nonsense(self, material: str, *, out: bool) -> bool:
        """The display went far below where it began, or far above with nothing poured: it was set to zero."""
        pour = self.view.pour
        if pour is None or pour.fraction is None or self.trusts_the_scale():
            return False
        if pour.fraction < -0.2:
            return True
        # What stuck to the tub can be as much as the smallest doses.
        return (
            pour.fraction > 2.0
            and self.went_in_mg(material) < self.target_mg() // 2
            and self.target_mg() > 5_000
        )

    def trusts_the_scale(self) -> bool:
        """Whether the display is believed whatever it says; who is wide awake looks into the bucket too."""
        return False

    def scale_was_set_anew(self, material: str, *, out: bool) -> Waits:
        """What went in is typed as well as it is known, and the next start reading is taken anew."""
        self.bench.close_hand()
        yield 0.5
        self.bench.still()
        mass_mg = self.went_in_mg(material)
        if mass_mg > 1_000:
            self.bench.untold.add(material)
            self.typed = f"{max(1, round((mass_mg - self.counted_told_mg()) / 1000))} g"
            self.press("enter", self.typed)
            yield 0.8
            if self.view.question.ident.split("/", 1)[1] == "confirm":
                self.press("enter")
            elif "/far-off/" in self.view.question.ident:
                yield from self.far_off()
        self.taken_to_heart()
        if self.view.question.ident.split("/")[1] == "main":
            yield from self.from_menu("menu", "weigh another way", self.way_of_weighing())

    def way_of_weighing(self) -> str:
        """The menu's words for how this person weighs."""
        return {"bucket": "the bucket", "tub": "a tub", "supply": "the supply"}[self.weighing]

    def from_menu(self, act: str, *lines: str) -> Waits:
        """Open a menu and pick lines by how they begin; a reason, where asked, is any."""
        if act not in {offered.name for offered in self.view.question.acts}:
            return
        self.press(act)
        for line in lines:
            yield 0.6
            found = [c.number for c in self.view.question.choices if c.words.startswith(line)]
            if not found:
                self.press("back")
                return
            self.press("enter", str(found[0]))
        yield 0.6
        if self.view.question.ident.split("/")[1] == "reason":
            self.press("enter", str(self.random.choice(self.view.question.choices).number))

    def take_back_newest(self) -> Waits:
        """The newest entry does not count."""
        self.press("take-back")
        yield 0.8
        if self.view.question.choices:
            self.press("enter", "1")
            yield 0.8
        if self.view.question.ident.split("/")[1] == "reason":
            self.press("enter", "1")
        elif self.view.question.ident.split("/")[1] != "main":
            self.press("back")

    def add_else(self, material: str, mass_mg: int) -> Waits:
        """Enter something that went in beside the step."""
        yield from self.from_menu("add-else", self.bench.names[material])
        if self.view.question.entry == "mass" and "amount" in self.view.question.ident:
            self.typed, self.meant_mg = f"{max(1, round(mass_mg / 1000))} g", mass_mg
            self.press("enter", self.typed)
            yield 0.8
            if self.view.question.ident.split("/", 1)[1] == "confirm":
                self.confirmed_count += 1
                self.press("enter")
            elif "/far-off/" in self.view.question.ident:
                yield from self.far_off()

    def far_off(self) -> Waits:
        """A slip is seen by its number, and what was meant picked or typed anew; what is so is typed twice."""
        yield 1.5
        lines = [(choice.number, choice.words) for choice in self.view.question.choices]
        if self.slip_pending and self.random.random() < 0.85:
            meant = [
                number for number, words in lines if words.endswith("was meant") and self._is_meant(words)
            ]
            if meant and self.random.random() < 0.6:
                self.slip_pending = False
                self.press("enter", str(meant[0]))
            else:
                self.press("back")
            return
        self.bench.mix_untold |= self.slip_pending
        self.slip_pending = False
        self.confirmed_count += 1
        self.press("enter", next(str(number) for number, words in lines if "all the same" in words))
        if "/type-again/" in self.view.question.ident:
            yield 2.0
            self.press("enter", self.typed)

    def _is_meant(self, words: str) -> bool:
        return abs(parse_mass_mg(words.removesuffix(" was meant")) - self.meant_mg) <= 1_000

    def before_answering(self) -> Waits:
        """Something comes in between."""
        ident = self.view.question.ident
        if ident.split("/")[1] != "main" or "safety" in ident or "ended" in ident:
            return
        bench, random = self.bench, self.random
        if self.slips("walks-away", 0.5):
            yield random.uniform(300, 3_600)
        if self.slips("mashes-keys"):
            for _ in range(random.randint(2, 6)):
                self.press(
                    random.choice(PAD), random.choice(("", "1", "7", "0", "12,5", random.choice(HOSTILE)))
                )
            while self.view.question.ident.split("/")[1] not in ("main", "confirm"):
                self.press("back")
            bench.mix_untold = True
        if self.slips("old-answer"):
            self.press("enter", "1 kg", ident="0/main/pour/water")
        if self.slips("writes-a-note"):
            self.press("menu")
            yield from self.pick_line("write a note")
            self.press("enter", random.choice(HOSTILE))
            self.go_back()
        if self.slips("skips-a-step", 0.4):
            yield from self.from_menu("menu", "leave this step out")
            self.go_back()
        if self.slips("brings-a-step-forward", 0.4):
            self.forgets()
            yield from self.from_menu("menu", "do another step first")
            if self.view.question.choices:
                self.press("enter", str(random.choice(self.view.question.choices).number))
            self.go_back()
        if self.slips("takes-back", 0.8):
            yield from self.takes_back_some()
        if self.slips("adds-unrecorded", 0.4):
            key = random.choice(sorted(bench.content))
            bench.drop_in(key, random.randint(20, 400) * 1_000)
            bench.untold.add(key)
            if random.random() < 0.5:
                yield from self.add_else(key, self.went_in_mg(key))
                self.taken_to_heart()
        if self.slips("takes-some-out", 0.4) and bench.in_bucket_mg > 2_000_000:
            yield from self.some_out()
        if self.slips("pauses", 0.5):
            self.press("pause")
            yield 0.6
        if self.slips("material-ran-out", 0.3):
            yield from self.from_menu("menu", "a material ran out")
            if self.view.question.choices:
                self.press("enter", str(random.choice(self.view.question.choices).number))
            self.go_back()
        if self.slips("changes-bucket", 0.3) and bench.on == "bucket":
            bench.set_on("")
            yield 4.0
            bench.change_bucket(random.randint(700, 1_900) * 1_000)
            bench.mix_untold = True
            bench.set_on("bucket")
        if self.slips("weighs-another-way", 0.5) and self.setup.make is not None:
            self.forgets()
            self.weighing = random.choice(("bucket", "tub", "supply"))
            yield from self.from_menu("menu", "weigh another way", self.way_of_weighing())
            self.go_back()
        if self.slips("asks-for-ways", 0.6):
            yield from self.from_menu("trouble", "show the ways out")
        if self.slips("tares-the-scale", 0.3):
            random.choice((bench.scale.press_tare, bench.scale.press_zero))()
            bench.disturbed += 1

    def forgets(self) -> None:
        """What was poured for the step and is not entered yet is forgotten over something else."""
        if self.material_of_step and self.went_in_mg(self.material_of_step):
            self.bench.untold.add(self.material_of_step)

    def pick_line(self, line: str) -> Waits:
        """Pick a line of the menu shown."""
        yield 0.6
        found = [c.number for c in self.view.question.choices if c.words.startswith(line)]
        if found:
            self.press("enter", str(found[0]))
            yield 0.6

    def takes_back_some(self) -> Waits:
        """Any entry, rightly or not; what it was is not entered again."""
        self.press("take-back")
        yield 0.8
        if self.view.question.choices:
            self.press("enter", str(self.random.choice(self.view.question.choices).number))
            yield 0.8
            if self.view.question.ident.split("/")[1] == "reason":
                self.press("enter", str(self.random.randint(1, 5)))
            self.bench.mix_untold = True
        self.go_back()

    def some_out(self) -> Waits:
        """A scoop of the mix, told or not."""
        mass_mg = self.random.randint(50, 500) * 1_000
        self.bench.scoop("", mass_mg)
        if self.random.random() < 0.5:
            yield from self.from_menu("trouble", "something came out", "some of the mix")
            if self.view.question.entry == "mass":
                self.press("enter", f"{mass_mg // 1_000} g")
            self.go_back()
            self.taken_to_heart()
        else:
            self.bench.mix_untold = True

    def go_back(self) -> None:
        """Out of whatever was opened."""
        for _ in range(3):
            if self.view.question.ident.split("/")[1] in ("main", "confirm", "pick-way"):
                return
            self.press("back")
