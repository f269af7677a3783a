"""From the written tables to steps: shares, keys, and what cannot stand where it stands."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from string import ascii_lowercase
from typing import assert_never

from mixstation.frozen import Frozen
from mixstation.recipe import faults, model
from mixstation.recipe.materials import check_order, percent
from mixstation.recipe.written import StepKind
from mixstation.toml.quantities import none_of
from mixstation.toml.table import Table

ALL_POWDERS = "powders"
_NEEDS_A_MIX: frozenset[StepKind] = frozenset({"release", "consistency", "spread", "flow", "rings", "split"})


class Known(Frozen):
    """What the steps may name.

    Attributes:
        roles: Role of each material by key, in the order of the file; None where it could not be read.
        places: Its table, by key.
        has_nameless: Whether some material's key could not be read, so that a name not known may be its.
        undosed: Materials without an amount of their own (ice on hand).
        is_whole: Whether all materials and steps could be read; if not, nothing is said of what is missing.
    """

    roles: Mapping[str, model.Role | None]
    places: Mapping[str, Table]
    has_nameless: bool
    undosed: frozenset[str]
    is_whole: bool


@dataclass(slots=True)
class _Bucket:
    """How far the steps have come; None among the roles stands for what could not be read."""

    cumulative: dict[str, Fraction] = field(default_factory=dict)
    added_at: dict[str, Table] = field(default_factory=dict)
    released_at: dict[str, Table] = field(default_factory=dict)
    claimed_at: dict[str, Table] = field(default_factory=dict)
    roles_in: set[model.Role | None] = field(default_factory=set)


def read_steps(tables: Sequence[tuple[StepKind, Table]], known: Known) -> tuple[model.Step, ...]:
    """All steps, with additions of several materials taken apart.

    Args:
        tables: Each read without a fault, with its kind, in the order of the file.
        known: What they may name.

    Returns:
        The steps; of use only where no fault was noted.
    """
    bucket = _Bucket()
    steps = tuple(step for kind, table in tables for step in _steps_of(kind, table, known, bucket))
    if known.is_whole:
        _check_all_in(known, bucket)
    return steps


def _steps_of(kind: StepKind, table: Table, known: Known, bucket: _Bucket) -> Iterator[model.Step]:
    values = table.values
    key = values.get("key", str(table.number))
    say = values.get("say", "")
    if kind != "add":
        _claim(key, table, bucket)
    if known.is_whole:
        _check_not_too_early(kind, table, bucket)
    match kind:
        case "note":
            yield model.NoteStep(key=key, say=values["note"])
        case "add":
            yield from _additions(key, table, known, bucket)
        case "release":
            yield from _release(key, table, known, bucket)
        case "mix":
            low, high = map(round, values["mix"])
            yield model.MixStep(key=key, min_s=low, max_s=high, speed=values.get("speed", "fast"), say=say)
        case "scrape":
            yield model.ScrapeStep(key=key, say=say)
        case "rest":
            low, high = map(round, values["rest"])
            yield model.RestStep(key=key, min_s=low, max_s=high, say=say)
        case "consistency":
            yield model.ConsistencyStep(key=key, method="trowel", say=say)
        case "spread" | "rings" | "flow":
            low, high = (round(end * 100 if kind == "flow" else end) for end in values[kind])
            yield model.ConsistencyStep(key=key, method=kind, least=low, most=high, say=say)
        case "temperature":
            check_order(table, "least", "most")
            least, most = (float(values[end]) if end in values else None for end in ("least", "most"))
            yield model.TemperatureStep(key=key, min_c=least, max_c=most, say=say)
        case "split":
            yield model.SplitStep(key=key, layer=values["split"], fraction=values["fraction"], say=say)
        case _ as forgotten:
            assert_never(forgotten)


def _additions(key: str, table: Table, known: Known, bucket: _Bucket) -> Iterator[model.AddStep]:
    names = list(_named(table, known, bucket))
    stated = table.values.get("share")
    for name, letter in zip(names, ascii_lowercase, strict=False):
        step_key = key if len(names) == 1 else f"{key}{letter}" if key.isdecimal() else f"{key}-{letter}"
        _claim(step_key, table, bucket)
        before = bucket.cumulative.get(name, Fraction(0))
        share = 1 - before if stated is None else stated
        if name in bucket.released_at:
            first_line = bucket.released_at[name].line("release")
            table.fault(
                "add", faults.AfterEarlier(code="add-after-release", material=name, first_line=first_line)
            )
        elif before == 1 and stated is None:
            first_line = bucket.added_at[name].line("add")
            table.fault("add", faults.AfterEarlier(code="nothing-left", material=name, first_line=first_line))
        elif before + share > 1:
            total = percent(before + share)
            table.fault("share", faults.ShareOverWhole(material=name, found=percent(share), total=total))
        if name in known.undosed:
            table.fault("add", faults.OfMaterial(code="amount-missing", material=name))
        bucket.cumulative[name] = min(before + share, Fraction(1))
        bucket.added_at[name] = table
        bucket.roles_in.add(known.roles[name])
        yield model.AddStep(
            key=step_key,
            material=name,
            share=share,
            cumulative=bucket.cumulative[name],
            say=table.values.get("say", ""),
        )


def _named(table: Table, known: Known, bucket: _Bucket) -> Iterator[str]:
    names = table.values["add"]
    for index, name in enumerate(names):
        if name == ALL_POWDERS and len(names) == 1:
            yield from (material for material, role in known.roles.items() if role in model.POWDERS)
        elif name in known.roles:
            yield name
        else:
            # In a list over several lines each name has its own.
            _unknown(
                name, table, "add" if len(names) == 1 else ("add", index), (*known.roles, ALL_POWDERS), known
            )
            bucket.roles_in.add(None)


def _release(key: str, table: Table, known: Known, bucket: _Bucket) -> Iterator[model.ReleaseStep]:
    name, increment = table.values["release"], table.values["by"]
    if name not in known.roles:
        bucket.roles_in.add(None)
        waters = [material for material, role in known.roles.items() if role is model.Role.WATER]
        _unknown(name, table, "release", waters, known)
        return
    held_back = 1 - bucket.cumulative.get(name, Fraction(0))
    if known.roles[name] not in (model.Role.WATER, None):
        table.fault("release", faults.ReleaseNotWater(found=name, role=str(known.roles[name])))
    elif name in bucket.released_at:
        first_line = bucket.released_at[name].line("release")
        table.fault(
            "release", faults.AfterEarlier(code="release-twice", material=name, first_line=first_line)
        )
    elif held_back <= 0:
        table.fault("release", faults.OfMaterial(code="nothing-held-back", material=name))
    elif increment > held_back:
        told = faults.ReleaseOverHeldBack(found=percent(increment), held_back=percent(held_back))
        table.fault("by", told)
    bucket.released_at.setdefault(name, table)
    mix_s, say = round(table.values["mix"]), table.values.get("say", "")
    yield model.ReleaseStep(key=key, material=name, increment=increment, mix_s=mix_s, say=say)


def _unknown(
    name: str, table: Table, key: str | tuple[str, int], choices: Sequence[str], known: Known
) -> None:
    if not known.has_nameless:
        table.fault(key, none_of(name, choices, faults.UnknownMaterial))


def _claim(key: str, table: Table, bucket: _Bucket) -> None:
    first = bucket.claimed_at.setdefault(key, table)
    if first is not table:
        table.fault("key", faults.KeyTwice(found=key, first_line=first.line()))


def _check_not_too_early(kind: StepKind, table: Table, bucket: _Bucket) -> None:
    """Note what cannot be done with what is in the bucket by then."""
    if kind in ("note", "add"):
        return
    if not bucket.roles_in:
        table.fault(kind, faults.Plain.BUCKET_EMPTY)
        return
    if None in bucket.roles_in or kind not in _NEEDS_A_MIX:
        return
    for missing, roles in (("water", {model.Role.WATER, model.Role.ICE}), ("powder", model.POWDERS)):
        if not bucket.roles_in & roles:
            table.fault(kind, faults.TooEarly(missing=missing))


def _check_all_in(known: Known, bucket: _Bucket) -> None:
    if None in bucket.roles_in:
        return
    for name, place in known.places.items():
        cumulative = bucket.cumulative.get(name, Fraction(0))
        if name in bucket.released_at or name in known.undosed or cumulative == 1:
            continue
        if name not in bucket.added_at:
            place.fault("key", faults.OfMaterial(code="never-added", material=name))
            continue
        missing = percent(1 - cumulative)
        table = bucket.added_at[name]
        told = faults.ShareShort(material=name, total=percent(cumulative), missing=missing)
        table.fault("share", told)
