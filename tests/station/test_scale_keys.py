"""Keys of the scale pressed in mid-pour: what was in counts, and following the screen ends at the target."""

import pytest

from mixstation.batch.events import KeyPressed, Weighing
from mixstation.scale.emulator import Display, EmulatedScale, Make
from mixstation.station.bench import Settings
from tests.station.mixer import Hand
from tests.station.recipes import quick
from tests.station.yard import BUCKET_MG, QUIET, Yard

GRAM = 1_000
WATER_MG = 832_000
SUPPLY_MG = 9_000_000
VESSELS: "dict[Weighing, int]" = {"bucket": BUCKET_MG, "tub": 412_000, "supply": SUPPLY_MG}
# A line that marks net and gross, and one that does not.
PROFILES = ["header-token-line", "value-unit-line"]


def begun(
    weighing: Weighing = "bucket",
    profile: str = "header-token-line",
    make: Make = QUIET,
    settings: Settings | None = None,
) -> tuple[Yard, EmulatedScale]:
    """832 g of water are asked for; the vessel was set down while the program looked."""
    scale = EmulatedScale(make, seed=2)
    yard = Yard(quick(), powder="8 kg", scale=scale, weighing=weighing, profile=profile, settings=settings)
    yard.put_gear_on()
    yard.wait(2.0)
    scale.put_mg(VESSELS[weighing])
    yard.wait(3.0)
    yard.press()
    return yard, scale


def pours(
    yard: Yard, scale: EmulatedScale, mass_mg: int, *, falls: bool = False, wait_s: float = 12.0
) -> None:
    scale.pour(-100_000 if falls else 100_000, total_mg=mass_mg)
    yard.wait(wait_s)


def follow(yard: Yard, scale: EmulatedScale) -> None:
    """Pour as the cues say, then Enter, until the water is through."""
    hand = Hand(scale)
    for _ in range(2000):
        if yard.weights:
            break
        hand.follow(yard.view)
        yard.wait(0.07)
        pour = yard.view.pour
        if pour is not None and pour.cue in ("stop", "over") and yard.view.scale.state == "steady":
            yard.press()


@pytest.mark.parametrize("profile", PROFILES)
@pytest.mark.parametrize("key", ["tare", "zero"])
@pytest.mark.parametrize("poured_mg", [0, 300_000, 832_000])
def test_a_key_that_sets_it_to_nothing_is_named_and_the_pour_goes_on(
    profile: str, key: str, poured_mg: int
) -> None:
    yard, scale = begun(profile=profile)
    if poured_mg:
        pours(yard, scale, poured_mg)
    (scale.press_tare if key == "tare" else scale.press_zero)()
    yard.wait(1.0)
    (fact,) = [fact for fact in yard.facts if isinstance(fact, KeyPressed)]
    assert fact.counted_mg == pytest.approx(poured_mg, abs=GRAM)
    assert fact.unsure_mg == 0
    assert yard.view.pour is not None
    assert yard.view.pour.fraction == pytest.approx(poured_mg / WATER_MG, abs=0.01)
    assert any("before." in flag.sentence for flag in yard.view.flags)
    pours(yard, scale, WATER_MG - poured_mg) if poured_mg < WATER_MG else None
    yard.press()
    (weight,) = yard.weights
    assert weight.mass_mg == pytest.approx(WATER_MG, abs=2 * GRAM)


@pytest.mark.parametrize("weighing", ["tub", "supply"])
def test_in_tub_and_supply_too(weighing: Weighing) -> None:
    yard, scale = begun(weighing)
    pours(yard, scale, 400_000, falls=weighing == "supply")
    scale.press_tare()
    yard.wait(1.0)
    assert yard.view.pour is not None
    assert yard.view.pour.fraction == pytest.approx(400_000 / WATER_MG, abs=0.01)
    pours(yard, scale, 432_000, falls=weighing == "supply")
    assert yard.view.pour.fraction == pytest.approx(1.0, abs=0.01)
    yard.press()
    if weighing == "supply":
        assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(WATER_MG, abs=2 * GRAM)]
    else:
        assert [tub.mass_mg for tub in yard.run.tubs.values()] == [pytest.approx(WATER_MG, abs=2 * GRAM)]


@pytest.mark.parametrize("profile", PROFILES)
def test_pressed_while_it_runs_what_is_doubtful_is_said_and_the_end_is_near_the_target(profile: str) -> None:
    yard, scale = begun(profile=profile)
    scale.pour(100_000, total_mg=WATER_MG)
    yard.wait(4.0)
    scale.press_tare()
    yard.wait(12.0)
    (fact,) = [fact for fact in yard.facts if isinstance(fact, KeyPressed)]
    assert 0 < fact.unsure_mg <= 20_000
    assert any(flag.gravity == "warn" and "counted before" in flag.sentence for flag in yard.view.flags)
    assert yard.view.pour is not None
    assert yard.view.pour.fraction == pytest.approx(1.0, abs=0.02)


def test_by_itself_nothing_is_taken_too_early_and_the_screen_is_followed_to_the_target() -> None:
    yard, scale = begun(settings=Settings(hands_free_s=2.0))
    pours(yard, scale, 416_000)
    scale.press_tare()
    follow(yard, scale)
    (weight,) = yard.weights
    assert weight.mass_mg == pytest.approx(WATER_MG, rel=0.03)
    assert sum(pour.mass_mg for pour in scale.poured) == pytest.approx(weight.mass_mg, abs=2 * GRAM)


def test_killed_and_taken_up_again_it_goes_on_from_there() -> None:
    yard, scale = begun()
    pours(yard, scale, 300_000)
    scale.press_tare()
    yard.wait(1.0)
    yard.come_back()
    yard.wait(2.0)
    assert yard.view.pour is not None
    assert yard.view.pour.fraction == pytest.approx(300_000 / WATER_MG, abs=0.01)
    pours(yard, scale, 532_000)
    yard.press()
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(WATER_MG, abs=2 * GRAM)]


def test_the_tare_taken_off_again_is_named_too() -> None:
    """The zero is set with the bucket on, then lifted and set anew: what it shows jumps by the bucket and back."""
    yard, scale = begun(profile="header-token-line")
    pours(yard, scale, 300_000)
    scale.press_tare()
    yard.wait(1.0)
    pours(yard, scale, 200_000)
    before = len(yard.facts)
    scale.clear_tare()
    yard.wait(1.0)
    assert [fact.key for fact in yard.facts[before:] if isinstance(fact, KeyPressed)] == ["gross"]
    assert yard.view.pour is not None
    assert yard.view.pour.fraction == pytest.approx(500_000 / WATER_MG, abs=0.01)


def test_pressed_between_two_pours_the_next_begins_from_what_it_then_shows() -> None:
    yard, scale = begun()
    pours(yard, scale, WATER_MG)
    scale.press_tare()
    yard.press()
    yard.wait(3.0)
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(WATER_MG, abs=2 * GRAM)]
    assert yard.question.ask == "Pour 4.000 kg of Casting blend into the bucket."
    assert "bucket-lighter" not in yard.flags


def test_a_bucket_lifted_off_is_no_key() -> None:
    yard, scale = begun()
    pours(yard, scale, 300_000)
    scale.lift()
    yard.wait(3.0)
    assert yard.question.ask == "Put the bucket back on the scale."
    assert not any(isinstance(fact, KeyPressed) for fact in yard.facts)
    scale.place()
    yard.wait(3.0)
    assert yard.view.pour is not None
    assert yard.view.pour.fraction == pytest.approx(300_000 / WATER_MG, abs=0.01)
    assert not any(isinstance(fact, KeyPressed) for fact in yard.facts)


def test_where_it_may_be_either_the_mixer_says_what_it_was() -> None:
    """A scale without a filter shows no curve: a lift looks like its key."""
    for pick, lifted in (("2", False), ("1", True)):
        yard, scale = begun(profile="value-unit-line", make=Make(noise_mg=0.0, lag_s=0.0))
        pours(yard, scale, 300_000)
        (scale.lift if lifted else scale.press_tare)()
        yard.wait(2.0)
        assert yard.question.ask == "Put the bucket back on the scale."
        assert "tare or zero key" in yard.question.detail[0]
        assert yard.weights == []
        yard.press()
        yard.press(typed=pick)
        if lifted:
            scale.place()
            yard.wait(2.0)
        assert yard.view.pour is not None
        assert yard.view.pour.fraction == pytest.approx(300_000 / WATER_MG, abs=0.01)


UNITLESS = "lead-byte-columns"
IN_TURN = (
    Display(unit="kg", decimals=3),
    Display(unit="lb", decimals=3, step=2),
    Display(unit="oz", decimals=1),
)


@pytest.mark.parametrize("poured_mg", [0, 300_000, WATER_MG])
def test_the_unit_key_of_a_line_without_units_is_no_pour(poured_mg: int) -> None:
    """1 lb is 0.45359237 kg: definition."""
    make = Make(noise_mg=20.0, displays=IN_TURN)
    yard, scale = begun(profile=UNITLESS, make=make)
    if poured_mg:
        pours(yard, scale, poured_mg)
    scale.press_unit()
    yard.wait(6.0)
    assert yard.weights == []
    assert yard.view.scale.state == "in another unit"
    assert "scale-other-unit" in yard.flags
    figure = yard.view.figure
    if poured_mg == 300_000:
        assert figure is not None
        assert figure.number == "532"
    scale.press_unit()
    yard.wait(2.0)
    assert yard.view.scale.state == "in another unit"
    scale.press_unit()
    yard.wait(2.0)
    assert yard.view.scale.state == "steady"
    pours(yard, scale, WATER_MG - poured_mg) if poured_mg < WATER_MG else None
    yard.press()
    assert [weight.mass_mg for weight in yard.weights] == [pytest.approx(WATER_MG, abs=2 * GRAM)]


def test_in_another_unit_it_stays_so_after_a_kill_and_the_rest_can_be_typed() -> None:
    yard, scale = begun(profile=UNITLESS, make=Make(noise_mg=20.0, displays=IN_TURN))
    pours(yard, scale, 300_000)
    scale.press_unit()
    yard.wait(2.0)
    yard.come_back()
    yard.wait(2.0)
    assert yard.view.scale.state == "in another unit"
    assert "532 g more" in yard.question.ask
    yard.press(typed="532")
    assert yard.run.content["water"] == pytest.approx(WATER_MG, abs=2 * GRAM)


def test_what_was_poured_all_the_same_is_taken_at_a_word() -> None:
    yard, scale = begun(profile=UNITLESS, make=Make(noise_mg=20.0, displays=IN_TURN))
    pours(yard, scale, 300_000)
    scale.press_unit()
    yard.wait(2.0)
    yard.press()
    yard.pick("no key")
    yard.wait(1.0)
    assert yard.view.scale.state == "steady"
    assert yard.view.scale.text != ""
