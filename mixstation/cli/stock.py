"""`mixstation stock …`: what is on the shelf, deliveries, stock-takes, and what batches have taken."""

import argparse
import contextlib
import json
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from os import urandom

from mixstation.cli.bench_words import bare_unit, folder, read, who_of
from mixstation.cli.parser import Parser
from mixstation.plan.stock import on_hand_mg
from mixstation.planning.around import catch_up
from mixstation.recipe.file import load_recipe
from mixstation.recipe.model import Material, Role
from mixstation.recipe.shelf import list_recipes
from mixstation.record.stock_ledger import StockLedger
from mixstation.toml.lines import suggestion
from mixstation.units.alike import first_alike
from mixstation.units.clean import clean
from mixstation.units.plausible import RANGES, not_plausible, read_plausible
from mixstation.units.show import DisplayUnits
from mixstation.units.show_mass import show_mass
from mixstation.wording import stock_lines as says

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
    parser = Parser(prog="mixstation stock", description="What is on hand.", epilog=EPILOG)
    parser.add_units(default="metric", help="what is shown")
    parser.add_argument("--json", action="store_true", help="as JSON")
    given = read(parser, words)
    with _opened(given) as ledger:
        lines = ledger.on_hand()
    if given.json:
        print(json.dumps(says.stock_data(lines), indent=2, ensure_ascii=False))
    else:
        on_hand = says.on_hand_lines(lines, _names(), DisplayUnits(given.units))
        print("\n".join(on_hand) or says.NOTHING_KEPT)
    return 0


def _receive(words: Sequence[str]) -> int:
    parser = Parser(prog="mixstation stock receive", description="Enter a delivery.")
    _material_words(parser)
    parser.add_argument("mass", nargs="?", metavar="MASS", help='all of it, such as "50 kg"')
    parser.add_argument("--packs", type=int, metavar="COUNT", help="so many packs instead of a mass")
    parser.add_argument("--pack", metavar="MASS", help="net mass of a pack; else as the recipes say")
    given = read(parser, words)
    with _opened(given) as ledger:
        material, unit = _known(parser, given, ledger), bare_unit(given, "kg", "lb")
        if (given.mass is None) == (given.packs is None):
            parser.error(says.MASS_OR_PACKS)
        own_mg = (material.pack_mg if material is not None else None) or 0
        pack_mg = round(read_plausible("pack", given.pack, unit)) if given.pack else own_mg
        if given.packs is None:
            mass_mg = round(read_plausible("stock mass", given.mass, unit))
        else:
            if not pack_mg:
                parser.error(says.NO_PACK_SIZE.format(name=given.material))
            if not RANGES["pack count"].holds(given.packs):
                raise not_plausible("pack count", str(given.packs)[:20])
            mass_mg = given.packs * pack_mg
        entering = partial(ledger.receive, pack_mg=pack_mg)
        return _entered(parser, given, ledger, entering, mass_mg, given.lot or "")


def _count(words: Sequence[str]) -> int:
    parser = Parser(
        prog="mixstation stock count",
        description="Enter a stock-take of one lot: what really is there, open pack and all.",
    )
    _material_words(parser)
    parser.add_argument("mass", metavar="MASS", help='what is there, such as "12.4 kg"')
    given = read(parser, words)
    with _opened(given) as ledger:
        _known(parser, given, ledger)
        lots = _lots(ledger, given.material)
        if given.lot is None and len(lots) > 1:
            marks = ", ".join(lot or '""' for lot in lots)
            parser.error(says.WHICH_LOT.format(name=given.material, lots=marks))
        lot = given.lot if given.lot is not None else (lots or [""])[0]
        mass_mg = round(read_plausible("stock mass", given.mass, bare_unit(given, "kg", "lb")))
        return _entered(parser, given, ledger, ledger.count, mass_mg, lot)


def _movements(words: Sequence[str]) -> int:
    parser = Parser(
        prog="mixstation stock movements", description="All that came, was taken by batches, and was counted."
    )
    parser.add_units(default="metric", help="what is shown")
    given = read(parser, words)
    with _opened(given) as ledger:
        lines = says.movement_lines(ledger.movements(), _names(), DisplayUnits(given.units))
    print("\n".join(lines) or says.NOTHING_KEPT)
    return 0


_COMMANDS: Mapping[str, Callable[[Sequence[str]], int]] = {
    "": _list,
    "receive": _receive,
    "count": _count,
    "movements": _movements,
}


def _material_words(parser: Parser) -> None:
    parser.add_units(default="metric", help="what is shown")
    parser.add_argument("material", metavar="MATERIAL", help="its key, as in the recipes")
    parser.add_argument("--lot", type=str.strip, metavar="MARK", help="lot or bag mark")
    parser.add_argument("--note", type=str, default="", metavar="WORDS", help="a remark")
    parser.add_argument("--who", type=str, default="", metavar="NAME", help="who enters it")
    parser.add_argument("--new", action="store_true", help="a material that no recipe has yet")
    parser.add_argument(
        "--entry", metavar="NAME", help="a name of your own for this entry; entering it again changes nothing"
    )


@contextlib.contextmanager
def _opened(given: argparse.Namespace) -> Iterator[StockLedger]:
    """The stock, once what ended batches used while it could not be written has been taken off."""
    with contextlib.closing(StockLedger.open(folder())) as ledger:
        for drawn in catch_up(folder(), ledger):
            print(says.drawn_line(drawn, DisplayUnits(given.units)), file=sys.stderr)
        yield ledger


def _entered(
    parser: Parser,
    given: argparse.Namespace,
    ledger: StockLedger,
    entering: Callable[..., bool],
    mass_mg: int,
    lot: str,
) -> int:
    """Enter, and say what is on hand now."""
    units = DisplayUnits(given.units)
    now_ms = time.time_ns() // 1_000_000
    try:
        is_new = entering(
            given.entry or f"{now_ms}-{urandom(4).hex()}",
            at_ms=now_ms,
            who=who_of(given),
            material=given.material,
            mass_mg=mass_mg,
            lot=lot,
            note=given.note,
        )
    except ValueError:
        parser.error(says.NOT_A_STOCK_MASS.format(mass=show_mass(mass_mg, units)))
    if not is_new:
        print(says.ENTERED_BEFORE.format(entry=given.entry))
        return 0
    here_mg = on_hand_mg(ledger.on_hand()).get(given.material, 0)
    name = _names().get(given.material, given.material)
    print(says.entered_line(name, mass_mg, lot, here_mg, units))
    return 0


def _known(parser: Parser, given: argparse.Namespace, ledger: StockLedger) -> Material | None:
    """The material as a recipe has it; a name that no recipe has, or that would be taken for another, is refused."""
    shelf = _materials()
    kept = [line.material for line in ledger.on_hand()]
    if given.material not in shelf:
        _refuse_twin(parser, given.material, [*shelf, *kept])
    _refuse_twin(parser, given.lot, _lots(ledger, given.material))
    if given.material not in shelf and not given.new:
        parser.error(says.unknown_material(given.material, suggestion(given.material, shelf), shelf))
    return shelf.get(given.material)


def _refuse_twin(parser: Parser, name: str | None, known: Sequence[str]) -> None:
    """Refuse a name that looks like another that is there already, but is not the same."""
    twin = first_alike(name, known) if name and name not in known else None
    if name and twin is not None:
        parser.error(says.TWIN.format(found=clean(name, 60), other=clean(twin, 60)))


def _lots(ledger: StockLedger, material: str) -> list[str]:
    return [line.lot for line in ledger.on_hand() if line.material == material]


def _materials() -> dict[str, Material]:
    """Materials of all recipes on the shelf that can be used, by key; what is never stock left out."""
    materials: dict[str, Material] = {}
    for entry in list_recipes():
        if not entry.faults:
            for material in load_recipe(entry.path).recipe.materials:
                if material.role not in (Role.WATER, Role.ICE):
                    materials.setdefault(material.key, material)
    return materials


def _names() -> dict[str, str]:
    return {key: material.name for key, material in _materials().items()}
