"""Why nothing changed, and what to do: one sentence for every refusal and for every typed quantity that failed."""

from collections.abc import Callable, Mapping
from fractions import Fraction

from mixstation.batch.flag import Value
from mixstation.batch.refusal import Refusal
from mixstation.batch.run import Run
from mixstation.frozen import dataclass
from mixstation.units.errors import UnitsError
from mixstation.units.show import show_duration, show_percent, show_ratio, show_temperature_c
from mixstation.wording.words import Speech, in_its_steps, name_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """What a sentence is made from."""

    run: Run
    values: Mapping[str, Value]
    speech: Speech

    def number(self, name: str) -> Fraction:
        """A value that is a number."""
        value = self.values[name]
        if isinstance(value, str):
            raise TypeError(name)
        return Fraction(value)

    def mass(self, name: str) -> str:
        """A value that is a mass in milligrams."""
        return self.speech.mass(self.number(name))


def refusal_line(run: Run, refusal: Refusal, speech: Speech) -> str:
    """The sentence for a refusal, and one for each thing the same yes would answer.

    Raises:
        KeyError: A refusal without a sentence.
    """
    line = _SENTENCES[refusal.code](Refused(run=run, values=dict(refusal.values), speech=speech))
    return " ".join([line, *(refusal_line(run, other, speech) for other in refusal.also)])


def known_codes() -> frozenset[str]:
    """Codes of all refusals that have a sentence."""
    return frozenset(_SENTENCES)


def units_line(error: UnitsError) -> str:
    """The sentence for a typed quantity that could not be read."""
    return _QUANTITIES[error.code].format(**error.values)


def _material(refused: Refused) -> str:
    key = str(refused.values["material"])
    return name_of(refused.run.recipe, key) if key in refused.run.content else key


def _far(word: str) -> Callable[[Refused], str]:
    def sentence(refused: Refused) -> str:
        step = refused.run.step
        speech = in_its_steps(refused.run, getattr(step, "material", ""), refused.speech)
        typed, target_mg = speech.finely(refused.number("mass_mg")), refused.number("target_mg")
        if not target_mg:
            return f"{typed}, where no more is asked for."
        # What is too little for the scale is asked for in full.
        target = (speech.mass if target_mg >= speech.division_mg else speech.finely)(target_mg)
        return f"{typed} is far {word} the {target} asked for."

    return sentence


def _far_over_plan(refused: Refused) -> str:
    speech, planned_mg = refused.speech, refused.number("planned_mg")
    then = speech.finely(refused.number("then_mg"))
    if not planned_mg:
        return f"{then} would then be in, and none is planned."
    return f"{then} would then be in, far over the {speech.finely(planned_mg)} planned in all."


def _more_than_filled(refused: Refused) -> str:
    typed = refused.speech.finely(refused.number("mass_mg"))
    return f"{typed} is more than the {refused.mass('filled_mg')} the tub was filled with."


def _over_ceiling(refused: Refused) -> str:
    ratio, ceiling = show_ratio(refused.number("ratio")), show_ratio(refused.number("ceiling"))
    return f"With this the water would end at {ratio}, over the ceiling of {ceiling}."


def _over_cap(refused: Refused) -> str:
    dose, cap = show_percent(refused.number("fraction"), 2), show_percent(refused.number("cap"), 2)
    return f"With this the dose would end at {dose}, over its limit of {cap} ({refused.values['source']})."


def _nothing_to_type(refused: Refused) -> str:
    enter = refused.values["enter"]
    again = f" Enter alone: {enter}." if enter else ""
    return f"Nothing is typed at this question: “{refused.values['typed']}” is wiped.{again}"


def _too_soon(refused: Refused) -> str:
    took, least = show_duration(refused.number("took_s")), show_duration(refused.number("min_s"))
    return f"Only {took} of at least {least}."


def _more_than_in(refused: Refused) -> str:
    typed, inside = (refused.speech.finely(refused.number(name)) for name in ("mass_mg", "in_mg"))
    return f"{typed} cannot come out: only {inside} is in."


def _bucket_differs(refused: Refused) -> str:
    by_mg = refused.number("by_mg")
    word = "more" if by_mg > 0 else "less"
    return f"The scale shows {refused.speech.mass(abs(by_mg))} {word} than the bucket should weigh by the entries."


def _plain(text: str) -> Callable[[Refused], str]:
    def sentence(_: Refused) -> str:
        return text

    return sentence


_SENTENCES: Mapping[str, Callable[[Refused], str]] = {
    "batch-over": _plain("The batch is closed; only notes can be added."),
    "no-reason": _plain("Say why first: pick a line or type some words."),
    "no-step": _plain("All steps are through."),
    "other-step": _plain("That belongs to another step."),
    "not-a-mass": _plain("A weight must be more than nothing. Type what went in."),
    "nothing-to-weigh": _plain("Nothing is weighed in this step. Press + to add something else."),
    "far-over": _far("over"),
    "far-under": _far("under"),
    "far-over-plan": _far_over_plan,
    "more-than-filled": _more_than_filled,
    "over-ceiling": _over_ceiling,
    "over-cap": _over_cap,
    "bucket-differs": _bucket_differs,
    "weighed-apart": lambda refused: (
        f"{_material(refused)}: weigh it on “{refused.values['scale']}” and type what that shows."
    ),
    "more-than-in": _more_than_in,
    "unknown-material": lambda refused: f"This recipe has no {refused.values['material']}.",
    "nothing-in": lambda refused: f"No {_material(refused)} is in yet; leave the step out instead (/).",
    "needs-answer": _plain("This step needs an answer: type it or pick a line."),
    "not-started": _plain("Start the paddle first."),
    "too-soon": _too_soon,
    "no-such-step": _plain("That step is done or is not in this recipe."),
    "already-there": _plain("That is the step at hand."),
    "came-out-since": _plain("More of it came out later than would then be in; take that back first."),
    "not-through": _plain("First finish what is under way: the mixing, the tub, or the remedy taken before."),
    "earlier-share-first": _plain(
        "An earlier share of it is not in yet; weigh that in, or leave that out first."
    ),
    "take-out-first": _plain("First take out what the way out asks for, or take that way back."),
    "cannot-take-back": _plain("That entry cannot be taken back."),
    "sets": _plain(
        "It sets or is past its time: nothing more goes in. What is in all the same: enter it with +."
    ),
    "way-begun": _plain("Work on this way out has begun; take that back first."),
    "no-mix-temperature": lambda refused: (
        f"{show_temperature_c(refused.number('milli_c') / 1000, refused.speech.units)} cannot be the mix's temperature."
    ),
    "way-hindered": _plain("That way is barred here; its line says by what."),
    "steps-left": _plain("Steps are left; do them or leave them out with a reason."),
    "flags-stand": lambda refused: (
        f"{refused.values['count']} checks are open: say what becomes of the batch."
    ),
    "not-steady": _plain("Wait until the scale is steady, or type the weight."),
    "no-reading": _plain("There is no live reading. Type the weight."),
    "tub-still-full": _plain("The tub is not empty: tip it in, then put it back on the scale."),
    "tub-not-on": _plain("The tub is not on the scale: put the empty tub back, or type what went in."),
    "vessel-off": _plain("Put back on the scale what stood on it, or type what went in."),
    "question-changed": _plain("The question had changed; look, then press again."),
    "not-a-choice": _plain("Type the number of a line, then Enter."),
    "nothing-to-take-back": _plain("There is nothing to take back."),
    "nothing-to-type": _nothing_to_type,
    "nothing-typed": _plain("Type the answer, then Enter."),
    "not-whole": _plain("Type a whole number."),
    "no-ways": _plain("Nothing is out of its band; say what happened."),
}

_QUANTITIES: Mapping[str, str] = {
    "empty": "Nothing was typed.",
    "too-long": "That is too long.",
    "bad-character": "“{found}” holds a sign that is no number: type digits with . or , and a unit.",
    "bad-number": "“{found}” is not a number: type digits, with . or , before or among them.",
    "too-many-digits": "“{found}” has too many digits.",
    "ambiguous-thousands": "“{found}” can be {as_decimal} or {as_thousands}: type it with a point or no comma.",
    "bad-fraction": "“{found}” is not a fraction such as 3/8.",
    "unit-missing": "“{found}” needs a unit, such as {suggestion}.",
    "unknown-unit": "“{unit}” is no unit known here; did you mean {suggestion}?",
    "wrong-dimension": "“{found}” is a {dimension}; a {wanted} is asked for, such as {suggestion}.",
    "which-gallon": "Which “{unit}”? Type one of: {choices}.",
    "which-ton": "Which “{unit}”? Type one of: {choices}.",
    "oz-is-mass-or-volume": "“{unit}” can be a mass or a volume. Type one of: {choices}.",
    "bad-compound": "“{found}” cannot be read; write the larger unit first.",
    "not-whole": "In “{found}” the {unit} must be whole.",
    "part-too-large": "In “{found}” there are too many {unit}: at most {limit}.",
}
