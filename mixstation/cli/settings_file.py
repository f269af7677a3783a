"""The mixer's own settings, in `settings.toml`: what would otherwise be said on every command line.

The tables of the shop, `[[scale]]`, `[bucket]` and `[plan]`, are read by `shop_file`.
"""

from pathlib import Path
from typing import Any

from mixstation.folders import home_config

KNOWN = (
    "units",
    "who",
    "port",
    "profile",
    "division",
    "hands_free",
    "bucket",
    "weigh",
    "shop",
    "decimal_comma",
)
"""Keys of the file that are the same words as the options."""

TABLES = ("scale", "bucket", "plan")
"""Keys of the file that hold tables; a bucket may also be its volume alone."""


def settings_path() -> Path:
    """Where the file is looked for; it need not exist."""
    return home_config() / "settings.toml"


def own_settings() -> dict[str, str | bool]:
    """What the file says, by option.

    Raises:
        FileRefused: "unknown-key", "not-text" or what is wrong with the file as a whole.
    """
    path = settings_path()
    if not path.exists():
        return {}
    from mixstation.toml_lines import FileRefused, fault_at, line_of, load_toml, read_text_file, suggestion

    document, lines = load_toml(path)
    faults = []
    options: dict[str, str | bool] = {}
    for key, value in document.items():
        if key in TABLES and isinstance(value, dict | list):
            continue
        code = "" if key in KNOWN else "not-a-table" if key in TABLES else "unknown-key"
        if not code and not isinstance(value, bool if key == "decimal_comma" else str):
            code = "not-true" if key == "decimal_comma" else "not-text"
        if code:
            known = sorted({*KNOWN, *TABLES})
            values = {
                "key": key,
                "found": str(value)[:60],
                "example": f"[{key}]" if key in TABLES else '"metric"',
                "suggestion": suggestion(key, known),
                "choices": ", ".join(known),
            }
            faults.append(fault_at(read_text_file(path), str(path), line_of(lines, (key,)), code, **values))
        options[key] = value
    if faults:
        raise FileRefused(faults)
    volume = _bucket_volume(document)
    return options if volume is None else {**options, "bucket": volume}


def _bucket_volume(document: dict[str, Any]) -> str | None:
    """The volume in `[bucket]`, as written; whether it can be used is seen where it is read."""
    bucket = document.get("bucket")
    volume = bucket.get("volume") if isinstance(bucket, dict) else None
    return volume if isinstance(volume, str) else None
