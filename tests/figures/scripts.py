"""Batches by hand for the ledger: what a draw seldom meets."""

from collections.abc import Callable, Mapping

from tests.figures.bench import Player

SCRIPTS: Mapping[str, Callable[[], Player]] = {}
