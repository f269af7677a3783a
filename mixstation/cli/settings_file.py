"""The mixer's own settings, in `settings.toml`: what would otherwise be said on every command line.

The tables of the shop, `[[scale]]`, `[bucket]` and `[plan]`, are read by `shop_file`.
"""

import contextlib
from pathlib import Path

from mixstation.folders import home_config

TABLES = ("scale", "bucket", "plan")
"""Keys of the file that hold tables; a bucket may also be its volume alone."""


def settings_path() -> Path:
    """Where the file is looked for; it need not exist."""
    return home_config() / "settings.toml"


def own_settings() -> dict[str, str | bool]:
    """What the file says, by option.

    Raises:
        FileRefused: All that is wrong with it.
    """
    path = settings_path()
    if not path.exists():
        return {}
    from mixstation.toml_lines import read_text_file

    return read_settings(read_text_file(path), str(path))


def read_settings(text: str, path: str) -> dict[str, str | bool]:
    """Read the options from the text of a settings file; see `own_settings`.

    Args:
        text: TOML; what the tables of the shop hold is passed over, but for the bucket's volume.
        path: Where it is from; only named in faults.
    """
    from mixstation.cli.option_values import OPTIONS
    from mixstation.recipe.faults import Faults
    from mixstation.recipe.key_table import Key, read_keys
    from mixstation.recipe.quantities import QuantityError
    from mixstation.toml_lines import FileRefused, parse_toml

    document, lines = parse_toml(text, path)
    faults = Faults(text, path, lines)
    keys = {key: Key(read=read, example=example, optional=True) for key, (read, example) in OPTIONS.items()}
    bucket = document.get("bucket")
    if isinstance(bucket, dict):
        del keys["bucket"]
    for key in TABLES:
        if key in document and key not in keys and not isinstance(document[key], dict | list):
            faults.add((key,), "not-a-table", example=f"[{key}]")
    options: dict[str, str | bool] = read_keys(document, (), keys, faults, nested=frozenset(TABLES))
    if faults.found:
        raise FileRefused(faults.found)
    if isinstance(bucket, dict):
        # What is wrong with it is said where the shop is read.
        with contextlib.suppress(KeyError, QuantityError):
            options["bucket"] = str(OPTIONS["bucket"][0](bucket["volume"]))
    return options
