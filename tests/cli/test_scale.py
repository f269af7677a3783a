"""The scale commands on a stream."""

import io
from collections.abc import Iterator
from pathlib import Path
from threading import Thread

import pytest

from mixstation.cli.emulate import emulate, obey
from mixstation.cli.scale import list_ports, list_profiles, watch
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.pty_port import PtyPort
from mixstation.toml.lines import FileRefused
from tests.scale.conftest import PATIENCE_S, PROFILES


class Watched(io.StringIO):
    """Interrupts whoever writes, as a person would, once a text has been printed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self._text = text

    def write(self, text: str) -> int:
        count = super().write(text)
        if self._text in text:
            raise KeyboardInterrupt
        return count


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home without profiles of the person who runs the tests."""
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def port() -> Iterator[PtyPort]:
    scale = EmulatedScale(Make(noise_mg=0.0))
    scale.put_mg(1_250_000)
    scale.advance(5)
    port = PtyPort(scale, PROFILES["header-token-line"], rate_hz=50)
    port.start()
    yield port
    port.stop()


def test_ports_are_listed() -> None:
    out = io.StringIO()
    status = list_ports(out)
    assert (status == 0) == ("No serial port" not in out.getvalue())
    assert out.getvalue().endswith("\n")


def test_profiles_are_listed(own_home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = own_home / "config" / "scale_profiles"
    folder.mkdir(parents=True)
    (folder / "bad.toml").write_text("title = 5\n")
    out = io.StringIO()
    assert list_profiles(out) == 1
    assert [line.split()[0] for line in out.getvalue().splitlines()] == list(PROFILES)
    places = [line for line in capsys.readouterr().err.splitlines() if not line.startswith("    ")]
    assert {Path(line.partition(":")[0]).name for line in places} == {"bad.toml"}


def test_watch_prints_readings(port: PtyPort) -> None:
    line = "      1.250 kg  steady      +0.0 g/s  ST,GS,+   1.250kg"
    out = Watched(line)
    assert watch(port.name, "header-token-line", out, PATIENCE_S) == 0
    lines = out.getvalue().splitlines()
    assert lines[0] == "link opening"
    assert lines[1] == "link live"
    assert lines[-1] == line


def test_watch_finds_the_profile(port: PtyPort) -> None:
    out = Watched("1.250 kg  steady")
    assert watch(port.name, None, out, PATIENCE_S) == 0
    assert "Reads as header-token-line at 9600 baud." in out.getvalue()


def test_watch_with_the_wrong_profile_shows_what_came(port: PtyPort) -> None:
    line = "not read: no number stands there: ST,GS,+   1.250kg"
    out = Watched(line)
    assert watch(port.name, "value-unit-line", out, PATIENCE_S) == 1
    assert line in out.getvalue()
    assert "number-unreadable" not in out.getvalue()


def test_watch_a_port_that_is_not_there(tmp_path: Path) -> None:
    out, port = io.StringIO(), str(tmp_path / "none")
    assert watch(port, None, out, seconds=0.1) == 1
    assert f"\nThe port {port} is not there." in out.getvalue()
    assert "Errno" not in out.getvalue()


def test_watch_what_is_no_port() -> None:
    out = io.StringIO()
    assert watch("/dev/null", None, out, seconds=0.1) == 1
    assert "is no serial port. See what there is with: mixstation scale ports\n" in out.getvalue()
    assert "(25" not in out.getvalue()


def test_a_profile_left_out_is_told_in_words(own_home: Path, tmp_path: Path) -> None:
    folder = own_home / "config" / "scale_profiles"
    folder.mkdir(parents=True)
    (folder / "bad.toml").write_text("title = 5\n")
    out = io.StringIO()
    watch(str(tmp_path / "none"), None, out, seconds=0.1)
    left_out = [line for line in out.getvalue().splitlines() if "bad.toml" in line]
    assert left_out
    assert all(line.startswith("Left out: ") for line in left_out)
    assert any("bad.toml:1: title must be text" in line for line in left_out)
    assert "not-text" not in out.getvalue()


def test_unknown_profile() -> None:
    with pytest.raises(FileRefused):
        watch("none", "no-such-line", io.StringIO(), seconds=0.1)


def test_emulate_obeys_and_ends() -> None:
    out = io.StringIO()
    typed = [
        "put 650 g",
        "pour 500 g at 5 kg/s",
        "fly",
        "pour much",
        "pour 500 g at 4",
        "sum",
        "stop",
        "lift",
    ]
    assert emulate("polled-line", out, typed) == 0
    lines = out.getvalue().splitlines()
    assert lines[0].startswith("port /")
    assert not Path(lines[0].removeprefix("port ")).exists()
    assert [line.partition(":")[0] for line in lines[2:]] == [
        "put",
        "pour",
        "Not understood",
        "“much” is not a number",
        "“4” needs a unit, such as kg. Write for example",
        "sum",
    ]
    assert lines[5].endswith(" Write for example: pour 500 g")
    assert lines[6].endswith(" Write for example: pour 500 g at 40 g/s")


def test_emulated_scale_can_be_watched_meanwhile() -> None:
    out, seen = io.StringIO(), Watched("2.000 kg  steady")

    def typed() -> Iterator[str]:
        name = out.getvalue().splitlines()[0].removeprefix("port ")
        yield "put 2 kg"
        watcher = Thread(target=watch, args=(name, "sign-first-columns", seen, PATIENCE_S))
        watcher.start()
        watcher.join()
        yield "stop"

    emulate("sign-first-columns", out, typed())
    assert "2.000 kg  steady" in seen.getvalue()


@pytest.mark.parametrize(
    ("line", "poured_mg"),
    [
        ("pour 500 g", [500_000]),
        ("POUR 0,5 kg at 100 g/s\n", [500_000]),
        ("pour -100 g", [-100_000]),
        ("pour", []),
        ("pour 500", []),
        ("put 500 g", []),
        ("", []),
        ("lift the bucket", []),
    ],
)
def test_typed_pours(line: str, poured_mg: list[int]) -> None:
    scale = EmulatedScale()
    assert obey(scale, line) is not None
    scale.advance(60)
    assert [pour.mass_mg for pour in scale.poured] == poured_mg


def test_typed_words_do_what_they_say() -> None:
    scale = EmulatedScale(Make(noise_mg=0.0))
    for line in ("put 1 kg", "unit", "unplug"):
        obey(scale, line)
    scale.advance(5)
    shown = scale.shown()
    assert shown is not None
    assert (shown.unit, scale.is_plugged) == ("lb", False)
    obey(scale, "replug")
    obey(scale, "lift")
    assert (scale.is_plugged, scale.load_mg) == (True, 0)
    assert obey(scale, "stop") is None
