"""The mixer's own settings, in `settings.toml`: what would otherwise be said on every command line, and the shop.

units = "metric"
port = "/dev/ttyUSB0"

[[scale]]
name = "floor scale"
capacity = "60 kg"
division = "10 g"
checked = "2026-03-02"

[bucket]
volume = "30 L"
empty = "1.2 kg"

[plan]
waste = "8 %"

What the tables come to is said in `shop_file`.
"""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Final

from mixstation.folders import home_config
from mixstation.toml import quantities as q
from mixstation.toml.table import Key, Keys, TableKey, file_table
from mixstation.toml_lines import read_text_file

MAX_SCALE_COUNT: Final = 20

OPTIONS: Final[Keys] = {
    "units": Key(read=q.written, example='"metric"', optional=True),
    "who": Key(read=q.written, example='"Ida"', optional=True),
    "port": Key(read=q.written, example='"/dev/ttyUSB0"', optional=True),
    "profile": Key(read=q.written, example='"value-unit-line"', optional=True),
    "division": Key(read=q.written, example='"1 g"', optional=True),
    "hands_free": Key(read=q.written, example='"4 s"', optional=True),
    "weigh": Key(read=q.written, example='"tub"', optional=True),
    "shop": Key(read=q.written, example='"18 °C"', optional=True),
    "decimal_comma": Key(read=q.true_or_false, example="true", optional=True),
}
"""Keys that are the same words as the options, and are read as those are."""

SHOP: Final[Keys] = {
    "scale": TableKey(example="[[scale]]", optional=True, limit_count=MAX_SCALE_COUNT),
    "bucket": TableKey(example="[bucket]", optional=True),
    "plan": TableKey(example="[plan]", optional=True),
}
"""Keys that hold tables; a bucket may also be its volume alone."""

SCALE: Final[Keys] = {
    "name": Key(read=q.words(40), example='"floor scale"'),
    "capacity": Key(read=q.some_mass_mg, example='"60 kg"'),
    "division": Key(read=q.some_mass_mg, example='"10 g"'),
    "checked": Key(read=q.day, example='"2026-03-02"', optional=True),
}
BUCKET: Final[Mapping[str, Key]] = {
    "volume": Key(read=q.bucket_ml, example='"30 L"', optional=True),
    "empty": Key(read=q.mass_mg, example='"1.2 kg"', optional=True),
    "easy": Key(read=q.filling, example='"1/3"', optional=True),
    "limit": Key(read=q.filling, example='"2/3"', optional=True),
    "loss": Key(read=q.mass_mg, example='"0.5 kg"', optional=True),
}
PLAN: Final[Keys] = {
    "waste": Key(read=q.waste, example='"8 %"', optional=True),
    "tub": Key(read=q.mass_mg, example='"300 g"', optional=True),
    "backing_after": Key(read=q.span(q.work_s), example='"10 min to 30 min"', optional=True),
    "placing": Key(read=q.work_s, example='"6 min"', optional=True),
}


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
    top = file_table(read_text_file(path), str(path))
    bucket = top.content.get("bucket")
    bare = {} if isinstance(bucket, dict) else {"bucket": replace(BUCKET["volume"], read=q.written)}
    top.read({**OPTIONS, **SHOP, **bare})
    if not top.is_sound:
        raise top.refusal()
    options = {key: value for key, value in top.values.items() if key in OPTIONS}
    # As written, like the options; whether it can be used is seen where it is read.
    volume = bucket.get("volume") if isinstance(bucket, dict) else bucket
    return {**options, "bucket": volume} if isinstance(volume, str) else options
