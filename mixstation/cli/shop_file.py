"""The shop as the settings file has it: scales on file, the bucket, and what plans are made with."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any, Final

from mixstation.cli.settings_file import BUCKET, PLAN, SCALE, SHOP, VESSEL, settings_path
from mixstation.plan.buckets import EASY_FRACTION, LIMIT_FRACTION, Bucket
from mixstation.plan.dosing import Scale
from mixstation.plan.faults_of_files import Plain
from mixstation.plan.job_parts import LOSS_PER_BUCKET_MG, WASTE_FRACTION, Shop
from mixstation.plan.timing import MINUTES_TO_PLACE, LayerWindow
from mixstation.plan.vessels import VesselOnFile
from mixstation.toml.lines import read_text_file
from mixstation.toml.table import Table, file_table, note_twins

BUCKET_L: Final = 30.0
"""Where neither settings nor an option name a bucket. Source: Choice: a common mixing bucket."""


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
    top = file_table(text, path)
    has_table = isinstance(top.content.get("bucket"), dict)
    values = top.read(SHOP if has_table else {**SHOP, "bucket": BUCKET["volume"]}, ignore_rest=True)
    scales = [_scale(table) for table in values.get("scale", ())]
    note_twins(values.get("scale", ()))
    named = [_vessel(table) for table in values.get("vessel", ())]
    note_twins(values.get("vessel", ()))
    bucket = values.get("bucket")
    sizes = bucket.read(BUCKET) if isinstance(bucket, Table) else {} if bucket is None else {"volume": bucket}
    plan = values["plan"].read(PLAN) if "plan" in values else {}
    easy, limit = sizes.get("easy", EASY_FRACTION), sizes.get("limit", LIMIT_FRACTION)
    if easy > limit and isinstance(bucket, Table):
        bucket.fault("limit" if "limit" in sizes else "easy", Plain.EASY_OVER_LIMIT)
    if not top.is_sound:
        raise top.refusal()
    vessels = (*_unnamed(sizes, plan, named), *(vessel for vessel in named if vessel is not None))
    window = plan.get("backing_after", (Fraction(600), Fraction(1800)))
    return Shop(
        bucket=Bucket(
            volume_l=float(sizes.get("volume", BUCKET_L * 1000)) / 1000,
            tare_mg=round(sizes.get("empty", 0)),
            easy_fraction=easy,
            limit_fraction=limit,
        ),
        scales=tuple(scale for scale in scales if scale is not None),
        tub_tare_mg=round(plan.get("tub", 0)),
        vessels=vessels,
        waste_fraction=plan.get("waste", WASTE_FRACTION),
        loss_per_bucket_mg=round(sizes.get("loss", LOSS_PER_BUCKET_MG)),
        window=LayerWindow(from_min=float(window[0]) / 60, to_min=float(window[1]) / 60),
        place_min=float(plan.get("placing", MINUTES_TO_PLACE * 60)) / 60,
        file=path,
    )


def _unnamed(
    sizes: Mapping[str, Any], plan: Mapping[str, Any], named: Sequence[VesselOnFile | None]
) -> Iterator[VesselOnFile]:
    """The bucket that plans are made with, and their tub where none is named: that one may be any."""
    if sizes.get("empty"):
        volume_ml = sizes.get("volume")
        litres = None if volume_ml is None else float(volume_ml) / 1000
        yield VesselOnFile(name="", kind="bucket", empty_mg=round(sizes["empty"]), volume_l=litres)
    if plan.get("tub") and not any(vessel is not None and vessel.kind == "tub" for vessel in named):
        yield VesselOnFile(name="", kind="tub", empty_mg=round(plan["tub"]))


def _vessel(table: Table) -> VesselOnFile | None:
    values = table.read(VESSEL)
    if not table.is_sound:
        return None
    volume_ml = values.get("volume")
    return VesselOnFile(
        name=values["name"],
        kind=values["kind"],
        empty_mg=round(values["empty"]),
        volume_l=None if volume_ml is None else float(volume_ml) / 1000,
    )


def _scale(table: Table) -> Scale | None:
    values = table.read(SCALE)
    if not table.is_sound:
        return None
    capacity_mg, division_mg = round(values["capacity"]), round(values["division"])
    if division_mg >= capacity_mg:
        table.fault("division", Plain.DIVISION_OVER_CAPACITY)
    return Scale(
        name=values["name"],
        capacity_mg=capacity_mg,
        division_mg=division_mg,
        checked=values.get("checked"),
        unit=values.get("unit") or "",
    )
