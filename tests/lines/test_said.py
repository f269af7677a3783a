"""Only what has changed is said, and never a live weight."""

from dataclasses import replace

import pytest

from mixstation.lines.said import all_lines, changed_lines, weight_lines
from mixstation.station.view import FlagShown, ScaleShown
from mixstation.wording import front
from tests.screens import views


@pytest.mark.parametrize("name", views.ALL)
def test_every_view_can_be_said_whole(name: str) -> None:
    view = views.ALL[name]
    lines = all_lines(view)
    assert all(line.isprintable() for line in lines)
    assert all(line for line in lines)
    assert view.question.ask in lines
    for choice in view.question.choices:
        assert f"[{choice.number}] {choice.words}" in lines
    for flag in view.flags:
        assert f"{flag.word}: {flag.sentence}" in lines


def test_a_live_weight_says_nothing() -> None:
    assert views.POUR_LIVE.pour is not None
    later = replace(
        views.POUR_LIVE,
        serial=50,
        pour=replace(views.POUR_LIVE.pour, actual="3.20 kg", fraction=0.61),
        scale=ScaleShown(state="steady", text="3.20 kg", fresh=True),
        clock=replace(views.GOOD, since_water="6:11"),
        question=replace(views.POUR_LIVE.question, enter="take 3.20 kg as all of it"),
    )
    assert changed_lines(views.POUR_LIVE, later) == []


def test_a_cue_is_said_once() -> None:
    assert changed_lines(views.POUR_LIVE, views.POUR_SLOW) == ["Slow now: a thin stream."]
    assert changed_lines(views.POUR_SLOW, replace(views.POUR_SLOW, serial=51)) == []


def test_flags_are_said_when_they_come_and_go_and_not_when_their_figures_run() -> None:
    def flagged(sentence: str) -> FlagShown:
        return FlagShown(gravity="warn", word="WARN", symbol="!", sentence=sentence)

    none = replace(views.MIX, flags=())
    first = replace(views.MIX, flags=(flagged("Ends at 0.361."),))
    second = replace(views.MIX, flags=(flagged("Ends at 0.362."),))
    assert changed_lines(none, first) == ["WARN: Ends at 0.361."]
    assert changed_lines(first, second) == []
    assert changed_lines(second, none) == [front.LINE_CLEARED.format(sentence="Ends at 0.362.")]


def test_a_lost_scale_is_said_and_its_seconds_are_not() -> None:
    lines = changed_lines(views.POUR_LIVE, views.SCALE_SILENT)
    assert any("silent for 4 s" in line and front.NO_LIVE_READING in line for line in lines)
    later = replace(views.SCALE_SILENT, scale=replace(views.SCALE_SILENT.scale, state="silent for 5 s"))
    assert changed_lines(views.SCALE_SILENT, later) == []


def test_storage_away_is_said() -> None:
    assert changed_lines(views.POUR_LIVE, views.STORAGE_AWAY) == [views.STORAGE_AWAY.saved]
    assert changed_lines(views.STORAGE_AWAY, views.POUR_LIVE) == [front.LINE_SAVED.format(saved="saved")]


def test_a_new_question_is_said_with_its_answers() -> None:
    lines = changed_lines(views.MIX, views.CONSISTENCY)
    assert lines[:3] == [
        f"No longer: {views.SLOW_SAND.sentence}",
        views.CONSISTENCY.place,
        views.CONSISTENCY.question.ask,
    ]
    assert "[2] right" in lines


def test_a_notice_is_said_when_it_is_new() -> None:
    refused = replace(views.MIX, serial=60, notice="Type a number.")
    assert changed_lines(views.MIX, refused) == ["Type a number."]
    assert changed_lines(refused, replace(refused, serial=61)) == []


def test_weight_on_request() -> None:
    assert list(weight_lines(views.POUR_LIVE)) == [
        "scale moving: 3.14 kg",
        "target 5.20 kg, right 5.10 to 5.30 kg, in so far 3.14 kg, under",
        "still to pour: 2.06 kilograms",
    ]
    silent = list(weight_lines(views.SCALE_SILENT))
    assert silent[0] == f"scale silent for 4 s: {front.NO_LIVE_READING}"
    assert not any("3.14" in line for line in silent)


def test_a_text_to_be_read_to_its_end_is_said_whole_and_said_to_be() -> None:
    lines = all_lines(views.SAFETY)
    assert all(text in lines for text in views.SAFETY.question.detail)
    assert lines.index(front.LINE_WHOLE_TEXT) > lines.index(views.SAFETY.question.detail[-1])
    assert front.LINE_WHOLE_TEXT not in all_lines(views.POUR_LIVE)


def test_the_limits_of_a_dose_and_of_the_ratio_are_said_in_figures() -> None:
    lines = all_lines(views.POUR_LIVE)
    assert "target 5.20 kg, right 5.10 to 5.30 kg" in lines
    assert (
        "all water / binder 0.334 ± 0.003: inside; least 0.300, aim 0.330, most 0.360, ceiling 0.390" in lines
    )
