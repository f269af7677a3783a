"""A batch left and taken up again is the batch it was: the same screen and numbers, whatever it was begun with.

Every option of `mix` is tried; one that is new fails here until it is in the table.
"""

import argparse
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from unittest.mock import patch

import pytest

from mixstation.batch.events import Entry, ProgramResumed
from mixstation.cli.main import main
from mixstation.planning.kept import kept_ids
from mixstation.record.codec import stored_entries
from mixstation.record.journal import Journal
from mixstation.record.stored import open_batches
from mixstation.station.view import View
from tests.cli.driven import said_by
from tests.cli.front import Front

POWDER = ("--powder", "2 kg")
OPTIONS: dict[str, tuple[str, ...]] = {
    "powder": POWDER,
    "total": ("--total", "2.5 kg"),
    "of": ("--of", "blend", "1.9 kg"),
    "piece": (*POWDER, "--piece", "north sill"),
    "bucket": (*POWDER, "--bucket", "12 L"),
    "weigh": (*POWDER, "--weigh", "tub"),
    "scale": (*POWDER, "--scale", "fine"),
    "shop": (*POWDER, "--shop", "31 °C"),
    "plain": (*POWDER, "--plain"),
    "units": (*POWDER, "--units", "us"),
    "hands_free": (*POWDER, "--hands-free", "7 s"),
    "who": (*POWDER, "--who", "Mara"),
    "decimal_comma": (*POWDER, "--decimal-comma"),
    "division": (*POWDER, "--division", "20 g"),
    "beside": (*POWDER, "--beside"),
    "last_batch": (*POWDER, "--last-batch", "aim"),
}
OTHERWISE = {"plan", "number", "port", "profile", "help", "recipe"}
"""A plan and its bucket: below; the scale: `test_open_batches`; neither help nor a recipe is an option."""

BEFORE = """
units = "metric"
division = "2 g"
hands_free = "5 s"
who = "Ida"

[[scale]]
name = "floor"
capacity = "30 kg"
division = "5 g"

[[scale]]
name = "fine"
capacity = "15 kg"
division = "1 g"
"""
SINCE = """
units = "us-pound-ounce"
division = "50 g"
hands_free = "9 s"
who = "Zed"
decimal_comma = true
weigh = "supply"
shop = "5 °C"
port = "/dev/no-such-port"

[[scale]]
name = "floor"
capacity = "30 kg"
division = "20 g"

[bucket]
volume = "60 L"
"""


def on_file(shop: Path, text: str) -> None:
    path = shop / "config" / "settings.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def shown(view: View) -> View:
    """All that is shown but what was just said, and counts."""
    return replace(view, notice="", serial=0, answered=0, bells=0)


def stored(shop: Path) -> tuple[Entry, ...]:
    with closing(Journal.open_reading(shop / "data")) as journal:
        (batch_id,) = open_batches(journal)
        return stored_entries(journal, batch_id)


def options_of_mix() -> set[str]:
    seen: list[argparse.ArgumentParser] = []

    def stop(parser: argparse.ArgumentParser, *_: object) -> None:
        seen.append(parser)
        raise KeyboardInterrupt

    with patch.object(argparse.ArgumentParser, "parse_args", stop):
        main(["mix"])
    return {action.dest for action in seen[0]._actions}


def begun(front: Front, *words: str) -> tuple[View, View]:
    """A batch at its first weight: how it is shown, and what a number typed there comes to; then it is left."""
    assert main(["mix", *words]) == 0
    front.says()
    return left(front)


def left(front: Front) -> tuple[View, View]:
    asked = front.desk.view()
    # Too much to be booked, or with a comma that could be either mark: asked about or refused.
    answered = front.says("1,234 kg")
    front.desk.stop()
    return shown(asked), replace(shown(answered), notice=answered.notice)


def test_every_option_of_mix_is_tried() -> None:
    assert options_of_mix() == {*OPTIONS, *OTHERWISE}


@pytest.mark.parametrize("option", OPTIONS)
def test_taken_up_again_it_is_the_batch_that_was_left(front: Front, shop: Path, option: str) -> None:
    on_file(shop, BEFORE)
    before = begun(front, str(shop.parent / "sill_cap.toml"), *OPTIONS[option])
    plain = front.plain
    on_file(shop, SINCE)
    assert main(["resume"]) == 0
    assert front.plain == plain
    assert left(front) == before


def test_hands_free_time_and_people_are_kept_too(front: Front, shop: Path) -> None:
    on_file(shop, BEFORE)
    begun(front, str(shop.parent / "sill_cap.toml"), *POWDER, "--who", "Mara", "--hands-free", "7 s")
    on_file(shop, SINCE)
    assert main(["resume"]) == 0
    front.says("208 g")
    front.desk.stop()
    entries = stored(shop)
    assert {entry.stamp.who for entry in entries} == {"Mara"}
    settings = entries[0].fact.settings  # type: ignore[union-attr]
    assert (settings.hands_free_s, settings.division_mg, settings.units) == (7.0, 2_000, "metric")
    resumed = [entry.fact for entry in entries if isinstance(entry.fact, ProgramResumed)]
    assert [fact.settings for fact in resumed] == [None]


def test_what_the_settings_say_otherwise_by_now_is_said_in_one_line(front: Front, shop: Path) -> None:
    on_file(shop, BEFORE)
    begun(front, str(shop.parent / "sill_cap.toml"), *POWDER)
    assert main(["resume"]) == 0
    assert "have changed" not in front.desk.view().notice
    front.desk.stop()
    on_file(shop, BEFORE.replace('"2 g"', '"4 g"').replace('who = "Ida"\n', "").replace('"5 g"', '"10 g"'))
    assert main(["resume"]) == 0
    assert front.desk.view().notice == (
        "Settings have changed since: division 4 g (was 2 g), scale floor division 10 g (was division 5 g), "
        "who not set (was Ida). This batch keeps its own."
    )


def test_what_is_said_anew_counts_is_told_and_is_kept(front: Front, shop: Path) -> None:
    sill = str(shop.parent / "sill_cap.toml")
    metric = begun(front, sill, *POWDER, "--division", "20 g", "--who", "Mara")
    anew = ("--units", "us", "--division", "1 g", "--decimal-comma", "--who", "Ben")
    assert main(["resume", *anew]) == 0
    said = front.desk.view().notice
    assert said == "From here on: who Ben, units us, division 1 g, decimal comma."
    american = left(front)
    assert american != metric
    assert "lb" in american[0].question.ask
    # Left once more, it comes back as it was said last.
    assert main(["resume"]) == 0
    assert front.desk.view().notice == ""
    assert left(front) == american
    entries = stored(shop)
    assert {entry.stamp.who for entry in entries} == {"Mara", "Ben"}
    assert entries[-1].stamp.who == "Ben"


def test_a_division_said_anew_counts_above_that_of_the_scale_on_file(front: Front, shop: Path) -> None:
    on_file(shop, BEFORE)
    begun(front, str(shop.parent / "sill_cap.toml"), *POWDER)
    assert main(["resume", "--division", "20 g"]) == 0
    assert "200 g" in front.desk.view().question.ask


def test_lines_are_left_for_the_screen_by_a_word(front: Front, shop: Path) -> None:
    begun(front, str(shop.parent / "sill_cap.toml"), *POWDER, "--plain", "--decimal-comma")
    assert main(["resume", "--no-plain", "--no-decimal-comma"]) == 0
    assert not front.plain
    assert front.says("1,234 kg").notice
    front.desk.stop()
    assert main(["resume"]) == 0
    assert not front.plain


def test_a_bucket_of_a_plan_comes_back_as_it_was_by_either_command(front: Front, shop: Path) -> None:
    on_file(shop, BEFORE)
    sill = str(shop.parent / "sill_cap.toml")
    said_by("plan", sill, "--total", "60 kg", "--keep")
    (plan_id,) = kept_ids(shop / "data" / "plans")
    before = begun(front, "--plan", plan_id, "--number", "2", "--units", "us")
    on_file(shop, SINCE)
    for words in (["resume"], ["mix", "--plan", plan_id]):
        assert main(words) == 0
        assert left(front) == before


def test_the_record_is_written_in_the_units_it_was_mixed_in(front: Front, shop: Path) -> None:
    begun(front, str(shop.parent / "sill_cap.toml"), *POWDER, "--units", "us")
    assert main(["resume"]) == 0
    front.says("0.46 lb")
    front.desk.stop()
    with closing(Journal.open_reading(shop / "data")) as journal:
        (batch_id,) = open_batches(journal)
    assert "0.46" in said_by("records", "show", batch_id)
    assert "209 g" in said_by("records", "show", batch_id, "--units", "metric")
