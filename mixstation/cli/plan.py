"""`mixstation plan …`: plan a job by questions or by words; print it, keep it, mix it."""

import argparse
import json
import sys
import time
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import add_bench_words, bare_unit, folder, if_given, litres, read
from mixstation.cli.first_sign import wipe_sign
from mixstation.cli.jobs import bench_of, desk_of, job_of, plans_folder, progress_now
from mixstation.cli.parser import Parser
from mixstation.cli.show_desk import show
from mixstation.units.show import DisplayUnits
from mixstation.wording.command_lines import BOTH_OR_NEITHER

if TYPE_CHECKING:
    from mixstation.planning.around import Around
    from mixstation.planning.job import Job
    from mixstation.planning.talk import Planned
    from mixstation.recipe.file import LoadedRecipe
    from mixstation.station.view import Desk

EPILOG = """examples:
  mixstation plan                                    by questions, on the screen
  mixstation plan hearth_plate --slab "700 x 450 x 18 mm" --face "3 mm" --count 2
  mixstation plan planter_wall --pieces walls.toml --shop "14 °C" --sheet walls.html
  mixstation plan hearth_plate --bags 1 --mix        mix it at once
  mixstation plan list                               plans that were kept
  mixstation plan show ID [--json]
"""


def run(words: Sequence[str]) -> int:
    """Plan, or look at what was planned."""
    if words and words[0] in _OTHERS:
        return _OTHERS[words[0]](words[1:])
    parser = Parser(
        prog="mixstation plan",
        description="Plan a job: masses, buckets, scales, stock, cost, temperature. Without a recipe it asks.",
        epilog=EPILOG,
    )
    parser.add_recipe()
    if words:
        # Every shape is an option of its own: what is to be asked needs none of them yet.
        from mixstation.cli.plan_words import add_plan_words

        add_plan_words(parser)
    parser.add_argument("--bucket", metavar="VOLUME", help="volume of the bucket")
    parser.add_argument("--shop", metavar="TEMPERATURE", help="air in the shop")
    parser.add_weigh()
    out = parser.add_argument_group("what comes of it")
    out.add_argument("--json", action="store_true", help="as JSON for other programs")
    out.add_argument(
        "--sheet", metavar="FILE", type=Path, help="write a weigh-out sheet, an HTML page to print"
    )
    out.add_argument("--keep", action="store_true", help="keep the plan for later")
    out.add_argument("--mix", action="store_true", help="keep it and mix the first bucket now")
    add_bench_words(parser)
    given = read(parser, words)
    if not words:
        return _talk(given)
    from mixstation.cli.plan_words import asks_for_something

    if not given.recipe and not asks_for_something(given):
        return _talk(given)
    if not given.recipe or not asks_for_something(given):
        parser.error(BOTH_OR_NEITHER)
    return _by_words(given)


def _by_words(given: argparse.Namespace) -> int:
    from mixstation.cli.plan_words import request_of
    from mixstation.cli.shop_file import own_shop
    from mixstation.plan.faults import PlanRefused
    from mixstation.planning.around import stock_held
    from mixstation.planning.make import make_plan
    from mixstation.planning.talk import Planned
    from mixstation.recipe.file import load_recipe
    from mixstation.recipe.shelf import find_recipe
    from mixstation.wording.plan import plan_fault_line, speech_for

    loaded = load_recipe(find_recipe(given.recipe))
    units = DisplayUnits(given.units)
    try:
        request = request_of(given, loaded.recipe, own_shop(), _today())
        planned = Planned(plan=make_plan(request, stock_held(folder())), loaded=loaded)
    except PlanRefused as refusal:
        wipe_sign()
        speech = speech_for(loaded.recipe, units)
        for fault in refusal.faults:
            print(plan_fault_line(fault, speech), file=sys.stderr)
        return 1
    wipe_sign()
    # Kept and written before it is shown: whoever reads the first lines only has it all the same.
    if given.sheet:
        _write_sheets(planned, given.sheet, units)
    job = _kept(planned, given) if given.keep or given.mix else None
    _show_plan(planned, given, units)
    return _what_now(planned, given, job)


def _write_sheets(planned: "Planned", file: Path, units: DisplayUnits) -> None:
    from mixstation.record.paths import write_file_safely
    from mixstation.wording.plan_sections import plan_sections
    from mixstation.wording.plan_sheet import plan_sheets

    for number, page in enumerate(plan_sheets(plan_sections(planned.plan, units)), start=1):
        path = file if number == 1 else file.with_stem(f"{file.stem}-{number}")
        write_file_safely(path, page)
        print(path, file=sys.stderr)


def _kept(planned: "Planned", given: argparse.Namespace) -> "Job":
    from mixstation.wording.planning import KEPT

    job = job_of(given, bench_of(given)())
    print(KEPT.format(plan_id=job.keep(planned).plan_id), file=sys.stderr)
    return job


def _show_plan(planned: "Planned", given: argparse.Namespace, units: DisplayUnits) -> None:
    from mixstation.plan.as_data import plan_data
    from mixstation.plan.drawing import draw_piece
    from mixstation.wording.plan_sections import plan_sections
    from mixstation.wording.safety import with_safety
    from mixstation.wording.sections import plan_text

    plan = planned.plan
    if given.json:
        print(json.dumps(with_safety(plan_data(plan)), indent=2, ensure_ascii=False))
    else:
        for piece in plan.pieces:
            print("\n".join((*draw_piece(piece.piece, units=units), "")))
        print("\n".join(plan_text(plan_sections(plan, units))))


def _what_now(planned: "Planned", given: argparse.Namespace, job: "Job | None") -> int:
    """Mix it, where that is wished for; asked where nothing was said."""
    from mixstation.wording.planning import ASK_AFTER

    mixes = given.mix
    if job is None and sys.stdin.isatty() and sys.stdout.isatty() and not given.json:
        answer = input(f"\n{ASK_AFTER} ").strip().lower()
        mixes = answer in ("m", "mix")
        if mixes or answer in ("k", "keep"):
            job = _kept(planned, given)
    if job is None or not mixes:
        return 0
    kept = job
    return show(lambda: desk_of(kept, lambda job: job.mixing(1)), plain=given.plain)


def _talk(given: argparse.Namespace) -> int:
    bench = bench_of(given)

    def open_desk() -> "Desk":
        from mixstation.planning.talk import PlanTalk

        talk = PlanTalk(_around(given))
        return desk_of(job_of(given, bench()), lambda _: talk)

    return show(open_desk, plain=given.plain)


def _around(given: argparse.Namespace) -> "Around":
    from dataclasses import replace

    from mixstation.cli.shop_file import own_shop
    from mixstation.planning.around import Around, stock_held

    shop = own_shop()
    if given.bucket:
        shop = replace(shop, bucket=replace(shop.bucket, volume_l=litres(given.bucket)))
    return Around(
        units=DisplayUnits(given.units),
        decimal_comma=bool(given.decimal_comma),
        shop=shop,
        recipes=_recipes(),
        stock=stock_held(folder()),
        shop_c=if_given("shop temperature", given.shop, bare_unit(given, "°C", "°F")),
        today=_today(),
    )


def _recipes() -> "Mapping[str, LoadedRecipe]":
    """Recipes of the shelf that can be used, the mixer's own first."""
    from mixstation.recipe.file import load_recipe
    from mixstation.recipe.shelf import list_recipes

    usable = [entry for entry in list_recipes() if not entry.faults]
    return {
        entry.key: load_recipe(entry.path)
        for entry in sorted(usable, key=lambda entry: entry.origin != "own")
    }


def _list(words: Sequence[str]) -> int:
    parser = Parser(prog="mixstation plan list", description="Plans that were kept.")
    parser.parse_args(words)
    from mixstation.planning.kept import KeptPlanError, kept_ids, read_kept
    from mixstation.wording.error_lines import reason
    from mixstation.wording.kept_lines import NONE_KEPT, kept_line

    ids = kept_ids(plans_folder())
    if not ids:
        print(NONE_KEPT)
    for plan_id in ids:
        try:
            kept = read_kept(plans_folder(), plan_id)
            print(
                kept_line(
                    plan_id,
                    made_ms=kept.made_ms,
                    piece=kept.piece,
                    recipe=kept.buckets[0].recipe.name,
                    bucket_count=len(kept.buckets),
                    done_count=len(progress_now(kept).finished),
                )
            )
        except KeptPlanError as error:
            print(f"{plan_id}  {reason(error)}", file=sys.stderr)
    return 0


def _show(words: Sequence[str]) -> int:
    parser = Parser(prog="mixstation plan show", description="A plan that was kept.")
    parser.add_argument("plan", metavar="ID", help="as listed; a part that no other has will do")
    parser.add_argument("--json", action="store_true", help="as JSON for other programs")
    given = parser.parse_args(words)
    from mixstation.planning.kept import find_kept

    kept = find_kept(plans_folder(), given.plan)
    told = () if given.json else filter(None, (_told_of_first(kept.plan_id),))
    print(
        json.dumps(kept.data, indent=2, ensure_ascii=False) if given.json else "\n".join((*kept.lines, *told))
    )
    return 0


def _told_of_first(plan_id: str) -> str:
    """What the first closed bucket of a plan got, which the others aim at; "" while there is none, or no difference."""
    from mixstation.batch.run import fold
    from mixstation.record.codec import stored_entries
    from mixstation.record.earlier import first_of_plan
    from mixstation.record.journal_there import journal_there
    from mixstation.wording.like_lines import first_done

    with journal_there(folder()) as journal:
        first = None if journal is None else first_of_plan(journal, plan_id)
        if journal is None or first is None:
            return ""
        return first_done(first.bucket_number, fold(stored_entries(journal, first.batch_id)))


_OTHERS = {"list": _list, "show": _show}


def _today() -> date:
    return date.fromtimestamp(time.time())  # noqa: DTZ012 - the day at the shop
