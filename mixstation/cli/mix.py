"""`mixstation mix …`: one bucket of a recipe, or the buckets of a kept plan, with a scale or with typed weights."""

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import add_bench_words, folder, if_given, litres, read, say_damaged
from mixstation.cli.first_sign import wipe_sign
from mixstation.cli.jobs import bench_of, desk_of, in_lines, job_of, plans_folder, progress_now
from mixstation.cli.parser import Parser
from mixstation.cli.show_desk import show
from mixstation.units.plausible import read_plausible
from mixstation.wording import command_lines as says

if TYPE_CHECKING:
    from mixstation.plan.job_parts import Shop
    from mixstation.station.order import Order
    from mixstation.station.view import Desk


def run(words: Sequence[str]) -> int:
    """Mix."""
    parser = Parser(
        prog="mixstation mix", description="Mix one bucket of a recipe, or the next bucket of a kept plan."
    )
    parser.add_recipe()
    amount = parser.add_mutually_exclusive_group(required=True)
    amount.add_argument(
        "--powder",
        metavar="MASS",
        help='all dry powders together, such as "12 kg"; a bare number is kilograms',
    )
    amount.add_argument(
        "--total", metavar="MASS", help="everything that goes into the bucket; a bare number is kilograms"
    )
    amount.add_argument(
        "--of",
        nargs=2,
        metavar=("MATERIAL", "MASS"),
        help='use up a material: --of blend "25 kg"; a bare number is kilograms',
    )
    amount.add_argument("--plan", metavar="ID", help="a kept plan: the bucket left open, else the next one")
    parser.add_argument("--number", type=int, metavar="N", help="this bucket of the plan")
    parser.add_argument("--piece", type=str, default="", metavar="WORDS", help="what is cast, for the record")
    parser.add_argument("--bucket", default="30 L", metavar="VOLUME", help="volume of the bucket")
    parser.add_weigh()
    parser.add_argument("--scale", metavar="NAME", help="which scale on file; else the one that carries most")
    parser.add_argument("--shop", metavar="TEMPERATURE", help='air in the shop, such as "18 °C"')
    parser.add_argument(
        "--last-batch",
        choices=("show", "aim"),
        help="your last closed batch of this colour: show it beside this one, or aim at it too, in the band",
    )
    add_bench_words(parser)
    given = read(parser, words, at_the_bucket=True)
    if bool(given.recipe) == bool(given.plan):
        parser.error(says.RECIPE_OR_PLAN)
    if given.number is not None and not given.plan:
        parser.error(says.NUMBER_WITHOUT_PLAN)
    return _planned(parser, given) if given.plan else _of_recipe(parser, given)


def _planned(parser: argparse.ArgumentParser, given: argparse.Namespace) -> int:
    from mixstation.planning.kept import find_kept
    from mixstation.wording.counted import counted

    kept = find_kept(plans_folder(), given.plan)
    progress = progress_now(kept)
    count = len(kept.buckets)
    if given.number is not None and not 1 <= given.number <= count:
        parser.error(says.NO_SUCH_BUCKET.format(plan_id=kept.plan_id, count=count))
    due = (number for number in range(1, count + 1) if number not in progress.finished)
    number = given.number or min(progress.open, default=0) or next(due, 0)
    if not number:
        wipe_sign()
        print(says.ALL_MIXED.format(buckets=counted(count, "bucket"), plan_id=kept.plan_id))
        return 0
    going_on = progress.open.get(number, "")
    bench = bench_of(given, going_on)

    def open_desk() -> "Desk":
        job = job_of(given, bench(), kept, sorted(progress.finished - {number}))
        return desk_of(job, lambda job: job.going_on(going_on, number) if going_on else job.mixing(number))

    return show(open_desk, plain=in_lines(given, going_on))


def _of_recipe(parser: argparse.ArgumentParser, given: argparse.Namespace) -> int:
    bench = bench_of(given)

    def open_desk() -> "Desk":
        from mixstation.station.opening import begin

        return begin(bench(), _order(given, shop or _shop_of(given)))

    # Only what needs it reads the shop before the first picture.
    shop = _shop_of(given) if given.scale else None
    if shop is not None and given.scale not in (known := [scale.name for scale in shop.scales]):
        parser.error(says.NO_SUCH_SCALE.format(name=given.scale, known=", ".join(known) or says.NONE))
    return show(open_desk, plain=given.plain)


def _order(given: argparse.Namespace, shop: "Shop") -> "Order":
    """The order for one bucket of a recipe, with scale and stock as they are on file.

    Raises:
        PlanRefused: More than the bucket holds, or the recipe cannot be scaled.
    """
    from dataclasses import replace

    from mixstation.cli.recipes import say_odd_densities
    from mixstation.plan.batch_size import volume_for_powders_l
    from mixstation.plan.buckets import check_it_fits
    from mixstation.planning.around import stock_held
    from mixstation.planning.orders import carries_most, lots_of, on_file, stock_of, weighed_apart
    from mixstation.recipe.file import load_recipe
    from mixstation.recipe.shelf import find_recipe
    from mixstation.station.order import Order, powders_for

    loaded = load_recipe(find_recipe(given.recipe))
    _show_too(given, say_odd_densities(loaded))
    powders = powders_for(
        loaded,
        powder_mg=_mass_mg(given.powder),
        total_mg=_mass_mg(given.total),
        material=(given.of[0], _mass_mg(given.of[1]) or 0) if given.of else None,
    )
    bucket = replace(shop.bucket, volume_l=litres(given.bucket))
    check_it_fits(volume_for_powders_l(loaded.recipe, powders), bucket)
    named = next((scale for scale in shop.scales if scale.name == given.scale), carries_most(shop))
    held = stock_held(folder())
    return Order(
        loaded=loaded,
        powders=powders,
        piece=given.piece,
        weighing=given.weigh,
        scale=on_file(named),
        bucket_l=bucket.volume_l,
        fill_limit=float(bucket.limit_fraction),
        stock=stock_of(loaded.recipe, loaded.recipe, held),
        lots=lots_of(loaded.recipe, held),
        shop_c=if_given("shop temperature", given.shop, "°C"),
        weighed_apart=weighed_apart(loaded.recipe, powders, named, shop),
        vessels=shop.vessels,
        last_batch=given.last_batch or "",
        sand_unsaid=True,
        fibres_apart=True,
    )


def _shop_of(given: argparse.Namespace) -> "Shop":
    """The shop as far as it can be read; what is wrong with it is said, and shown with the batch."""
    from mixstation.cli.settings_file import as_far_as_read
    from mixstation.cli.shop_file import read_shop

    shop, faults = as_far_as_read(read_shop)
    _show_too(given, say_damaged(faults))
    return shop


def _show_too(given: argparse.Namespace, line: str) -> None:
    """Have a line shown with the batch too: what is printed is gone once the screen stands."""
    given.to_show = " ".join(filter(None, dict.fromkeys((given.to_show, line))))


def _mass_mg(text: str | None) -> int | None:
    return None if text is None else round(read_plausible("batch mass", text, "kg"))
