"""Where the program looks for files: the user's own folder, and what comes with the program."""

import contextlib
import os
from pathlib import Path

_PACKAGE = Path(__file__).parent


def home_config() -> Path:
    """Folder of the user's own settings, with `recipes/` and `scale_profiles/` in it; it need not exist.

    Returns:
        `$MIXSTATION_HOME/config` where that variable is set, else the platform's folder for settings.

    Source: Choice: one variable moves everything, for a memory stick or a test.
    """
    home = os.environ.get("MIXSTATION_HOME")
    if home:
        return home_folder(home) / "config"
    from platformdirs import user_config_dir

    return Path(user_config_dir("mixstation", appauthor=False))


def home_folder(home: str) -> Path:
    """The folder that `$MIXSTATION_HOME` names, with "~" for a person's own; as written where nobody has that name."""
    with contextlib.suppress(RuntimeError):
        return Path(home).expanduser().absolute()
    return Path(home).absolute()


def shipped_folder(name: str) -> Path:
    """Folder of files that come with the program.

    Args:
        name: "recipes" or "scale_profiles".

    Returns:
        The folder inside an installed package, or at the top of a checkout.

    Source: Choice: the same files serve both, packed under `shipped/` in a wheel.
    """
    packed = _PACKAGE / "shipped" / name
    return packed if packed.is_dir() else _PACKAGE.parent / name
