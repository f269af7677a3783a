"""Two buckets, one colour: the second aims at what the first really got, and says so before the water and at the end.

Worked by hand: 136/130 of the water asked for on the same powder is 0.136; 33/30 of 3 % pigment is 3.3 %.
"""

from collections.abc import Callable
from contextlib import closing
from fractions import Fraction
from pathlib import Path

import pytest

from mixstation.batch.events import BatchStarted
from mixstation.batch.run import Run, fold
from mixstation.batch.targets import water_ratio
from mixstation.cli.main import main
from mixstation.planning.kept import kept_ids
from mixstation.record.codec import stored_entries
from mixstation.record.journal import Journal
from mixstation.station.view import View
from mixstation.units.parse import parse_mass_mg
from tests.cli.driven import said_by
from tests.cli.front import Front
from tests.planning.typist import line_for

CAP = """
name = "Grey cap"
revision = "1"
air = "5 %"
working_time = "30 min"

[water]
of = "powder"
target = "0.13"
least = "0.124"
most = "0.138"
ceiling = "0.15"

[[material]]
key = "water"
name = "Water"
role = "water"

[[material]]
key = "blend"
name = "Casting blend"
role = "blend"
parts = 1
cement_share = "40 %"
binder_share = "44 %"
density = "2790 kg/m3"

[[material]]
key = "slate"
name = "Slate"
role = "pigment"
dose = "3 %"
of = "cement"
least = "2.5 %"
most = "3.5 %"
density = "4500 kg/m3"

[[step]]
add = "water"

[[step]]
add = "blend"

[[step]]
add = "slate"

[[step]]
mix = "1 s to 40 s"
"""


@pytest.fixture
def cap(shop: Path) -> str:
    path = shop.parent / "grey_cap.toml"
    path.write_text(CAP, encoding="utf-8")
    return str(path)


@pytest.fixture
def plan_id(shop: Path, cap: str) -> str:
    """Three buckets or more, of some 10 kg of powder."""
    settings = shop / "config" / "settings.toml"
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text('[bucket]\nvolume = "20 L"\n', encoding="utf-8")
    said_by("plan", cap, "--total", "60 kg", "--keep")
    return kept_ids(shop / "data" / "plans")[0]


def hand(water: Fraction = Fraction(1), slate: Fraction = Fraction(1)) -> Callable[[View], str | None]:
    """Types just what is asked for, but so many times the water and the slate."""

    def typed(view: View) -> str | None:
        asked, words = line_for(view), view.question.ask
        if view.pour is None or not asked or view.question.choices:
            return asked
        times = water if "of Water" in words else slate if "of Slate" in words else 1
        return f"{float(parse_mass_mg(view.pour.target) * times) / 1000:.1f} g"

    return typed


def runs(shop: Path) -> list[Run]:
    with closing(Journal.open_reading(shop / "data")) as journal:
        return [fold(stored_entries(journal, row.batch_id)) for row in reversed(journal.batches())]


def ended_at(run: Run) -> float:
    ratio = water_ratio(run.recipe, run.content)
    assert ratio is not None
    return round(float(ratio), 3)


def details(views: list[View]) -> str:
    return " ".join(line for view in views for line in view.question.detail)


def first_bucket(front: Front, plan_id: str, water: Fraction, slate: Fraction = Fraction(1)) -> None:
    assert main(["mix", "--plan", plan_id]) == 0
    front.mixes(hand(water, slate), until="Mix bucket 2")


def test_the_second_bucket_aims_at_what_the_first_got(front: Front, shop: Path, plan_id: str) -> None:
    first_bucket(front, plan_id, Fraction(136, 130), Fraction(33, 30))
    between = front.desk.view()
    got = "Bucket 1 got water 0.136 (recipe 0.130), Slate 3.3 % (recipe 3 %). The other buckets aim at that."
    assert got in between.question.detail
    assert got in said_by("plan", "show", plan_id)
    views = front.mixes(hand(), until="Mix bucket 3")
    first, second = runs(shop)
    assert (ended_at(first), ended_at(second)) == (0.136, 0.136)
    told = "As bucket 1: water 0.136 (recipe 0.130), Slate 3.3 % (recipe 3 %)."
    before_water = next(view for view in views if "of Water" in view.question.ask)
    assert told in before_water.question.detail
    assert not any("As bucket 1" in details([view]) for view in views if "of Casting" in view.question.ask)
    assert any("Bucket 1 was mixed" in details([view]) for view in views)
    assert "Beside bucket 1: water 0.136 in both." in details(views)
    assert "Beside bucket 1: water 0.136 in both." in front.desk.view().question.detail


def test_in_a_process_of_its_own_after_a_break_too(front: Front, shop: Path, plan_id: str) -> None:
    first_bucket(front, plan_id, Fraction(136, 130))
    front.desk.stop()
    assert main(["mix", "--plan", plan_id]) == 0
    front.says()
    before = front.desk.view()
    assert "As bucket 1: water 0.136 (recipe 0.130)." in before.question.detail
    front.desk.stop()
    assert main(["resume"]) == 0
    assert front.desk.view().question == before.question
    views = front.mixes(hand(Fraction(137, 136)), until="Mix bucket 3")
    assert "Beside bucket 1: water 0.137 (there 0.136)." in details(views)
    # The third follows the first, not the second.
    front.mixes()
    start = runs(shop)[2].start
    assert start.like is not None
    assert (start.like.bucket_number, round(float(start.aim.water_ratio), 3)) == (1, 0.136)


def test_a_first_bucket_outside_the_band_is_followed_to_its_edge_alone(
    front: Front, shop: Path, plan_id: str
) -> None:
    assert main(["mix", "--plan", plan_id]) == 0

    # What is asked in between is confirmed, and what comes up left as it is.
    def typed(view: View) -> str | None:
        if view.question.choices:
            words = ("leave it", "Leave it", "go on", "Go on", "close", "Close")
            return next(
                (str(each.number) for each in view.question.choices if any(w in each.words for w in words)),
                "1",
            )
        return hand(Fraction(144, 130))(view)

    front.mixes(typed, until="Mix bucket 2")
    front.desk.stop()
    assert main(["mix", "--plan", plan_id]) == 0
    start = runs(shop)[1].start
    assert start.like is not None
    assert ended_at(runs(shop)[0]) > 0.138
    assert 0.137 <= float(start.aim.water_ratio) <= 0.138
    front.says()
    assert "the band allows no more" in details([front.desk.view()])


def test_a_discarded_bucket_is_not_followed(front: Front, shop: Path, plan_id: str) -> None:
    assert main(["mix", "--plan", plan_id]) == 0
    front.mixes(hand(Fraction(136, 130)), until="Casting blend")
    front.says(pressed="trouble")
    choices = front.desk.view().question.choices
    front.says(str(next(each.number for each in choices if "iscard" in each.words)))
    front.mixes(until="was discarded")
    front.mixes(lambda _: "", until="Read this")
    start = runs(shop)[-1].start
    assert isinstance(start, BatchStarted)
    assert (start.like, start.aim.water_ratio) == (None, Fraction(13, 100))


def test_like_the_last_batch_of_the_colour(front: Front, shop: Path, cap: str) -> None:
    assert main(["mix", cap, "--powder", "2 kg", "--last-batch", "aim"]) == 0
    assert "No closed batch of this colour is on record." in front.desk.view().notice
    front.mixes(hand(Fraction(136, 130)))
    front.desk.stop()
    (last,) = runs(shop)
    name = last.start.batch_id
    for wish, aim, told in (
        ("show", Fraction(13, 100), f"Batch {name} got water 0.136 (here 0.130)."),
        ("aim", Fraction(136, 1000), f"As batch {name}: water 0.136 (recipe 0.130)."),
    ):
        assert (
            main(["mix", cap, "--powder", "3 kg", "--last-batch", wish, "--beside", "--shop", "24 °C"]) == 0
        )
        front.says()
        assert told in front.desk.view().question.detail
        front.desk.stop()
        assert round(float(runs(shop)[-1].start.aim.water_ratio), 3) == float(aim)
    assert main(["mix", cap, "--powder", "3 kg", "--beside"]) == 0
    assert runs(shop)[-1].start.like is None
