"""Ledgers of our own figures: many cases worked out again, each compared with what was kept of it."""
