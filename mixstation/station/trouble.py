"""What happened where no reading says it: a material went in, came out or was booked wrongly, or the bucket differs."""

from dataclasses import replace

from mixstation.batch.advice import Standing
from mixstation.batch.commands import Discard, SwapMaterial, TakeBack, TakeReference
from mixstation.batch.events import WeightRecorded
from mixstation.batch.reconcile import allowed_mg, reconciliation_mg
from mixstation.batch.refusal import Plain
from mixstation.frozen import Frozen
from mixstation.record.proof import Difference
from mixstation.station.flags_talk import ReadFlags
from mixstation.station.scene import Scene
from mixstation.station.talk import Back, Do, Lines, Looked, Menu, Open, Outcome, Refuse, discard, reason
from mixstation.station.typed_talks import TypeAmount, TypeNote
from mixstation.station.view import Answer, Question
from mixstation.station.ways_talk import PickWay
from mixstation.station.work_menu import pick_consistency, ran_out
from mixstation.wording import menu_lines as words
from mixstation.wording import proof_lines
from mixstation.wording.asks import TOO_COARSE_LINES
from mixstation.wording.asks import too_coarse as too_coarse_line
from mixstation.wording.entry_lines import entry_line, takes_back
from mixstation.wording.words import Speech


class EntriesMissing(Frozen):
    """The batch does not hold all that was stored of it: the bucket may, and is looked into before any target."""

    missing: Difference

    def question(self, scene: Scene) -> Question:
        """What is missing, and what to do about the bucket."""
        return Question(
            ident="entries-missing",
            ask=proof_lines.LOOK_FIRST,
            detail=(proof_lines.difference_line(self.missing), *proof_lines.LOOK_HOW),
            enter=proof_lines.LOOKED,
            grave=True,
        )

    def answer(self, answer: Answer, scene: Scene) -> Outcome:
        """On with what is left."""
        return Looked(note=proof_lines.LOOKED_NOTE.format(missing=proof_lines.difference_line(self.missing)))


def trouble() -> Menu:
    """What happened: what the readings already say comes first."""

    def lines(scene: Scene) -> Lines:
        ways: Lines = ((words.WAYS_LINE, Open(talk=PickWay(), ways=True)),)
        heavier, lighter = _guessed(scene)
        told: Lines = (
            (heavier or words.UNRECORDED_LINE, Open(talk=add_else(words.UNRECORDED))),
            (lighter or words.OUT_LINE, Open(talk=taken_out())),
            (words.SWAPPED_LINE, Open(talk=pick_swap())),
            (words.WRONG_ENTRY_LINE, Open(talk=pick_entry())),
            (words.RAN_OUT_LINE, Open(talk=ran_out())),
            (words.CONSISTENCY_LINE, Open(talk=pick_consistency())),
        )
        # Numbers are learned by hand: every line keeps its own.
        ends: Lines = (
            (words.DISCARD_LINE, Open(talk=discard())),
            (words.READ_FLAGS_LINE, Open(talk=ReadFlags())),
        )
        return (*ways, *told, *ends)

    return Menu(ident="trouble", ask=words.WHAT_HAPPENED, lines=lines)


def _guessed(scene: Scene) -> tuple[str, str]:
    """What a bucket that disagrees with the entries says: the lines for more in it, and for less."""
    off_mg = reconciliation_mg(scene.run)
    if off_mg is None:
        return "", ""
    amount = scene.speech.mass(abs(off_mg))
    if off_mg > 0:
        return words.HEAVIER_LINE.format(amount=amount), ""
    return "", words.LIGHTER_LINE.format(amount=amount)


def add_else(why: str = words.ADDED_BESIDE) -> Menu:
    """Which material went in outside the step at hand."""

    def lines(scene: Scene) -> Lines:
        known: Lines = tuple(
            (material.name, Open(talk=TypeAmount(what="added", material=material.key, reason=why)))
            for material in scene.run.recipe.materials
        )
        return (*known, (words.FOREIGN_LINE, Open(talk=_foreign())))

    return Menu(ident="add-else", ask=words.WHICH_ADDED, lines=lines)


def taken_out() -> Menu:
    """What came out: a portion of the mix, or one material unmixed."""

    def lines(scene: Scene) -> Lines:
        run = scene.run
        names = {"": words.SOME_MIX} | {each.key: each.name for each in run.recipe.materials}
        return tuple(
            (
                name,
                Open(talk=TypeAmount(what="out", material=key, reason=words.CAME_OUT))
                if not key or run.content[key] > 0
                else None,
            )
            for key, name in names.items()
        )

    return Menu(ident="taken-out", ask=words.WHICH_OUT, lines=lines)


def pick_entry() -> Menu:
    """Which entry is taken back: the newest first; then why."""

    def lines(scene: Scene) -> Lines:
        return tuple(
            (entry_line(scene.run, entry, scene.speech), Open(talk=_why_back(entry.seq)))
            for entry in takes_back(scene.run)
        )

    return Menu(ident="pick-entry", ask=words.WHICH_ENTRY, lines=lines, none=words.NOTHING_TO_TAKE_BACK)


def check_weights() -> Menu:
    """Every weight, newest first, to be looked at: one may be wrong, or missing."""

    def lines(scene: Scene) -> Lines:
        weights: Lines = tuple(
            (entry_line(scene.run, entry, scene.speech), Open(talk=_why_back(entry.seq)))
            for entry in reversed(scene.run.live)
            if isinstance(entry.fact, WeightRecorded)
        )
        return (
            (words.WEIGHTS_RIGHT, Back()),
            (words.UNRECORDED_LINE, Open(talk=add_else(words.UNRECORDED))),
            *weights,
        )

    return Menu(ident="check-weights", ask=words.WHICH_WEIGHT_WRONG, lines=lines)


def pick_swap() -> Menu:
    """Which weight was of another material than it was booked as, then of which; or that nobody knows how much."""

    def lines(scene: Scene) -> Lines:
        weights: Lines = tuple(
            (
                entry_line(scene.run, entry, scene.speech),
                Open(talk=_swapped_to(entry.seq, entry.fact.material)),
            )
            for entry in reversed(scene.run.live)
            if isinstance(entry.fact, WeightRecorded)
        )
        return ((words.UNKNOWN_LINE, Open(talk=_unknown())), *weights)

    return Menu(ident="pick-swap", ask=words.WHICH_SWAPPED, lines=lines)


def _foreign() -> Menu:
    lines: Lines = (
        (words.DISCARD_LINE, Do(command=Discard(reason=words.FOREIGN_DISCARD))),
        (words.NOTE_LINE, Open(talk=TypeNote())),
        (words.FOREIGN_BACK, Back()),
    )
    return Menu(ident="foreign-material", ask=words.FOREIGN, lines=lambda _: lines)


def _unknown() -> Menu:
    lines: Lines = (
        (words.DISCARD_LINE, Do(command=Discard(reason=words.UNKNOWN_DISCARD))),
        (words.UNKNOWN_BACK, Back()),
    )
    return Menu(ident="unknown-material", ask=words.UNKNOWN, lines=lambda _: lines)


def _swapped_to(seq: int, booked: str) -> Menu:
    def lines(scene: Scene) -> Lines:
        known: Lines = tuple(
            (
                material.name,
                Do(command=SwapMaterial(seq=seq, material=material.key, reason=words.SWAPPED))
                if material.key != booked
                else None,
            )
            for material in scene.run.recipe.materials
        )
        return (*known, (words.FOREIGN_LINE, Open(talk=_foreign())))

    return Menu(ident=f"swapped-to/{seq}", ask=words.SWAPPED_TO, lines=lines)


def _why_back(seq: int) -> Menu:
    return reason("take-back", lambda why: TakeBack(seq=seq, reason=why))


def bucket_differs(
    command: TakeReference, expected_mg: int, why: str, *, bucket_only_now: bool = False
) -> Menu:
    """What it means that the bucket is not as heavy as the entries say."""
    as_it_is = Do(command=replace(command, confirmed=True))
    standing: Lines = ((words.NOTHING_OUT, as_it_is), (words.OUT_LINE, Open(talk=taken_out())))
    if command.gross_mg > expected_mg:
        vessel: Lines = ((words.BUCKET_NOT_ON, Do(command=replace(command, confirmed=True, instead=True))),)
        standing = (
            (words.PART_OF_DOSE, Do(command=replace(command, gross_mg=expected_mg, confirmed=True))),
            (words.NOTHING_IN, as_it_is),
            (words.NOT_ENTERED, Open(talk=add_else(words.UNRECORDED))),
            *(vessel if bucket_only_now else ()),
        )

    def lines(scene: Scene) -> Lines:
        """Nothing is gone on from that the scale does not show at this moment."""
        live = scene.live
        if live is None or live.state == "steady":
            return standing
        wait = Refuse(why=Plain.NOT_STEADY)
        return tuple((line, wait if isinstance(outcome, Do) else outcome) for line, outcome in standing)

    def moved(scene: Scene) -> bool:
        """The scale shows something else by now: it is looked at anew."""
        live = scene.live
        if live is None or live.mass_mg is None or live.state != "steady":
            return False
        return abs(live.mass_mg - command.gross_mg) > allowed_mg(scene.run.in_bucket_mg, live.division_mg)

    return Menu(ident="bucket-differs", ask=why, lines=lines, over=moved)


def too_coarse(standing: Standing, speech: Speech) -> Menu:
    """A dose for another scale, poured by this one all the same: what stands on it is looked at once that is said."""

    def lines(scene: Scene) -> Lines:
        live = scene.live
        outcome: Do | Refuse = Refuse(why=Plain.NOT_STEADY)
        if live is None or live.mass_mg is None:
            outcome = Refuse(why=Plain.NO_READING)
        elif live.state == "steady":
            outcome = Do(
                command=TakeReference(
                    gross_mg=live.mass_mg, division_mg=scene.advice.standing.division_mg, coarse=True
                )
            )
        return ((TOO_COARSE_LINES[scene.run.stands], outcome),)

    def other(scene: Scene) -> bool:
        return scene.advice.standing.apart is None

    why = too_coarse_line(standing, speech)
    return Menu(ident="too-coarse", ask=why, lines=lines, over=other)
