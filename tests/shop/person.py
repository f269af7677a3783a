"""The simulated person: reads the view, does what it asks, answers; now and then does something else."""

from tests.shop.hands import LOOK_S, Waits
from tests.shop.mix_ups import MixUps

# Nobody answers more often than this in one batch.
MOST_ANSWERS = 900


class Person(MixUps):
    """Lives through one batch."""

    def live(self) -> Waits:
        """Until the batch is left."""
        for _ in range(MOST_ANSWERS):
            if self.view.ended:
                return
            yield self.random.uniform(0.6, 1.6)
            self.asked_anew()
            yield from self.before_answering()
            yield from self._answer_what_is_asked()

    def _answer_what_is_asked(self) -> Waits:
        ident = self.view.question.ident.split("/", 1)[1]
        kind, _, rest = ident.partition("/")
        match kind:
            case "main":
                yield from self._main(rest.partition("/")[0])
            case "confirm":
                yield from self._confirm()
            case "far-off":
                yield from self.far_off()
            case "bucket-differs":
                yield from self._bucket_differs()
            case "start-doubted":
                yield from self.start_doubted()
            case "set-down":
                yield from self.set_down()
            case "tub-waits":
                # There is one tub.
                self.press("enter", str(len(self.view.question.choices)))
            case "tub-lighter":
                self.press("enter", "1")
            case "which-counted":
                # Only what came after is typed.
                self.press("enter", "2")
            case "which-of-tub":
                # What is typed at the tub is always what went in.
                self.press("enter", str(len(self.view.question.choices)))
            case "pick-way":
                yield from self._pick_way()
            case "remedy":
                yield from self._remedy()
            case "reason":
                self.press("enter", str(self.random.randint(1, len(self.view.question.choices))))
                if self.view.question.ident.split("/", 1)[1] == ident:
                    # Whatever the reason, it cannot be done now.
                    self.press("back")
            case _:
                self.press("back")

    def _main(self, phase: str) -> Waits:
        match phase:
            case "pour" | "tub-fill" | "take-out":
                yield from self._weigh(out=phase == "take-out")
            case "tub-tip":
                yield from self._tip()
            case "mixing" | "resting":
                yield from self._wait_for_timer()
                self.press("enter")
            case "release-mixing":
                yield from self._wait_for_timer()
                yield from self._judge()
            case "judge" | "release-judge":
                yield from self._judge()
            case "release-rest" if self.view.question.choices:
                self.press("enter", str(self.random.randint(1, len(self.view.question.choices))))
            case "temperature":
                metric = self.view.question.unit_word == "degrees Celsius"
                shown = self.random.uniform(15.0, 27.0)
                self.press("enter", f"{shown if metric else shown * 1.8 + 32:.1f}")
            case "paused":
                yield self.random.uniform(5, 400)
                self.press("enter")
            case _:
                self.press("enter")

    def _wait_for_timer(self) -> Waits:
        """Mix or rest as the countdown says; the drill shakes the bench."""
        hurried = self.slips("mixed-too-short", 0.5)
        too_long = self.slips("mixed-too-long", 0.5)
        self.bench.scale.shake(40 if self.bench.on == "bucket" else 1)
        for _ in range(400):
            countdown = self.view.countdown
            if countdown is None or self.view.question.ident.split("/")[-2] == "paused":
                break
            done = countdown.fraction >= countdown.least_fraction * (0.3 if hurried else 1.0)
            if done and not (too_long and countdown.fraction < 1.2):
                break
            yield 4.0
        self.bench.scale.shake(1)
        yield 1.0

    def _judge(self) -> Waits:
        """By the trowel until it has had its water; a measured spread likewise."""
        yield 3.0
        stiff = self.stiff_left > 0
        if not self.view.question.choices:
            spread_mm = self.random.randint(150, 204) if stiff else self.random.randint(206, 244)
            self.press("enter", f"{spread_mm} mm")
            yield 3.0
            if "/across/" in self.view.question.ident:
                self.press("enter", f"{spread_mm} mm")
            return
        if self.slips("called-too-loose", 0.3):
            self.press("enter", "3")
            return
        if not stiff and self.slips("found-too-stiff", 2.0):
            self.press("enter", "2")
            return
        self.stiff_left -= stiff
        self.press("enter", "2" if stiff else "1")

    def _weigh(self, *, out: bool) -> Waits:
        question = self.view.question
        if question.ask.startswith("Enough"):
            self.press("enter")
            return
        if not out:
            self.weighing = self.weighing_told() or self.weighing
        material = self.asked_for()
        if not material and not out and "bucket" not in question.ask:
            self.press("back")
            return
        if not self.sees_scale:
            yield from self.blind(material, out=out)
            return
        yield from self.stand("bucket" if out and self.weighing == "supply" else self.weighing, material)
        if not self.sees_scale:
            return
        if question.ask.startswith("Put the") and question.ask.endswith("back on the scale."):
            # It is on; what it shows was set to zero.
            yield 2.0
            if self.view.question.ask == question.ask:
                yield from self.scale_was_set_anew(material, out=out)
            return
        pour = self.view.pour
        if pour is None:
            yield from self.too_little_for_the_scale(material, out=out)
            return
        if pour.fraction is None:
            yield from self._start_reading(material, out=out)
            return
        yield from self._fill(material, out=out)

    def _start_reading(self, material: str, *, out: bool) -> Waits:
        """The reading before the pour: by itself, or by Enter."""
        ident = self.view.question.ident
        if self.bench.on == "tub" and (self.random.random() < 0.7 or self.bench.tub_holds_mg > 100_000):
            self.bench.wipe_tub()
            self.bench.set_on("tub")
            yield 1.5
        if self.bench.on == "supply" and not out:
            # Another bag in the tray.
            self.bench.new_supply(9_000_000 + self.target_mg())
            self.bench.set_on("supply")
            yield 2.5
        if not out and self.slips("poured-before-the-start-reading", 0.5):
            mass_mg = max(2_000, self.target_mg() // 3)
            if self.weighing == "bucket":
                self.bench.drop_in(self.asked_for(), mass_mg)
                # Before the first start reading it passes for a heavier bucket.
                self.bench.untold.add(self.asked_for())
        yield from self.put_wrong(self.should_stand)
        yield from self.until_steady()
        if (
            self.view.question.ident == ident
            and self.view.pour is not None
            and self.view.pour.fraction is None
        ):
            if self.view.scale.state != "steady" and self.random.random() < 0.4:
                # It does not come to rest: the screen says that a typed weight will do.
                yield from self.weigh_elsewhere(material, out=out)
                return
            self.press("enter")
            yield LOOK_S

    def _fill(self, material: str, *, out: bool) -> Waits:
        """Pour what is asked for and have it taken."""
        ident = self.view.question.ident
        poured = self.wrong_material(material, out=out)
        if self.reads_as_nonsense(material, out=out):
            yield from self.scale_was_set_anew(material, out=out)
            return
        yield from self.creeps()
        yield from self.pour(poured, out=out)
        if self.view.question.ident != ident:
            yield from self.after_booking(poured)
            return
        yield from self.until_steady()
        if self.view.question.ident != ident or self.view.pour is None:
            yield from self.after_booking(poured)
            return
        if not self.sees_scale or self.reads_as_nonsense(poured, out=out):
            yield from self.scale_was_set_anew(poured, out=out)
            return
        if self.view.scale.state != "steady" and material and self.random.random() < 0.4:
            # It does not come to rest: the screen says that a typed weight will do.
            yield from self.type_mass(self.went_in_mg(material), material)
            return
        if self.slips("keeps-pouring-while-steady", 0.6) and not out:
            self.bench.open_hand(poured, 4_000)
            self.bench.untold.add(poured)
        self.press_enter_maybe_twice()
        self.bench.close_hand()
        yield 0.6
        self.bench.still()
        yield from self.after_booking(poured)
        self.drips("" if out else poured)

    def _tip(self) -> Waits:
        """Tip the tub in and weigh it back."""
        material = self.asked_for()
        bench = self.bench
        if bench.on == "tub" and material:
            yield 1.5
            fresh = bench.tub_holds_mg - bench.tub_stuck_mg
            bench.tip_tub(material, bench.tub_stuck_mg + max(0, fresh) * self.random.randint(0, 8) // 1000)
            yield 1.5
            bench.set_on("tub")
            yield 1.2
        if not self.sees_scale:
            # What was taken back lies in the bucket all the same: by what the tub held.
            yield from self.type_mass(self.went_in_mg(material) or self.told_of_tub_mg(), material)
            return
        ident = self.view.question.ident
        yield from self.until_steady()
        self.press_enter_maybe_twice()
        yield LOOK_S
        if self.view.question.ident == ident and material:
            # The tub does not read as it should: what went in is typed.
            yield from self.type_mass(self.went_in_mg(material), material)
        else:
            yield from self.after_booking(material)

    def _confirm(self) -> Waits:
        """A slip is noticed; what truly is so is confirmed."""
        yield 1.5
        if self.slip_pending and self.random.random() < 0.85:
            self.press("back")
            return
        self.bench.mix_untold |= self.slip_pending
        self.slip_pending = False
        self.confirmed_count += 1
        ident = self.view.question.ident
        self.press("enter")
        if self.view.question.ident == ident:
            # Enter alone will not do.
            self.press("back")

    def _bucket_differs(self) -> Waits:
        """More is in for this step, or it is as it is."""
        yield 1.5
        if self.bench.on == "spare":
            yield from self.put_right()
            return
        choices = self.view.question.choices
        if not choices or "bucket-differs" not in self.view.question.ident:
            return
        material = self.material_of_step
        if len(choices) > 1 and material and self.went_in_mg(material) > 0:
            self.press("enter", "1")
            return
        self.bench.mix_untold = True
        number = next(
            choice.number
            for choice in choices
            if choice.words.startswith(("nothing went in", "nothing came out"))
        )
        self.press("enter", str(number))

    def _remedy(self) -> Waits:
        """Done as said, or something else of what is offered."""
        yield 2.0
        choices = self.view.question.choices
        if not choices:
            return
        done = [choice.number for choice in choices if choice.words.startswith(("go on", "place"))]
        number = done[0] if done and self.random.random() < 0.5 else self.random.randint(1, len(choices))
        self.press("enter", str(number))

    def _pick_way(self) -> Waits:
        """Mostly the first; now and then another, or none."""
        yield 3.0
        choices = self.view.question.choices
        what = self.random.random()
        if not choices or what < 0.12 or self.ways_tried > 6:
            self.press("back")
            return
        self.ways_tried += 1
        number = 1 if what < 0.7 else self.random.randint(1, len(choices))
        self.press("enter", str(number))
        if self.view.question.ident.split("/")[1] == "pick-way":
            self.press("back")
