"""Text from outside, in every place it can enter, never reaches a view as it came."""

from dataclasses import replace

from mixstation.batch.events import Lot
from mixstation.recipe.file import read_recipe
from mixstation.scale.emulator import EmulatedScale
from mixstation.station.bench import Settings
from mixstation.station.keeper import Keeper
from mixstation.station.order import Order, powders_for, start_fact
from mixstation.station.session import Session
from mixstation.station.view import Answer
from tests.record.memory_journal import MemoryJournal
from tests.station.clock import HandClock
from tests.station.mixer import answer_now
from tests.station.recipes import QUICK
from tests.station.view_checks import check, texts
from tests.station.yard import BATCH, BUCKET_MG, QUIET, Yard

# As TOML escapes: clear the screen, turn the line round, a bell, eight-bit escape, a line of its own, markup.
HOSTILE = r"Blend\u001b[2J\u202edrowssap\u0007\u009b31m\u2028[bold]@click\u200f"
RAW = "wall\x1b[2J\u202e\x07\x9b31m\u2028[/]\ud800"


def hostile_recipe() -> str:
    return (
        QUICK.replace('name = "Casting blend"', f'name = "{HOSTILE}"')
        .replace('name = "Sill cap"', f'name = "Cap {HOSTILE}"')
        .replace('mix = "1 s to 40 s"\n', f'mix = "1 s to 40 s"\nsay = "Go {HOSTILE}"\n', 1)
    )


def test_no_view_of_a_whole_batch_holds_a_control_character() -> None:
    loaded = read_recipe(hostile_recipe(), "cap\x1b[2J.toml")
    clock = HandClock()
    order = Order(
        loaded=loaded,
        powders=powders_for(loaded, powder_mg=2_000_000),
        piece=RAW,
        lots=(Lot(material="blend", lot=RAW),),
    )
    session = Session(
        Keeper.begin(MemoryJournal(), clock, "Ida", start_fact(order, BATCH)), clock, None, Settings()
    )
    seen = set()
    for turn in range(300):
        view = session.view()
        check(view)
        if view.ended:
            break
        if turn == 5:
            session.answer(Answer(question=view.question.ident, pressed="take-back"))
            check(session.view())
            session.answer(Answer(question=session.view().question.ident, pressed="back"))
            view = session.view()
        if view.question.ident not in seen:
            seen.add(view.question.ident)
            session.answer(Answer(question=view.question.ident, pressed="enter", typed=RAW))
            check(session.view())
        answer = answer_now(session.view(), "too stiff")
        if answer is not None:
            session.answer(answer)
        clock.go_on(1.0)
        session.tick()
    assert session.view().ended
    assert any("�" in text for text in texts(session.view()))


def test_what_a_scale_sends_is_shown_clean() -> None:
    scale = EmulatedScale(QUIET, seed=1)
    yard = Yard(scale=scale)
    scale.put_mg(BUCKET_MG)
    yard.wait(2)
    watch = yard.session._work.watch
    assert watch is not None
    link = watch._link
    link._receiver.feed(RAW.encode("utf-8", "surrogatepass") + b"\r\n", yard.clock.mono_s())  # type: ignore[attr-defined]
    yard.wait(1)
    check(yard.view)


def test_who_and_what_are_clean_in_the_store_too() -> None:
    loaded = read_recipe(hostile_recipe(), "cap.toml")
    order = Order(loaded=loaded, powders=powders_for(loaded, powder_mg=2_000_000), piece=RAW)
    fact = start_fact(replace(order, lots=(Lot(material="blend", lot=RAW),)), BATCH)
    for text in (
        fact.piece,
        fact.lots[0].lot,
        fact.recipe.name,
        *(item.name for item in fact.recipe.materials),
    ):
        assert "\x1b" not in text
        assert "\ud800" not in text
