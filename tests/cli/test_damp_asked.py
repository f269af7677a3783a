"""`mix` in lines asks how damp the sand is where the recipe does not say it."""

from tests.cli.conftest import Talk


def test_it_is_asked_and_moves_the_water(talk: Talk) -> None:
    words = ("mix", "bench_top", "--powder", "2 kg", "--plain", "--who", "Ida")
    asked: dict[str, str] = {}
    for per_cent, beside in (("", ""), ("4", "--beside")):
        mixing = talk(*words, *filter(None, [beside]))
        mixing.until("Read this")
        mixing.say()
        mixing.until("damp?")
        mixing.say(per_cent)
        asked[per_cent] = mixing.until(" of Water, add it")
        mixing.say("quit")
        assert mixing.leave() == 0
    assert asked["4"].startswith("Weigh ")
    assert asked["4"] != asked[""]
