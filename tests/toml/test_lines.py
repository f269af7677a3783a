"""Reading TOML that people write."""

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.toml.lines import (
    FileFault,
    FileRefused,
    line_of,
    load_toml,
    locate,
    parse_toml,
    read_text_file,
    suggestion,
)

TEXT = """\
title = "Hearth plate"   # = [not a table]
size.length = "300 mm"

[bucket]
volume = "20 l"
[bucket.paddle]
speeds = ["slow",
  "fast"]
[[step]]
add = {what = "water", share = "80 %"}
[[step]]
note = '''
[[step]]
'''
"quoted \\u0041" = 1
[step.mix]
least = "60 s"
"""


def codes(text: str) -> list[tuple[str, int]]:
    with pytest.raises(FileRefused) as caught:
        parse_toml(text, "some.toml")
    return [(fault.code, fault.line) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("title",), 1),
        (("size", "length"), 2),
        (("bucket",), 4),
        (("bucket", "paddle", "speeds", 1), 8),
        (("step",), 9),
        (("step", 0, "add", "share"), 10),
        (("step", 1), 11),
        (("step", 1, "quoted A"), 15),
        (("step", 1, "mix", "least"), 17),
    ],
)
def test_each_key_is_on_its_line(path: tuple[str | int, ...], line: int) -> None:
    assert locate(TEXT)[path] == line


def every_path(value: object, path: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    below: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        below = list(value.items())
    elif isinstance(value, list):
        below = list(enumerate(value))
    return {path}.union(*(every_path(item, (*path, key)) for key, item in below))


def test_every_path_of_the_document_is_located_and_no_other() -> None:
    document, lines = parse_toml(TEXT, "some.toml")
    assert set(lines) == every_path(document) - {()}


def test_line_of_falls_back_to_what_encloses() -> None:
    lines = locate(TEXT)
    assert line_of(lines, ("step", 1, "missing")) == 11
    assert line_of(lines, ("missing",)) == 1


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("a = 1\nb = " + "[" * 17, "nesting-too-deep", 2),
        ("b = " + "{x=" * 17, "nesting-too-deep", 1),
        (".".join("a" * 9) + " = 1", "key-too-deep", 1),
        ("[" + ".".join("a" * 20_000) + "]", "key-too-deep", 1),
        ("x = {" + ".".join("a" * 9) + " = 1}", "key-too-deep", 1),
        ("a = 1\nb = \n", "toml-syntax", 2),
        ("a = 1\na = 2\n", "toml-syntax", 2),
        ('a = "open\n', "toml-syntax", 1),
        ("a = [1\n\n", "toml-syntax", 3),
    ],
)
def test_what_is_refused(text: str, code: str, line: int) -> None:
    assert codes(text) == [(code, line)]


def test_limits_themselves_are_allowed() -> None:
    parse_toml("a = " + "[" * 16 + "]" * 16, "some.toml")
    parse_toml(".".join("abcdefgh") + " = 1", "some.toml")


def test_brackets_in_text_and_comments_do_not_count() -> None:
    parse_toml(f'a = "{"[" * 40}" # {"{" * 40}\nb = """\n{"[" * 40}"""\n', "some.toml")


@given(st.text(alphabet="ab.=[]{}\"'\\#,\n 1", max_size=60))
def test_scan_never_stops_where_the_parser_would_go_on(text: str) -> None:
    # Any text either parses, with every path located, or is refused with a line inside it.
    faults: tuple[FileFault, ...] = ()
    try:
        document, lines = parse_toml(text, "some.toml")
    except FileRefused as refusal:
        faults = refusal.faults
    else:
        assert set(lines) == every_path(document) - {()}
    assert all(1 <= fault.line <= text.count("\n") + 1 for fault in faults)
    assert all(getattr(fault.told, "reason", "") != "not understood from here on" for fault in faults)


class TestFile:
    def refused(self, path: Path) -> tuple[str, int]:
        with pytest.raises(FileRefused) as caught:
            read_text_file(path)
        (fault,) = caught.value.faults
        return fault.code, fault.line

    def test_mark_and_line_ends_are_dropped(self, tmp_path: Path) -> None:
        path = tmp_path / "a.toml"
        path.write_bytes(b'\xef\xbb\xbfa = "1"\r\nb = "2"\r\n')
        assert load_toml(path) == ({"a": "1", "b": "2"}, {("a",): 1, ("b",): 2})

    def test_kinds_of_file(self, tmp_path: Path) -> None:
        assert self.refused(tmp_path / "none.toml") == ("file-missing", 0)
        assert self.refused(tmp_path) == ("file-not-ordinary", 0)
        os.mkfifo(tmp_path / "pipe.toml")
        assert self.refused(tmp_path / "pipe.toml") == ("file-not-ordinary", 0)
        (tmp_path / "link.toml").symlink_to("/dev/zero")
        assert self.refused(tmp_path / "link.toml") == ("file-not-ordinary", 0)
        assert self.refused(Path("a\0b")) == ("file-unreadable", 0)

    def test_size_and_text(self, tmp_path: Path) -> None:
        path = tmp_path / "a.toml"
        path.write_bytes(b"# padding\n" * 30_000)
        assert self.refused(path) == ("file-too-large", 0)
        path.write_text("a = 1\n#" + "x" * 1000)
        assert self.refused(path) == ("line-too-long", 2)
        path.write_bytes(b"a = 1\nb = '\xff'\n")
        assert self.refused(path) == ("not-utf8", 2)


def test_suggestion() -> None:
    assert suggestion("decimel_mark", ["decimal_mark", "width"]) == "decimal_mark"
    assert suggestion("zzz", ["decimal_mark"]) == ""
