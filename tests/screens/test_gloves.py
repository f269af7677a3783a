"""Wet gloves: held, bounced and mashed keys change nothing; Enter belongs to the question it was pressed at."""

from collections.abc import Iterable

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from mixstation.screens.gloves import (
    BOUNCE_S,
    BURST_S,
    HELD_RATE_S,
    HELD_START_S,
    MASH_S,
    REPEAT_S,
    SETTLE_S,
    Gloves,
)
from mixstation.screens.keys import DECIMAL_MARKS, DIGITS, stroke
from mixstation.station.view import Act, Answer, Choice, Question

POUR = Question(
    ident="pour",
    ask="Pour.",
    entry="mass",
    unit_word="kilograms",
    enter="take it",
    acts=(
        Act(name="back", pad="-", letter="b", words="back"),
        Act(name="more", pad="+", letter="m", words="more"),
    ),
)
NOTE = Question(ident="note", ask="Say why.", entry="text", enter="done")
START_S = 100.0
# Longest usual wait before a keyboard repeats, and its usual rates, from keyboard settings in the field. Common
# practice, no source.
HELD_STARTS_S = (0.15, 0.25, 0.4, 0.5, 0.66, 1.0)
HELD_RATES_S = (0.02, 0.033, 0.04, 0.09)


class Bench:
    """Presses keys at stated times, fetching answers when they fall due as the screen's timer would."""

    def __init__(self, question: Question = POUR, shown_s: float = 0.0) -> None:
        self.gloves = Gloves()
        self.question = question
        self.answers: list[Answer] = []
        self.gloves.show(question.ident, shown_s)

    def press(self, key: str, at_s: float) -> None:
        self.run_to(at_s)
        settled = self.gloves.press(lambda typed: stroke(key, self.question, typed), at_s)
        if settled is not None:
            self.answers.append(settled)

    def run_to(self, at_s: float) -> None:
        due_s = self.gloves.due_s
        if due_s is not None and due_s <= at_s and (answer := self.gloves.due(due_s)) is not None:
            self.answers.append(answer)

    def type(self, keys: Iterable[str], at_s: float = START_S, gap_s: float = 0.4) -> float:
        for key in keys:
            self.press(key, at_s)
            at_s += gap_s
        return at_s

    @property
    def typed(self) -> str:
        return self.gloves.hands.typed

    @property
    def said(self) -> str:
        return self.gloves.hands.said

    def sent(self, at_s: float = 1e9) -> list[tuple[str, str]]:
        self.run_to(at_s)
        return [(answer.pressed, answer.typed) for answer in self.answers]


def test_typed_weight_goes_with_enter() -> None:
    bench = Bench()
    at_s = bench.type("12,4")
    bench.press("enter", at_s)
    assert bench.sent() == [("enter", "12,4")]
    assert bench.answers[0].question == "pour"
    assert bench.typed == ""


def test_both_decimal_marks_stay_as_typed() -> None:
    bench = Bench()
    bench.type("1.2")
    assert bench.typed == "1.2"


def test_quick_typing_of_different_digits_counts() -> None:
    bench = Bench()
    bench.type("3125", gap_s=MASH_S + 0.005)
    assert bench.typed == "3125"


@pytest.mark.parametrize("start_s", HELD_STARTS_S)
@pytest.mark.parametrize("rate_s", HELD_RATES_S)
@pytest.mark.parametrize("key", ["5", "enter", "+"])
def test_a_held_key_counts_once(key: str, start_s: float, rate_s: float) -> None:
    bench = Bench()
    bench.press(key, START_S)
    at_s = START_S + start_s
    for _ in range(100):
        bench.press(key, at_s)
        at_s += rate_s
    assert bench.said == "repeat"
    if key == "5":
        assert bench.typed == "5"
        assert bench.sent() == []
    else:
        assert bench.sent() == [("enter" if key == "enter" else "more", "")]


def test_a_bounce_counts_once_and_is_said() -> None:
    bench = Bench()
    bench.press("7", START_S)
    bench.press("7", START_S + 0.02)
    assert (bench.typed, bench.said) == ("7", "repeat")


def test_the_same_digit_twice_with_a_pause_counts_twice() -> None:
    bench = Bench()
    bench.type("55", gap_s=BOUNCE_S + 0.001)
    assert bench.typed == "55"


@pytest.mark.parametrize("number", ["2.205", "12.12", "0.501", "31313"])
@pytest.mark.parametrize("gap_s", [0.07, 0.15, 0.3])
def test_a_digit_that_comes_back_after_another_one_counts(number: str, gap_s: float) -> None:
    bench = Bench()
    bench.type(number, gap_s=gap_s)
    assert bench.typed == number


def test_repeat_is_measured_from_the_last_event_not_the_last_that_counted() -> None:
    bench = Bench()
    bench.press("enter", START_S)
    bench.press("enter", START_S + 0.3)
    bench.press("enter", START_S + 0.6)
    assert bench.sent() == [("enter", "")]


@pytest.mark.parametrize("number", ["1500", "4000", "10000", "2.22", "0.004", "1001", "55"])
@pytest.mark.parametrize("gap_s", [0.07, 0.1, 0.16, 0.25])
def test_the_digits_of_a_number_follow_one_another_as_a_hand_types(number: str, gap_s: float) -> None:
    bench = Bench()
    at_s = bench.type(number, gap_s=gap_s)
    assert (bench.typed, bench.said) == (number, "")
    bench.press("enter", at_s)
    assert bench.sent() == [("enter", number)]


@pytest.mark.parametrize("jitter", [(0.16, 0.12), (0.19, 0.11), (0.11, 0.2), (0.25, 0.1), (0.59, 0.11)])
def test_three_zeros_in_no_even_rhythm_are_three(jitter: tuple[float, float]) -> None:
    bench = Bench()
    at_s = bench.type("40", gap_s=0.0001 + MASH_S) - MASH_S
    for gap_s in jitter:
        at_s += gap_s
        bench.press("0", at_s)
    assert bench.typed == "4000"


def test_an_erased_digit_is_erased_as_quickly() -> None:
    bench = Bench()
    at_s = bench.type("1500", gap_s=0.16)
    bench.type(("erase", "erase"), at_s, gap_s=0.16)
    assert bench.typed == "15"


def test_the_number_of_a_menu_line_keeps_its_pace() -> None:
    menu = Question(ident="m", ask="Which?", entry="whole", choices=(Choice(number=5, words="this"),))
    bench = Bench(menu)
    bench.type("55", gap_s=REPEAT_S - 0.01)
    assert (bench.typed, bench.said) == ("5", "repeat")


@pytest.mark.parametrize("gap_s", [0.0, 0.01, 0.03, 0.044])
def test_digits_at_once_are_dropped_whole_and_the_next_enter_does_not_act(gap_s: float) -> None:
    bench = Bench()
    at_s = bench.type("832", gap_s=gap_s) + 2.0
    assert (bench.typed, bench.said) == ("", "mash")
    bench.press("enter", at_s)
    assert bench.said == "early"
    assert bench.sent(at_s + 1.0) == []
    bench.press("enter", at_s + 1.0)
    assert bench.sent() == [("enter", "")]


def test_digits_at_once_after_one_that_counted_do_not_leave_that_one_to_enter() -> None:
    bench = Bench()
    at_s = bench.type("8")
    bench.type("32", at_s, gap_s=0.005)
    bench.press("enter", at_s + 1.0)
    assert bench.sent() == []
    assert bench.typed == "8"


@pytest.mark.parametrize("gap_s", [0.0, 0.003, 0.02, 0.05, 0.059])
def test_a_wedge_that_sends_its_own_enter_books_no_other_number(gap_s: float) -> None:
    """A thing that types for the hand, at any speed: all of its digits or none."""
    for number in ("832", "1500", "4.00"):
        bench = Bench()
        at_s = bench.type(number, gap_s=gap_s)
        bench.press("enter", at_s)
        assert bench.sent() in ([], [("enter", number)])


def test_enter_right_after_a_bounce_waits_until_it_is_seen() -> None:
    bench = Bench()
    bench.type("1.2")
    bench.press("2", bench.gloves.due_s or START_S + 0.83)
    bench.press("enter", START_S + 1.0)
    assert (bench.typed, bench.said, bench.sent(START_S + 1.3)) == ("1.2", "early", [])
    bench.press("enter", START_S + 1.5)
    assert bench.sent() == [("enter", "1.2")]


@pytest.mark.parametrize(
    ("text", "typed"), [("832", "832"), ("1.5\n", "1.5"), ("8x2", ""), ("83\n2", ""), ("+", "")]
)
def test_what_is_pasted_is_typed_whole_or_not_at_all(text: str, typed: str) -> None:
    bench = Bench()
    bench.gloves.paste(lambda key, before: stroke(key, POUR, before), text, START_S)
    assert bench.typed == typed
    bench.press("enter", START_S + 1.0)
    assert bench.sent() == ([("enter", typed)] if typed else [])


def test_a_paste_that_brings_its_own_enter_is_a_mash() -> None:
    bench = Bench()
    bench.gloves.paste(lambda key, before: stroke(key, POUR, before), "832", START_S)
    bench.press("enter", START_S + 0.01)
    assert (bench.typed, bench.said, bench.sent()) == ("", "mash", [])


def test_enter_waits_until_a_mash_can_no_longer_follow() -> None:
    bench = Bench()
    bench.press("enter", START_S)
    assert bench.gloves.hands.pressed == "enter"
    assert bench.sent(START_S + MASH_S - 0.001) == []
    assert bench.sent(START_S + MASH_S) == [("enter", "")]
    assert bench.gloves.hands.pressed == ""


@pytest.mark.parametrize(
    "keys", [("enter", "3"), ("3", "enter"), ("+", "enter"), ("-", "+"), ("enter", "", "6")]
)
def test_a_mash_sends_nothing_and_types_nothing(keys: tuple[str, ...]) -> None:
    bench = Bench()
    at_s = bench.type("2")
    for key in keys:
        bench.press(key, at_s)
        at_s += 0.02
    assert (bench.typed, bench.said) == ("2", "mash")
    assert bench.sent() == []


def test_a_mash_brings_back_what_its_first_key_wiped() -> None:
    bench = Bench()
    at_s = bench.type("82")
    bench.press("-", at_s)
    bench.press("+", at_s + 0.01)
    assert bench.typed == "82"


def test_leaning_on_one_key_while_pressing_enter_takes_nothing() -> None:
    bench = Bench()
    bench.press("5", START_S)
    at_s = START_S + 0.5
    for _ in range(30):
        bench.press("5", at_s)
        at_s += 0.03
    bench.press("enter", at_s)
    assert bench.sent() == []
    assert bench.typed == "5"


def test_minus_wipes_while_something_is_typed_and_is_the_act_otherwise() -> None:
    bench = Bench()
    at_s = bench.type("12")
    bench.press("-", at_s)
    assert bench.typed == ""
    assert bench.sent(at_s + 1) == []
    bench.press("-", at_s + 2)
    assert bench.sent() == [("back", "")]


def test_an_act_takes_along_what_was_typed() -> None:
    bench = Bench()
    at_s = bench.type("0.3")
    bench.press("m", at_s)
    assert bench.sent() == [("more", "0.3")]


def test_enter_right_after_the_question_changed_is_not_taken() -> None:
    bench = Bench(shown_s=START_S)
    bench.press("enter", START_S + SETTLE_S - 0.01)
    assert bench.said == "early"
    assert bench.sent() == []
    bench.press("enter", START_S + SETTLE_S + REPEAT_S)
    assert bench.sent() == [("enter", "")]


def test_enter_right_after_the_question_changed_counts_when_typed_for_it() -> None:
    bench = Bench(shown_s=START_S)
    bench.press("4", START_S + 0.1)
    bench.press("enter", START_S + 0.2)
    assert bench.sent() == [("enter", "4")]


def test_what_was_typed_for_another_question_is_wiped_and_said() -> None:
    bench = Bench()
    at_s = bench.type("12")
    bench.gloves.show("next", at_s)
    assert (bench.typed, bench.said) == ("", "moved")


def test_an_enter_on_its_way_keeps_its_question() -> None:
    bench = Bench()
    at_s = bench.type("12")
    bench.press("enter", at_s)
    bench.gloves.show("next", at_s + 0.02)
    assert bench.sent() == [("enter", "12")]
    assert bench.answers[0].question == "pour"


def test_enter_held_across_a_change_does_not_answer_the_next_question() -> None:
    bench = Bench()
    bench.press("enter", START_S)
    bench.run_to(START_S + 0.1)
    bench.gloves.show("next", START_S + 0.1)
    at_s = START_S + 0.5
    for _ in range(20):
        bench.press("enter", at_s)
        at_s += 0.033
    assert len(bench.sent()) == 1


def test_a_slow_second_enter_is_sent_after_a_moment() -> None:
    bench = Bench()
    bench.press("enter", START_S)
    bench.press("enter", START_S + 0.6)
    assert bench.sent(START_S + 0.6 + MASH_S) == [("enter", "")]
    assert bench.sent(START_S + 0.6 + BURST_S) == [("enter", "")] * 2


def test_enter_without_anything_to_confirm_says_so() -> None:
    bench = Bench(Question(ident="q", ask="Type.", entry="mass"))
    bench.press("enter", START_S)
    assert bench.said == "enter-idle"
    assert bench.sent() == []


def test_text_is_ordinary_typing() -> None:
    bench = Bench(NOTE)
    at_s = bench.type("better - no 100 % all good", gap_s=0.01)
    bench.press("erase", at_s)
    bench.press("erase", at_s + 0.01)
    bench.press("enter", at_s + 0.02)
    assert bench.sent() == [("enter", "better - no 100 % all go")]


KEYS = st.sampled_from([*"0123456789.,+-*/bm", "enter", "erase", "wipe", "cursor", ""])


@given(st.lists(KEYS, min_size=2, max_size=8, unique=True), st.floats(0.0, MASH_S - 0.001))
def test_any_mash_changes_nothing(keys: list[str], gap_s: float) -> None:
    bench = Bench()
    at_s = bench.type("41")
    for key in keys:
        bench.press(key, at_s)
        at_s += gap_s
    assert bench.typed == "41"
    assert bench.sent() == []


@given(
    KEYS.filter(bool),
    st.floats(0.0, HELD_START_S - 0.001),
    st.floats(0.01, BURST_S - 0.001),
    st.integers(3, 40),
)
def test_any_held_key_does_what_one_press_does(key: str, start_s: float, rate_s: float, count: int) -> None:
    """A digit is typed as quickly as some keyboards repeat: it is held when it repeats quicker than it began."""
    if key in (*DIGITS, *DECIMAL_MARKS, "erase"):
        rate_s = min(rate_s, HELD_RATE_S - 0.001)
        assume(start_s > 2.01 * rate_s or rate_s < BOUNCE_S - 0.001)
    once, held = Bench(), Bench()
    at_s = once.type("41") + HELD_START_S
    held.type("41")
    once.press(key, at_s)
    for n in range(count):
        held.press(key, at_s + (start_s + (n - 1) * rate_s if n else 0.0))
    assert held.sent() == once.sent()
    assert held.typed == once.typed


@given(st.lists(st.tuples(KEYS, st.floats(0.0, 3.0)), max_size=30))
def test_no_sequence_sends_a_key_twice_or_without_a_press(events: list[tuple[str, float]]) -> None:
    bench = Bench()
    at_s = START_S
    for key, gap_s in events:
        at_s += gap_s
        bench.press(key, at_s)
    sends = sum(key in ("enter", *"+-bm") for key, _ in events)
    assert len(bench.sent()) <= sends
    assert all(answer.question == "pour" for answer in bench.answers)
