"""From the written tables to steps: shares, keys, and what cannot stand where it stands."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from string import ascii_lowercase
from typing import Any, Literal, cast

from mixstation.recipe import written as w
from mixstation.recipe.faults import Faults
from mixstation.recipe.materials import check_order, percent
from mixstation.recipe.model import (
    POWDERS,
    AddStep,
    ConsistencyStep,
    MixStep,
    NoteStep,
    ReleaseStep,
    RestStep,
    Role,
    ScrapeStep,
    SplitStep,
    Step,
    TemperatureStep,
)
from mixstation.recipe.quantities import not_one_of
from mixstation.toml_lines import KeyPath

ALL_POWDERS = "powders"
AnyStepTable = w.StepTable | w.NoteTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What the steps may name.

    Attributes:
        roles: Role of each material by key, in the order of the file; None where it could not be read.
        places: Where each material stands, by key.
        has_nameless: Whether some material's key could not be read, so that a name not known may be its.
        undosed: Materials without an amount of their own (ice on hand).
        is_whole: Whether all materials and steps could be read; if not, nothing is said of what is missing.
    """

    roles: Mapping[str, Role | None]
    places: Mapping[str, KeyPath]
    has_nameless: bool
    undosed: frozenset[str]
    is_whole: bool


@dataclass(slots=True)
class _Bucket:
    """How far the steps have come; None among the roles stands for what could not be read."""

    cumulative: dict[str, Fraction] = field(default_factory=dict)
    added_at: dict[str, KeyPath] = field(default_factory=dict)
    released_at: dict[str, KeyPath] = field(default_factory=dict)
    claimed_at: dict[str, KeyPath] = field(default_factory=dict)
    roles_in: set[Role | None] = field(default_factory=set)


def read_steps(
    tables: Sequence[tuple[KeyPath, AnyStepTable, Mapping[str, Any]]], known: Known, faults: Faults
) -> tuple[Step, ...]:
    """All steps, with additions of several materials taken apart.

    Args:
        tables: Each with where it stands and as it is written, in the order of the file.
        known: What they may name.
        faults: Where to note what is wrong.

    Returns:
        The steps; of use only where no fault was noted.
    """
    bucket = _Bucket()
    steps = tuple(
        step for path, table, raw in tables for step in _steps_of(path, table, raw, known, bucket, faults)
    )
    if known.is_whole:
        _check_all_in(known, bucket, faults)
    return steps


def _steps_of(
    path: KeyPath, table: AnyStepTable, raw: Mapping[str, Any], known: Known, bucket: _Bucket, faults: Faults
) -> Iterator[Step]:
    number = path[-1]
    key = table.key or str(int(number) + 1)
    if not isinstance(table, w.AddTable):
        _claim(key, path, bucket, faults)
    if known.is_whole:
        _check_not_too_early(path, table, bucket, faults)
    match table:
        case w.NoteTable():
            yield NoteStep(key=key, say=table.note)
        case w.AddTable():
            yield from _additions(key, path, table, known, bucket, faults)
        case w.ReleaseTable():
            yield from _release(key, path, table, known, bucket, faults)
        case w.MixTable():
            speed = cast(Literal["slow", "fast"], table.speed)
            low, high = map(round, table.mix)
            yield MixStep(key=key, min_s=low, max_s=high, speed=speed, say=table.say)
        case w.ScrapeTable():
            yield ScrapeStep(key=key, say=table.say)
        case w.RestTable():
            low, high = map(round, table.rest)
            yield RestStep(key=key, min_s=low, max_s=high, say=table.say)
        case w.TrowelTable():
            yield ConsistencyStep(key=key, method="trowel", say=table.say)
        case w.SpreadTable():
            low, high = map(round, table.spread)
            yield ConsistencyStep(key=key, method="spread", least=low, most=high, say=table.say)
        case w.FlowTable():
            low, high = (round(end * 100) for end in table.flow)
            yield ConsistencyStep(key=key, method="flow", least=low, most=high, say=table.say)
        case w.RingsTable():
            low, high = map(round, table.rings)
            yield ConsistencyStep(key=key, method="rings", least=low, most=high, say=table.say)
        case w.TemperatureTable():
            check_order({"least": table.least, "most": table.most}, raw, path, faults)
            least, most = (None if end is None else float(end) for end in (table.least, table.most))
            yield TemperatureStep(key=key, min_c=least, max_c=most, say=table.say)
        case w.SplitTable():
            yield SplitStep(key=key, layer=table.split, fraction=table.fraction, say=table.say)


def _additions(
    key: str, path: KeyPath, table: w.AddTable, known: Known, bucket: _Bucket, faults: Faults
) -> Iterator[AddStep]:
    names = list(_named(path, table, known, bucket, faults))
    for name, letter in zip(names, ascii_lowercase, strict=False):
        step_key = key if len(names) == 1 else f"{key}{letter}" if key.isdecimal() else f"{key}-{letter}"
        _claim(step_key, path, bucket, faults)
        before = bucket.cumulative.get(name, Fraction(0))
        share = 1 - before if table.share is None else table.share
        if name in bucket.released_at:
            first_line = faults.line((*bucket.released_at[name], "release"))
            faults.add((*path, "add"), "add-after-release", material=name, first_line=first_line)
        elif before == 1 and table.share is None:
            first_line = faults.line((*bucket.added_at[name], "add"))
            faults.add((*path, "add"), "nothing-left", material=name, first_line=first_line)
        elif before + share > 1:
            faults.add(
                (*path, "share"),
                "share-over-whole",
                material=name,
                total=percent(before + share),
                found=percent(share),
            )
        if name in known.undosed:
            faults.add((*path, "add"), "amount-missing", material=name)
        bucket.cumulative[name] = min(before + share, Fraction(1))
        bucket.added_at[name] = path
        bucket.roles_in.add(known.roles[name])
        yield AddStep(
            key=step_key, material=name, share=share, cumulative=bucket.cumulative[name], say=table.say
        )


def _named(path: KeyPath, table: w.AddTable, known: Known, bucket: _Bucket, faults: Faults) -> Iterator[str]:
    for index, name in enumerate(table.add):
        if name == ALL_POWDERS and len(table.add) == 1:
            yield from (material for material, role in known.roles.items() if role in POWDERS)
        elif name in known.roles:
            yield name
        else:
            # In a list over several lines each name has its own.
            at = (*path, "add") if len(table.add) == 1 else (*path, "add", index)
            _unknown(name, at, (*known.roles, ALL_POWDERS), known, faults)
            bucket.roles_in.add(None)


def _release(
    key: str, path: KeyPath, table: w.ReleaseTable, known: Known, bucket: _Bucket, faults: Faults
) -> Iterator[ReleaseStep]:
    name = table.release
    if name not in known.roles:
        bucket.roles_in.add(None)
        waters = [material for material, role in known.roles.items() if role is Role.WATER]
        _unknown(name, (*path, "release"), waters, known, faults)
        return
    held_back = 1 - bucket.cumulative.get(name, Fraction(0))
    if known.roles[name] not in (Role.WATER, None):
        faults.add((*path, "release"), "release-not-water", found=name, role=str(known.roles[name]))
    elif name in bucket.released_at:
        first_line = faults.line((*bucket.released_at[name], "release"))
        faults.add((*path, "release"), "release-twice", material=name, first_line=first_line)
    elif held_back <= 0:
        faults.add((*path, "release"), "nothing-held-back", material=name)
    elif table.by > held_back:
        faults.add(
            (*path, "by"), "release-over-held-back", held_back=percent(held_back), found=percent(table.by)
        )
    bucket.released_at.setdefault(name, path)
    yield ReleaseStep(key=key, material=name, increment=table.by, mix_s=round(table.mix), say=table.say)


def _unknown(name: str, at: KeyPath, choices: Sequence[str], known: Known, faults: Faults) -> None:
    if not known.has_nameless:
        faults.add(at, "unknown-material", **not_one_of(name, choices).values)


def _claim(key: str, path: KeyPath, bucket: _Bucket, faults: Faults) -> None:
    first = bucket.claimed_at.setdefault(key, path)
    if first != path:
        faults.add((*path, "key"), "key-twice", found=key, first_line=faults.line(first))


def _check_not_too_early(path: KeyPath, table: AnyStepTable, bucket: _Bucket, faults: Faults) -> None:
    """Note what cannot be done with what is in the bucket by then."""
    if isinstance(table, w.NoteTable | w.AddTable):
        return
    kind = next(kind for kind, written in w.STEP_TABLES.items() if isinstance(table, written))
    if not bucket.roles_in:
        faults.add((*path, kind), "bucket-empty")
        return
    needs_mix = w.ReleaseTable | w.TrowelTable | w.SpreadTable | w.FlowTable | w.RingsTable | w.SplitTable
    if None in bucket.roles_in or not isinstance(table, needs_mix):
        return
    for missing, roles in (("water", {Role.WATER, Role.ICE}), ("powder", POWDERS)):
        if not bucket.roles_in & roles:
            faults.add((*path, kind), "too-early", missing=missing)


def _check_all_in(known: Known, bucket: _Bucket, faults: Faults) -> None:
    if None in bucket.roles_in:
        return
    for name, place in known.places.items():
        cumulative = bucket.cumulative.get(name, Fraction(0))
        if name in bucket.released_at or name in known.undosed or cumulative == 1:
            continue
        if name not in bucket.added_at:
            faults.add((*place, "key"), "never-added", material=name)
            continue
        path = (*bucket.added_at[name], "share")
        faults.add(
            path, "share-short", material=name, total=percent(cumulative), missing=percent(1 - cumulative)
        )
