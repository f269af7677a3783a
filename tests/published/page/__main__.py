"""Prints the page."""

from tests.published.page import table
from tests.published.test_all_cases import all_cases

print(table(all_cases()))
