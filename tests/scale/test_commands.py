"""The scale commands on a stream."""

import io
from collections.abc import Iterator
from pathlib import Path
from threading import Thread

import pytest

from mixstation.scale.commands import emulate, list_ports, obey, watch
from mixstation.scale.emulator import EmulatedScale, Make
from mixstation.scale.profile_folder import all_profiles
from mixstation.scale.pty_port import PtyPort
from mixstation.toml.lines import FileRefused

from .conftest import PATIENCE_S, PROFILES


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


def test_profiles_are_listed(own_home: Path) -> None:
    folder = own_home / "config" / "scale_profiles"
    folder.mkdir(parents=True)
    (folder / "bad.toml").write_text("title = 5\n")
    profiles, faults = all_profiles()
    assert [profile.name for profile in profiles] == list(PROFILES)
    assert {Path(fault.path).name for fault in faults} == {"bad.toml"}


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
    out = Watched("not read: number-unreadable: ST,GS,+   1.250kg")
    assert watch(port.name, "value-unit-line", out, PATIENCE_S) == 1
    assert "not read: number-unreadable: ST,GS,+   1.250kg" in out.getvalue()


def test_watch_a_port_that_is_not_there(tmp_path: Path) -> None:
    out = io.StringIO()
    assert watch(str(tmp_path / "none"), None, out, seconds=0.1) == 1
    assert "cannot be read" in out.getvalue()


def test_unknown_profile() -> None:
    with pytest.raises(FileRefused):
        watch("none", "no-such-line", io.StringIO(), seconds=0.1)


def test_emulate_obeys_and_ends() -> None:
    out = io.StringIO()
    typed = ["put 650 g", "pour 500 g at 5 kg/s", "fly", "pour much", "sum", "stop", "lift"]
    assert emulate("polled-line", out, typed) == 0
    lines = out.getvalue().splitlines()
    assert lines[0].startswith("port /")
    assert not Path(lines[0].removeprefix("port ")).exists()
    assert [line.partition(":")[0] for line in lines[2:]] == [
        "put",
        "pour",
        "Not understood",
        "Not a mass",
        "sum",
    ]


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
