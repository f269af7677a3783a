"""The shop as the settings file has it: scales on file, the bucket, and what plans are made with.

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
"""

from collections.abc import Mapping
from datetime import date, datetime
from fractions import Fraction
from typing import Any, Final

from mixstation.cli.settings_file import settings_path
from mixstation.plan.buckets import EASY_FRACTION, LIMIT_FRACTION, Bucket
from mixstation.plan.dosing import Scale
from mixstation.plan.job_parts import LOSS_PER_BUCKET_MG, WASTE_FRACTION, Shop
from mixstation.plan.timing import MINUTES_TO_PLACE, LayerWindow
from mixstation.recipe.faults import Faults
from mixstation.recipe.key_table import Key, read_keys, tables_of
from mixstation.recipe.quantities import QuantityError, span, within, words
from mixstation.recipe.twins import note_twins
from mixstation.toml_lines import FileRefused, parse_toml, read_text_file

MAX_SCALE_COUNT: Final = 20
BUCKET_L: Final = 30.0
"""Where neither settings nor an option name a bucket. Source: Choice: a common mixing bucket."""


def day(value: object) -> date:
    """Reader of a day, bare or as text."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    text = words(20)(value) if isinstance(value, str) else str(value)[:20]
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise QuantityError("day-form", found=text) from None


_minutes = within("window")
_part = within("fill")
_SCALE: Final[Mapping[str, Key]] = {
    "name": Key(read=words(40), example='"floor scale"'),
    "capacity": Key(read=within("scale capacity"), example='"60 kg"'),
    "division": Key(read=within("division"), example='"10 g"'),
    "checked": Key(read=day, example='"2026-03-02"', optional=True),
}
_BUCKET: Final[Mapping[str, Key]] = {
    "volume": Key(read=within("bucket volume"), example='"30 L"', optional=True),
    "empty": Key(read=within("empty bucket"), example='"1.2 kg"', optional=True),
    "easy": Key(read=_part, example='"1/3"', optional=True),
    "limit": Key(read=_part, example='"2/3"', optional=True),
    "loss": Key(read=within("loss"), example='"0.5 kg"', optional=True),
}
_PLAN: Final[Mapping[str, Key]] = {
    "waste": Key(read=within("waste"), example='"8 %"', optional=True),
    "tub": Key(read=within("tub"), example='"300 g"', optional=True),
    "backing_after": Key(read=span(_minutes), example='"10 min to 30 min"', optional=True),
    "placing": Key(read=_minutes, example='"6 min"', optional=True),
}


def own_shop() -> Shop:
    """The shop.

    Returns:
        What the file says, the usual where it says nothing or is not there.

    Raises:
        FileRefused: All that is wrong with the tables of the shop, each fault on its line.
    """
    path = settings_path()
    return read_shop(read_text_file(path), str(path)) if path.exists() else read_shop("", str(path))


def read_shop(text: str, path: str) -> Shop:
    """Read the shop from the text of a settings file; see `own_shop`.

    Args:
        text: TOML; keys that are not of the shop are passed over.
        path: Where it is from; only named in faults and cautions.
    """
    document, lines = parse_toml(text, path)
    faults = Faults(text, path, lines)
    scales = [
        _scale(table, at, faults)
        for at, table in enumerate(tables_of(document, (), "scale", MAX_SCALE_COUNT, faults))
    ]
    note_twins(
        ((("scale", at, "name"), scale.name) for at, scale in enumerate(scales) if scale is not None), faults
    )
    bucket = document.get("bucket")
    if isinstance(bucket, str):
        bucket = {"volume": bucket}
    sizes = _table("bucket", bucket, _BUCKET, faults)
    plan = _table("plan", document.get("plan"), _PLAN, faults)
    easy, limit = sizes.get("easy", EASY_FRACTION), sizes.get("limit", LIMIT_FRACTION)
    if easy > limit:
        faults.add(("bucket", "limit" if "limit" in sizes else "easy"), "easy-over-limit")
    if faults.found:
        raise FileRefused(faults.found)
    window = plan.get("backing_after", (Fraction(600), Fraction(1800)))
    return Shop(
        bucket=Bucket(
            volume_l=float(sizes.get("volume", BUCKET_L * 1000)) / 1000,
            tare_mg=int(sizes.get("empty", 0)),
            easy_fraction=easy,
            limit_fraction=limit,
        ),
        scales=tuple(scale for scale in scales if scale is not None),
        tub_tare_mg=int(plan.get("tub", 0)),
        waste_fraction=plan.get("waste", WASTE_FRACTION),
        loss_per_bucket_mg=int(sizes.get("loss", LOSS_PER_BUCKET_MG)),
        window=LayerWindow(from_min=float(window[0]) / 60, to_min=float(window[1]) / 60),
        place_min=float(plan.get("placing", MINUTES_TO_PLACE * 60)) / 60,
        file=path,
    )


def _scale(table: Mapping[str, Any], at: int, faults: Faults) -> Scale | None:
    path = ("scale", at)
    before = len(faults.found)
    values = read_keys(table, path, _SCALE, faults)
    if len(faults.found) > before:
        return None
    capacity_mg, division_mg = int(values["capacity"]), int(values["division"])
    if division_mg >= capacity_mg:
        faults.add((*path, "division"), "division-over-capacity")
        return None
    return Scale(
        name=values["name"], capacity_mg=capacity_mg, division_mg=division_mg, checked=values.get("checked")
    )


def _table(key: str, table: object, keys: Mapping[str, Key], faults: Faults) -> dict[str, Any]:
    if table is None:
        return {}
    if not isinstance(table, dict):
        faults.add((key,), "not-a-table", example=f"[{key}]")
        return {}
    return read_keys(table, (key,), keys, faults)
