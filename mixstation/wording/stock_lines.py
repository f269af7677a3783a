"""The stock in words: what is on hand, what came and went, and why something was not entered."""

from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import Any

from mixstation.plan.stock import StockLine
from mixstation.record.stock_draws import Drawn
from mixstation.record.stock_ledger import Movement
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits, trimmed
from mixstation.units.show_mass import show_mass
from mixstation.wording.columns import aligned, local_minute
from mixstation.wording.counted import counted

NOTHING_KEPT = (
    'The stock is empty. Enter a delivery: mixstation stock receive MATERIAL "25 kg", or what is there: '
    'mixstation stock count MATERIAL "12 kg"'
)
UP_TO_DATE = "The stock is brought up to date."
NOT_UP_TO_DATE = "The stock could not be brought up to date now; “mixstation stock” does it later."
DRAWN_OTHERWISE = (
    "Batch {batch_id} had taken something else from the stock already; that stands. Count what is there: "
    "mixstation stock count"
)
_ENTERED = "{mass} {name} entered{lot}. On hand: {on_hand}."
ENTERED_BEFORE = "An entry “{entry}” is there already: nothing was changed."
_UNKNOWN = (
    "No recipe on the shelf has a material “{found}”. {near}Known: {known}. To enter it all the same, "
    "add --new."
)
TWIN = "“{found}” looks like “{other}”, which there is already. Write that, or choose another name."
_NEAR = "Did you mean “{near}”? "
WHICH_LOT = "There are several lots of {name}: {lots}. Name one with --lot."
MASS_OR_PACKS = "Say how much came: a mass, or --packs with the size of a pack."
NO_PACK_SIZE = "What a pack of {name} holds is not known. Say it with --pack."
NOT_A_STOCK_MASS = "{mass} cannot be entered: a delivery is more than nothing, a count not less than nothing."
_COUNT_IT = "  more was taken than was entered: count it"
_KINDS = {"received": "came", "drawn": "taken", "counted": "counted"}


def entered_line(name: str, mass_mg: int, lot: str, on_hand_mg: int, units: DisplayUnits) -> str:
    """That a mass was entered, and what is on hand now.

    Args:
        name: Of the material.
        mass_mg: What was entered.
        lot: Its mark; "" for none.
        on_hand_mg: All of the material.
        units: What the person reads in.
    """
    return _ENTERED.format(
        mass=show_mass(mass_mg, units),
        name=clean(name, 60),
        lot=f", lot {clean(lot, 60)}" if lot else "",
        on_hand=show_mass(on_hand_mg, units),
    )


def unknown_material(found: str, near: str, known: Collection[str]) -> str:
    """That no recipe has a material, the nearest that one has, and how to enter it still."""
    return _UNKNOWN.format(
        found=clean(found, 60), near=_NEAR.format(near=near) if near else "", known=", ".join(sorted(known))
    )


def on_hand_lines(
    lines: Collection[StockLine], names: Mapping[str, str], units: DisplayUnits
) -> tuple[str, ...]:
    """What is on hand, a line for each lot.

    Args:
        lines: The stock.
        names: Names of materials, by key.
        units: What the person reads in.
    """
    rows = [
        (
            clean(line.material, 60),
            _name(line.material, names),
            f"lot {_text(line.lot)}" if line.lot else "",
            show_mass(line.mass_mg, units),
            _packs(line, units) if line.mass_mg > 0 else _COUNT_IT,
        )
        for line in lines
    ]
    return aligned(rows, right={3})


def stock_data(lines: Collection[StockLine]) -> dict[str, Any]:
    """What is on hand as plain data for other programs: text with units, counts, None."""
    return {
        "stock": [
            {
                "material": line.material,
                "lot": line.lot or None,
                "mass": _grams(line.mass_mg),
                "pack": _grams(line.pack_mg) if line.pack_mg else None,
            }
            for line in lines
        ]
    }


def movement_lines(
    movements: Collection[Movement], names: Mapping[str, str], units: DisplayUnits
) -> tuple[str, ...]:
    """The ledger, a line for each movement."""
    rows = [
        (
            local_minute(movement.at_ms),
            _KINDS[movement.kind],
            _name(movement.material, names),
            f"lot {_text(movement.lot)}" if movement.lot else "",
            f"{'+' if movement.mass_mg > 0 else ''}{show_mass(movement.mass_mg, units)}",
            ", ".join(filter(None, (_drawn_by(movement), _text(movement.who), _text(movement.note)))),
        )
        for movement in movements
    ]
    return aligned(rows, right={4})


def _drawn_by(movement: Movement) -> str:
    return f"batch {_text(movement.entry)}" if movement.kind == "drawn" else ""


def drawn_line(drawn: Drawn, units: DisplayUnits) -> str:
    """What a batch has taken from the stock."""
    if drawn.outcome == "drawn-otherwise":
        return DRAWN_OTHERWISE.format(batch_id=_text(drawn.batch_id))
    amounts = ", ".join(
        f"{show_mass(mass_mg, units)} {_name(key, drawn.names)}" for key, mass_mg in drawn.amounts_mg.items()
    )
    return f"Taken for batch {_text(drawn.batch_id)}: {amounts}."


def _grams(mass_mg: int) -> str:
    return f"{trimmed(Fraction(mass_mg, 1000), 3)} g"


def _packs(line: StockLine, units: DisplayUnits) -> str:
    if not line.pack_mg:
        return ""
    count = line.full_count
    packs = f"{counted(count, 'pack')} of {show_mass(line.pack_mg, units)}" if count else ""
    opened = f"{show_mass(line.open_mg, units)} in an open one" if line.open_mg else ""
    return "  " + ", ".join(filter(None, (packs, opened)))


def _name(material: str, names: Mapping[str, str]) -> str:
    return _text(names.get(material, material), 60)


def _text(text: str, limit: int = 120) -> str:
    return clean(" ".join(text.split()), limit)
