"""The mixer's own settings, in `settings.toml`: what would otherwise be said on every command line."""

from pathlib import Path

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
"""Keys of the file; the same words as the options."""


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
    for key, value in document.items():
        code = "" if key in KNOWN else "unknown-key"
        if not code and not isinstance(value, bool if key == "decimal_comma" else str):
            code = "not-true" if key == "decimal_comma" else "not-text"
        if code:
            values = {
                "key": key,
                "example": '"metric"',
                "suggestion": suggestion(key, KNOWN),
                "choices": ", ".join(KNOWN),
            }
            faults.append(fault_at(read_text_file(path), str(path), line_of(lines, (key,)), code, **values))
    if faults:
        raise FileRefused(faults)
    return document
