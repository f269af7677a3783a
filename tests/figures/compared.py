"""Figures as they are kept, one JSON line a case, and how those of today are compared with them.

Rules: a float counts to ten significant digits, a fraction as such; nothing depends on the order of a set, a clock or a
locale.
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from fractions import Fraction
from hashlib import sha256
from pathlib import Path
from typing import Any

from mixstation.coded import Coded

HERE = Path(__file__).parents[1] / "pinned" / "figures"
# Choice: what libraries for floats differ by between machines stays below this.
DIGITS = 10


def plain(value: Any) -> Any:
    """A value of ours as JSON holds it."""
    if value is None or (isinstance(value, bool | int | str) and not isinstance(value, Enum)):
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}") + 0.0
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, Mapping):
        return {str(key): plain(each) for key, each in value.items()}
    if isinstance(value, set | frozenset):
        return sorted(plain(each) for each in value)
    if is_dataclass(value):
        told = {each.name: plain(getattr(value, each.name)) for each in fields(value)}
        code = value.code if isinstance(value, Coded) else type(value).__name__
        return {"is": code, **told}
    return [plain(each) for each in value]


def digest(data: Any, length: int = 16) -> str:
    """Some hex digits that any change of plain data changes."""
    return sha256(json.dumps(data, sort_keys=True).encode()).hexdigest()[:length]


def line(name: str, figures: Any) -> str:
    """A case as it is kept."""
    return json.dumps({"case": name, "figures": figures}, separators=(",", ":"), ensure_ascii=False)


def write(file: str, figures: Iterable[tuple[str, Any]]) -> None:
    """Keep a ledger's cases."""
    HERE.mkdir(exist_ok=True)
    text = "".join(f"{line(name, each)}\n" for name, each in figures)
    (HERE / file).write_text(text, encoding="utf-8")


def kept(file: str) -> dict[str, Any]:
    """The cases of a ledger as they were kept, by name."""
    lines = (HERE / file).read_text(encoding="utf-8").splitlines()
    return {each["case"]: each["figures"] for each in map(json.loads, lines)}


def differences(before: Any, now: Any, where: str = "") -> Iterator[str]:
    """Where two plain values differ, with both."""
    if isinstance(before, dict) and isinstance(now, dict):
        for key in {**before, **now}:
            yield from differences(before.get(key), now.get(key), f"{where}.{key}")
    elif isinstance(before, list) and isinstance(now, list):
        if len(before) != len(now):
            yield f"{where}: {len(before)} entries, now {len(now)}"
        for place, pair in enumerate(zip(before, now, strict=False)):
            yield from differences(*pair, f"{where}[{place}]")
    elif before != now or type(before) is not type(now):
        yield f"{where}: {before!r}, now {now!r}"
