"""Commands as they are called, on a home with batches, plans and stock: none of them loads pydantic.

Only what makes a JSON Schema does: `python -m mixstation.account.schema_file`.
"""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

HOME = Path(__file__).parent.parent / "pinned" / "home_1"
CALLED = """
import sys
from mixstation.cli.main import main
try:
    code = main(sys.argv[1:])
except SystemExit as left:
    code = left.code
loaded = {name.partition(".")[0] for name in sys.modules}
print("code", code, "loaded", *sorted(loaded & {"pydantic", "pydantic_core"}))
"""
NEW = ("mix", "hearth_plate", "--powder", "8 kg", "--plain", "--beside")
KEPT = ("mix", "--plan", "p261130-a505", "--plain", "--beside")
WRONG = ("recover", "hearth_plate", "--powder", "7 kg", "--in", "water=1.25 kg", "--in", "blend=3.5 kg")


@pytest.mark.parametrize(
    "words",
    [
        NEW,
        KEPT,
        ("resume", "--plain"),
        ("plan", "--plain"),
        ("plan", "list"),
        ("plan", "show", "p261130-a505"),
        ("plan", "hearth_plate", "--total", "12 kg", "--keep"),
        ("records",),
        ("records", "show", "20270115-0900-ab", "--json"),
        ("records", "audit"),
        ("stock",),
        ("stock", "receive", "fibre", "1 kg"),
        WRONG,
    ],
    ids=" ".join,
)
def test_a_command_loads_no_pydantic(words: tuple[str, ...], tmp_path: Path) -> None:
    home = tmp_path / "home"
    shutil.copytree(HOME, home)
    done = subprocess.run(
        [sys.executable, "-c", CALLED, *words],
        input="\nquit\n",
        capture_output=True,
        text=True,
        check=False,
        env={"MIXSTATION_HOME": str(home), "TZ": "UTC"},
        timeout=120,
    )
    assert done.stdout.splitlines()[-1].strip() == "code 0 loaded", done.stderr
