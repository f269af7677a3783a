"""Plans kept on disk, so that each bucket can be mixed later, after a crash too: own ids, one file each.

A kept plan holds each bucket's recipe and masses as they were planned, and the recipe's text: what is mixed does not
change with the recipe file, the settings or the program in between.
"""

import re
from datetime import UTC, datetime
from functools import cache
from os import urandom
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mixstation.batch.events import Amount, ScaleOnFile, WeighedApart, Weighing
from mixstation.frozen import Frozen
from mixstation.recipe.model import Recipe
from mixstation.record.exchange import finish_before_writing
from mixstation.record.paths import make_private_folder, write_file_safely

if TYPE_CHECKING:
    from mixstation.record.stored_form import StoredForm, Upgrade
    from mixstation.wording.kept_lines import KeptPlanCode

FORM = 2
UPGRADES: "dict[int, Upgrade]" = {}
MAX_FILE_BYTE_COUNT = 16 * 1024 * 1024
"""A hundred buckets of a long recipe take a tenth of it. Source: Choice."""

_ID = re.compile(r"p[0-9]{6}-[0-9a-f]{4}")


class KeptPlanError(Exception):
    """A kept plan cannot be had.

    Attributes:
        meant: What was asked for, or the plan's file.
        found: Ids of several plans that were meant.
    """

    def __init__(self, code: "KeptPlanCode", meant: str, *found: str) -> None:
        """Keep the code and what it is about."""
        super().__init__(code)
        self.code: KeptPlanCode = code
        self.meant, self.found = meant, found


class KeptBucket(Frozen):
    """One bucket of a kept plan.

    Attributes:
        recipe: The recipe as it is mixed by, notes and dilutions in it.
        weighed_apart: Materials weighed on another scale than the bench's, and on which.
    """

    recipe: Recipe
    powders: tuple[Amount, ...]
    needed_l: float
    weighed_apart: tuple[WeighedApart, ...] = ()


class KeptPlan(Frozen):
    """A plan as it lies on disk.

    Attributes:
        plan_id: Ours; also its file's name.
        made_ms: When it was made, milliseconds since 1970 UTC.
        recipe_hash: SHA-256 of that text, hex.
        lines: The plan as it was put to the person.
        data: The plan for other programs; see `mixstation.plan.as_data`.
    """

    form: int
    plan_id: str
    made_ms: int
    piece: str
    recipe_text: str
    recipe_hash: str
    weighing: Weighing
    scale: ScaleOnFile | None
    bucket_l: float
    fill_limit: float
    shop_c: float | None
    buckets: tuple[KeptBucket, ...]
    lines: tuple[str, ...]
    data: dict[str, Any]


def new_plan_id(now_ms: int) -> str:
    """A name for a plan: the local day, and a little chance against two on one day."""
    now = datetime.fromtimestamp(now_ms / 1000, tz=UTC).astimezone()
    return f"p{now:%y%m%d}-{urandom(2).hex()}"


def sheet_path(folder: Path, plan_id: str, number: int = 1) -> Path:
    """Where a kept plan's weigh-out sheet lies."""
    return folder / f"{plan_id}{'' if number == 1 else f'-{number}'}.html"


def keep_plan(folder: Path, plan: KeptPlan, sheets: tuple[str, ...] = ()) -> None:
    """Write a plan and its weigh-out sheets.

    Raises:
        StorageError: Something was not written.
        OSError: The folder could not be made.
    """
    finish_before_writing(folder.parent)
    make_private_folder(folder)
    write_file_safely(folder / f"{plan.plan_id}.json", _plans().written(plan))
    for number, sheet in enumerate(sheets, start=1):
        write_file_safely(sheet_path(folder, plan.plan_id, number), sheet)


def kept_ids(folder: Path) -> tuple[str, ...]:
    """Ids of all kept plans, the newest first."""
    try:
        names = [path.stem for path in folder.iterdir() if path.suffix == ".json"]
    except FileNotFoundError:
        return ()
    return tuple(sorted(filter(_ID.fullmatch, names), reverse=True))


def find_kept(folder: Path, asked: str) -> KeptPlan:
    """Read a kept plan by its id, or a part of it that no other has.

    Raises:
        KeptPlanError: "plan-missing" or "plans-several", and codes of `read_kept`.
    """
    known = kept_ids(folder)
    found = [asked] if asked in known else [plan_id for plan_id in known if asked and asked in plan_id]
    if not found:
        raise KeptPlanError("plan-missing", asked)
    if len(found) > 1:
        raise KeptPlanError("plans-several", asked, *found[:10])
    return read_kept(folder, found[0])


def read_kept(folder: Path, plan_id: str) -> KeptPlan:
    """Read a kept plan by its whole id.

    Raises:
        KeptPlanError: "plan-missing", "plan-damaged", "plan-later".
    """
    path = folder / f"{plan_id}.json"
    if not _ID.fullmatch(plan_id):
        raise KeptPlanError("plan-missing", plan_id)
    try:
        with path.open("rb") as file:
            body = file.read(MAX_FILE_BYTE_COUNT + 1)
    except FileNotFoundError:
        raise KeptPlanError("plan-missing", plan_id) from None
    from mixstation.record.stored_form import CodecError

    try:
        plan = _plans().read(body.decode())
    except (CodecError, UnicodeDecodeError) as error:
        if isinstance(error, CodecError) and error.code == "newer-form":
            raise KeptPlanError("plan-later", str(path)) from error
        raise KeptPlanError("plan-damaged", str(path)) from error
    if plan.plan_id != plan_id or not plan.buckets:
        raise KeptPlanError("plan-damaged", str(path))
    return plan


@cache
def _plans() -> "StoredForm[KeptPlan]":
    from mixstation.record.stored_form import StoredForm

    return StoredForm(KeptPlan, FORM, UPGRADES, indent=1)
