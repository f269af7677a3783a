"""A way out as plain data for JSON: every quantity as text with its unit."""

from typing import Any

from mixstation.batch.run import Run
from mixstation.batch.way import Way
from mixstation.units.show import DisplayUnits, fixed, show_ratio
from mixstation.wording.ways import hindrance_line, way_detail, way_line


def way_data(way: Way, run: Run, units: DisplayUnits = DisplayUnits.METRIC) -> dict[str, Any]:
    """What a way does, where it ends, and what bars it.

    Args:
        way: One of the ways out.
        run: The batch it was worked out for.
        units: What its sentences are in; its figures are metric.
    """
    return {
        "way": way.kind,
        "best_at": way.goal,
        "can_be_taken": not way.hindrances,
        "said": way_line(way, run, units),
        "detail": list(way_detail(way, run, units)),
        "barred_by": [hindrance_line(hindrance, run, units) for hindrance in way.hindrances],
        "pour_back": _kg(way.pour_back_mg),
        "take_out": _kg(way.scoop_mg),
        "add": {amount.material: _kg(amount.mass_mg) for amount in way.additions},
        "totals": {amount.material: _kg(amount.mass_mg) for amount in way.totals},
        "mix": f"{way.mix_s} s",
        "takes": f"{way.takes_s} s",
        "working_time_left": None if way.working_left_s is None else f"{way.working_left_s} s",
        "water_ratio": None if way.ratio is None else show_ratio(way.ratio, 4),
        "water_ratio_of": str(run.recipe.water.of),
        "water_ratio_uncertainty": f"{way.expanded:.4f}",
        "volume": f"{way.volume_l:.2f} L",
        "bucket_weighs": _kg(way.lifted_mg),
        "wasted": _kg(way.wasted_mg),
        "gives_up": list(way.gives_up),
    }


def _kg(mass_mg: int) -> str:
    return f"{fixed(mass_mg / 1_000_000, 6).rstrip('0').rstrip('.')} kg"
