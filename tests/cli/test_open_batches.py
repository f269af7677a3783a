"""Batches left open: the scale they come back to, which of several is meant, and a second one beside them."""

import json
import shutil
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from mixstation.planning.kept import kept_ids
from mixstation.record.journal import Journal
from mixstation.record.kept_link import FOLDER_NAME
from mixstation.record.stored import open_batches
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.profile_folder import find_profile
from mixstation.scale.pty_port import PtyPort
from mixstation.wording.kept_lines import NONE_OPEN, SEVERAL_OPEN, port_away
from tests.cli.conftest import Talk
from tests.cli.conversation import Conversation
from tests.cli.driven import said_by
from tests.station.recipes import BRISK

PROFILE = "header-token-line"
BUCKET_MG, POURED_MG = 1_200_000, 90_000
needs_pty = pytest.mark.skipif(not Path("/dev/ptmx").exists(), reason="needs pseudo-terminals")


@pytest.fixture
def scale() -> EmulatedScale:
    return EmulatedScale(Make(noise_mg=20.0, lag_s=0.08, steady_s=0.3, fall_s=0.1), seed=1)


@pytest.fixture
def port(scale: EmulatedScale) -> Iterator[PtyPort]:
    port = PtyPort(scale, find_profile(PROFILE), rate_hz=20)
    port.start()
    yield port
    port.stop()


def mix_words(shop: Path, *more: str) -> tuple[str, ...]:
    return ("mix", str(shop.parent / "sill_cap.toml"), "--powder", "2 kg", "--plain", *more)


def opened(talk: Talk, shop: Path, *more: str) -> Conversation:
    """A batch at its first weight."""
    mixing = talk(*mix_words(shop, *more))
    mixing.until("Read this")
    mixing.say()
    return mixing


def left_open(talk: Talk, shop: Path, *more: str) -> str:
    """A batch left with its water in; its id."""
    before = set(still_open(shop))
    leave_open(opened(talk, shop, *more))
    (batch_id,) = set(still_open(shop)) - before
    return batch_id


def leave_open(mixing: Conversation) -> None:
    mixing.until("Weigh 208 g of Water")
    mixing.say("205 g")
    mixing.until("Weigh 1.000 kg")
    assert mixing.leave() == 0


@pytest.fixture(scope="module")
def left_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home with such a batch in it."""
    home = tmp_path_factory.mktemp("left") / "home"
    home.with_name("sill_cap.toml").write_text(BRISK, encoding="utf-8")
    mixing = Conversation(home, *mix_words(home))
    mixing.until("Read this")
    mixing.say()
    leave_open(mixing)
    return home


@pytest.fixture
def first(shop: Path, left_home: Path) -> str:
    """The id of its batch; the home is a copy of that one."""
    shutil.copytree(left_home, shop, dirs_exist_ok=True)
    (batch_id,) = still_open(shop)
    return batch_id


def still_open(shop: Path) -> tuple[str, ...]:
    if not (shop / "data" / "journal.sqlite3").exists():
        return ()
    journal = Journal.open_reading(shop / "data")
    try:
        return open_batches(journal)
    finally:
        journal.close()


def links(shop: Path) -> list[Path]:
    return sorted((shop / "data" / FOLDER_NAME).glob("*"))


def heard(talking: Conversation, words: str) -> None:
    """Look at the weight until it says this: what is put on a scale shows only after a moment."""
    end_s = time.monotonic() + 120
    while True:
        talking.say("w")
        if words in talking.until("in so far", words):
            return
        assert time.monotonic() < end_s, talking.said


def killed_in_mid_pour(talk: Talk, shop: Path, scale: EmulatedScale, port: PtyPort) -> None:
    scale.put_mg(BUCKET_MG)
    mixing = opened(talk, shop, "--port", port.name, "--profile", PROFILE)
    mixing.until("[Enter] bucket is on")
    heard(mixing, "scale steady")
    mixing.say()
    mixing.until("Pour 208 g of Water")
    scale.pour_at_once(POURED_MG)
    mixing.process.send_signal(signal.SIGKILL)
    mixing.process.wait()


@needs_pty
@pytest.mark.parametrize("words", [(), ("resume", "--plain")])
def test_killed_in_mid_pour_it_comes_back_with_the_scale_and_what_was_poured(
    shop: Path, talk: Talk, scale: EmulatedScale, port: PtyPort, words: tuple[str, ...]
) -> None:
    killed_in_mid_pour(talk, shop, scale, port)
    (link,) = links(shop)
    assert json.loads(link.read_text("utf-8")) == {"port": port.name, "profile": PROFILE}
    again = talk(*words)
    again.until("Pour 208 g of Water")
    heard(again, "in so far 90 g")
    again.say("?")
    again.until("still to go 118 g")


@needs_pty
def test_a_port_that_is_gone_is_said_and_weights_are_typed(
    shop: Path, talk: Talk, scale: EmulatedScale, port: PtyPort
) -> None:
    killed_in_mid_pour(talk, shop, scale, port)
    port.stop()
    again = talk()
    again.until(port_away(port.name))
    again.until("weigh 208 g of Water, add it, type what went in")
    again.say("205 g")
    again.mix()
    assert again.leave() == 0
    # Over, it needs no scale any more.
    assert links(shop) == []


@pytest.mark.usefixtures("first")
def test_without_a_scale_nothing_is_kept(shop: Path) -> None:
    assert links(shop) == []


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"port": 3, "profile": ""}', '{"port": "\\u0000", "profile": "a"}']
)
def test_a_link_that_is_none_of_ours_is_passed_over(shop: Path, first: str, text: str) -> None:
    (shop / "data" / FOLDER_NAME).mkdir()
    (shop / "data" / FOLDER_NAME / f"batch-{first}.json").write_text(text, "utf-8")
    assert "Weigh 1.000 kg" in said_by("resume", "--plain")


def test_a_second_batch_is_refused_unless_it_is_said_to_stand_beside(
    shop: Path, talk: Talk, first: str
) -> None:
    refused = said_by(*mix_words(shop), code=1).splitlines()[-1]
    assert f"Batch {first} (Sill cap) is still open." in refused
    assert "--beside" in refused
    assert refused.endswith(f"mixstation resume {first}")
    assert still_open(shop) == (first,)
    second = left_open(talk, shop, "--beside")
    assert still_open(shop) == (second, first)
    refused = said_by(*mix_words(shop), code=1).splitlines()[-1]
    assert f"Batch {second} (Sill cap) is still open, and 1 more." in refused


def test_with_several_open_they_are_listed_and_a_part_of_an_id_will_do(
    shop: Path, talk: Talk, first: str
) -> None:
    second = left_open(talk, shop, "--beside")
    for words in ((), ("resume", "--plain")):
        which = said_by(*words, code=1).splitlines()
        assert [line.split()[0] for line in which if "OPEN" in line] == [second, first]
        assert SEVERAL_OPEN in which
    part = next(first[at:] for at in range(len(first) - 1, -1, -1) if first[at:] not in second)
    going_on = talk("resume", part, "--plain")
    going_on.until("205 g")
    going_on.mix()
    assert going_on.leave() == 0
    assert still_open(shop) == (second,)
    assert "Weigh 1.000 kg" in said_by("resume", "--plain")
    several = said_by("resume", first[:8], "--plain", code=1).splitlines()[-1]
    assert several.startswith(f"Several batches have “{first[:8]}” in their id: ")


@pytest.mark.usefixtures("shop")
def test_where_nothing_is_recorded_no_id_is_known() -> None:
    assert "No batch has been recorded yet." in said_by("resume", "1248", "--plain", code=1).splitlines()[-1]


@pytest.mark.usefixtures("first")
def test_an_id_that_no_batch_has_is_said() -> None:
    for asked in ("no-such", ""):
        unknown = said_by("resume", asked, "--plain", code=1).splitlines()[-1]
        assert unknown == f"There is no batch “{asked}”. See which there are: mixstation records --all"


def test_a_plans_bucket_is_found_among_all_that_are_open(shop: Path, talk: Talk) -> None:
    recipe = str(shop.parent / "sill_cap.toml")
    said_by("plan", recipe, "--total", "6 kg", "--buckets", "2", "--keep")
    (plan_id,) = kept_ids(shop / "data" / "plans")
    mixing = talk("mix", "--plan", plan_id, "--plain")
    mixing.until("Read this")
    mixing.say()
    mixing.until("Weigh")
    mixing.say("250 g")
    mixing.until("250 g")
    assert mixing.leave() == 0
    (bucket,) = still_open(shop)
    other = left_open(talk, shop, "--beside")
    again = said_by("mix", "--plan", plan_id, "--plain").splitlines()
    assert "250 g" in next(line for line in again if "In: " in line)
    assert still_open(shop) == (other, bucket)
    # Another bucket of it is another batch.
    refused = said_by("mix", "--plan", plan_id, "--number", "2", "--plain", code=1).splitlines()[-1]
    assert f"Batch {other} (Sill cap) is still open, and 1 more." in refused
    assert "Read this" in said_by("mix", "--plan", plan_id, "--number", "2", "--plain", "--beside")
    assert len(still_open(shop)) == 3


@pytest.mark.usefixtures("shop")
def test_nothing_open() -> None:
    assert said_by("resume", "--plain", code=1).splitlines() == [NONE_OPEN]
