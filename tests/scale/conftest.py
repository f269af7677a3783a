"""What the tests of the scale share: profiles, a clock stepped by hand, and waiting for another thread."""

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from mixstation.folders import shipped_folder
from mixstation.scale.profile import Profile
from mixstation.scale.profile_file import load_profile

PROFILES = {path.stem: load_profile(path) for path in sorted(shipped_folder("scale_profiles").glob("*.toml"))}
LINE_PROFILES = [profile for profile in PROFILES.values() if profile.poll is None]

# Long enough for a loaded machine; nothing is claimed about how soon it happens.
PATIENCE_S = 90.0


class HandClock:
    """Monotonic seconds that move only when told to."""

    def __init__(self) -> None:
        self.now_s = 1000.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home without profiles of the person who runs the tests."""
    monkeypatch.setenv("MIXSTATION_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def clock() -> HandClock:
    return HandClock()


@pytest.fixture(params=list(PROFILES))
def profile(request: pytest.FixtureRequest) -> Profile:
    return PROFILES[request.param]


def wait_until(condition: Callable[[], object], meanwhile: Callable[[], object] = lambda: None) -> None:
    """Wait for another thread to bring something about."""
    until_s = time.monotonic() + PATIENCE_S
    while not condition():
        assert time.monotonic() < until_s, "it did not come about"
        meanwhile()
        time.sleep(0.002)
