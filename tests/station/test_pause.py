"""Pause is one key, whatever is asked; Enter takes up again where the mixer was."""

import pytest

from mixstation.batch.events import BatchPaused, BatchTakenUp
from mixstation.lines.front import heard
from mixstation.screens.keys import stroke
from mixstation.station.view import Answer
from tests.station.mixer import mix
from tests.station.test_hands_free import AFTER_S, at_the_pour, poured
from tests.station.yard import Yard

ASIDE = (
    (),
    ("menu",),
    ("trouble",),
    ("add-else",),
    ("take-back",),
    ("menu", "write a note"),
    ("menu", "note the temperature"),
    ("trouble", "discard the batch"),
)


def at(phase: str) -> Yard:
    yard = Yard()
    mix(yard, until=lambda view: f"/{phase}/" in view.question.ident)
    return yard


@pytest.mark.parametrize("phase", ["pour", "start-mixing", "mixing", "resting", "scrape", "finish"])
@pytest.mark.parametrize("way", ASIDE)
def test_a_pause_is_one_key_and_enter_goes_back_to_what_was_asked(phase: str, way: tuple[str, ...]) -> None:
    yard = at(phase)
    for act in way[:1]:
        yard.press(act)
    for line in way[1:]:
        yard.pick(line)
    before = yard.question
    assert [(act.pad, act.letter) for act in before.acts if act.name == "pause"] == [("+", "p")]
    yard.press("pause")
    assert isinstance(yard.facts[-1], BatchPaused)
    assert yard.question.ask.startswith("PAUSED since ")
    assert not yard.question.acts
    yard.wait(120)
    assert yard.question.ask.startswith("PAUSED since ")
    yard.press()
    assert any(isinstance(fact, BatchTakenUp) for fact in yard.facts[-3:])
    assert yard.question.ask == before.ask
    assert yard.question.choices == before.choices


def test_what_was_half_typed_is_put_away_with_a_word() -> None:
    yard = at("pour")
    count = len(yard.weights)
    yard.press("pause", typed="2.5")
    assert yard.question.ask.startswith("PAUSED since ")
    assert "2.5" in yard.view.notice
    yard.press()
    assert len(yard.weights) == count


def test_the_clock_of_the_pause_is_the_walls_and_stays() -> None:
    yard = at("mixing")
    yard.press("pause")
    said = yard.question.ask
    yard.wait(180)
    assert yard.question.ask == said
    stamp = yard.run.paused_at
    assert stamp is not None
    minutes = stamp.utc_ms // 60_000 + stamp.offset_min
    assert f"{minutes // 60 % 24}:{minutes % 60:02d}" in said


@pytest.mark.parametrize("phase", ["pour", "mixing", "resting"])
def test_a_pause_outlasts_a_cut(phase: str) -> None:
    yard = at(phase)
    yard.press("menu")
    yard.press("pause")
    said = yard.question.ask
    yard.wait(30)
    yard.come_back()
    assert yard.question.ask == said
    assert yard.view.countdown is None
    yard.press()
    assert f"/{phase}/" in yard.question.ident


def test_a_judgement_keeps_its_remedy_over_a_pause_and_a_cut() -> None:
    yard = at("judge")
    yard.pick("stiff and warm")
    asked = yard.question.ask
    assert "/main/" not in yard.question.ident
    yard.press("pause")
    yard.come_back()
    yard.press()
    assert yard.question.ask == asked


def test_nothing_takes_itself_in_a_pause_and_after_it_waits_anew() -> None:
    yard, _ = at_the_pour()
    poured(yard, "208 g")
    yard.press("pause")
    yard.wait(20)
    assert yard.weights == []
    yard.press()
    yard.wait(AFTER_S - 0.5)
    assert yard.weights == []
    yard.wait(1.0)
    assert len(yard.weights) == 1


def test_pad_letter_and_word_pause_with_digits_half_typed() -> None:
    yard = at("pour")
    question = yard.question
    for key in "+pP":
        pressed = stroke(key, question, "2.5")
        assert (pressed.does, pressed.value) == ("send", "pause")
    paused = Answer(question=question.ident, pressed="pause")
    for word in ("+", "p", "pause", "Pause"):
        assert heard(word, question) == paused
    yard.press("menu")
    yard.pick("write a note")
    assert heard("pause", yard.question) == Answer(question=yard.question.ident, pressed="pause")
    assert stroke("+", yard.question, "").value == "pause"
