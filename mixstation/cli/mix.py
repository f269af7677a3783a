"""`mixstation mix RECIPE …`: one bucket of a recipe, with a scale or with typed weights."""

import argparse
from collections.abc import Sequence

from mixstation.cli.bench_words import add_bench_words, folder, link_of, litres, read, settings_of, who_of
from mixstation.cli.show_desk import show
from mixstation.station.desk import Desk


def run(words: Sequence[str]) -> int:
    """Mix one bucket."""
    parser = argparse.ArgumentParser(prog="mixstation mix", description="Mix one bucket of a recipe.")
    parser.add_argument("recipe", help="name of a recipe on the shelf, or a file")
    amount = parser.add_mutually_exclusive_group(required=True)
    amount.add_argument("--powder", metavar="MASS", help='all dry powders together, such as "12 kg"')
    amount.add_argument("--total", metavar="MASS", help="everything that goes into the bucket")
    amount.add_argument(
        "--of", nargs=2, metavar=("MATERIAL", "MASS"), help='use up a material: --of blend "25 kg"'
    )
    parser.add_argument("--piece", default="", metavar="WORDS", help="what is cast, for the record")
    parser.add_argument("--bucket", default="30 L", metavar="VOLUME", help="volume of the bucket")
    parser.add_argument(
        "--weigh", choices=("bucket", "tub", "supply"), default="bucket", help="what is on the scale"
    )
    parser.add_argument("--shop", metavar="TEMPERATURE", help='air in the shop, such as "18 °C"')
    add_bench_words(parser)
    given = read(parser, words)
    link, settings, who = link_of(given), settings_of(given), who_of(given)

    def open_desk() -> Desk:
        from mixstation.cli.records import write_record
        from mixstation.recipe.file import load_recipe
        from mixstation.recipe.shelf import find_recipe
        from mixstation.station.opening import Bench, Order, begin, powders_for
        from mixstation.units.parse import parse_mass_mg, parse_temperature_c

        loaded = load_recipe(find_recipe(given.recipe))
        powders = powders_for(
            loaded,
            powder_mg=parse_mass_mg(given.powder, "kg") if given.powder else None,
            total_mg=parse_mass_mg(given.total, "kg") if given.total else None,
            material=(given.of[0], parse_mass_mg(given.of[1], "kg")) if given.of else None,
        )
        order = Order(
            loaded=loaded,
            powders=powders,
            piece=given.piece,
            weighing=given.weigh,
            bucket_l=litres(given.bucket),
            shop_c=float(parse_temperature_c(given.shop, "°C")) if given.shop else None,
        )
        return begin(
            Bench(folder=folder(), settings=settings, who=who, link=link, at_end=write_record), order
        )

    return show(open_desk, plain=given.plain)
