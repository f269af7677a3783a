"""How a batch is shown and weighed, in words: what was said anew for it, and what of the settings has changed since."""

from collections.abc import Collection, Iterable
from typing import Final

from mixstation.batch.events import Entry, ProgramResumed
from mixstation.units.clean import clean
from mixstation.units.settings import Settings
from mixstation.units.show import DisplayUnits, trimmed
from mixstation.units.show_mass import show_mass

FROM_HERE_ON: Final = "From here on: {words}."
CHANGED: Final = "Settings have changed since: {changes}. This batch keeps its own."
_SET, _NOT_SET, _WAS = "{key} {value}", "{key} not set", "{now} (was {was})"
_LONGEST: Final = 40


def settings_words(settings: Settings, options: Collection[str] | None = None) -> str:
    """Settings as the options say them.

    Args:
        options: Which to say; None for all.
    """
    words = {
        "units": f"units {settings.units}",
        "division": f"division {_division(settings)}",
        "hands_free": f"hands-free {trimmed(settings.hands_free_s, 1)} s",
        "decimal_comma": "decimal comma" if settings.decimal_comma else "decimal point",
        "plain": "lines" if settings.plain else "screen",
    }
    return ", ".join(text for name, text in words.items() if options is None or name in options)


def _division(settings: Settings) -> str:
    """As it is likely to stand on the scale: 1 g is not said as 0.002205 lb."""
    ways = (settings.units, DisplayUnits.METRIC)
    return min((show_mass(settings.division_mg, units) for units in ways), key=len)


def resumed_line(resumed: Entry, begun: Settings | None, now: Settings, anew: Collection[str]) -> str:
    """What is to be said of the settings of a batch gone on with; "" for nothing.

    Args:
        resumed: That the program started again.
        begun: The settings that the batch was begun with; None where they were not kept.
        now: What options and settings file say now.
        anew: Options that were said for this batch.
    """
    who = f"who {clean(resumed.stamp.who, _LONGEST)}" if "who" in anew else ""
    settings = resumed.fact.settings if isinstance(resumed.fact, ProgramResumed) else None
    words = "" if settings is None else settings_words(settings, anew)
    said = ", ".join(filter(None, (who, words)))
    lines = [FROM_HERE_ON.format(words=said)] if said else []
    changes = [] if begun is None else list(_changes(begun, now, anew))
    if changes:
        lines.append(CHANGED.format(changes=", ".join(changes)))
    return " ".join(lines)


def _changes(begun: Settings, now: Settings, anew: Collection[str]) -> Iterable[str]:
    """What the settings file says otherwise than when the batch was begun, and no option for this batch."""
    was, says = ({each.key: each.value for each in at.on_file} for at in (begun, now))
    for key in dict.fromkeys((*was, *says)):
        if was.get(key) != says.get(key) and key not in anew:
            before = clean(was[key], _LONGEST) if key in was else "not set"
            yield _WAS.format(now=_said(key, says.get(key)), was=before)


def _said(key: str, value: str | None) -> str:
    name = key.replace("_", " ")
    return _NOT_SET.format(key=name) if value is None else _SET.format(key=name, value=clean(value, _LONGEST))
