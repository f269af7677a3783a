"""Recordings on disk."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.scale.replay_link import log_line, read_log
from mixstation.toml_lines import FileRefused


@given(
    st.lists(st.tuples(st.integers(0, 10**9).map(lambda us: us / 1e6), st.binary(max_size=40)), max_size=20)
)
def test_written_is_read(tmp_path_factory: pytest.TempPathFactory, pieces: list[tuple[float, bytes]]) -> None:
    path = tmp_path_factory.mktemp("log") / "line.log"
    path.write_text("".join(log_line(at_s, data) + "\n" for at_s, data in pieces), "utf-8")
    assert read_log(path) == pieces


@pytest.mark.parametrize(
    "line",
    [
        "",
        "[1]",
        "5",
        '{"a": 1}',
        "[0.5, 7]",
        '["x", "y"]',
        '[0.5, "\u20ac"]',
        "[" * 5000,
        "nonsense",
        '["0.5", "y"]',
        '[true, "y"]',
        '[NaN, "y"]',
        '[Infinity, "y"]',
        '[1e999999999, "y"]',
        f'[{"9" * 4000}, "y"]',
        f'[{"9" * 5000}, "y"]',
        '[-1, "y"]',
    ],
)
def test_a_line_that_is_none_is_named(tmp_path: Path, line: str) -> None:
    path = tmp_path / "line.log"
    path.write_text(log_line(0.5, b"12 kg\r\n") + "\n" + line + "\n" + log_line(1, b""), "utf-8")
    with pytest.raises(FileRefused) as caught:
        read_log(path)
    assert [(fault.code, fault.line) for fault in caught.value.faults] == [("log-line", 2)]


def test_no_file(tmp_path: Path) -> None:
    with pytest.raises(FileRefused) as caught:
        read_log(tmp_path / "none.log")
    assert caught.value.faults[0].code == "log-unreadable"
