"""Every typed error a command can end with has its sentence, and what is none of ours has not."""

import ast
import errno
import os
import sys
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import get_args

import pytest

from mixstation.account.pages import PageFault
from mixstation.batch.run import FoldCode, FoldError
from mixstation.proportion.error import FormulaTrouble, Negative, OutOfRange, ProportionError
from mixstation.recipe.proportions import BasisEmpty, NoSuchMaterial, ScalingError, Unscalable
from mixstation.recipe.shelf import find_recipe
from mixstation.record.chain import ChainCode, ChainFault
from mixstation.record.codec import CodecError
from mixstation.record.durable import open_durable
from mixstation.record.errors import JournalError, StorageError
from mixstation.record.journal import Journal
from mixstation.record.proof import Difference, DifferenceCode
from mixstation.record.stored_form import CodecCode
from mixstation.record.trouble import (
    AtPath,
    Damaged,
    InUse,
    JournalGone,
    Notice,
    OutOfOrder,
    PathCode,
    Plain,
    SqliteTooOld,
    StorageTrouble,
)
from mixstation.toml.lines import FileFault, FileRefused, load_toml
from mixstation.units.errors import Nothing, UnitsError
from mixstation.units.parse import parse_mass_mg
from mixstation.wording import proof_lines
from mixstation.wording.error_lines import LINES, error_line, reason
from mixstation.wording.proof_lines import PageCode
from mixstation.wording.storage_lines import chain_line, codec_line, fold_line, notice_line
from tests.wording.samples import samples
from tests.wording.source_codes import PACKAGE, made_in, modules

# Never leave the module or package that raises them, or are mistakes of the program.
INSIDE = {
    "_Stop",
    "Unfit",
    "Unsayable",
    "RefusedError",
    "QuantityError",
    "ProgrammeError",
    "NotTaken",
    "ContentError",
    "NotAsWrittenError",
}


def _own_errors() -> set[str]:
    """Names of all classes of ours that end like an error's base."""
    bases = {
        "Exception",
        "ValueError",
        "LookupError",
        "RuntimeError",
        "OSError",
        "FileRefused",
        "StorageError",
    }
    return {
        node.name
        for file in PACKAGE.rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.ClassDef) and any(getattr(base, "id", "") in bases for base in node.bases)
    }


def test_every_error_class_is_known_here() -> None:
    told = {name.rpartition(".")[2] for name in LINES}
    by_base = {"JournalError"}
    assert _own_errors() - INSIDE - by_base <= told
    assert {"FileRefused", "StorageError", "FoldError"} <= _own_errors()


@pytest.mark.parametrize("name", sorted(LINES))
def test_every_name_is_an_error_class(name: str) -> None:
    module, _, cls = name.rpartition(".")
    assert issubclass(getattr(import_module(module), cls), Exception)


def _codes(calls: dict[str, int | str], *places: str) -> set[str]:
    return {made.code for made in made_in(modules(*places), calls)}


def test_every_code_has_a_sentence_of_its_own() -> None:
    fault = ChainFault(batch_id="b", seq=3, code="changed")
    families: list[list[str]] = [
        [chain_line(replace(fault, code=code)) for code in get_args(ChainCode)],
        [codec_line(CodecError(code, "x")) for code in get_args(CodecCode)],
        [fold_line(FoldError(code, 3)) for code in get_args(FoldCode)],
        [notice_line(notice) for notice in get_args(Notice)],
    ]
    for lines in families:
        assert len(set(lines)) == len(lines)
        assert all("{" not in line and line[0].isupper() for line in lines)


def test_every_notice_comes_from_the_journal() -> None:
    words = {
        word.value
        for module in ("journal.py", "proof.py", "exchange.py")
        for word in ast.walk(ast.parse(Path(PACKAGE, "record", module).read_text("utf-8")))
        if isinstance(word, ast.Constant) and word.value in get_args(Notice)
    }
    assert words == set(get_args(Notice))


def test_every_difference_and_page_has_a_sentence_of_its_own() -> None:
    differences = [
        proof_lines.difference_line(Difference(code=code, batch_id="b", expected=3, found=2))
        for code in get_args(DifferenceCode)
    ]
    pages = [
        proof_lines.page_line(PageFault(code=code, name="a.md", batch_id="b"), "records")
        for code in get_args(PageCode)
    ]
    assert all(line.startswith("Batch b: ") for line in differences)
    assert all(line.startswith("a.md: ") for line in pages)
    assert len({*differences, *pages}) == len(differences) + len(pages)
    assert "the journal has 2 entries, the witness knows 3 entries" in differences[1]
    assert _codes({"differs": 0, "Difference": "code"}, "record") <= set(get_args(DifferenceCode))


def test_formulas_name_what_was_found() -> None:
    assert error_line(ProportionError(Negative(name="water_kg", found=-1.5))) == (
        "The water cannot be below nought; found -1.5 kg."
    )
    assert error_line(ProportionError(OutOfRange(name="wanted_c", found=80, least=0, most=60))) == (
        "The wanted must be from 0 °C to 60 °C; found 80 °C."
    )
    for kind in get_args(FormulaTrouble):
        for trouble in samples(kind):
            line = str(error_line(ProportionError(trouble)))
            assert line.endswith("."), kind
            assert "{" not in line, kind


def test_a_recipe_that_cannot_be_scaled() -> None:
    basis = BasisEmpty(basis="cement")
    missing = NoSuchMaterial(asked="lime", known="sand, water")
    lines = {str(error_line(ScalingError(why))) for why in (*Unscalable, basis, missing)}
    assert len(lines) == len(Unscalable) + 2
    assert all(line.endswith(".") and "{" not in line for line in lines)


def test_file_and_recipe_and_quantity(tmp_path: Path) -> None:
    bad = tmp_path / "cap.toml"
    bad.write_text("name = x\n")
    with pytest.raises(FileRefused) as refused:
        load_toml(bad)
    assert str(error_line(refused.value)).startswith(f"{bad}:1: This is not TOML: ")
    assert str(error_line(refused.value)).splitlines()[1] == "    name = x"
    with pytest.raises(FileRefused) as refused:
        load_toml(tmp_path / "none.toml")
    assert (
        error_line(refused.value)
        == f"{tmp_path}/none.toml: There is no such file. Look at its name and folder."
    )
    with pytest.raises(LookupError) as missing:
        find_recipe("planter_wal")
    line = str(error_line(missing.value))
    assert "no recipe “planter_wal”" in line
    assert "Did you mean “planter_wall”?" in line
    with pytest.raises(UnitsError) as quantity:
        parse_mass_mg("8,200 kg")
    assert error_line(quantity.value) == ("“8,200” can be 8.200 or 8200: type it with a point or no comma.")


def test_every_fault_is_told() -> None:
    faults = [
        FileFault(path="a.toml", line=n, line_text=f"key{n} = 1", told=Nothing(), key=f"key{n}")
        for n in (3, 1, 2)
    ]
    lines = str(error_line(FileRefused(faults))).splitlines()
    assert [line.split(": ")[0] for line in lines[::2]] == ["a.toml:1", "a.toml:2", "a.toml:3"]


def test_storage(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    try:
        with pytest.raises(JournalError) as held:
            Journal.open(tmp_path)
        assert f"Another mixstation (process {os.getpid()}) is using these records." in str(
            error_line(held.value)
        )
    finally:
        journal.close()
    assert str(error_line(JournalError(InUse(pid=None)))).startswith("Another mixstation is using")
    other = tmp_path / "other"
    other.mkdir()
    with pytest.raises(JournalError) as none:
        Journal.open_reading(other)
    assert "No batch has been recorded yet." in str(error_line(none.value))
    (other / "journal.sqlite3").write_bytes(b"not a database, but long enough to be looked at" * 40)
    with pytest.raises(JournalError) as foreign:
        Journal.open(other)
    assert f"no journal of ours: {other}" in str(error_line(foreign.value))
    with pytest.raises(JournalError) as folder:
        open_durable(tmp_path)
    assert error_line(folder.value)
    assert "The disk is full: /records." in str(
        error_line(StorageError(AtPath(code="disk-full", path="/records", detail="x")))
    )
    fault = ChainFault(batch_id="20260314-0907-k3", seq=4, code="changed")
    assert "Batch 20260314-0907-k3, entry 4: not as it was stored." in str(
        error_line(JournalError(Damaged(batch_id="20260314-0907-k3", faults=(fault,))))
    )


STORAGE: tuple[StorageTrouble, ...] = (
    *Plain,
    *(AtPath(code=code, path="/records") for code in get_args(PathCode)),
    InUse(pid=7),
    OutOfOrder(code="gap", batch_id="b", expected_seq=3, found_seq=4),
    OutOfOrder(code="seq-taken", batch_id="b", expected_seq=3, found_seq=2),
    Damaged(batch_id="b", faults=()),
    JournalGone(path="/records", traces=(("backups", 2),)),
    SqliteTooOld(found="1", expected="2"),
)


@pytest.mark.parametrize("trouble", STORAGE, ids=lambda trouble: trouble.code)
def test_every_storage_sentence_is_whole(trouble: StorageTrouble) -> None:
    line = str(error_line(JournalError(trouble)))
    assert "{" not in line
    assert line[0].isupper()
    assert ("/records" in line) == hasattr(trouble, "path")


def test_storage_sentences_are_of_every_kind_and_differ() -> None:
    assert {type(trouble) for trouble in STORAGE} == set(get_args(StorageTrouble))
    assert len({error_line(JournalError(trouble)) for trouble in STORAGE}) == len(STORAGE)


def test_stored_entries() -> None:
    assert "later version" in str(error_line(CodecError("newer-form", "9")))
    assert "(entry 3)" in str(error_line(CodecError("not-canonical", "entry 3")))
    assert "before entry 7" in str(error_line(FoldError("gap", 7)))


def test_serial_ports() -> None:
    from serial import Serial, SerialException

    with pytest.raises(SerialException) as gone:
        Serial("/dev/no-such-port")
    assert str(error_line(gone.value)).startswith(
        "The port /dev/no-such-port is not there. Plug the scale in"
    )
    with pytest.raises(SerialException) as plain:
        Serial("/dev/null")
    assert "mixstation scale ports" in str(error_line(plain.value))


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.EBUSY, "Another program holds the port /dev/ttyUSB0."),
        (errno.EAGAIN, "Another program holds the port /dev/ttyUSB0."),
        (errno.EACCES, "You may not open the port /dev/ttyUSB0."),
        (errno.EPERM, "You may not open the port /dev/ttyUSB0."),
        (errno.ENOENT, "The port /dev/ttyUSB0 is not there."),
        (errno.EIO, "The port /dev/ttyUSB0 does not answer."),
    ],
)
def test_why_a_port_does_not_open(number: int, words: str) -> None:
    from serial import SerialException

    cause = OSError(number, os.strerror(number), "/dev/ttyUSB0")
    said = SerialException(number, f"could not open port /dev/ttyUSB0: {cause}")
    assert str(error_line(said)).startswith(words)
    assert str(error_line(cause)).startswith(words)


def test_a_terminal_that_takes_no_settings() -> None:
    import termios

    read, write = os.pipe()
    try:
        with pytest.raises(termios.error) as no_line:
            termios.tcgetattr(read)
    finally:
        os.close(read)
        os.close(write)
    assert str(error_line(no_line.value)).startswith("The port of the scale is no serial port.")


def test_files_the_system_refuses(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError) as gone:
        (tmp_path / "no" / "folder.md").write_text("x")
    line = str(error_line(gone.value))
    assert line.startswith(f"{tmp_path}/no/folder.md: No such file or directory.")


def test_no_profile_fits() -> None:
    assert "--profile" in str(error_line(LookupError("no-profile-fits")))


@pytest.mark.parametrize(
    "error",
    [KeyError("blend"), ValueError("x"), LookupError(), TypeError(), OSError("no number"), AssertionError()],
)
def test_mistakes_of_the_program_keep_their_traceback(error: Exception) -> None:
    assert error_line(error) is None
    assert type(error).__name__ in reason(error)


def test_a_plan_that_cannot_be_made_and_a_station_that_failed() -> None:
    from mixstation.plan.faults import PlanRefused
    from mixstation.plan.faults_of_pieces import NoReturns, SidesCross
    from mixstation.station.station import StationError

    refused = PlanRefused([SidesCross(piece="cap", side_number=1, other_number=3), NoReturns(piece="tray")])
    lines = str(error_line(refused)).splitlines()
    assert len(lines) == 2
    assert "Sides 1 and 3 of “cap” cross or touch." in lines[0]
    failed = StationError()
    failed.__cause__ = StorageError(AtPath(code="disk-full", path="/records"))
    assert str(error_line(failed)).startswith("The disk is full: /records.")
    failed.__cause__ = KeyError("blend")
    assert error_line(failed) is None
    assert reason(failed) == "An error of the program: 'blend' (KeyError)"


def test_a_reason_is_never_raw() -> None:
    assert reason(ValueError("\x1b[2J")) == "An error of the program: \ufffd[2J (ValueError)"
    assert reason(LookupError("no-profile-fits")) == error_line(LookupError("no-profile-fits"))


def test_saying_what_went_wrong_loads_nothing_heavy() -> None:
    import subprocess

    code = (
        "import sys; from mixstation.wording.error_lines import error_line; error_line(KeyError('x')); "
        "print(sorted({'pydantic', 'serial', 'sqlite3', 'pint', 'highspy', 'scipy', 'textual'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
