"""The tables of a recipe file, key by key. Imported only where a file is read: pydantic is slow to start."""

from collections.abc import Callable
from fractions import Fraction
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, PlainValidator, ValidationError
from pydantic_core import PydanticCustomError

from mixstation.recipe import quantities
from mixstation.recipe.faults import Faults
from mixstation.recipe.model import Basis, Role, Tolerance
from mixstation.recipe.quantities import QuantityError, Range
from mixstation.toml_lines import KeyPath

MAX_MATERIAL_COUNT = 26
MAX_STEP_COUNT = 99
MAX_SAY_CHARACTER_COUNT = 300


def _by(read: Callable[[object], object]) -> PlainValidator:
    def validate(value: object) -> object:
        try:
            return read(value)
        except QuantityError as error:
            raise PydanticCustomError("quantity", "{code}", {"code": error.code, **error.values}) from None

    return PlainValidator(validate)


class Table(BaseModel):
    """A table whose every key is known."""

    model_config = ConfigDict(extra="forbid", frozen=True)


Name = Annotated[str, _by(quantities.words(100))]
Say = Annotated[str, _by(quantities.words(MAX_SAY_CHARACTER_COUNT))]
Key = Annotated[str, _by(quantities.key)]
Share = Annotated[Fraction, _by(quantities.share)]
InnerShare = Annotated[Fraction, _by(quantities.inner_share)]
WaterShare = Annotated[Fraction, _by(quantities.water_share)]
Dampness = Annotated[Fraction, _by(quantities.dampness)]
Ratio = Annotated[Fraction, _by(quantities.ratio)]
DoseBasis = Annotated[str, _by(quantities.one_of(*Basis))]
WaterBasis = Annotated[str, _by(quantities.one_of(*(basis for basis in Basis if basis is not Basis.TOTAL)))]
MixTemperature = Annotated[Fraction, _by(quantities.mix_temperature_c)]


class Head(Table):
    """The keys above the first table."""

    name: Name
    revision: Annotated[str, _by(quantities.words(40))]
    air: Annotated[Fraction, _by(quantities.air)]
    working_time: Annotated[Fraction, _by(quantities.working_s)]
    note: Annotated[str, _by(quantities.words(1_000))] = ""
    currency: Annotated[str, _by(quantities.words(10))] = ""


class WaterTable(Table):
    """`[water]`"""

    of: WaterBasis
    target: Ratio
    least: Ratio
    most: Ratio
    ceiling: Ratio


class MaterialTable(Table):
    """`[[material]]`; which keys go with which role is checked apart."""

    key: Key
    name: Name
    role: Annotated[str, _by(quantities.one_of(*Role))]
    parts: Annotated[Fraction | None, _by(quantities.parts)] = None
    dose: Annotated[Fraction | None, _by(quantities.inner_share)] = None
    of: Annotated[str | None, _by(quantities.one_of(*Basis))] = None
    counts: Annotated[str, _by(quantities.one_of("mass", "solids"))] = "mass"
    least: Annotated[Fraction | None, _by(quantities.inner_share)] = None
    most: Annotated[Fraction | None, _by(quantities.inner_share)] = None
    cap: Annotated[Fraction | None, _by(quantities.inner_share)] = None
    cap_of: Annotated[str | None, _by(quantities.one_of(*Basis))] = None
    cap_source: Annotated[str, _by(quantities.words(100))] = ""
    tolerance: Annotated[Tolerance | None, _by(quantities.tolerance)] = None
    solids: Annotated[Fraction | None, _by(quantities.share)] = None
    water: Annotated[Fraction | None, _by(quantities.water_share)] = None
    moisture: Annotated[Fraction | None, _by(quantities.dampness)] = None
    free_moisture: Annotated[Fraction | None, _by(quantities.dampness)] = None
    absorption: Annotated[Fraction, _by(quantities.dampness)] = Fraction(0)
    cement_share: Annotated[Fraction | None, _by(quantities.share)] = None
    binder_share: Annotated[Fraction | None, _by(quantities.share)] = None
    density: Annotated[Fraction | None, _by(quantities.density_kg_m3)] = None
    pack: Annotated[Fraction | None, _by(quantities.pack_mg)] = None
    price: Annotated[Fraction | None, _by(quantities.price_cents)] = None
    film_forming: Annotated[Fraction | None, _by(quantities.film_forming_c)] = None


class StepTable(Table):
    """`[[step]]`; what every kind of step may carry."""

    key: Key = ""
    say: Say = ""


class AddTable(StepTable):
    """Weigh in; no share means all that is still to come."""

    add: Annotated[tuple[str, ...], _by(quantities.added)]
    share: Annotated[Fraction | None, _by(quantities.share_or_rest)] = None


class ReleaseTable(StepTable):
    """Let held-back water in."""

    release: Annotated[str, _by(quantities.written)]
    by: InnerShare
    mix: Annotated[Fraction, _by(quantities.mixing_s)]


class MixTable(StepTable):
    """Mix."""

    mix: Annotated[Range, _by(quantities.span(quantities.mixing_s))]
    speed: Annotated[str, _by(quantities.one_of("slow", "fast"))] = "fast"


class ScrapeTable(StepTable):
    """Scrape."""

    scrape: Annotated[bool, _by(quantities.sides_and_bottom)]


class RestTable(StepTable):
    """Let stand."""

    rest: Annotated[Range, _by(quantities.span(quantities.resting_s))]


class TrowelTable(StepTable):
    """Judge by eye."""

    consistency: Annotated[str, _by(quantities.one_of("trowel"))]


class SpreadTable(StepTable):
    """Judge by the diameter of the spread."""

    spread: Annotated[Range, _by(quantities.span(quantities.spread_mm))]


class FlowTable(StepTable):
    """Judge on the flow table."""

    flow: Annotated[Range, _by(quantities.span(quantities.flow_fraction))]


class RingsTable(StepTable):
    """Judge by the rings of the slump plate."""

    rings: Annotated[Range, _by(quantities.span(quantities.ring_count))]


class TemperatureTable(StepTable):
    """Take the temperature."""

    temperature: Annotated[bool, _by(quantities.yes)]
    least: MixTemperature | None = None
    most: MixTemperature | None = None


class SplitTable(StepTable):
    """Take out a share for another layer."""

    split: Annotated[str, _by(quantities.words(40))]
    fraction: InnerShare


class NoteTable(Table):
    """Something to see to."""

    key: Key = ""
    note: Say


STEP_TABLES: dict[str, type[StepTable | NoteTable]] = {
    "add": AddTable,
    "release": ReleaseTable,
    "mix": MixTable,
    "scrape": ScrapeTable,
    "rest": RestTable,
    "consistency": TrowelTable,
    "spread": SpreadTable,
    "flow": FlowTable,
    "rings": RingsTable,
    "temperature": TemperatureTable,
    "split": SplitTable,
    "note": NoteTable,
}
"""The tables of the steps by the key that says what is done."""

_AnyTable = TypeVar("_AnyTable", bound=Table)


def read_table(
    kind: type[_AnyTable], table: dict[str, Any], path: KeyPath, faults: Faults, place: str = ""
) -> _AnyTable | None:
    """Read one table, noting all that is wrong with its keys and values.

    Args:
        kind: What it should be.
        table: As parsed.
        path: Where it stands.
        faults: Where to note them.
        place: See `Faults.add`.

    Returns:
        The table, or None where anything was wrong.
    """
    try:
        return kind.model_validate(table)
    except ValidationError as error:
        for detail in error.errors(include_url=False, include_input=False):
            at = (*path, *detail["loc"])
            if detail["type"] == "quantity":
                values = dict(detail["ctx"])
                faults.add(at, values.pop("code"), place=place, **values)
            elif detail["type"] == "missing":
                faults.add(at, "key-missing", place=place)
            else:
                faults.add_unknown_key(at, kind.model_fields)
        return None


def read_step_table(table: dict[str, Any], path: KeyPath, faults: Faults) -> StepTable | NoteTable | None:
    """Read one `[[step]]` by the one key that says what is done; see `read_table`."""
    verbs = [verb for verb in STEP_TABLES if verb in table]
    if "release" in verbs and "mix" in verbs:
        verbs.remove("mix")
    match verbs:
        case [verb]:
            return read_table(STEP_TABLES[verb], table, path, faults, verb)
        case []:
            faults.add_step_kind_missing(path, table, STEP_TABLES)
        case [first, *others]:
            faults.add((*path, others[0]), "step-twofold", other=first)
    return None
