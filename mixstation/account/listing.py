"""A batch in one line of a list."""

from mixstation.account.replay import Account, division_of
from mixstation.account.say import plain, when
from mixstation.batch.events import Entry, FlagRaised
from mixstation.batch.ratio_place import place_of_ratio
from mixstation.batch.run import fold
from mixstation.units.show import DisplayUnits, show_ratio
from mixstation.wording.counted import counted
from mixstation.wording.entry_lines import LISTED_AS, NO_RATIO, PLACE_WORDS


def listed(batch_id: str, entries: tuple[Entry, ...]) -> str:
    """Id, date, how it ended, water ratio against its band, flags raised, piece and recipe.

    Args:
        batch_id: What it is stored under.
        entries: All of a batch's entries, in order.

    Raises:
        FoldError: The entries cannot be a batch of ours.
    """
    run = fold(entries)
    account = Account(run=run, kept=(), units=DisplayUnits.METRIC, division_mg=division_of(run))
    ratio, rule = account.reached.ratio, run.recipe.water
    water = NO_RATIO
    if ratio is not None:
        place = place_of_ratio(ratio, account.reached.expanded, rule.least, rule.most)
        water = f"{show_ratio(ratio)} {PLACE_WORDS[place]}"
    count = sum(isinstance(entry.fact, FlagRaised) for entry in run.live)
    flags = counted(count, "flag")
    what = ", ".join(filter(None, (plain(run.start.piece, 60), plain(run.recipe.name, 60))))
    begun = when(entries[0].stamp)[:16]
    return f"{plain(batch_id, 60)}  {begun}  {LISTED_AS[run.ended]:<9}  {water:<14}  {flags:<8}  {what}"
