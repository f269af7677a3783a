"""Reading recipe files: what is understood, and that nothing else than faults comes of anything else."""

import hashlib
import re
import subprocess
import sys
import time
from dataclasses import fields, replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from mixstation.coded import PlainCode
from mixstation.folders import shipped_folder
from mixstation.recipe.defaults import DENSITIES_KG_M3, default_tolerance
from mixstation.recipe.file import LoadedRecipe, load_recipe, read_recipe
from mixstation.recipe.model import (
    AddStep,
    Basis,
    Cap,
    ConsistencyStep,
    Dose,
    MixStep,
    Recipe,
    ReleaseStep,
    Role,
    ScrapeStep,
    SplitStep,
    TemperatureStep,
    Tolerance,
    WaterRule,
)
from mixstation.recipe.proportions import ScalingError, totals_for_powder, whole_totals
from mixstation.toml.lines import FileRefused
from tests.recipe.recipes import recipes
from tests.recipe.texts import SOUND, changed, faults_of
from tests.recipe.writer import write

SHIPPED = sorted(shipped_folder("recipes").glob("*.toml"))


def sound(*changes: tuple[str, str]) -> Recipe:
    return read_recipe(changed(*changes), "shelf/sill_cap.toml").recipe


class TestUnderstood:
    def test_head_and_water(self) -> None:
        recipe = sound(('currency = "EUR"', 'currency = "EUR"\nnote = "For sills."'))
        assert (recipe.key, recipe.name, recipe.revision) == ("sill_cap", "Sill cap", "1")
        assert (recipe.note, recipe.currency) == ("For sills.", "EUR")
        assert (recipe.air_fraction, recipe.working_min) == (Fraction(5, 100), 30)
        assert recipe.water == WaterRule(
            of=Basis.BINDER,
            target=Fraction(33, 100),
            least=Fraction(31, 100),
            most=Fraction(35, 100),
            ceiling=Fraction(38, 100),
        )

    def test_materials(self) -> None:
        recipe = sound()
        water, cement, sand, emulsion, fibre = recipe.materials
        assert (water.role, water.water_fraction, water.density_kg_m3) == (Role.WATER, 1, 998.21)
        assert (cement.parts, cement.pack_mg, cement.price_cents) == (10, 25_000_000, 1850)
        assert (cement.cement_fraction, cement.binder_fraction, sand.binder_fraction) == (1, 1, 0)
        assert (sand.moisture_fraction, sand.absorption_fraction) == (Fraction(2, 100), Fraction(6, 1000))
        assert emulsion.dose == Dose(fraction=Fraction(55, 1000), of=Basis.CEMENT, counts="solids")
        assert emulsion.cap == Cap(fraction=Fraction(8, 100), of=Basis.CEMENT, source="its label")
        assert emulsion.water_fraction == Fraction(52, 100)
        assert fibre.dose == Dose(fraction=Fraction(3, 100), of=Basis.TOTAL)
        for one in (water, sand, emulsion, fibre):
            assert one.tolerance == default_tolerance(one.role)
            assert one.density_kg_m3 == DENSITIES_KG_M3[one.role]

    def test_steps(self) -> None:
        assert sound().steps == (
            AddStep(key="1", material="water", share=Fraction(4, 5), cumulative=Fraction(4, 5)),
            AddStep(key="2", material="emulsion", share=Fraction(1), cumulative=Fraction(1)),
            AddStep(key="3a", material="cement", share=Fraction(1), cumulative=Fraction(1)),
            AddStep(key="3b", material="sand", share=Fraction(1), cumulative=Fraction(1)),
            MixStep(key="4", min_s=60, max_s=90, speed="fast"),
            ReleaseStep(key="5", material="water", increment=Fraction(1, 20), mix_s=25),
            SplitStep(key="6", layer="face coat", fraction=Fraction(1, 4)),
            ScrapeStep(key="7"),
            AddStep(key="8", material="fibre", share=Fraction(1), cumulative=Fraction(1)),
            MixStep(key="9", min_s=45, max_s=75, speed="slow"),
            TemperatureStep(key="10", min_c=12.0, max_c=28.0),
        )

    def test_shares_add_up_and_the_rest_is_what_is_still_to_come(self) -> None:
        powders = 'add = "powders"'
        for last in ('share = "rest"', "", 'share = "2/3"'):
            recipe = sound((powders, f'{powders}\nshare = "1/3"\nkey = "early"\n[[step]]\n{powders}\n{last}'))
            cement = [s for s in recipe.steps if isinstance(s, AddStep) and s.material == "cement"]
            assert [(s.key, s.share, s.cumulative) for s in cement] == [
                ("early-a", Fraction(1, 3), Fraction(1, 3)),
                ("4a", Fraction(2, 3), Fraction(1)),
            ]

    @pytest.mark.parametrize(
        ("written", "method", "least", "most"),
        [
            ('consistency = "trowel"', "trowel", None, None),
            ('spread = "20 cm to 250 mm"', "spread", 200, 250),
            ('flow = "95 % to 115 %"', "flow", 95, 115),
            ('rings = "2 to 4"', "rings", 2, 4),
        ],
    )
    def test_consistency(self, written: str, method: str, least: int | None, most: int | None) -> None:
        recipe = sound(('[[step]]\nscrape = "sides and bottom"', f'[[step]]\n{written}\nsay = "Look."'))
        assert recipe.steps[7] == ConsistencyStep(key="7", method=method, least=least, most=most, say="Look.")  # type: ignore[arg-type]

    @pytest.mark.parametrize(
        ("written", "under", "over"),
        [
            ("1 %", "0.01", "0.01"),
            ("±1,5 %", "0.015", "0.015"),
            ("-0 % +4 %", "0", "0.04"),
            ("−1 %+2 %", "0.01", "0.02"),
        ],
    )
    def test_tolerance(self, written: str, under: str, over: str) -> None:
        recipe = sound(("parts = 10", f'parts = 10\ntolerance = "{written}"'))
        assert recipe.material("cement").tolerance == Tolerance(under=Fraction(under), over=Fraction(over))

    @pytest.mark.parametrize("written", ["2 to 3 %", "+4 %", "-1 %", "1 % -2 %", "25 %", "", "+", "-+"])
    def test_no_tolerance(self, written: str) -> None:
        assert len(faults_of(changed(("parts = 10", f'parts = 10\ntolerance = "{written}"')))) == 1

    def test_free_moisture_is_what_is_over_the_absorption(self) -> None:
        sand = sound(('moisture = "2 %"', 'free_moisture = "1.4 %"')).material("sand")
        assert sand == sound().material("sand")

    def test_a_bag_label_gives_water_of_powder(self) -> None:
        lines = 'of = "binder"\ntarget = "33 %"\nleast = "31 %"'
        label = 'of = "powder"\ntarget = "4,25 kg per 25 kg"\nleast = "8 lb per 50 lb"'
        water = sound((lines, label)).water
        assert (water.of, water.target) == (Basis.POWDER, Fraction(17, 100))
        assert water.least == Fraction(round(8 * 453_592.37), round(50 * 453_592.37))

    @pytest.mark.parametrize("written", ["60 s to 90 s", "60 to 90 s", "1 min to 1 min 30 s", "1 to 1.5 min"])
    def test_spans(self, written: str) -> None:
        assert sound(('mix = "60 s to 90 s"', f'mix = "{written}"')).steps[4] == sound().steps[4]

    def test_the_hash_is_of_the_text(self) -> None:
        loaded = read_recipe(SOUND, "some.toml")
        assert loaded.text == SOUND
        assert loaded.hash == hashlib.sha256(SOUND.encode()).hexdigest()

    def test_shown_text_is_cleaned(self) -> None:
        recipe = sound(('name = "Sill cap"', r'name = "Sill\u001b[2J cap"'))
        assert recipe.name == "Sill\N{REPLACEMENT CHARACTER}[2J cap"
        (fault,) = faults_of(changed(('of = "binder"', r'of = "bin\u202eder"')))
        assert fault.told.found == "bin\N{REPLACEMENT CHARACTER}der"


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
class TestShipped:
    def test_stays_within_published_limits(self, path: Path) -> None:
        assert load_recipe(path).warnings == ()

    def test_comes_back_from_its_text_and_from_a_rewritten_file(self, path: Path) -> None:
        loaded = load_recipe(path)
        assert read_recipe(loaded.text, str(path)) == loaded
        assert read_recipe(write(loaded.recipe), str(path)).recipe == loaded.recipe

    def test_comma_is_point(self, path: Path) -> None:
        loaded = load_recipe(path)
        # Every point between two digits of a figure; a paragraph of a standard is none.
        text = re.sub(r"(?<=[0-9])\.(?=[0-9])", ",", loaded.text.replace("§1.4", "§1")).replace("§1", "§1.4")
        assert text.count(",") > loaded.text.count(",")
        assert read_recipe(text, str(path)).recipe == loaded.recipe

    def test_mixes(self, path: Path) -> None:
        recipe = load_recipe(path).recipe
        masses = totals_for_powder(recipe, 10_000_000)
        assert all(mass > 0 for mass in masses.values())


def test_three_kinds_are_shipped() -> None:
    shipped = {path.stem: load_recipe(path).recipe for path in SHIPPED}
    assert any(
        all(m.role in (Role.WATER, Role.BLEND, Role.FIBRE) for m in r.materials) for r in shipped.values()
    )
    assert any(any(isinstance(step, SplitStep) for step in r.steps) for r in shipped.values())
    assert any(sum(m.role is Role.PIGMENT for m in r.materials) == 2 for r in shipped.values())


@settings(deadline=None)
@given(recipes())
def test_a_written_recipe_reads_back_equal(recipe: Recipe) -> None:
    try:
        whole_totals(recipe, 1)
        read = read_recipe(write(recipe), "some.toml").recipe
    except ScalingError:
        assert [fault.code for fault in faults_of(write(recipe))] == ["water-all-carried"]
    else:
        assert read == recipe


def accepted(text: str) -> LoadedRecipe | None:
    """The recipe, or None with faults whose lines are in the text; nothing else is raised."""
    try:
        return read_recipe(text, "some.toml")
    except FileRefused as refusal:
        faults = refusal.faults
    assert 1 <= len(faults) <= 100
    all_lines = ["", *text.split("\n")]
    for fault in faults:
        assert all_lines[fault.line][:1000] == fault.line_text
        named = () if isinstance(fault.told, PlainCode) else fields(fault.told)
        texts = (fault.key, fault.example, *(getattr(fault.told, each.name) for each in named))
        assert all(len(text) <= 600 for text in texts if isinstance(text, str))
    return None


MARKS = [
    '"',
    "'",
    "[",
    "]",
    "{",
    "}",
    "=",
    "\n",
    ",",
    " per ",
    " to ",
    "-",
    "+",
    "0",
    "%",
    "kg",
    "\ud800",
    "\0",
    "é",
    "²",
]
VALUES = [
    "9" * 20,
    "nan",
    "1e999",
    "add = []",
    "share = {}",
    "1979-05-27",
    "true",
    "\r",
    "[[material]]",
    "[[step]]",
]
SNIPPETS = st.sampled_from([*(line for line in SOUND.split("\n") if line), *MARKS, *VALUES])


@settings(deadline=None)
@given(st.text())
@example("\ud800 = 1")
def test_any_text_is_read_or_refused(text: str) -> None:
    assert accepted(text) is None


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("a = " + "9" * 900, id="long integer"),
        pytest.param("a = " + "9" * 5_000, id="integer that cannot be printed"),
        pytest.param("[[step]]\n" * 20_000, id="steps"),
        pytest.param("[[material]]\nkey = 'a'\n" * 9_000, id="materials"),
        pytest.param("".join(f"k{n}=1\n" for n in range(25_000)), id="unknown keys"),
        pytest.param("[water]\n" + "".join(f"k{n}=1\n" for n in range(25_000)), id="unknown keys of a table"),
        pytest.param("[[step]]\n" + "".join(f"releas{n}=1\n" for n in range(15_000)), id="kinds of step"),
        pytest.param(SOUND.replace('"fibre"', '"' + "f" * 900 + '"'), id="long words"),
        pytest.param(SOUND + "#\n" * 140_000, id="too large"),
    ],
)
def test_a_large_file_is_refused_within_seconds(text: str) -> None:
    # Processor time, so that a busy machine does not matter; the slowest takes about half a second.
    begun_s = time.process_time()
    assert accepted(text) is None
    assert time.process_time() - begun_s < 5


@settings(deadline=None)
@given(st.lists(SNIPPETS, max_size=30).map("".join))
def test_any_heap_of_recipe_words_is_read_or_refused(text: str) -> None:
    accepted(text)


@settings(deadline=None)
@given(st.data())
def test_a_sound_recipe_with_any_wound_is_read_or_refused(data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(SOUND)))
    end = data.draw(st.integers(start, min(len(SOUND), start + 40)))
    accepted(SOUND[:start] + data.draw(SNIPPETS | st.text(max_size=5)) + SOUND[end:])


@settings(deadline=None)
@given(st.data())
def test_a_sound_recipe_with_any_value_is_read_or_refused(data: st.DataObject) -> None:
    lines = SOUND.split("\n")
    index = data.draw(st.sampled_from([n for n, line in enumerate(lines) if "=" in line]))
    value = data.draw(
        st.sampled_from(
            ['"0 %"', '"1e9 kg"', "[]", "{}", "1", "-1", "inf", "true", "1979-05-27", '[""]', "[[1]]"]
        )
        | st.text(alphabet="0123456789.,%+- kgtosmin°C/per", max_size=20).map(lambda text: f'"{text}"')
    )
    lines[index] = lines[index].split("=")[0] + "= " + value
    accepted("\n".join(lines))


class TestDisk:
    def test_what_cannot_be_opened(self, tmp_path: Path) -> None:
        with pytest.raises(FileRefused) as caught:
            load_recipe(tmp_path / "none.toml")
        assert [fault.code for fault in caught.value.faults] == ["file-missing"]

    def test_line_ends_and_mark_do_not_matter(self, tmp_path: Path) -> None:
        path = tmp_path / "some.toml"
        path.write_bytes(b"\xef\xbb\xbf" + SOUND.replace("\n", "\r\n").encode())
        assert load_recipe(path) == replace(read_recipe(SOUND, "some.toml"))


def test_reading_a_recipe_loads_nothing_slow() -> None:
    code = (
        "import sys; from mixstation.recipe.file import load_recipe; from mixstation.recipe.shelf import list_recipes; "
        f"load_recipe({str(SHIPPED[0])!r}); assert not {{'pydantic', 'platformdirs', 'textual'}} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
