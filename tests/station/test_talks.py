"""Every question reachable by number pad, answered by a number or left by one key."""

from functools import cache

import pytest

from mixstation.batch.events import SafetyAcknowledged
from mixstation.recipe.file import read_recipe
from mixstation.scale.emulator import EmulatedScale
from mixstation.wording import menu_lines
from tests.station.mixer import answer_now, mix
from tests.station.recipes import QUICK, quick
from tests.station.view_checks import check
from tests.station.yard import QUIET, Yard

ACTS = ("add-else", "take-back", "trouble", "menu")
# Deeper than any talk goes.
DEEPEST = 6


def phase(yard: Yard) -> str:
    return yard.question.ident.split("/")[2]


@cache
def moments() -> dict[str, Yard]:
    """Each kind of moment in a batch."""
    yard, found = Yard(quick()), dict[str, Yard]()
    while not yard.view.ended:
        if not yard.question.grave and phase(yard) not in found:
            found[phase(yard)] = yard.fork()
        while (answer := answer_now(yard.view, "too stiff")) is None:
            yard.wait(0.5)
        yard.session.answer(answer)
    return found


def at(name: str) -> Yard:
    yard = moments()[name].fork()
    assert phase(yard) == name
    return yard


def test_every_moment_of_a_usual_batch_is_looked_at() -> None:
    assert set(moments()) == {
        "safety", "pour", "start-mixing", "mixing", "scrape", "resting", "judge", "release-start-mixing",
        "release-mixing", "temperature", "finish", "ended",
    }  # fmt: skip


@pytest.mark.parametrize("name", ["pour", "mixing", "judge", "release-mixing", "finish"])
def test_every_line_of_every_menu_leads_somewhere_and_one_key_leads_back(name: str) -> None:
    """By number alone; a line either opens a question, is carried out, or says why not."""
    yard = at(name)
    main = yard.question
    facts = yard.facts
    ways = [[act] for act in ACTS]
    walked = 0
    while ways:
        way = ways.pop()
        assert len(way) <= DEEPEST
        here = _walk(yard, way)
        walked += 1
        if here is None:
            # It was carried out, or back at the step: begin again from the same moment.
            yard = at(name)
            continue
        check(yard.view)
        assert yard.question.grave
        assert [act.pad for act in yard.question.acts] == ["+", "-"]
        ways += [[*way, str(choice.number)] for choice in yard.question.choices]
        yard.press("back")
        assert yard.question == main
        assert yard.facts == facts
    assert walked > 30


def _walk(yard: Yard, way: list[str]) -> object | None:
    """Go a way from the main question; None once it ended in a deed."""
    before = len(yard.facts)
    yard.press(way[0])
    for number in way[1:]:
        question = yard.question
        yard.press(typed=number)
        check(yard.view)
        if len(yard.facts) > before or not yard.question.grave:
            return None
        if yard.question.ident == question.ident:
            assert yard.view.notice, f"{number} did nothing at {question}"
            return None
    return yard.question if yard.question.grave else None


def test_a_step_is_left_out_with_a_reason_and_taken_back() -> None:
    yard = at("scrape")
    yard.press("menu")
    yard.pick(menu_lines.SKIP_LINE)
    yard.press(typed="1")
    assert phase(yard) == "resting"
    skipped = yard.run.skipped
    assert list(skipped.values()) == ["not needed in this mix"]
    yard.press("take-back")
    yard.press(typed="1")
    yard.press(typed="1")
    assert phase(yard) == "scrape"


def test_a_later_step_is_done_first_and_then_the_one_left() -> None:
    yard = at("start-mixing")
    yard.press("menu")
    yard.pick(menu_lines.FORWARD_LINE)
    yard.pick("scrape")
    assert phase(yard) == "scrape"
    yard.press()
    assert phase(yard) == "start-mixing"
    assert "out-of-order" in yard.flags


def test_more_materials_than_a_number_pad_has_digits_can_all_be_entered() -> None:
    pigments = "".join(
        f'\n[[material]]\nkey = "pigment-{n}"\nname = "Pigment {n}"\nrole = "pigment"\ndose = "1 %"\nof = "cement"\n'
        f'density = "4000 kg/m3"\n'
        for n in range(1, 10)
    )
    steps = "".join(f'\n[[step]]\nadd = "pigment-{n}"\n' for n in range(1, 10))
    head, tail = QUICK.split('\n[[step]]\nadd = "fibre"')
    first = head.index("\n[[step]]")
    text = head[:first] + pigments + head[first:] + steps + '\n[[step]]\nadd = "fibre"' + tail
    yard = Yard(read_recipe(text, "nine_pigments.toml"))
    yard.put_gear_on()
    yard.press("add-else")
    assert len(yard.question.choices) == 9
    yard.pick(menu_lines.MORE_LINE)
    yard.pick("Pigment 9")
    yard.press(typed="3 g")
    assert yard.run.content["pigment-9"] == 3_000


def test_only_the_gear_is_asked_about_before_the_first_bag() -> None:
    yard = at("safety")
    assert yard.question.acts == ()
    assert yard.question.detail
    yard.press()
    assert isinstance(yard.facts[-1], SafetyAcknowledged)


def test_leaving_is_all_that_is_left_at_the_end() -> None:
    yard = at("ended")
    assert yard.question.acts == ()
    assert not yard.view.ended
    yard.press()
    assert yard.view.ended


def test_a_typed_slip_is_asked_about_and_can_be_put_right() -> None:
    yard = at("pour")
    yard.press(typed="2.08 kg")
    assert yard.question.grave
    assert yard.weights == []
    yard.press("back")
    yard.press(typed="208 g")
    assert [weight.mass_mg for weight in yard.weights] == [208_000]


def test_both_decimal_marks_and_units_are_read_as_shown() -> None:
    for text in ("0,208 kg", "0.208 kg", "208", "208,0", "208 g"):
        yard = at("pour")
        yard.press(typed=text)
        assert [weight.mass_mg for weight in yard.weights] == [208_000], text


def test_a_pour_under_way_is_booked_before_its_step_is_left() -> None:
    for line, follow in (
        (menu_lines.ENOUGH_LINE, None),
        (menu_lines.SKIP_LINE, "1"),
        (menu_lines.FORWARD_LINE, "2"),
    ):
        yard = Yard(quick(), scale=EmulatedScale(QUIET, seed=1))
        yard.bucket_on()
        yard.pour("120 g")
        yard.press("menu")
        yard.pick(line)
        if follow:
            yard.press(typed=follow)
        assert yard.run.content["water"] == pytest.approx(120_000, abs=1_100), line
        assert yard.view.notice == "Noted.", line


def test_a_pour_that_still_runs_is_not_left() -> None:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(quick(), scale=scale)
    yard.bucket_on()
    scale.pour(30_000)
    yard.wait(2)
    yard.press("menu")
    yard.pick(menu_lines.ENOUGH_LINE)
    assert yard.weights == []
    assert yard.view.notice.startswith("Wait until the scale is steady")


def test_nothing_is_asked_for_that_is_nothing() -> None:
    """No step ever asks to weigh none or less, however much too much went in before."""
    for first in ("150 g", "208 g", "250 g", "262 g", "270 g"):
        yard = Yard(quick())
        yard.put_gear_on()
        yard.press(typed=first)
        for _ in range(60):
            if yard.view.ended:
                break
            view = yard.view
            words = view.question.ask
            assert " 0 g" not in words
            assert "-" not in words.replace("held-back", "")
            offered = [choice.words for choice in view.question.choices]
            if menu_lines.GO_ON_LINE in offered:
                yard.pick(menu_lines.GO_ON_LINE)
            elif view.question.grave and offered:
                yard.press(typed="1")
            else:
                mix(
                    yard,
                    verdict="too stiff",
                    until=lambda view, words=words: view.ended or view.question.ask != words,
                )
        assert yard.view.ended
