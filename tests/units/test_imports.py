"""The bottom layer stands on the standard library alone."""

import subprocess
import sys
from pathlib import Path

import mixstation.units


def test_units_import_only_themselves_and_the_standard_library() -> None:
    modules = sorted(
        f"mixstation.units.{path.stem}" for path in Path(mixstation.units.__path__[0]).glob("*.py")
    )
    program = (
        f"import sys, {', '.join(m for m in modules if not m.endswith('__init__'))}; print(*sys.modules)"
    )
    done = subprocess.run([sys.executable, "-I", "-c", program], capture_output=True, text=True, check=True)
    started = subprocess.run(
        [sys.executable, "-I", "-c", "import sys; print(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    added = {name.partition(".")[0] for name in set(done.stdout.split()) - set(started.stdout.split())}
    assert added - sys.stdlib_module_names == {"mixstation"}
    ours = {name for name in done.stdout.split() if name.startswith("mixstation.")}
    assert {name for name in ours if not name.startswith("mixstation.units")} == {
        "mixstation.coded",
        "mixstation.frozen",
    }
