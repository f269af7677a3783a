"""`mixstation recover RECIPE …`: ways out for what is in the bucket, without a batch running."""

import json
import sys
from collections.abc import Mapping, Sequence
from typing import Any

from mixstation.batch.events import Amount
from mixstation.batch.run import FoldError
from mixstation.cli.bench_words import litres
from mixstation.cli.parser import Parser
from mixstation.cli.recipes import say_odd_densities
from mixstation.cli.shop_file import own_shop
from mixstation.plan.dosing import TYPED_DIVISION_MG
from mixstation.planning.orders import carries_most, on_file, weighed_apart
from mixstation.recipe.file import LoadedRecipe, load_recipe
from mixstation.recipe.shelf import find_recipe
from mixstation.station.order import Order, ToldBucket, powders_for, ways_for
from mixstation.toml.lines import MAX_FILE_BYTE_COUNT, read_text_file
from mixstation.units.clean import clean
from mixstation.units.plausible import read_plausible
from mixstation.units.show import DisplayUnits
from mixstation.wording import command_lines as says
from mixstation.wording.safety import IN_SHORT, with_safety
from mixstation.wording.ways import way_data, way_detail, way_line

EXAMPLE = """examples:
  mixstation recover hearth_plate --powder "8 kg" --in water="1.3 kg" --in blend="4 kg"
  mixstation recover --json told.json          (or - for standard input)

told.json holds the same words:
  {"recipe": "hearth_plate", "powder": "8 kg", "in": {"water": "1.3 kg", "blend": "4 kg"},
   "stock": {"blend": "10 kg"}, "bucket": "30 L", "division": "5 g", "left": "15 min", "stiffening": false}
"""


_TEXTS = ("recipe", "powder", "bucket", "division", "left")
_MASSES = ("in", "stock")
_YES_OR_NO = ("stiffening", "layer_out")
_KEYS = {*_TEXTS, *_MASSES, *_YES_OR_NO}


def run(words: Sequence[str]) -> int:
    """Work out the ways and print them."""
    parser = Parser(
        prog="mixstation recover", description="Ways out for what is in the bucket.", epilog=EXAMPLE
    )
    parser.add_recipe()
    parser.add_argument("--powder", metavar="MASS", help="all dry powders together, as the batch was planned")
    parser.add_argument("--in", action="append", default=[], metavar="MATERIAL=MASS", help="what is in")
    parser.add_argument(
        "--stock", action="append", default=[], metavar="MATERIAL=MASS", help="what is left of it"
    )
    parser.add_argument("--bucket", metavar="VOLUME", help="volume of the bucket; without it the one on file")
    parser.add_argument(
        "--division", metavar="MASS", help="smallest step of the scale; without it the scales on file"
    )
    parser.add_argument("--left", metavar="TIME", help="working time left")
    parser.add_argument(
        "--stiffening", action="store_true", default=None, help="the mix is getting stiff or warm"
    )
    parser.add_argument(
        "--layer-out",
        action="store_true",
        default=None,
        help="the face coat was taken out; --in says what is left in the bucket",
    )
    parser.add_argument(
        "--json", metavar="FILE", help="read all of this from a file and answer in JSON; - reads input"
    )
    parser.add_units(default="metric")
    given = vars(parser.parse_args(words))
    told = _from_json(given["json"]) if given["json"] else {}
    told |= {name: given[name] for name in (*_TEXTS, *_YES_OR_NO) if given[name] is not None}
    told |= {name: {**told.get(name, {}), **_pairs(parser, given[name])} for name in _MASSES}
    missing = [name for name in ("recipe", "powder", "in") if not told.get(name)]
    if missing:
        parser.error(says.SAY_MORE.format(missing=", ".join(missing)))
    return _answer(parser, told, DisplayUnits(given["units"]), as_json=bool(given["json"]))


def _pairs(parser: Parser, words: Sequence[str]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for word in words:
        material, mark, mass = word.partition("=")
        if not mark or not material or not mass:
            parser.error(says.PAIR.format(found=repr(word)))
        if material.strip() in pairs:
            parser.error(says.ADD_UP.format(found=repr(material.strip())))
        pairs[material.strip()] = mass.strip()
    return pairs


def _from_json(file: str) -> dict[str, Any]:
    """What a file or standard input tells.

    Raises:
        FileRefused: The file cannot be read.
        SystemExit: It is no JSON object of text.
    """
    text = _text_of(file)
    try:
        told = json.loads(text, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise SystemExit(says.NOT_JSON.format(file=file, why=clean(str(error), 200))) from None
    if not isinstance(told, dict) or set(told) - _KEYS:
        raise SystemExit(says.NOT_AN_OBJECT.format(file=file, keys=", ".join(sorted(_KEYS))))
    for key, value in told.items():
        fault = _fault(key, value)
        if fault:
            raise SystemExit(fault.format(file=file, key=key))
    return told


def _fault(key: str, value: object) -> str:
    """What is wrong with a value of the file; "" for nothing."""
    if key in _MASSES:
        is_sound = isinstance(value, dict) and all(isinstance(mass, str) for mass in value.values())
        return "" if is_sound else says.NOT_MASSES
    if key in _YES_OR_NO:
        return "" if isinstance(value, bool) else says.NOT_YES_OR_NO
    return "" if isinstance(value, str) else says.NOT_TEXT


def _text_of(file: str) -> str:
    if file != "-":
        return read_text_file(file)
    data = sys.stdin.buffer.read(MAX_FILE_BYTE_COUNT + 1)
    if len(data) > MAX_FILE_BYTE_COUNT:
        raise SystemExit(says.TOO_LONG.format(file=file, limit=MAX_FILE_BYTE_COUNT // 1024))
    try:
        return data.decode()
    except UnicodeDecodeError:
        raise SystemExit(says.NOT_UTF8.format(file=file)) from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object in which nothing is said twice: which of the two would count?"""
    told = dict(pairs)
    if len(told) < len(pairs):
        keys = [key for key, _ in pairs]
        raise ValueError(says.TWICE.format(found=repr(max(keys, key=keys.count))))
    return told


def _answer(parser: Parser, told: Mapping[str, Any], units: DisplayUnits, *, as_json: bool) -> int:
    loaded = load_recipe(find_recipe(told["recipe"]))
    say_odd_densities(loaded)
    known = {material.key for material in loaded.recipe.materials}
    strange = (set(told["in"]) | set(told["stock"])) - known
    if strange:
        names = clean(", ".join(sorted(strange)), 200)
        parser.error(says.NO_SUCH_MATERIAL.format(found=names, known=", ".join(sorted(known))))
    try:
        batch, ways = ways_for(_told_bucket(told, loaded))
    except FoldError:
        parser.error(says.NO_SUCH_MASSES)
    if as_json:
        data = with_safety({"ways": [way_data(way, batch, units) for way in ways]})
        print(json.dumps(data, indent=2, ensure_ascii=False))
        return 0
    print(IN_SHORT)
    for number, way in enumerate(ways, start=1):
        print(f"{number}  {way_line(way, batch, units)}")
        for line in way_detail(way, batch, units):
            print(f"     {line}")
    return 0


def _told_bucket(told: Mapping[str, Any], loaded: LoadedRecipe) -> ToldBucket:
    """The bucket as it was told; what was not, as it is on file."""
    inside, stock = (
        {key: _mg(name, mass, "kg") for key, mass in told[where].items()}
        for where, name in (("in", "mass in the bucket"), ("stock", "stock mass"))
    )
    shop = own_shop()
    # A division that was told is that of the one scale there is.
    main = None if "division" in told else carries_most(shop)
    usual_mg = TYPED_DIVISION_MG if main is None else main.division_mg
    powders = powders_for(loaded, powder_mg=_mg("batch mass", told["powder"], "kg"))
    order = Order(
        loaded=loaded,
        powders=powders,
        scale=on_file(main),
        weighed_apart=weighed_apart(loaded.recipe, powders, main, shop),
        bucket_l=litres(told["bucket"]) if "bucket" in told else shop.bucket.volume_l,
        fill_limit=float(shop.bucket.limit_fraction),
        stock=tuple(
            Amount(material=key, mass_mg=mass_mg + inside.get(key, 0)) for key, mass_mg in stock.items()
        ),
    )
    left_s = int(read_plausible("working time left", told["left"], "min")) if "left" in told else None
    return ToldBucket(
        order=order,
        inside=inside,
        division_mg=_mg("division", told["division"], "g") if "division" in told else usual_mg,
        working_left_s=left_s,
        stiffening=bool(told.get("stiffening")),
        layer_out=bool(told.get("layer_out")),
    )


def _mg(name: str, mass: str, unit: str) -> int:
    return round(read_plausible(name, mass, unit))
