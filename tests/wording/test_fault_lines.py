"""Every fault of a file has its sentence, and the sentence says where, what, and what to write."""

import unicodedata
from functools import cache
from pathlib import Path

import pytest

from mixstation.toml.lines import FileFault, FileRefused
from mixstation.units.errors import KINDS
from mixstation.wording.fault_lines import SENTENCES, fault_lines, names_in, sentence_of
from mixstation.wording.file_faults import FRAME_REFUSALS
from tests.recipe.test_file_faults import SINGLE
from tests.recipe.texts import changed, faults_of
from tests.wording.source_codes import made_in, modules

READ: dict[str, int | str] = {"fault": 1, "QuantityError": 0}
BORDER: dict[str, int | str] = {"fault_at": 3, "refused": 0, "_Stop": 1, "FileFault": "code"}
NAMELESS = frozenset({"near", "write", "hint", "reason_words"})


@cache
def faults_made() -> list[tuple[str, str, frozenset[str], bool]]:
    found = []
    for files, calls, added in (
        # What every table adds by itself.
        (
            modules("toml", "recipe", "scale", "plan/piece_file.py", "cli/shop_file.py"),
            READ,
            {"key", "example"},
        ),
        (modules("plan/temperature_log.py"), {"wrong": 0}, set()),
        (modules("toml/lines.py", "recipe", "scale"), BORDER, set()),
    ):
        for made in made_in(files, calls):
            found.append((made.place, made.code, made.names | added, made.is_whole))
    return found


def test_the_source_was_read() -> None:
    codes = {code for _, code, _, _ in faults_made()}
    # One of each way a code comes about: literal, chosen between two, raised deeper, by keyword.
    assert {
        "band-order",
        "not-a-table",
        "area-form",
        "sample-differs",
        "profile-unknown",
    } <= codes
    assert {"range-missing", "file-missing", "key-too-deep", "check-byte-place"} <= codes
    assert len(faults_made()) > 110


def test_every_code_has_a_sentence() -> None:
    assert [(place, code) for place, code, _, _ in faults_made() if code not in {*SENTENCES, *KINDS}] == []


def test_every_sentence_names_only_what_its_fault_brings() -> None:
    lacking = [
        (place, code)
        for place, code, names, is_whole in faults_made()
        if is_whole and not names_in(SENTENCES.get(code, "")) <= names | NAMELESS
    ]
    assert lacking == []


def test_every_refusal_of_a_frame_has_its_words() -> None:
    raised = made_in(modules("scale"), {"Unfit": 0, "Refusal": "code"})
    assert {made.code for made in raised} <= FRAME_REFUSALS.keys()
    assert len(raised) >= 9


@pytest.mark.parametrize(("old", "new", "code", "line_text"), SINGLE)
def test_every_single_fault_of_a_recipe_reads_well(old: str, new: str, code: str, line_text: str) -> None:
    (fault,) = faults_of(changed((old, new)))
    assert fault.code == code
    head, *rest = fault_lines([fault])
    assert head.startswith(f"{fault.path}:{fault.line}: " if fault.line else f"{fault.path}: ")
    assert "{" not in head
    assert "  " not in head
    assert head.endswith((".", "?", str(fault.values.get("example", "."))))
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
        line=0,
        line_text="",
        code="key-missing",
        values={"key": "corners", "example": '[["0 mm", "0 mm"], ["600 mm", "0 mm"]]'},
    )
    assert 'Write: corners = [["0 mm"' in sentence_of(corners)
    framed = FileFault(
        path="p.toml",
        line=0,
        line_text="",
        code="key-missing",
        values={"key": "frame", "example": '[frame]\nkind = "line"'},
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
        code="not-text",
        values={"key": "air\u2028", "found": "\x1b[2J", "example": '"5 %"'},
    )
    shown = "".join(fault_lines([fault]))
    assert not [sign for sign in shown if unicodedata.category(sign) in ("Cc", "Cf", "Zl", "Zp")]
