"""Where scale profiles are kept: those shipped with the program, and the user's own."""

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from mixstation.folders import home_config, shipped_folder
from mixstation.scale.faults import ProfileTwice, ProfileUnknown
from mixstation.scale.profile import Profile
from mixstation.scale.profile_file import load_profile
from mixstation.toml.lines import FileFault, FileRefused, suggestion
from mixstation.units.alike import first_alike
from mixstation.units.clean import clean

FOLDER_NAME: Final = "scale_profiles"
_MAX_FILE_COUNT: Final = 500


def own_folder() -> Path:
    """Folder of the user's own profiles; it need not exist."""
    return home_config() / FOLDER_NAME


def profile_paths() -> dict[str, Path]:
    """Path of every profile by name, in order of name; the user's own hides a shipped one of the same name."""
    found: dict[str, Path] = {}
    for folder in (shipped_folder(FOLDER_NAME), own_folder()):
        found.update((path.stem, path) for path in _toml_files(folder))
    return dict(sorted(found.items()))


def find_profile(name: str) -> Profile:
    """Load a profile by the stem of its file, or by a path that ends in ".toml".

    Raises:
        FileRefused: There is none, or two, or all that is wrong with its file.
    """
    if name.endswith(".toml"):
        return load_profile(name)
    paths = profile_paths()
    if name in paths:
        return _load(name, paths)
    told = ProfileUnknown(
        name=clean(name, 60), suggestion=suggestion(name[:60], paths), choices=", ".join(paths)
    )
    raise FileRefused([FileFault(path=str(own_folder()), told=told)])


def all_profiles() -> tuple[list[Profile], list[FileFault]]:
    """Every profile that loads, and the faults of those that do not: one bad file stops no other."""
    profiles: list[Profile] = []
    faults: list[FileFault] = []
    paths = profile_paths()
    for name in paths:
        try:
            profiles.append(_load(name, paths))
        except FileRefused as refused:
            faults.extend(refused.faults)
    return profiles, faults


def _load(name: str, paths: Mapping[str, Path]) -> Profile:
    """Load a profile, unless another's name would be taken for it."""
    twin = first_alike(name, paths)
    if twin is not None:
        told = ProfileTwice(other=str(paths[twin]))
        raise FileRefused([FileFault(path=str(paths[name]), told=told)])
    return load_profile(paths[name])


def _toml_files(folder: Path) -> list[Path]:
    try:
        return sorted(path for path in folder.iterdir() if path.suffix == ".toml")[:_MAX_FILE_COUNT]
    except OSError:
        # A folder that is not there, or may not be read, holds no profiles.
        return []
