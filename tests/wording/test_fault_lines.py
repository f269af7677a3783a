"""Every fault of a file has its sentence, and the sentence says where, what, and what to write."""

import unicodedata
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any, get_args

import pytest

from mixstation.coded import PlainCode, Told
from mixstation.plan import faults_of_files as faults_of_plan_files
from mixstation.plan.faults_of_files import PlanFileFault
from mixstation.recipe import faults as recipe_faults
from mixstation.recipe.faults import RecipeFault
from mixstation.recipe.proportions import BasisEmpty, NoSuchMaterial, Unscalable
from mixstation.scale import faults as profile_faults
from mixstation.scale.faults import FrameCode, ProfileFault
from mixstation.toml import faults_of_files
from mixstation.toml.faults_of_files import AnyFileFault, BadValue, Form
from mixstation.toml.lines import FileFault, FileRefused
from mixstation.units.errors import UnitMissing, UnitsFault
from mixstation.wording.fault_lines import fault_lines, sentence_of
from mixstation.wording.profile_faults import FRAME_REFUSALS
from tests.recipe.test_file_faults import SINGLE
from tests.recipe.texts import changed, faults_of
from tests.wording.samples import samples

FAMILIES: dict[str, tuple[ModuleType, object]] = {
    "any file": (faults_of_files, AnyFileFault),
    "recipe": (recipe_faults, RecipeFault),
    "profile": (profile_faults, ProfileFault),
    "pieces, shop and log": (faults_of_plan_files, PlanFileFault),
}


def kinds(union: object) -> tuple[type[Any], ...]:
    return get_args(union)


def told_of(kind: type[Any]) -> Iterator[Told]:
    """Everything of a kind: the members of an enumeration, or a value with each of its codes."""
    return iter(kind) if issubclass(kind, PlainCode) else samples(kind)


def written(told: Told) -> FileFault:
    return FileFault(path="a.toml", line=3, line_text="air = 5", told=told, key="air", example='"5 %"')


@pytest.mark.parametrize("family", FAMILIES)
def test_every_kind_there_is_stands_in_its_union(family: str) -> None:
    module, union = FAMILIES[family]
    own = [each for each in vars(module).values() if getattr(each, "__module__", "") == module.__name__]
    assert {each for each in own if isinstance(each, type) and hasattr(each, "code")} == set(kinds(union))


@pytest.mark.parametrize("family", FAMILIES)
def test_every_fault_can_be_said_with_its_own_fields(family: str) -> None:
    told = [each for kind in kinds(FAMILIES[family][1]) for each in told_of(kind)]
    said = {each.code: sentence_of(written(each)) for each in told}
    assert len(set(said.values())) == len(said)
    for line in said.values():
        assert line.endswith((".", "?", '"5 %"')), line
        assert "{" not in line
        assert "  " not in line


def test_every_reason_why_a_recipe_cannot_be_scaled_can_be_said_of_its_file() -> None:
    told = (*Unscalable, *samples(BasisEmpty), *samples(NoSuchMaterial))
    said = {sentence_of(written(each)) for each in told}
    assert len(said) == len(told)
    assert all(line.endswith(".") and "{" not in line for line in said)


def test_a_quantity_is_told_with_its_key_and_what_to_write() -> None:
    for kind in kinds(UnitsFault):
        for told in samples(kind):
            line = sentence_of(written(told))
            assert line.startswith("air")
            assert "{" not in line
    unread = UnitMissing(found="5", wanted="time", suggestion="s")
    assert sentence_of(written(unread)) == 'air: “5” needs a unit, such as s. Write: air = "5 %"'


def test_every_refusal_of_a_frame_has_its_words() -> None:
    assert list(FRAME_REFUSALS) == list(get_args(FrameCode))
    assert len(set(FRAME_REFUSALS.values())) == len(FRAME_REFUSALS)


@pytest.mark.parametrize(("old", "new", "code", "line_text"), SINGLE)
def test_every_single_fault_of_a_recipe_reads_well(old: str, new: str, code: str, line_text: str) -> None:
    (fault,) = faults_of(changed((old, new)))
    assert fault.code == code
    head, *rest = fault_lines([fault])
    assert head.startswith(f"{fault.path}:{fault.line}: " if fault.line else f"{fault.path}: ")
    assert "{" not in head
    assert "  " not in head
    assert head.endswith((".", "?", fault.example or "."))
    assert [line.strip()[:100] for line in rest] == ([line_text[:100]] if fault.line else [])


def test_a_fault_says_what_was_found_and_what_to_write() -> None:
    (fault,) = faults_of(changed(('by = "5 %"', 'by = "70"')))
    assert sentence_of(fault) == "by must be > 0 %, < 100 %; found “70”. Did you mean “70 %”?"
    (fault,) = faults_of(changed(('pack = "25 kg"', "pack = 25")))
    assert sentence_of(fault) == (
        'pack must be text in quotation marks, with its unit where it has one; found 25. Write: pack = "25 kg"'
    )
    (fault,) = faults_of(changed(('role = "sand"', 'role = "sandd"')))
    assert sentence_of(fault).startswith(
        "role cannot be “sandd”. Did you mean “sand”? It can be: water, ice,"
    )
    (fault,) = faults_of(changed(('density = "3150 kg/m3"', 'density = "3150"')))
    assert sentence_of(fault) == (
        'density: “3150” needs a unit, such as kg/m3. Write: density = "2650 kg/m3"'
    )


def test_what_to_write_for_a_table_is_its_head() -> None:
    missing = faults_of("")
    lines = fault_lines(missing)
    assert any(line.endswith("material is missing. Write: [[material]]") for line in lines)
    assert any(line.endswith("water is missing. Write: [water]") for line in lines)
    corners = FileFault(
        path="caps.toml",
        told=Form.KEY_MISSING,
        key="corners",
        example='[["0 mm", "0 mm"], ["600 mm", "0 mm"]]',
    )
    assert 'Write: corners = [["0 mm"' in sentence_of(corners)
    framed = FileFault(
        path="p.toml",
        told=Form.KEY_MISSING,
        key="frame",
        example='[frame]\nkind = "line"',
    )
    assert sentence_of(framed) == 'frame is missing. Write: [frame], and below it kind = "line"'


def test_profiles_and_pieces_read_well(tmp_path: Path) -> None:
    from mixstation.plan.piece_file import read_pieces
    from mixstation.scale.profile_file import load_profile

    profile = tmp_path / "odd.toml"
    profile.write_text(
        'title = "odd"\n[serial]\nbaud = 5\n[frame]\nkind = "lien"\n[[fields]]\nkind = "number"\nwidth = "x"\n'
        '[poll]\nrequest = "W"\ninterval = "2"\n[[sample]]\nframe = "1"\n'
    )
    with pytest.raises(FileRefused) as refused:
        load_profile(profile)
    lines = fault_lines(refused.value.faults)
    assert any(
        "serial.baud must be from 300 to 921600; found “5”. Write: baud = 9600" in line for line in lines
    )
    assert any("frame.kind cannot be “lien”. Did you mean “line”?" in line for line in lines)
    assert any(
        'poll.interval: “2” needs a unit, such as s. Write: interval = "0.2 s"' in line for line in lines
    )

    text = '[[piece]]\nname = "cap"\nshape = "disc"\ndiameter = "400 mm"\nthickness = "500 mm"\n'
    with pytest.raises(FileRefused) as refused:
        read_pieces(text, "caps.toml")
    assert (
        "“cap” is 500 mm thick; with its other sizes it must stay below 400 mm"
        in fault_lines(refused.value.faults)[0]
    )


def test_nothing_from_a_file_reaches_the_terminal_raw() -> None:
    nasty = "air = \x1b[2J\u202e\r5"
    fault = FileFault(
        path="a\x1b]0;x\x07.toml",
        line=1,
        line_text=nasty,
        told=BadValue(code="not-text", found="\x1b[2J"),
        key="air\u2028",
        example='"5 %"',
    )
    shown = "".join(fault_lines([fault]))
    assert not [sign for sign in shown if unicodedata.category(sign) in ("Cc", "Cf", "Zl", "Zp")]
