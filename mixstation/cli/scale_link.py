"""The link to the scale that words, settings or the open batch itself name, and keeping it with the batch."""

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mixstation.cli.bench_words import folder
from mixstation.frozen import Frozen

if TYPE_CHECKING:
    from mixstation.scale.reading import Link


class ScaleLink(Frozen):
    """A link to the scale, or none.

    Attributes:
        make: Makes the link; None where weights are typed.
        opened: Called with a batch's id once it is open: keeps the link with it; gives words to show.
    """

    make: "Callable[[], Link] | None"
    opened: Callable[[str], str]


def link_of(given: argparse.Namespace, batch_id: str = "") -> ScaleLink:
    """The link to the scale.

    Args:
        given: The words at the bench.
        batch_id: A batch to go on with: unless a port is said, it has the link it had, or none; "" for a new one.

    Raises:
        LookupError: No profile fits what the scale sends.
        FileRefused: The profile cannot be used.
    """
    if batch_id and not given.said.get("port"):
        from mixstation.record.kept_link import kept_link
        from mixstation.wording.kept_lines import LINK_NOT_READ, port_away

        try:
            kept = kept_link(folder(), batch_id)
        except OSError as error:
            from mixstation.wording.error_lines import reason

            words = LINK_NOT_READ.format(reason=reason(error))
            return ScaleLink(make=None, opened=lambda _: words)
        if kept is not None:
            away = "" if Path(kept.port).exists() else port_away(kept.port)
            return _serial(kept.port, given.said.get("profile") or kept.profile, away)
    if not given.port or (batch_id and _keeps_its_own(batch_id)):
        return ScaleLink(make=None, opened=lambda _: "")
    return _serial(given.port, given.profile or _heard(given.port), "")


def _keeps_its_own(batch_id: str) -> bool:
    """Whether how it was begun is kept with a batch; one of an earlier program has the port of the settings.

    Raises:
        JournalError: It could not be read.
    """
    from mixstation.record.journal_there import journal_there
    from mixstation.record.stored import said_of_settings

    with journal_there(folder()) as journal:
        return journal is not None and bool(said_of_settings(journal, batch_id))


def _serial(port: str, profile_name: str, words: str) -> ScaleLink:
    from mixstation.record.kept_link import KeptLink, keep_link
    from mixstation.scale.profile_folder import find_profile
    from mixstation.scale.serial_link import SerialLink
    from mixstation.wording.kept_lines import LINK_NOT_KEPT

    profile = find_profile(profile_name)
    is_file = profile_name.endswith(".toml")
    link = KeptLink(port=port, profile=str(Path(profile_name).absolute()) if is_file else profile_name)

    def opened(batch_id: str) -> str:
        try:
            keep_link(folder(), batch_id, link)
        except Exception as error:
            from mixstation.wording.error_lines import reason

            # The batch goes on all the same: only a restart will not find the scale by itself.
            return f"{words} {LINK_NOT_KEPT.format(port=port, reason=reason(error))}".strip()
        return words

    return ScaleLink(make=lambda: SerialLink(port, profile), opened=opened)


def _heard(port: str) -> str:
    """Name of the profile that reads what a port sends."""
    from mixstation.scale.detect import detect
    from mixstation.scale.profile_folder import all_profiles
    from mixstation.wording.scale_lines import FOUND_FOR_BATCH, LISTENING_FOR_BATCH

    print(LISTENING_FOR_BATCH.format(port=port), file=sys.stderr)
    found = detect(port, all_profiles()[0])
    if found.profile is None:
        raise LookupError("no-profile-fits")
    print(FOUND_FOR_BATCH.format(name=found.profile.name), file=sys.stderr)
    return found.profile.name
