"""`mixstation stock …`: what is on the shelf, deliveries, stock-takes, and what batches have taken."""

import argparse
import json
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from os import urandom
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import folder, read, who_of
from mixstation.cli.parser import Parser
from mixstation.units.show import DisplayUnits

if TYPE_CHECKING:
    from mixstation.recipe.model import Material
    from mixstation.record.stock_ledger import StockLedger

EPILOG = """commands:
  mixstation stock                              what is on hand
  mixstation stock receive MATERIAL MASS        a delivery: receive cement "25 kg", or receive cement --packs 2
  mixstation stock count MATERIAL MASS          a stock-take: what really is there, open pack and all
  mixstation stock movements                    all that came, was taken, was counted

A material is named by its key, the same in every recipe: mixstation stock keeps count of those you enter.
"""


def run(words: Sequence[str]) -> int:
    """One of the stock commands; without one, what is on hand."""
    what = words[0] if words and words[0] in _COMMANDS else ""
    return _COMMANDS[what](words[1:] if what else words)


def _list(words: Sequence[str]) -> int:
    parser = _parser("", "What is on hand.")
    parser.add_argument("--json", action="store_true", help="as JSON")
    given = read(parser, words)
    units = DisplayUnits(given.units)

    def work(ledger: "StockLedger") -> int:
        from mixstation.wording.stock_lines import NOTHING_KEPT, on_hand_lines, stock_data

        lines = ledger.on_hand()
        if given.json:
            print(json.dumps(stock_data(lines), indent=2, ensure_ascii=False))
            return 0
        print("\n".join(on_hand_lines(lines, _names(), units)) or NOTHING_KEPT)
        return 0

    return _with_ledger(work, units)


def _receive(words: Sequence[str]) -> int:
    parser = _parser("receive", "Enter a delivery.")
    _material_words(parser)
    parser.add_argument("mass", nargs="?", metavar="MASS", help='all of it, such as "50 kg"')
    parser.add_argument("--packs", type=int, metavar="COUNT", help="so many packs instead of a mass")
    parser.add_argument("--pack", metavar="MASS", help="net mass of a pack; else as the recipes say")
    given = read(parser, words)

    def work(ledger: "StockLedger") -> int:
        from mixstation.units.plausible import RANGES, not_plausible, read_plausible
        from mixstation.wording.stock_lines import MASS_OR_PACKS, NO_PACK_SIZE

        material, unit = _known(parser, given, ledger), _unit(given)
        if (given.mass is None) == (given.packs is None):
            parser.error(MASS_OR_PACKS)
        pack_mg = round(read_plausible("pack", given.pack, unit)) if given.pack else _pack_mg(material)
        if given.packs is not None and not pack_mg:
            parser.error(NO_PACK_SIZE.format(name=given.material))
        if given.packs is not None and not RANGES["pack count"].holds(given.packs):
            raise not_plausible("pack count", str(given.packs)[:20])
        mass_mg = (
            given.packs * pack_mg
            if given.packs is not None
            else round(read_plausible("stock mass", given.mass, unit))
        )
        return _entered(
            parser,
            given,
            mass_mg,
            given.lot or "",
            lambda: ledger.receive(
                _entry(given),
                at_ms=_now_ms(),
                who=who_of(given),
                material=given.material,
                mass_mg=mass_mg,
                lot=given.lot or "",
                pack_mg=pack_mg,
                note=given.note,
            ),
            ledger,
        )

    return _with_ledger(work, DisplayUnits(given.units))


def _count(words: Sequence[str]) -> int:
    parser = _parser("count", "Enter a stock-take of one lot: what really is there, open pack and all.")
    _material_words(parser)
    parser.add_argument("mass", metavar="MASS", help='what is there, such as "12.4 kg"')
    given = read(parser, words)

    def work(ledger: "StockLedger") -> int:
        from mixstation.units.plausible import read_plausible
        from mixstation.wording.stock_lines import WHICH_LOT

        _known(parser, given, ledger)
        lots = [line.lot for line in ledger.on_hand() if line.material == given.material]
        if given.lot is None and len(lots) > 1:
            marks = ", ".join(lot or '""' for lot in lots)
            parser.error(WHICH_LOT.format(name=given.material, lots=marks))
        lot = given.lot if given.lot is not None else (lots or [""])[0]
        mass_mg = round(read_plausible("stock mass", given.mass, _unit(given)))
        return _entered(
            parser,
            given,
            mass_mg,
            lot,
            lambda: ledger.count(
                _entry(given),
                at_ms=_now_ms(),
                who=who_of(given),
                material=given.material,
                mass_mg=mass_mg,
                lot=lot,
                note=given.note,
            ),
            ledger,
        )

    return _with_ledger(work, DisplayUnits(given.units))


def _movements(words: Sequence[str]) -> int:
    parser = _parser("movements", "All that came, was taken by batches, and was counted.")
    given = read(parser, words)
    units = DisplayUnits(given.units)

    def work(ledger: "StockLedger") -> int:
        from mixstation.wording.stock_lines import NOTHING_KEPT, movement_lines

        print("\n".join(movement_lines(ledger.movements(), _names(), units)) or NOTHING_KEPT)
        return 0

    return _with_ledger(work, units)


_COMMANDS: Mapping[str, Callable[[Sequence[str]], int]] = {
    "": _list,
    "receive": _receive,
    "count": _count,
    "movements": _movements,
}


def _parser(what: str, description: str) -> argparse.ArgumentParser:
    parser = Parser(
        prog=f"mixstation stock {what}".rstrip(),
        description=description,
        epilog="" if what else EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--units", choices=[str(unit) for unit in DisplayUnits], default="metric", help="what is shown"
    )
    return parser


def _material_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("material", metavar="MATERIAL", help="its key, as in the recipes")
    parser.add_argument("--lot", type=str.strip, metavar="MARK", help="lot or bag mark")
    parser.add_argument("--note", type=str, default="", metavar="WORDS", help="a remark")
    parser.add_argument("--who", type=str, default="", metavar="NAME", help="who enters it")
    parser.add_argument("--new", action="store_true", help="a material that no recipe has yet")
    parser.add_argument(
        "--entry", metavar="NAME", help="a name of your own for this entry; entering it again changes nothing"
    )


def _with_ledger(work: "Callable[[StockLedger], int]", units: DisplayUnits) -> int:
    """Open the stock, take off what was missed, and work."""
    from mixstation.record.stock_ledger import StockLedger

    ledger = StockLedger.open(folder())
    try:
        _catch_up(ledger, units)
        return work(ledger)
    finally:
        ledger.close()


def _catch_up(ledger: "StockLedger", units: DisplayUnits) -> None:
    """Batches that ended while the stock could not be written are taken off now."""
    from mixstation.planning.around import catch_up
    from mixstation.wording.stock_lines import drawn_line

    for drawn in catch_up(folder(), ledger):
        print(drawn_line(drawn, units), file=sys.stderr)


def _entered(
    parser: argparse.ArgumentParser,
    given: argparse.Namespace,
    mass_mg: int,
    lot: str,
    enter: Callable[[], bool],
    ledger: "StockLedger",
) -> int:
    """Enter and say what is on hand now."""
    from mixstation.plan.stock import on_hand_mg
    from mixstation.units.clean import clean
    from mixstation.units.show_mass import show_mass
    from mixstation.wording.stock_lines import ENTERED, ENTERED_BEFORE, NOT_A_STOCK_MASS

    units = DisplayUnits(given.units)
    try:
        is_new = enter()
    except ValueError:
        parser.error(NOT_A_STOCK_MASS.format(mass=show_mass(mass_mg, units)))
    if not is_new:
        print(ENTERED_BEFORE.format(entry=given.entry))
        return 0
    here_mg = on_hand_mg(ledger.on_hand()).get(given.material, 0)
    name = clean(_names().get(given.material, given.material), 60)
    words = {"mass": show_mass(mass_mg, units), "name": name}
    print(
        ENTERED.format(
            **words, lot=f", lot {clean(lot, 60)}" if lot else "", on_hand=show_mass(here_mg, units)
        )
    )
    return 0


def _known(
    parser: argparse.ArgumentParser, given: argparse.Namespace, ledger: "StockLedger"
) -> "Material | None":
    """The material as a recipe has it; a name that no recipe has, or that would be taken for another, is refused."""
    from mixstation.toml.lines import suggestion
    from mixstation.units.alike import first_alike
    from mixstation.units.clean import clean
    from mixstation.wording.stock_lines import NEAR, TWIN, UNKNOWN_MATERIAL

    shelf = _materials()
    found = shelf.get(given.material)
    kept = [line.material for line in ledger.on_hand()]
    twin = first_alike(given.material, [*shelf, *kept])
    if twin is not None and given.material not in shelf:
        parser.error(TWIN.format(found=clean(given.material, 60), other=clean(twin, 60)))
    lots = [line.lot for line in ledger.on_hand() if line.material == given.material]
    twin = first_alike(given.lot, lots) if given.lot and given.lot not in lots else None
    if twin is not None:
        parser.error(TWIN.format(found=clean(given.lot, 60), other=clean(twin, 60)))
    if found is None and not given.new:
        near = suggestion(given.material, shelf)
        parser.error(
            UNKNOWN_MATERIAL.format(
                found=clean(given.material, 60),
                near=NEAR.format(near=near) if near else "",
                known=", ".join(sorted(shelf)),
            )
        )
    return found


def _materials() -> "dict[str, Material]":
    """Materials of all recipes on the shelf that can be used, by key; what is never stock left out."""
    from mixstation.recipe.file import load_recipe
    from mixstation.recipe.model import Role
    from mixstation.recipe.shelf import list_recipes

    materials: dict[str, Material] = {}
    for entry in list_recipes():
        if not entry.faults:
            for material in load_recipe(entry.path).recipe.materials:
                if material.role not in (Role.WATER, Role.ICE):
                    materials.setdefault(material.key, material)
    return materials


def _names() -> dict[str, str]:
    return {key: material.name for key, material in _materials().items()}


def _pack_mg(material: "Material | None") -> int:
    return (material.pack_mg if material is not None else None) or 0


def _unit(given: argparse.Namespace) -> str:
    """Unit of a bare number."""
    return "kg" if DisplayUnits(given.units) is DisplayUnits.METRIC else "lb"


def _entry(given: argparse.Namespace) -> str:
    return str(given.entry) if given.entry else f"{_now_ms()}-{urandom(4).hex()}"


def _now_ms() -> int:
    return time.time_ns() // 1_000_000
