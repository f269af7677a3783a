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

[[vessel]]
name = "white tub"
kind = "tub"
empty = "310 g"

[plan]
waste = "8 %"

What the tables come to is said in `shop_file`.
"""

import contextlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final, TypeVar

from mixstation.folders import home_config
from mixstation.toml import quantities as q
from mixstation.toml.lines import FileFault, FileRefused, read_text_file
from mixstation.toml.table import Key, Keys, TableKey, file_table
from mixstation.units.errors import UnitsError
from mixstation.units.own_units import UNITS
from mixstation.units.plausible import read_plausible
from mixstation.units.show import DisplayUnits

MAX_SCALE_COUNT: Final = 20
MAX_VESSEL_COUNT: Final = 40


def _typed(name: str, unit: str) -> Callable[[object], str]:
    """Reader of a quantity that stays as it was typed, once it is known to be plausible; unit is of a bare number."""

    def read(value: object) -> str:
        text = q.written(value)
        try:
            read_plausible(name, text, unit)
        except UnitsError as error:
            raise q.QuantityError(error.fault) from None
        return text

    return read


OPTIONS: Final[Mapping[str, Key]] = {
    "units": Key(read=q.one_of(*map(str, DisplayUnits)), example='"metric"', optional=True),
    "who": Key(read=q.words(60), example='"Ida"', optional=True),
    "port": Key(read=q.words(200), example='"/dev/ttyUSB0"', optional=True),
    "profile": Key(read=q.words(200), example='"value-unit-line"', optional=True),
    "division": Key(read=_typed("division", "g"), example='"5 g"', optional=True),
    "hands_free": Key(read=_typed("hands-free time", "s"), example='"4 s"', optional=True),
    "bucket": Key(read=_typed("bucket volume", "L"), example='"30 L"', optional=True),
    "weigh": Key(read=q.one_of("bucket", "tub", "supply"), example='"bucket"', optional=True),
    "shop": Key(read=_typed("shop temperature", "°C"), example='"18 °C"', optional=True),
    "decimal_comma": Key(read=q.true_or_false, example="true", optional=True),
}
"""Keys that are the same words as the options, and are read as those are."""

SHOP: Final[Keys] = {
    "scale": TableKey(example="[[scale]]", optional=True, limit_count=MAX_SCALE_COUNT),
    "bucket": TableKey(example="[bucket]", optional=True),
    "vessel": TableKey(example="[[vessel]]", optional=True, limit_count=MAX_VESSEL_COUNT),
    "plan": TableKey(example="[plan]", optional=True),
}
"""Keys that hold tables; a bucket may also be its volume alone."""

SCALE: Final[Keys] = {
    "name": Key(read=q.words(40), example='"floor scale"'),
    "capacity": Key(read=q.within("scale capacity"), example='"60 kg"'),
    "division": Key(read=q.within("division"), example='"10 g"'),
    "checked": Key(read=q.day, example='"2026-03-02"', optional=True),
    "unit": Key(read=q.one_of(*UNITS), example='"g"', optional=True),
}
BUCKET: Final[Mapping[str, Key]] = {
    "volume": Key(read=q.within("bucket volume"), example='"30 L"', optional=True),
    "empty": Key(read=q.within("empty bucket"), example='"1.2 kg"', optional=True),
    "easy": Key(read=q.within("fill"), example='"1/3"', optional=True),
    "limit": Key(read=q.within("fill"), example='"2/3"', optional=True),
    "loss": Key(read=q.within("loss"), example='"0.5 kg"', optional=True),
}
VESSEL: Final[Keys] = {
    "name": Key(read=q.words(40), example='"white tub"'),
    "kind": Key(read=q.one_of("bucket", "tub"), example='"tub"'),
    "empty": Key(read=q.within("empty vessel"), example='"310 g"'),
    "volume": Key(read=q.within("bucket volume"), example='"5 L"', optional=True),
}
PLAN: Final[Keys] = {
    "waste": Key(read=q.within("waste"), example='"8 %"', optional=True),
    "tub": Key(read=q.within("tub"), example='"300 g"', optional=True),
    "backing_after": Key(read=q.span(q.within("window")), example='"10 min to 30 min"', optional=True),
    "placing": Key(read=q.within("window"), example='"6 min"', optional=True),
}


def settings_path() -> Path:
    """Where the file is looked for; it need not exist."""
    return home_config() / "settings.toml"


def own_settings() -> dict[str, str | bool]:
    """What the file says, by option.

    Raises:
        FileRefused: All that is wrong with it.
    """
    path = settings_path()
    return read_settings(read_text_file(path), str(path)) if path.exists() else {}


def read_settings(text: str, path: str) -> dict[str, str | bool]:
    """Read the options from the text of a settings file; see `own_settings`.

    Args:
        text: TOML; what the tables of the shop hold is passed over, but for the bucket's volume.
        path: Where it is from; only named in faults.
    """
    top = file_table(text, path)
    bucket = top.content.get("bucket")
    options = top.read({**OPTIONS, **SHOP} if isinstance(bucket, dict) else {**SHOP, **OPTIONS})
    if not top.is_sound:
        raise top.refusal()
    if isinstance(bucket, dict):
        # What is wrong with it is said where the shop is read.
        with contextlib.suppress(KeyError, q.QuantityError):
            options["bucket"] = OPTIONS["bucket"].read(bucket["volume"])
    return {key: value for key, value in options.items() if isinstance(value, str | bool)}


def divisions_said(text: str, path: str) -> dict[str, str]:
    """What the text of a settings file says that each scale reads in, by “scale” and its name.

    Args:
        path: Where it is from; only named in faults.

    Raises:
        FileRefused: It is no TOML.
    """
    scales = file_table(text, path).content.get("scale")
    known = [scale for scale in scales if isinstance(scale, dict)] if isinstance(scales, list) else []
    return {f"scale {scale.get('name')}": f"division {scale.get('division')}" for scale in known}


_Read = TypeVar("_Read")

# Choice: each round takes a line at least; a file with more slips than this is not a settings file.
_MAX_ROUND_COUNT: Final = 40


def as_far_as_read(read: Callable[[str, str], _Read]) -> tuple[_Read, tuple[FileFault, ...]]:
    """What the settings file says where it can be read, the usual for all else.

    Args:
        read: Reads the text of a settings file, with its path to name; raises `FileRefused`, but not for "".

    Returns:
        What was read, and what is wrong with the file, in line order; nothing where it is sound or not there.
    """
    path = str(settings_path())
    try:
        lines = read_text_file(path).split("\n")
    except FileRefused as refused:
        missing = all(fault.code == "file-missing" for fault in refused.faults)
        return read("", path), () if missing else refused.faults
    faults: dict[int, FileFault] = {}
    for _ in range(_MAX_ROUND_COUNT):
        try:
            return read("\n".join(lines), path), tuple(faults[line] for line in sorted(faults))
        except FileRefused as refused:
            for fault in refused.faults:
                _leave_out(lines, fault.line)
                # What lacks only since something was left out is no fault of the file's.
                if not faults or fault.code != "key-missing":
                    faults.setdefault(fault.line, fault)
    return read("", path), tuple(faults[line] for line in sorted(faults))


def _leave_out(lines: list[str], number: int) -> None:
    """Leave out a line, with the table that it heads; all of them where it is none."""
    at = number - 1
    if not 0 <= at < len(lines) or not lines[at].strip():
        lines[:] = [""] * len(lines)
        return
    heads = lines[at].lstrip().startswith("[")
    lines[at] = ""
    while heads and (at := at + 1) < len(lines) and not lines[at].lstrip().startswith("["):
        lines[at] = ""
