"""`mixstation recover RECIPE …`: ways out for what is in the bucket, without a batch running."""

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from typing import Any

from mixstation.cli.bench_words import litres
from mixstation.cli.parser import Parser
from mixstation.toml.lines import MAX_FILE_BYTE_COUNT, read_text_file
from mixstation.units.clean import clean
from mixstation.units.plausible import read_plausible
from mixstation.units.show import DisplayUnits

EXAMPLE = """examples:
  mixstation recover hearth_plate --powder "8 kg" --in water="1.3 kg" --in blend="4 kg"
  mixstation recover --json told.json          (or - for standard input)

told.json holds the same words:
  {"recipe": "hearth_plate", "powder": "8 kg", "in": {"water": "1.3 kg", "blend": "4 kg"},
   "stock": {"blend": "10 kg"}, "bucket": "30 L", "division": "5 g", "left": "15 min", "stiffening": false}
"""


def run(words: Sequence[str]) -> int:
    """Work out the ways and print them."""
    parser = Parser(
        prog="mixstation recover",
        description="Ways out for what is in the bucket.",
        epilog=EXAMPLE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("recipe", nargs="?", help="name of a recipe on the shelf, or a file")
    parser.add_argument("--powder", metavar="MASS", help="all dry powders together, as the batch was planned")
    parser.add_argument(
        "--in", dest="inside", action="append", default=[], metavar="MATERIAL=MASS", help="what is in"
    )
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
        "--json", metavar="FILE", help="read all of this from a file and answer in JSON; - reads input"
    )
    parser.add_argument("--units", choices=[str(unit) for unit in DisplayUnits], default="metric")
    given = parser.parse_args(words)
    told = _from_json(given.json) if given.json else {}
    for name in ("recipe", "powder", "bucket", "division", "left", "stiffening"):
        if getattr(given, name) is not None:
            told[name] = getattr(given, name)
    told["in"] = {**told.get("in", {}), **_pairs(parser, given.inside)}
    told["stock"] = {**told.get("stock", {}), **_pairs(parser, given.stock)}
    missing = [name for name in ("recipe", "powder", "in") if not told.get(name)]
    if missing:
        parser.error(f"say {', '.join(missing)}; see --help for examples")
    return _answer(parser, told, DisplayUnits(given.units), as_json=bool(given.json))


def _pairs(parser: argparse.ArgumentParser, words: Sequence[str]) -> dict[str, str]:
    pairs = {}
    for word in words:
        material, mark, mass = word.partition("=")
        if not mark or not material or not mass:
            parser.error(f'{word!r}: write MATERIAL=MASS, such as water="1.3 kg"')
        if material.strip() in pairs:
            parser.error(f"{material.strip()!r} is said twice: add the two up")
        pairs[material.strip()] = mass.strip()
    return pairs


def _from_json(name: str) -> dict[str, Any]:
    """What a file or standard input tells.

    Raises:
        FileRefused: The file cannot be read.
        SystemExit: It is no JSON object of text.
    """
    text = _text_of(name)
    try:
        told = json.loads(text, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise SystemExit(f"{name}: not JSON that can be read: {clean(str(error), 200)}") from None
    known = {"recipe", "powder", "in", "stock", "bucket", "division", "left", "stiffening"}
    if not isinstance(told, dict) or set(told) - known:
        raise SystemExit(f"{name}: must be an object of {', '.join(sorted(known))}")
    for key in ("in", "stock"):
        pairs = told.get(key, {})
        if not isinstance(pairs, dict) or not all(isinstance(mass, str) for mass in pairs.values()):
            raise SystemExit(
                f'{name}: "{key}" must be an object of masses as text, such as {{"water": "1.3 kg"}}'
            )
    for key in known - {"in", "stock", "stiffening"}:
        if not isinstance(told.get(key, ""), str):
            raise SystemExit(f'{name}: "{key}" must be text with its unit, such as "8 kg"')
    if not isinstance(told.get("stiffening", False), bool):
        raise SystemExit(f'{name}: "stiffening" must be true or false')
    return told


def _text_of(name: str) -> str:
    if name != "-":
        return read_text_file(name)
    data = sys.stdin.buffer.read(MAX_FILE_BYTE_COUNT + 1)
    if len(data) > MAX_FILE_BYTE_COUNT:
        raise SystemExit(f"{name}: more than {MAX_FILE_BYTE_COUNT // 1024} KiB is no account of a bucket")
    try:
        return data.decode()
    except UnicodeDecodeError:
        raise SystemExit(f"{name}: not UTF-8 text; write it as UTF-8") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object in which nothing is said twice: which of the two would count?"""
    told = dict(pairs)
    if len(told) < len(pairs):
        keys = [key for key, _ in pairs]
        raise ValueError(f"{max(keys, key=keys.count)!r} is said twice")
    return told


def _answer(
    parser: argparse.ArgumentParser, told: Mapping[str, Any], units: DisplayUnits, *, as_json: bool
) -> int:
    from mixstation.batch.events import Amount
    from mixstation.batch.run import FoldError
    from mixstation.cli.recipes import say_odd_densities
    from mixstation.cli.shop_file import own_shop
    from mixstation.plan.dosing import TYPED_DIVISION_MG
    from mixstation.planning.orders import carries_most, on_file, weighed_apart
    from mixstation.recipe.file import load_recipe
    from mixstation.recipe.shelf import find_recipe
    from mixstation.station.order import Order, ToldBucket, powders_for, ways_for
    from mixstation.wording.safety import IN_SHORT, with_safety
    from mixstation.wording.ways import way_detail, way_line

    loaded = load_recipe(find_recipe(told["recipe"]))
    say_odd_densities(loaded)
    known = {material.key for material in loaded.recipe.materials}
    strange = (set(told["in"]) | set(told["stock"])) - known
    if strange:
        names = clean(", ".join(sorted(strange)), 200)
        parser.error(f"this recipe has no {names}; it has {', '.join(sorted(known))}")
    inside = {
        key: round(read_plausible("mass in the bucket", mass, "kg")) for key, mass in told["in"].items()
    }
    stock = {key: round(read_plausible("stock mass", mass, "kg")) for key, mass in told["stock"].items()}
    shop = own_shop()
    # A division that was told is that of the one scale there is.
    main = None if "division" in told else carries_most(shop)
    usual_mg = TYPED_DIVISION_MG if main is None else main.division_mg
    division_mg = round(read_plausible("division", told["division"], "g")) if "division" in told else usual_mg
    bucket_l = litres(told["bucket"]) if "bucket" in told else shop.bucket.volume_l
    powders = powders_for(loaded, powder_mg=round(read_plausible("batch mass", told["powder"], "kg")))
    order = Order(
        loaded=loaded,
        powders=powders,
        scale=on_file(main),
        weighed_apart=weighed_apart(loaded.recipe, powders, main, shop),
        bucket_l=bucket_l,
        fill_limit=float(shop.bucket.limit_fraction),
        stock=tuple(
            Amount(material=key, mass_mg=mass_mg + inside.get(key, 0)) for key, mass_mg in stock.items()
        ),
    )
    try:
        batch, ways = ways_for(
            ToldBucket(
                order=order,
                inside=inside,
                division_mg=division_mg,
                working_left_s=(
                    int(read_plausible("working time left", told["left"], "min")) if "left" in told else None
                ),
                stiffening=bool(told.get("stiffening")),
            )
        )
    except FoldError:
        parser.error("no bucket holds such masses; look for a zero too many")
    if as_json:
        from mixstation.wording.ways import way_data

        data = with_safety({"ways": [way_data(way, batch, units) for way in ways]})
        print(json.dumps(data, indent=2, ensure_ascii=False))
        return 0
    print(IN_SHORT)
    for number, way in enumerate(ways, start=1):
        print(f"{number}  {way_line(way, batch, units)}")
        for line in way_detail(way, batch, units):
            print(f"     {line}")
    return 0
