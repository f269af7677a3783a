"""Every name a terminal may send for a number-pad key means the same key."""

import pytest

from mixstation.screens.keys import LONGEST_NUMBER, key_of, stroke
from mixstation.station.view import Act, Choice, Question
from tests.screens import views

POUR = views.POUR_LIVE.question


@pytest.mark.parametrize(
    ("name", "character", "key"),
    [
        ("enter", "\r", "enter"),
        ("enter", None, "enter"),
        ("ctrl+j", "\n", "enter"),
        ("ctrl+m", None, "enter"),
        ("5", None, "5"),
        ("5", "5", "5"),
        ("full_stop", ".", "."),
        ("comma", ",", ","),
        ("decimal", None, "."),
        ("decimal", ",", ","),
        ("separator", None, ","),
        ("plus", "+", "+"),
        ("add", None, "+"),
        ("minus", "-", "-"),
        ("subtract", None, "-"),
        ("asterisk", "*", "*"),
        ("multiply", None, "*"),
        ("slash", "/", "/"),
        ("divide", None, "/"),
        ("backspace", "\x7f", "erase"),
        ("escape", "\x1b", "wipe"),
        ("up", None, "cursor"),
        ("insert", None, "cursor"),
        ("ctrl+c", "\x03", "leave"),
        ("ctrl+q", "\x11", "leave"),
        ("f9", None, ""),
        ("�", "�", ""),
        ("ctrl+g", "\x07", ""),
    ],
)
def test_names_of_keys(name: str, character: str | None, key: str) -> None:
    assert key_of(name, character) == key


@pytest.mark.parametrize("act", POUR.acts)
def test_an_act_has_its_pad_key_its_letter_and_the_capital(act: Act) -> None:
    for key in (act.pad, act.letter, act.letter.upper()):
        found = stroke(key, POUR, "")
        assert (found.does, found.value) == ("send", act.name)


@pytest.mark.parametrize("key", [*"0123456789", ".", ","])
def test_digits_and_both_marks_are_typed_as_they_are(key: str) -> None:
    assert stroke(key, POUR, "1").value == key


@pytest.mark.parametrize("key", ["²", "٣", "a", "é", "�", "_", "e"])
def test_nothing_else_gets_into_a_number(key: str) -> None:
    assert stroke(key, views.TEMPERATURE.question, "").does == "nothing"


def test_minus_starts_a_temperature_where_it_is_no_act() -> None:
    question = Question(ident="t", ask="Type.", entry="temperature")
    assert stroke("-", question, "").value == "-"
    assert stroke("-", views.TEMPERATURE.question, "").does == "send"


def test_digits_answer_choices_even_where_nothing_is_weighed() -> None:
    assert stroke("2", views.CONSISTENCY.question, "").does == "type"


def test_digits_with_nothing_to_type_say_so() -> None:
    question = views.SCRAPE_STEP.question
    assert stroke("2", question, "").said == "no-entry"
    sent = stroke("enter", question, "")
    assert (sent.does, sent.value) == ("send", "enter")


def test_enter_after_digits_with_nothing_to_type_wipes_them_and_does_not_act() -> None:
    question = views.SCRAPE_STEP.question
    assert stroke("2", question, "").does == "type"
    wiped = stroke("enter", question, "0.4")
    assert (wiped.does, wiped.said) == ("wipe", "wiped")


def test_the_entry_has_an_end() -> None:
    assert stroke("1", POUR, "1" * LONGEST_NUMBER).said == "full"


def test_cursor_keys_ask_for_num_lock() -> None:
    assert stroke("cursor", POUR, "").said == "cursor"


def test_pad_acts_work_before_text_and_are_text_after_it() -> None:
    question = views.REASON.question
    assert stroke("-", question, "").value == "take-back"
    assert stroke("-", question, "no ").does == "type"
    assert stroke("b", question, "").does == "type"


def test_enter_with_a_choice_number() -> None:
    question = Question(ident="c", ask="Choose.", choices=(Choice(number=1, words="one"),))
    assert stroke("enter", question, "").said == "enter-idle"
    assert stroke("enter", question, "1").does == "send"


def test_a_second_digit_of_a_menu_chooses_another_line() -> None:
    lines = tuple(Choice(number=number, words=f"line {number}") for number in (1, 4, 5))
    menu = Question(ident="menu", ask="What?", entry="whole", choices=lines)
    assert [stroke(key, menu, typed).does for key, typed in (("5", ""), ("4", "5"), ("1", "4"))] == [
        "type",
        "retype",
        "retype",
    ]
    weight = Question(ident="pour", ask="Pour.", entry="mass")
    assert stroke("4", weight, "5").does == "type"
