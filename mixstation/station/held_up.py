"""The view while the station itself is held up, so that nothing of a while ago passes for now."""

from dataclasses import replace

from mixstation.station.view import View
from mixstation.wording.view_lines import HELD_UP, NOT_YET, STANDS_STILL


def held_up(view: View) -> View:
    """The last view without its weights, its figure and its timer, and with what the matter is.

    Args:
        view: The last one the station put out.
    """
    pour = view.pour and replace(view.pour, actual="—", fraction=None, place="unsure", cue="", cue_words="")
    scale = replace(view.scale, state=STANDS_STILL, text="", fresh=False) if view.scale.text else view.scale
    # No key promises to take a weight that is no longer seen.
    question = replace(view.question, enter="") if pour is not None else view.question
    return replace(
        view,
        question=question,
        figure=None,
        countdown=None,
        pour=pour,
        scale=scale,
        saved=NOT_YET,
        notice=HELD_UP,
    )
