"""What the type checker names when a recipe gets a step of a new kind: every place that must know it.

    python -m tests.new_step

In a copy of the program a `VibrateStep`, which is timed and moves no mass, is put into the union of steps, with a key
it is written by and a phase of its own in which it is asked for. The files mypy names must be those that
`DEVELOPERS.md` lists for a recipe step.
"""

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
MODEL = Path("mixstation/recipe/model.py")
PHASE = Path("mixstation/batch/phase.py")
WRITTEN = Path("mixstation/recipe/written.py")
# Tests that must know every step, so that the property tests meet it.
TESTS = ("tests/recipe/writer.py", "tests/batch/making.py", "tests/batch/follow.py")
NEW = "VibrateStep"
_CLASS = f'''class {NEW}(Frozen):
    """Shake the mould."""

    kind: Literal["vibrate"] = "vibrate"
    key: str
    min_s: int
    max_s: int
    say: str = ""


'''


def named(root: Path) -> set[str]:
    """Files in which mypy asks what is to be done with the new step.

    Args:
        root: Where the program lies.

    Raises:
        ValueError: The union of steps, of phases, or of keys is not where it is looked for.
    """
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch)
        shutil.copytree(
            root / "mixstation", copy / "mixstation", ignore=shutil.ignore_patterns("__pycache__")
        )
        shutil.copytree(root / "tests", copy / "tests", ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copy(root / "pyproject.toml", copy)
        model = (copy / MODEL).read_text("utf-8")
        put_in = model.replace("WorkStep = ", f"WorkStep = {NEW} | ").replace(
            "class ScrapeStep", f"{_CLASS}class ScrapeStep"
        )
        phase = (copy / PHASE).read_text("utf-8")
        asked = phase.replace('    "safety",\n', '    "safety",\n    "vibrate",\n', 1)
        written = (copy / WRITTEN).read_text("utf-8")
        read = written.replace('    "split",\n', '    "split",\n    "vibrate",\n', 1)
        if put_in.count(NEW) != 2 or asked == phase or read == written:
            raise ValueError(MODEL)
        (copy / MODEL).write_text(put_in, "utf-8")
        (copy / PHASE).write_text(asked, "utf-8")
        (copy / WRITTEN).write_text(read, "utf-8")
        said = subprocess.run(
            [sys.executable, "-m", "mypy", "mixstation", *TESTS],
            cwd=copy,
            capture_output=True,
            text=True,
            check=False,
        ).stdout
    errors = [line for line in said.splitlines() if ": error: " in line]
    return {line.partition(":")[0] for line in errors if "vibrate" in line.lower()}


def listed(root: Path) -> set[str]:
    """Files that `DEVELOPERS.md` says the type checker names for a new step."""
    (part,) = re.findall(
        r"^\*\*A recipe step\.\*\*(.*?)^\*\*", (root / "DEVELOPERS.md").read_text("utf-8"), re.M | re.S
    )
    _, _, after = part.partition("type checker then names all")
    return set(re.findall(r"`((?:mixstation|tests)/[\w/]+\.py)`", after.partition("\n\n")[0]))


def main() -> int:
    """Say which files are named and not listed, or listed and not named."""
    found, told = named(ROOT), listed(ROOT)
    for line in sorted(f"named, not listed: {path}" for path in found - told):
        print(line)
    for line in sorted(f"listed, not named: {path}" for path in told - found):
        print(line)
    print(f"{len(found)} files are named for a new step")
    return int(found != told or not found)


if __name__ == "__main__":
    sys.exit(main())
