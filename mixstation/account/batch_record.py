"""The record of a batch, made by going through its entries again. It reads no clock and nothing else."""

from collections.abc import Iterator

from mixstation.account.cure import after_the_pour
from mixstation.account.entries import entries_kept
from mixstation.account.form import FORM, Ending, Head, Record, ScaleUsed, WeighedBeside
from mixstation.account.made import made
from mixstation.account.materials import materials_used, water_reached
from mixstation.account.replay import Account, account_of
from mixstation.account.say import exact_mass, plain, when
from mixstation.account.work import (
    flags_kept,
    steps_worked,
    told,
)
from mixstation.batch import events as e
from mixstation.record.chain import short_head
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits, show_temperature_c, show_volume_ml
from mixstation.wording.entry_lines import ALL_TYPED, BUCKET_PLACE, outcome_said
from mixstation.wording.safety import BEFORE_THE_FIRST_BAG, LIMITS_OF_USE
from mixstation.wording.words import WEIGHING_WORDS, name_of, weighed_on

_OUTCOMES: dict[str, Ending] = {"": "open", "finished": "finished", "discarded": "discarded"}


def batch_record(entries: tuple[e.Entry, ...], units: DisplayUnits, chain: str = "") -> Record:
    """The record of a batch.

    Args:
        entries: All of a batch's entries, in order.
        units: What masses and temperatures are written in; what was typed or shown stays as it was.
        chain: Hexadecimal hash of the newest entry as it is stored; "" where they are not in a journal.

    Returns:
        Texts, lists and tables only, as `form` says; equal arguments give an equal record.

    Raises:
        FoldError: The entries cannot be a batch of ours.
    """
    account = account_of(entries, units)
    recipe, start = account.run.recipe, account.run.start
    water = water_reached(account)
    record: Record = {
        "form": FORM,
        "head": _head(account),
        "recipe": {
            "key": plain(recipe.key),
            "name": plain(recipe.name),
            "revision": plain(recipe.revision),
            "note": clean(recipe.note, 2_000, keep_lines=True),
            "hash": plain(start.recipe_hash),
            "text": start.recipe_text,
        },
        "scale": _scale(account),
        "water": water,
        "materials": materials_used(account, water["place"]),
        "made": made(account),
        "steps": steps_worked(account),
        "ways": told(account, e.WayTaken | e.RemedyTaken),
        "consistency": told(account, e.ConsistencyJudged),
        "temperatures": told(account, e.TemperatureTaken),
        "flags": flags_kept(account),
        "notes": told(account, e.NoteWritten),
        "entries": entries_kept(account),
        "after_the_pour": after_the_pour(account),
        "finished_piece": {
            "colour": "",
            "voids": "",
            "cracks": "",
            "density_measured": "",
            "change_next_time": "",
        },
        "cautions": [*BEFORE_THE_FIRST_BAG, *LIMITS_OF_USE],
    }
    if chain:
        record["proof"] = {"entries": len(entries), "chain": chain, "short": short_head(chain)}
    return record


def _head(account: Account) -> Head:
    run, start = account.run, account.run.start
    stamps = {type(entry.fact): entry.stamp for entry in reversed(run.live)}
    ends = (each for each in run.live if isinstance(each.fact, e.BatchFinished | e.BatchDiscarded))
    end = next(ends, None)
    concession = plain(end.fact.concession) if end and isinstance(end.fact, e.BatchFinished) else ""
    reason = plain(end.fact.reason) if end and isinstance(end.fact, e.BatchDiscarded) else concession
    outcome = _OUTCOMES[run.ended]
    resumed = [entry.fact.program for entry in run.entries if isinstance(entry.fact, e.ProgramResumed)]
    return {
        "batch": plain(start.batch_id),
        "piece": plain(start.piece),
        "bucket": BUCKET_PLACE.format(number=start.bucket_number, count=start.bucket_count),
        "outcome": outcome,
        "outcome_said": outcome_said(outcome, reason),
        "concession": concession,
        "began": when(run.entries[0].stamp),
        "first_water": account.first_water_at(),
        "ended": when(end.stamp) if end else "",
        "who": list(dict.fromkeys(plain(entry.stamp.who) for entry in run.entries if entry.stamp.who)),
        "programs": list(dict.fromkeys(plain(program) for program in (start.program, *resumed))),
        "weighing": ALL_TYPED if _all_typed(account) else WEIGHING_WORDS[start.weighing],
        "bucket_volume": show_volume_ml(round(start.bucket_l * 1000), account.units),
        "shop_temperature": "" if start.shop_c is None else show_temperature_c(start.shop_c, account.units),
        "safety_read": when(stamps.get(e.SafetyAcknowledged)),
    }


def _weighed(account: Account) -> Iterator[e.MovedMass]:
    for entry in account.run.live:
        if isinstance(entry.fact, e.MovedMass):
            yield entry.fact


def _all_typed(account: Account) -> bool:
    """Whether weights were entered, and none of them came from a scale."""
    sources = {fact.source for fact in _weighed(account)}
    return bool(sources) and "scale" not in sources


def _scale(account: Account) -> ScaleUsed:
    scale, units = account.run.start.scale, account.units
    read = {fact.division_mg for fact in _weighed(account) if fact.source == "scale"}
    return {
        "name": plain(scale.name) if scale else "",
        "capacity": exact_mass(scale.capacity_mg, units, scale.division_mg) if scale else "",
        "division": exact_mass(scale.division_mg, units, scale.division_mg) if scale else "",
        "checked": plain(scale.checked) if scale else "",
        "divisions_read": [exact_mass(division_mg, units, division_mg) for division_mg in sorted(read)],
        "beside": _beside(account),
    }


def _beside(account: Account) -> list[WeighedBeside]:
    facts = [fact for fact in _weighed(account) if isinstance(fact, e.WeightRecorded)]
    found = dict.fromkeys(weighed_on(account.run, fact) for fact in facts)
    return [
        {
            "material": plain(name_of(account.run.recipe, each.material)),
            "scale": plain(each.scale),
            "division": exact_mass(each.division_mg, account.units, each.division_mg),
        }
        for each in found
        if each is not None
    ]
