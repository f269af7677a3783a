"""How much of the bucket a layer takes, and what then still goes into the rest.

Rules: a recipe's own split is a fraction of what is in; the layer of a planned piece is a mass, which its moulds need
whatever else the batch becomes, and less only where the batch itself is made smaller.
"""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mixstation.batch.events import Amount, Entry
from mixstation.batch.run import Run, apply
from mixstation.batch.targets import after_take_outs, project, still_to_come
from mixstation.batch.way import Rest, StockLacks, Way, way_taken
from mixstation.recipe.model import AddStep, ReleaseStep, SplitStep


def with_rest(run: Run, way: Way, divisions_mg: Mapping[str, int]) -> Way:
    """A way with what still goes in once it is taken, by the steps that will ask for it."""
    divisions = tuple(Amount(material=key, mass_mg=mass_mg) for key, mass_mg in divisions_mg.items())
    return replace(way, rest=_rest(run, way, divisions_mg), divisions=divisions)


def _rest(run: Run, way: Way, divisions_mg: Mapping[str, int]) -> Rest:
    if way.kind == "discard":
        return Rest(totals=way.totals)
    if "stiffening" in way.gives_up:
        return Rest(
            totals=tuple(Amount(material=key, mass_mg=round(mass)) for key, mass in run.content.items())
        )
    stamp = run.entries[-1].stamp
    # What a way is barred by the lack of is told all the same.
    lacks = {each.material for each in way.hindrances if isinstance(each, StockLacks)}
    there = replace(run, ran_out=run.ran_out - lacks)
    after = apply(there, Entry(seq=len(run.entries) + 1, stamp=stamp, fact=way_taken(way, "")))
    inside = after_take_outs(after)
    added, after_layer, is_split = dict.fromkeys(inside, Fraction(0)), list[str](), False
    for step, mass_mg in still_to_come(after, project(after)):
        is_split |= isinstance(step, SplitStep)
        if isinstance(step, AddStep | ReleaseStep) and mass_mg:
            added[step.material] += mass_mg
            if is_split:
                after_layer.append(step.material)
    weighed = {key: round(mass / divisions_mg[key]) * divisions_mg[key] for key, mass in added.items()}
    return Rest(
        added=tuple(Amount(material=key, mass_mg=mass) for key, mass in weighed.items() if mass),
        totals=tuple(
            Amount(material=key, mass_mg=round(mass + weighed[key])) for key, mass in inside.items()
        ),
        after_layer=tuple(after_layer),
    )


def layer_is_out(run: Run) -> Run:
    """The batch as it is steered to once its first layer was taken out; the batch itself if it has none to come."""
    split = next((step for step in run.steps if isinstance(step, SplitStep)), None)
    if split is None or split.key in run.finished:
        return run
    return replace(run, finished=run.finished | {split.key}, kept=run.kept * (1 - split.fraction))


def holds_what_follows_a_layer(run: Run) -> bool:
    """Whether something is in that goes in only after a layer is out."""
    before: set[str] = set()
    for step in run.steps:
        if isinstance(step, SplitStep):
            return any(
                mass_mg and key not in before for key, mass_mg in run.content.items() if _is_added(run, key)
            )
        if isinstance(step, AddStep | ReleaseStep):
            before.add(step.material)
    return False


def _is_added(run: Run, key: str) -> bool:
    return any(isinstance(step, AddStep | ReleaseStep) and step.material == key for step in run.steps)
