"""Where scale profiles are kept: those shipped with the program, and the user's own."""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from mixstation.scale.profile import Profile
from mixstation.scale.profile_file import load_profile
from mixstation.toml_lines import FileFault, FileRefused, suggestion

HOME_VARIABLE: Final = "MIXSTATION_HOME"
_MAX_FILE_COUNT: Final = 500


def shipped_folder() -> Path:
    """The profiles that come with the program, installed or in a checkout."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "shipped" / "scale_profiles"
    return installed if installed.is_dir() else package.parent / "scale_profiles"


def own_folder(environment: Mapping[str, str] = os.environ) -> Path:
    """The user's own profiles; the folder need not exist.

    Args:
        environment: Where MIXSTATION_HOME may name another place than the system's for settings.
    """
    home = environment.get(HOME_VARIABLE)
    if home:
        return Path(home) / "scale_profiles"
    import platformdirs

    return Path(platformdirs.user_config_dir("mixstation")) / "scale_profiles"


def profile_paths(environment: Mapping[str, str] = os.environ) -> dict[str, Path]:
    """Path of every profile by name, in order of name; the user's own hides a shipped one of the same name."""
    found: dict[str, Path] = {}
    for folder in (shipped_folder(), own_folder(environment)):
        paths = sorted(folder.glob("*.toml"))[:_MAX_FILE_COUNT] if folder.is_dir() else []
        found.update((path.stem, path) for path in paths)
    return dict(sorted(found.items()))


def find_profile(name: str, environment: Mapping[str, str] = os.environ) -> Profile:
    """Load a profile by name.

    Args:
        name: Stem of its file.
        environment: See `own_folder`.

    Raises:
        FileRefused: "profile-unknown" (name, suggestion, known), or what is wrong with its file.
    """
    paths = profile_paths(environment)
    if name in paths:
        return load_profile(paths[name])
    values = {"name": name, "suggestion": suggestion(name, paths), "known": ", ".join(paths)}
    folder = str(own_folder(environment))
    raise FileRefused([FileFault(path=folder, line=0, line_text="", code="profile-unknown", values=values)])


def all_profiles(environment: Mapping[str, str] = os.environ) -> tuple[list[Profile], list[FileFault]]:
    """Every profile that loads, and the faults of those that do not: one bad file stops no other."""
    profiles: list[Profile] = []
    faults: list[FileFault] = []
    for path in profile_paths(environment).values():
        try:
            profiles.append(load_profile(path))
        except FileRefused as refused:
            faults.extend(refused.faults)
    return profiles, faults
