"""Writes the tables into the README."""

from tests.mishaps.page import README, rewritten

README.write_text(rewritten(README.read_text(encoding="utf-8")), encoding="utf-8")
