"""`mixstation mix`, `resume` and `demo` as they are typed."""

import signal
from pathlib import Path

import pytest

from mixstation.batch.events import BatchStarted, WeighedApart
from mixstation.record.codec import read
from mixstation.record.journal import Journal
from tests.cli.conftest import Talk
from tests.cli.driven import said_by


def mix_words(shop: Path, powder: str = "2 kg") -> tuple[str, ...]:
    return ("mix", str(shop.parent / "sill_cap.toml"), "--powder", powder, "--plain", "--who", "Ida")


def kinds(shop: Path) -> list[list[str]]:
    journal = Journal.open_reading(shop / "data")
    try:
        return [[event.kind for event in journal.events(row.batch_id)] for row in journal.batches()]
    finally:
        journal.close()


def test_a_typed_batch_from_the_first_word_to_its_record(shop: Path, talk: Talk) -> None:
    mixing = talk(*mix_words(shop))
    mixing.mix()
    assert mixing.leave() == 0
    assert kinds(shop)[0][-1] == "batch-finished"
    assert "Sill cap" in said_by("records")
    nothing = said_by("resume", "--plain", code=1)
    assert nothing == "No batch is open. Start one with: mixstation mix RECIPE --powder MASS\n"


def test_left_in_the_middle_it_goes_on_at_the_same_question(shop: Path, talk: Talk) -> None:
    mixing = talk(*mix_words(shop))
    mixing.until("Read this")
    mixing.say()
    asked = mixing.until("Weigh 208 g of Water")
    mixing.say("quit")
    assert mixing.leave() == 0
    assert any("step 1" in line for line in mixing.said[-1:])
    again = talk("resume", "--plain")
    assert again.until("Weigh") == asked
    again.say("208 g")
    again.until("Weigh 1.000 kg of Casting blend")
    # With no word at all the open batch is taken up too.
    assert again.leave() == 0
    bare = talk()
    bare.until("Casting blend")
    bare.process.send_signal(signal.SIGKILL)
    bare.process.wait()
    finishing = talk("resume", "--plain")
    finishing.mix()
    assert finishing.leave() == 0
    assert kinds(shop)[0][-1] == "batch-finished"


def test_killed_while_it_mixes_the_weights_are_there(shop: Path, talk: Talk) -> None:
    mixing = talk(*mix_words(shop))
    mixing.until("Read this")
    mixing.say()
    mixing.until("Weigh 208 g of Water")
    mixing.say("205 g")
    mixing.until("Weigh 1.000 kg")
    mixing.process.send_signal(signal.SIGKILL)
    mixing.process.wait()
    again = talk("resume", "--plain")
    again.until("205 g")
    again.until("Weigh 1.000 kg")


def test_two_at_once_are_kept_apart(shop: Path, talk: Talk) -> None:
    mixing = talk(*mix_words(shop))
    mixing.until("Read this")
    second = talk(*mix_words(shop))
    assert second.leave() == 1
    assert second.said[-1].startswith(f"Another mixstation (process {mixing.process.pid})")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("mix", "no_such_recipe", "--powder", "2 kg"), 1, "There is no recipe"),
        (("mix", "hearth_plate", "--powder", "2 litres"), 1, "mass"),
        (("mix", "hearth_plate", "--powder", "2 kg", "--bucket", "30"), 0, "Read this"),
        (("mix", "hearth_plate"), 2, "required"),
        (("mix", "hearth_plate", "--powder", "80 kg"), 1, "Mix it in 3 bucketfuls"),
        (("mix", "hearth_plate", "--powder", "80", "--bucket", "60 L"), 0, "Read this"),
        (("mix", "hearth_plate", "--total", "5 kg", "--bucket", "2 L"), 1, "the bucket holds 2 L to the brim"),
        (("mix", "--help"), 0, "a bare number is kilograms"),
        (("mix", "hearth_plate", "--powder", "2 kg", "--total", "3 kg"), 2, "not allowed"),
        (("mix", "hearth_plate", "--powder", "2 kg", "--port", "/dev/no-such-port", "--profile", "polled-line"), 0,
         "no live reading"),
        (("resume", "no-such-batch"), 1, "batch"),
        (("stir",), 2, "invalid choice"),
    ],
)  # fmt: skip
@pytest.mark.usefixtures("shop")
def test_words_are_answered_clearly(words: tuple[str, ...], code: int, said: str) -> None:
    heard = said_by(*words, *(("--plain",) if words[0] in ("mix", "resume") else ()), code=code, typed="\n")
    assert (code == 0 and "--help" not in words) == ("Read this" in heard)
    assert said in " ".join(heard.split())
    assert "Traceback" not in heard


def test_the_demonstration_is_kept_apart_from_the_users_own_records(shop: Path, talk: Talk) -> None:
    demo = talk("demo", "--plain", "--powder", "2 kg")
    demo.until("Read this")
    demo.say()
    demo.until("bucket on the scale")
    assert demo.leave() == 0
    assert not (shop / "data" / "journal.sqlite3").exists()


SCALES = """
[[scale]]
name = "floor"
capacity = "60 kg"
division = "5 g"

[[scale]]
name = "fine"
capacity = "500 g"
division = "0.1 g"

[bucket]
empty = "1.2 kg"

[[vessel]]
name = "white tub"
kind = "tub"
empty = "310 g"
"""


def test_a_dose_too_small_for_the_main_scale_is_asked_for_on_the_finer_one(shop: Path, talk: Talk) -> None:
    """56 g of fibre at 3 % wants a step of 1.27 g or finer; the water and the blend go in by shares."""
    settings = shop / "config" / "settings.toml"
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text(SCALES, encoding="utf-8")
    mixing = talk(*mix_words(shop))
    mixing.until("Read this")
    mixing.say()
    mixing.until("Weigh 210 g of Water, add it")
    mixing.say("quit")
    assert mixing.leave() == 0
    journal = Journal.open_reading(shop / "data")
    try:
        (row,) = journal.batches()
        fact = read(1, next(iter(journal.events(row.batch_id))).body).fact
    finally:
        journal.close()
    assert isinstance(fact, BatchStarted)
    assert fact.scale is not None
    assert fact.scale.name == "floor"
    assert fact.weighed_apart == (WeighedApart(material="fibre", scale="fine", division_mg=100),)
    assert [(each.name, each.kind, each.empty_mg) for each in fact.vessels] == [
        ("", "bucket", 1_200_000),
        ("white tub", "tub", 310_000),
    ]
