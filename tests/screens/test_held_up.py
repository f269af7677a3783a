"""What is left to read while the station is held up, down to the smallest window."""

import pytest

from mixstation.screens.gloves import Hands
from mixstation.screens.layout import board
from mixstation.screens.rows import plain
from mixstation.station.station import held_up
from tests.screens import views


@pytest.mark.parametrize(("columns", "height"), [(50, 15), (60, 20), (80, 24), (200, 60)])
def test_held_up_says_to_stop_pouring_and_shows_no_weight(columns: int, height: int) -> None:
    before = "\n".join(plain(line) for line in board(views.POUR_SLOW, Hands(typed=""), columns, height))
    pour = views.POUR_SLOW.pour
    assert pour is not None
    assert pour.actual in before
    shown = "\n".join(
        plain(line) for line in board(held_up(views.POUR_SLOW), Hands(typed=""), columns, height)
    )
    assert "Stop pouring" in shown
    assert pour.actual not in shown
    assert pour.cue_words not in shown
    assert views.POUR_SLOW.question.enter not in shown
