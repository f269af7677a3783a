"""What the tables of a recipe file may hold, key by key."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal, get_args

from mixstation.recipe.faults import Beside, StepKindMissing
from mixstation.recipe.model import Basis, Role
from mixstation.toml import quantities as q
from mixstation.toml.faults import nearest
from mixstation.toml.table import Key, Keys, Table, TableKey

MAX_MATERIAL_COUNT: Final = 26
MAX_STEP_COUNT: Final = 99
MAX_SAY_CHARACTER_COUNT: Final = 300

StepKind = Literal[
    "add",
    "release",
    "mix",
    "scrape",
    "rest",
    "consistency",
    "spread",
    "flow",
    "rings",
    "temperature",
    "split",
    "note",
]
"""The key of a step that says what is done."""

HEAD: Final[Keys] = MappingProxyType(
    {
        "name": Key(read=q.words(100), example='"Planter wall"'),
        "revision": Key(read=q.words(40), example='"1"'),
        "note": Key(read=q.words(1_000), example='"For walls 12 mm thick."', optional=True),
        "air": Key(read=q.air, example='"5 %"'),
        "working_time": Key(read=q.working_s, example='"30 min"'),
        "strip": Key(read=q.strip_s, example='"24 h"', optional=True),
        "seal": Key(read=q.seal_s, example='"4 d"', optional=True),
        "currency": Key(read=q.words(10), example='"EUR"', optional=True),
        "water": TableKey(example="[water]"),
        "material": TableKey(example="[[material]]", limit_count=MAX_MATERIAL_COUNT),
        "step": TableKey(example="[[step]]", limit_count=MAX_STEP_COUNT),
    }
)
"""The file itself."""

WATER: Final[Keys] = MappingProxyType(
    {
        "of": Key(read=q.one_of(*(basis for basis in Basis if basis is not Basis.TOTAL)), example='"binder"'),
        "target": Key(read=q.ratio, example='"33 %"'),
        "least": Key(read=q.ratio, example='"31 %"'),
        "most": Key(read=q.ratio, example='"35 %"'),
        "ceiling": Key(read=q.ratio, example='"38 %"'),
    }
)
"""`[water]`"""

MATERIAL: Final[Keys] = MappingProxyType(
    {
        "key": Key(read=q.key, example='"sand"'),
        "name": Key(read=q.words(100), example='"Fine quartz sand"'),
        "role": Key(read=q.one_of(*Role), example='"sand"'),
        "parts": Key(read=q.parts, example="10", optional=True),
        "dose": Key(read=q.inner_share, example='"3 %"', optional=True),
        "of": Key(read=q.one_of(*Basis), example='"cement"', optional=True),
        "counts": Key(read=q.one_of("mass", "solids"), example='"solids"', optional=True),
        "least": Key(read=q.inner_share, example='"2.5 %"', optional=True),
        "most": Key(read=q.inner_share, example='"3.5 %"', optional=True),
        "cap": Key(read=q.inner_share, example='"10 %"', optional=True),
        "cap_of": Key(read=q.one_of(*Basis), example='"cement"', optional=True),
        "cap_source": Key(read=q.words(100), example='"its label"', optional=True),
        "tolerance": Key(read=q.tolerance, example='"-0 % +4 %"', optional=True),
        "solids": Key(read=q.share, example='"50 %"', optional=True),
        "water": Key(read=q.water_share, example='"50 %"', optional=True),
        "moisture": Key(read=q.dampness, example='"3 %"', optional=True),
        "free_moisture": Key(read=q.dampness, example='"2.3 %"', optional=True),
        "absorption": Key(read=q.dampness, example='"0.7 %"', optional=True),
        "cement_share": Key(read=q.share, example='"42 %"', optional=True),
        "binder_share": Key(read=q.share, example='"46 %"', optional=True),
        "density": Key(read=q.density_kg_m3, example='"2650 kg/m3"', optional=True),
        "pack": Key(read=q.pack_mg, example='"25 kg"', optional=True),
        "price": Key(read=q.price_cents, example='"18.50"', optional=True),
        "film_forming": Key(read=q.film_forming_c, example='"10 °C"', optional=True),
    }
)
"""`[[material]]`; which keys go with which role is checked apart."""

_SAY: Final = q.words(MAX_SAY_CHARACTER_COUNT)
_STEP: Final[Keys] = MappingProxyType(
    {
        "key": Key(read=q.key, example='"second-water"', optional=True),
        "say": Key(read=_SAY, example='"Scrape to the very bottom."', optional=True),
    }
)
STEPS: Final[Mapping[StepKind, Keys]] = MappingProxyType(
    {
        # Without a share, all that is still to come.
        "add": {
            **_STEP,
            "add": Key(read=q.added, example='"water"'),
            "share": Key(read=q.share_or_rest, example='"80 %"', optional=True),
        },
        "release": {
            **_STEP,
            "release": Key(read=q.written, example='"water"'),
            "by": Key(read=q.inner_share, example='"5 %"'),
            "mix": Key(read=q.mixing_s, example='"25 s"'),
        },
        "mix": {
            **_STEP,
            "mix": Key(read=q.span(q.mixing_s), example='"60 s to 90 s"'),
            "speed": Key(read=q.one_of("slow", "fast"), example='"slow"', optional=True),
        },
        "scrape": {**_STEP, "scrape": Key(read=q.sides_and_bottom, example='"sides and bottom"')},
        "rest": {**_STEP, "rest": Key(read=q.span(q.resting_s), example='"3 min to 5 min"')},
        "consistency": {**_STEP, "consistency": Key(read=q.one_of("trowel"), example='"trowel"')},
        "spread": {**_STEP, "spread": Key(read=q.span(q.spread_mm), example='"200 mm to 250 mm"')},
        "flow": {**_STEP, "flow": Key(read=q.span(q.flow_fraction), example='"95 % to 115 %"')},
        "rings": {**_STEP, "rings": Key(read=q.span(q.ring_count), example='"2 to 4"')},
        "temperature": {
            **_STEP,
            "temperature": Key(read=q.yes, example="true"),
            "least": Key(read=q.mix_temperature_c, example='"15 °C"', optional=True),
            "most": Key(read=q.mix_temperature_c, example='"28 °C"', optional=True),
        },
        "split": {
            **_STEP,
            "split": Key(read=q.words(40), example='"face coat"'),
            "fraction": Key(read=q.inner_share, example='"25 %"'),
        },
        "note": {"key": _STEP["key"], "note": Key(read=_SAY, example='"Dampen the mould."')},
    }
)
"""`[[step]]`, by kind."""


def read_step(table: Table) -> StepKind | None:
    """Read one `[[step]]` by the one key that says what is done.

    Returns:
        The kind; None where it cannot be told. The table says whether all else could be read.
    """
    kinds: list[StepKind] = [kind for kind in get_args(StepKind) if kind in table.content]
    if "release" in kinds and "mix" in kinds:
        kinds.remove("mix")
    match kinds:
        case [kind]:
            table.read(STEPS[kind])
            return kind
        case []:
            near = nearest(table.content, STEPS)
            table.fault(None, StepKindMissing(suggestion=near, choices=", ".join(STEPS)))
        case [first, *others]:
            table.fault(others[0], Beside(code="step-twofold", other=first))
    return None
