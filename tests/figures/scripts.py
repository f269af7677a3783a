"""Every batch by hand for the ledger, by name."""

from collections.abc import Callable, Mapping
from functools import partial

from tests.batch.every_flag import EVERY_FLAG
from tests.figures import bounds_met, limits_met, undone, work_done
from tests.figures.bench import Player


def flagged(code: str) -> Player:
    """How a flag comes and how it goes."""
    case = EVERY_FLAG[code]
    bench = case.comes()
    player = Player(run=bench.run, hands=bench.hands, division_mg=bench.division_mg, live=bench.live)
    player.keeps("comes", ())
    case.goes(player)
    player.keeps("goes", ())
    return player


SCRIPTS: Mapping[str, Callable[[], Player]] = {
    **{f"{key} at its limits": partial(limits_met.masses_at_limits, key) for key in limits_met.ENDS},
    **{
        make.__name__.replace("_", " "): make
        for make in (
            limits_met.limits_ahead,
            limits_met.asked_about,
            limits_met.solids_capped,
            limits_met.taken_out,
            limits_met.tubs,
            limits_met.reconciled,
            limits_met.weighed_apart,
            limits_met.small_doses,
            limits_met.roundings,
            limits_met.room_for_more,
            limits_met.room,
            limits_met.aimed_at_nothing,
            work_done.times_at_limits,
            work_done.mended_mixes,
            work_done.plasticiser_acts,
            work_done.released,
            work_done.judged_at_limits,
            work_done.warm_and_cold,
            work_done.cups,
            work_done.aged,
            work_done.sets_in_hand,
            work_done.skipped_and_done,
            work_done.run_out,
            work_done.nothing_stands,
            work_done.before_safety,
            work_done.off_scale,
            undone.every_entry,
            undone.shares_left_out,
            undone.hanging_shares,
            undone.came_out_since,
            undone.ways_taken_back,
            undone.ways_that_fit,
            undone.remedies_taken,
            undone.before_all,
            bounds_met.strangers,
            bounds_met.bounds,
            bounds_met.kinds,
        )
    },
    **{f"flag {code}": partial(flagged, code) for code in EVERY_FLAG},
}
