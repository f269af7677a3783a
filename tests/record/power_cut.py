"""Power cuts, simulated from the system calls a program really made.

`strace` records every write, truncation, flush and change of names a program makes below a folder, and its
acknowledgements. `disk_after_cut` then says what a disk may hold if the power fails between two calls:

- what was flushed is there;
- of each write not yet flushed every 512-byte sector is there or not, in any combination, and a sector the file
  grew by without its data holds zeros or rubbish;
- a truncation not yet flushed happened or not;
- a name made, replaced or removed is so only once its folder was flushed; before that, it may be either.

This is harsher than common file systems, which keep some order. It shows that a program asks for enough flushes
in the right order. It cannot show that the system and the drive do what they are asked.
"""

import os
import re
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Literal

SECTOR_BYTES = 512
_CALLS = (
    "openat,?open,?creat,close,write,pwrite64,fsync,fdatasync,ftruncate,?unlink,unlinkat,?rename,?renameat,renameat2,"
    "?mkdir,mkdirat"
)
_LINE = re.compile(r"^(\w+)\((.*)\)\s+= (-?\d+)")
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')

Kept = Literal["nothing", "everything", "some"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One recorded call.

    Attributes:
        act: What was done.
        file: Number of the file it was done to, a new number for each file made; 0 for steps on names.
        path: The name made, removed, replaced, or the folder flushed.
        source: For "rename", the old name.
        at_count: Offset of a write or length after a truncation, in bytes.
        data: What was written, or the text of an acknowledgement.
    """

    act: Literal[
        "write", "truncate", "flush", "make", "make-folder", "remove", "rename", "flush-folder", "say"
    ]
    file: int = 0
    path: str = ""
    source: str = ""
    at_count: int = 0
    data: bytes = b""


def strace_works() -> bool:
    """Whether system calls can be recorded here: strace is for Linux, and some containers forbid it."""
    try:
        return (
            subprocess.run(["strace", "-o", os.devnull, "true"], capture_output=True, check=False).returncode
            == 0
        )
    except FileNotFoundError:
        return False


def recorded(program: str, root: Path, *, trace: Path) -> tuple[Step, ...]:
    """Run a Python program and record what it does below a folder.

    Args:
        program: Its text; gets the folder as its argument and acknowledges by writing to standard output.
        root: The folder, which starts out empty.
        trace: Where the raw record may be written.

    Returns:
        Its steps in order.
    """
    command = [
        "strace",
        "-qq",
        "-xx",
        "-s",
        "4194304",
        "-e",
        f"trace={_CALLS}",
        "-e",
        "signal=none",
        "-o",
        str(trace),
    ]
    subprocess.run([*command, sys.executable, "-c", program, str(root)], check=True, capture_output=True)
    return _steps(trace.read_text(), str(root))


def _steps(text: str, root: str) -> tuple[Step, ...]:
    steps: list[Step] = []
    files: dict[str, int] = {}
    open_files: dict[int, tuple[int, str]] = {}
    positions: dict[int, int] = {}
    lengths: dict[int, int] = {}
    file_count = 0
    for line in text.splitlines():
        match = _LINE.match(line)
        if match is None or int(match[3]) < 0:
            continue
        call, inside, result = match[1], match[2], int(match[3])
        texts = [bytes.fromhex(found.replace("\\x", "")) for found in _TEXT.findall(inside)]
        numbers = re.findall(r"-?\d+", _TEXT.sub("", inside))
        names = [os.fsdecode(name) for name in texts]
        if call in ("openat", "open", "creat"):
            name = names[0]
            open_files.pop(result, None)
            if not name.startswith(root):
                continue
            if "O_CREAT" in inside and name not in files:
                file_count += 1
                files[name] = file_count
                steps.append(Step(act="make", file=file_count, path=name))
            if "O_TRUNC" in inside:
                lengths[files[name]] = 0
                steps.append(Step(act="truncate", file=files[name]))
            at_count = lengths.get(files.get(name, 0), 0) if "O_APPEND" in inside else 0
            open_files[result], positions[result] = (files.get(name, 0), name), at_count
        elif call == "close":
            open_files.pop(int(numbers[0]), None)
        elif call == "write" and int(numbers[0]) == 1:
            steps.append(Step(act="say", data=texts[0]))
        elif call in ("write", "pwrite64") and int(numbers[0]) in open_files:
            descriptor = int(numbers[0])
            at_count = int(numbers[-1]) if call == "pwrite64" else positions[descriptor]
            if call == "write":
                positions[descriptor] += result
            file = open_files[descriptor][0]
            lengths[file] = max(lengths.get(file, 0), at_count + result)
            steps.append(Step(act="write", file=file, at_count=at_count, data=texts[0][:result]))
        elif call in ("fsync", "fdatasync") and int(numbers[0]) in open_files:
            file, name = open_files[int(numbers[0])]
            steps.append(Step(act="flush", file=file) if file else Step(act="flush-folder", path=name))
        elif call == "ftruncate" and int(numbers[0]) in open_files:
            file = open_files[int(numbers[0])][0]
            lengths[file] = int(numbers[1])
            steps.append(Step(act="truncate", file=file, at_count=int(numbers[1])))
        elif call.startswith("mkdir") and names[0].startswith(root):
            steps.append(Step(act="make-folder", path=names[0]))
        elif call.startswith("unlink") and names[0].startswith(root):
            files.pop(names[0], None)
            steps.append(Step(act="remove", path=names[0]))
        elif call.startswith("rename") and names[1].startswith(root):
            files[names[1]] = files.pop(names[0])
            steps.append(Step(act="rename", file=files[names[1]], path=names[1], source=names[0]))
    return tuple(steps)


@dataclass(slots=True)
class _Disk:
    """What is on the disk for certain, and what may be."""

    content: dict[int, bytearray] = field(default_factory=dict)
    names: dict[str, int] = field(default_factory=dict)
    loose_content: list[Step] = field(default_factory=list)
    loose_names: list[Step] = field(default_factory=list)

    def take(self, step: Step) -> None:
        if step.act in ("write", "truncate"):
            self.loose_content.append(step)
        elif step.act == "flush":
            for loose in self.loose_content:
                if loose.file == step.file:
                    self.put(loose)
            self.loose_content = [loose for loose in self.loose_content if loose.file != step.file]
        elif step.act == "flush-folder":
            for loose in self.loose_names:
                if str(Path(loose.path).parent) == step.path:
                    self.rename(loose)
            self.loose_names = [one for one in self.loose_names if str(Path(one.path).parent) != step.path]
        elif step.act != "say":
            self.loose_names.append(step)

    def put(self, step: Step) -> None:
        content = self.content.setdefault(step.file, bytearray())
        end = step.at_count + len(step.data)
        content.extend(bytes(max(0, end - len(content))))
        if step.act == "truncate":
            del content[step.at_count :]
        else:
            content[step.at_count : end] = step.data

    def put_torn(self, step: Step, random: Random) -> None:
        content = self.content.setdefault(step.file, bytearray())
        rubbish = random.random() < 0.5
        end = step.at_count + len(step.data)
        for start in range(step.at_count // SECTOR_BYTES * SECTOR_BYTES, end, SECTOR_BYTES):
            first, last = max(start, step.at_count), min(start + SECTOR_BYTES, end)
            missing = last - len(content)
            if missing > 0:
                content.extend(random.randbytes(missing) if rubbish else bytes(missing))
            if random.random() < 0.5:
                content[first:last] = step.data[first - step.at_count : last - step.at_count]

    def rename(self, step: Step) -> None:
        if step.act in ("remove", "rename"):
            self.names.pop(step.source or step.path, None)
        if step.act != "remove":
            self.names[step.path] = step.file


def disk_after_cut(steps: tuple[Step, ...], kept: Kept, random: Random) -> dict[str, bytes | None]:
    """What a disk may hold when the power fails.

    Args:
        steps: Everything done before the cut.
        kept: What is left of all that was not flushed.
        random: Decides where `kept` is "some".

    Returns:
        Content by path; None for a folder. Names whose folder is not there are left out.
    """
    disk = _Disk()
    for step in steps:
        disk.take(step)
    if kept != "nothing":
        for step in disk.loose_content:
            if kept == "everything":
                disk.put(step)
            elif step.act == "write":
                disk.put_torn(step, random)
            elif random.random() < 0.5:
                disk.put(step)
        for step in disk.loose_names:
            if kept == "everything" or random.random() < 0.5:
                disk.rename(step)
    made = {step.path for step in steps if step.act == "make-folder"}
    gone = {path for path in made if path not in disk.names}
    return {
        path: None if file == 0 else bytes(disk.content.get(file, b""))
        for path, file in disk.names.items()
        if not any(Path(path).is_relative_to(folder) for folder in gone)
    }


def lay_out(disk: dict[str, bytes | None], root: Path, at: Path) -> None:
    """Write what a disk holds into a real folder.

    Args:
        disk: As `disk_after_cut` gives it.
        root: The folder the program was recorded in.
        at: An empty folder that takes its place.
    """
    for path, content in sorted(disk.items()):
        target = at / Path(path).relative_to(root)
        if content is None:
            target.mkdir(exist_ok=True)
        else:
            target.write_bytes(content)
