"""A dose that was begun on the scale and is finished without it: what is counted, and what is asked for."""

from mixstation.batch.advice import Standing, take_out_mg
from mixstation.wording.words import Speech

COUNTED = "{amount} is counted: the scale showed it before it went."
REST_IN = "Weigh {amount} more of {name} elsewhere, add it, type that."
REST_OUT = "Take {amount} more out, weighed elsewhere; type that."
DRIPPED = "dripped in after the dose"
SO_FAR = "{amount} counted"
NO_MORE = "{amount} is counted: enough. Add no more."
TAKE_IT = "take what is counted"
WHICH = "Is that all of it together, or what you added?"
ALL_OF_IT = "all of it together: {amount} in"
ADDED = "added since: {amount} in"


def rest_words(standing: Standing, counted_mg: int, rest_mg: int, name: str, speech: Speech) -> str:
    """What is asked for once some was counted."""
    if not rest_mg:
        return NO_MORE.format(amount=speech.mass(counted_mg))
    template = REST_IN if take_out_mg(standing) is None else REST_OUT
    return template.format(amount=speech.mass(rest_mg), name=name)
