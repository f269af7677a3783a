"""Read TOML that people write: border checks first, and the line on which each key stands.

Standard parsers say little about where a well-formed value stands, and some small files keep them busy for
seconds. One forward scan answers both: it refuses what is too deep or too long before the parser sees it, and
notes a line for every key path.
"""

import os
import stat
from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Final

from mixstation.coded import Told
from mixstation.frozen import Frozen
from mixstation.toml.faults_of_files import NoText, OverLimit, TextFault, Unread

MAX_FILE_BYTE_COUNT: Final = 256 * 1024
MAX_LINE_CHARACTER_COUNT: Final = 1000
MAX_KEY_DEPTH: Final = 8
MAX_NESTING: Final = 16

KeyPath = tuple[str | int, ...]

_BARE_KEY: Final = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-")


class FileFault(Frozen):
    """One thing wrong with a file.

    Attributes:
        path: The file as it was asked for.
        told: What is wrong.
        line: Line number from 1; 0 where the fault is of the file as a whole.
        line_text: That line as it stands in the file, not cleaned; "" with line 0.
        key: The key it is about; "" where it is about none.
        place: The key with the tables around it, in files that write several tables on a line.
        example: What may be written, as it would stand in the file; "" for nothing.
    """

    path: str
    told: Told
    line: int = 0
    line_text: str = ""
    key: str = ""
    place: str = ""
    example: str = ""

    @property
    def code(self) -> str:
        """Short name of what is wrong."""
        return self.told.code


class FileRefused(ValueError):  # noqa: N818 - a refusal that lists faults, which are the errors
    """A file cannot be used; `faults` says why, all together, in line order."""

    def __init__(self, faults: Iterable[FileFault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: fault.line))
        super().__init__("; ".join(f"{fault.path}:{fault.line}: {fault.code}" for fault in self.faults))


class _Stop(Exception):  # noqa: N818 - ends the scan, never leaves this module
    def __init__(self, position: int, told: TextFault) -> None:
        self.position, self.told = position, told
        super().__init__(told.code)


def read_text_file(path: str | Path) -> str:
    """Read a text file from outside, with line ends as `\\n` and without a byte order mark.

    Args:
        path: An ordinary file of at most 256 KiB, UTF-8, lines of at most 1,000 characters.

    Returns:
        The text.

    Raises:
        FileRefused: "file-missing", "file-not-ordinary", "file-unreadable", "file-too-large", "not-utf8",
            "line-too-long".
    Source: Choice: a recipe or profile is a few kilobytes; anything far larger is a slip or an attack.
    """
    name = str(path)

    def refused(told: TextFault, line: int = 0, line_text: str = "") -> FileRefused:
        return FileRefused([FileFault(path=name, line=line, line_text=line_text, told=told)])

    try:
        # Looked at before it is opened: opening a device or a FIFO already does something.
        if not stat.S_ISREG(os.lstat(name).st_mode):
            raise refused(NoText.FILE_NOT_ORDINARY)
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
        with open(os.open(name, flags), "rb") as file:  # noqa: PTH123 - flags need the descriptor
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                raise refused(NoText.FILE_NOT_ORDINARY)
            data = file.read(MAX_FILE_BYTE_COUNT + 1)
    except FileNotFoundError:
        raise refused(NoText.FILE_MISSING) from None
    except (OSError, ValueError) as error:
        if isinstance(error, FileRefused):
            raise
        reason = getattr(error, "strerror", None) or str(error)
        raise refused(Unread(code="file-unreadable", reason=reason)) from None
    if len(data) > MAX_FILE_BYTE_COUNT:
        raise refused(OverLimit(code="file-too-large", limit_count=MAX_FILE_BYTE_COUNT))
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        line_text = data.split(b"\n")[line - 1].decode("utf-8", "replace")[:MAX_LINE_CHARACTER_COUNT]
        raise refused(NoText.NOT_UTF8, line, line_text) from None
    check_line_lengths(text, name)
    return text


def check_line_lengths(text: str, path: str) -> None:
    """Refuse text with a line of more than 1,000 characters.

    Raises:
        FileRefused: "line-too-long", with the part of the line that would have been allowed.
    """
    limit = MAX_LINE_CHARACTER_COUNT
    for number, line_text in enumerate(text.split("\n"), start=1):
        if len(line_text) > limit:
            fault = fault_at(text, path, number, OverLimit(code="line-too-long", limit_count=limit))
            raise FileRefused([replace(fault, line_text=line_text[:limit])])


def load_toml(path: str | Path) -> tuple[dict[str, Any], dict[KeyPath, int]]:
    """Read a TOML file with its key lines.

    Args:
        path: See `read_text_file`.

    Returns:
        The parsed document, and the line of each key path (see `locate`).

    Raises:
        FileRefused: Codes of `read_text_file`, and "key-too-deep", "nesting-too-deep", "toml-syntax".
    """
    return parse_toml(read_text_file(path), str(path))


def parse_toml(text: str, path: str) -> tuple[dict[str, Any], dict[KeyPath, int]]:
    """Parse TOML text with its key lines; `path` is only named in faults. Raises as `load_toml`."""
    # Loaded when there is something to read: most homes have no settings file when the screen is first painted.
    import tomllib

    scan = _Scan(text)
    stop = scan.run()
    if stop is not None and stop.told.code != "toml-syntax":
        raise FileRefused([fault_at(text, path, scan.line_at(stop.position), stop.told)])
    # Where our scan stopped, the parser gets no more to read than we have checked.
    checked = text if stop is None else text[: (text.find("\n", stop.position) + 1) or len(text)]
    try:
        document = tomllib.loads(checked)
    except tomllib.TOMLDecodeError as error:
        reason, _, place = str(error).removesuffix(")").rpartition(" (at ")
        number = place.removeprefix("line ").partition(",")[0]
        line = int(number) if number.isdecimal() else text.count("\n") + 1
        told = Unread(code="toml-syntax", reason=reason or str(error))
        raise FileRefused([fault_at(text, path, line, told)]) from None
    if stop is not None:
        raise FileRefused([fault_at(text, path, scan.line_at(stop.position), stop.told)])
    return document, scan.lines


def locate(text: str) -> dict[KeyPath, int]:
    """Line number, from 1, of every key, table and array element.

    Args:
        text: TOML; of text that is not, the part before the first error is located.

    Returns:
        Key path to line. Array elements and repeated tables are numbered from 0.

    Example:
        >>> locate('name = "a"\\n[[step]]\\nadd = {what = "water"}\\n')[("step", 0, "add", "what")]
        3
    """
    scan = _Scan(text)
    scan.run()
    return scan.lines


def line_of(lines: Mapping[KeyPath, int], path: KeyPath) -> int:
    """Line of the path, or of the nearest part that encloses it; 1 if none does."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return 1


def fault_at(text: str, path: str, line: int, told: Told) -> FileFault:
    """A fault on a numbered line of the text."""
    all_lines = text.split("\n")
    line_text = all_lines[line - 1] if 1 <= line <= len(all_lines) else ""
    return FileFault(path=path, line=line, line_text=line_text, told=told)


def suggestion(word: str, known: Iterable[str]) -> str:
    """The known word most like this one, or "" if none is near.

    Example:
        >>> suggestion("densty", ["density", "price"])
        'density'
    """
    return next(iter(get_close_matches(word, list(known), n=1, cutoff=0.6)), "")


class _Scan:
    """One forward pass over TOML text; stops at the first thing it does not understand."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.lines: dict[KeyPath, int] = {}
        self._at = 0
        self._repeats: dict[KeyPath, int] = {}
        self._newlines = [index for index, character in enumerate(text) if character == "\n"]

    def line_at(self, position: int) -> int:
        return bisect_left(self._newlines, position) + 1

    def run(self) -> _Stop | None:
        table: KeyPath = ()
        try:
            while True:
                self._skip(newlines=True)
                if self._at >= len(self.text):
                    return None
                if self._take("["):
                    table = self._header(repeated=self._take("["))
                else:
                    self._pair(table, 0)
                self._skip(newlines=False)
                if self._at < len(self.text) and not self._take("\n"):
                    raise self._syntax()
        except _Stop as stop:
            return stop

    def _syntax(self) -> _Stop:
        return _Stop(self._at, Unread(code="toml-syntax", reason="not understood from here on"))

    def _take(self, literal: str) -> bool:
        found = self.text.startswith(literal, self._at)
        if found:
            self._at += len(literal)
        return found

    def _skip(self, *, newlines: bool) -> None:
        blank = " \t\n" if newlines else " \t"
        while self._at < len(self.text):
            if self.text[self._at] in blank:
                self._at += 1
            elif self.text[self._at] == "#":
                end = self.text.find("\n", self._at)
                self._at = len(self.text) if end < 0 else end
            else:
                return

    def _header(self, *, repeated: bool) -> KeyPath:
        start = self._at
        parts = self._key()
        if not self._take("]]" if repeated else "]"):
            raise self._syntax()
        path = self._noted((), parts[:-1], start)
        path += (parts[-1],)
        if repeated:
            self.lines.setdefault(path, self.line_at(start))
            self._repeats[path] = self._repeats.get(path, -1) + 1
            path += (self._repeats[path],)
        self.lines[path] = self.line_at(start)
        return path

    def _noted(self, path: KeyPath, parts: list[str], start: int) -> KeyPath:
        for part in parts:
            path += (part,)
            self.lines.setdefault(path, self.line_at(start))
            if path in self._repeats:
                path += (self._repeats[path],)
        return path

    def _pair(self, table: KeyPath, nesting: int) -> None:
        start = self._at
        path = self._noted(table, self._key(), start)
        if not self._take("="):
            raise self._syntax()
        self._skip(newlines=False)
        self._value(path, nesting)

    def _key(self) -> list[str]:
        parts: list[str] = []
        while True:
            self._skip(newlines=False)
            if len(parts) == MAX_KEY_DEPTH:
                raise _Stop(self._at, OverLimit(code="key-too-deep", limit_count=MAX_KEY_DEPTH))
            parts.append(self._key_part())
            self._skip(newlines=False)
            if not self._take("."):
                return parts

    def _key_part(self) -> str:
        start = self._at
        if self.text[start : start + 1] in ('"', "'"):
            import tomllib

            self._string(self.text[start])
            try:
                return str(tomllib.loads("k = " + self.text[start : self._at])["k"])
            except tomllib.TOMLDecodeError:
                raise self._syntax() from None
        while self.text[self._at : self._at + 1] in _BARE_KEY:
            self._at += 1
        if self._at == start:
            raise self._syntax()
        return self.text[start : self._at]

    def _value(self, path: KeyPath, nesting: int) -> None:
        quote = self.text[self._at : self._at + 1]
        if quote and quote in "\"'":
            self._string(quote * 3 if self.text.startswith(quote * 3, self._at) else quote)
        elif quote in ("[", "{"):
            if nesting == MAX_NESTING:
                raise _Stop(self._at, OverLimit(code="nesting-too-deep", limit_count=MAX_NESTING))
            self._at += 1
            self._inside(path, nesting + 1, "]" if quote == "[" else "}")
        else:
            start = self._at
            while self._at < len(self.text) and self.text[self._at] not in ",]}#\n":
                self._at += 1
            if self._at == start:
                raise self._syntax()

    def _inside(self, path: KeyPath, nesting: int, closing: str) -> None:
        index = 0
        while True:
            self._skip(newlines=True)
            if self._take(closing):
                return
            if closing == "]":
                self.lines[(*path, index)] = self.line_at(self._at)
                self._value((*path, index), nesting)
                index += 1
            else:
                self._pair(path, nesting)
            self._skip(newlines=True)
            if not self._take(",") and not self.text.startswith(closing, self._at):
                raise self._syntax()

    def _string(self, quote: str) -> None:
        self._at += len(quote)
        while self._at < len(self.text):
            if self._take(quote):
                # Up to two more quotes may belong to the end of a long string.
                for _ in range(2 if len(quote) == 3 else 0):
                    self._take(quote[0])
                return
            character = self.text[self._at]
            if character == "\n" and len(quote) == 1:
                break
            self._at += 2 if character == "\\" and quote[0] == '"' else 1
        raise self._syntax()
