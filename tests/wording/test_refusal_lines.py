"""What is said of an answer that is not taken, or asked about first."""

from dataclasses import fields
from typing import Any, get_args

import pytest

from mixstation.batch.commands import Book
from mixstation.units.errors import BadNumber, Nothing, TooLong, UnitsError, UnitsFault
from mixstation.wording.quantity_lines import units_line
from mixstation.wording.refusal_lines import refusal_line
from tests.batch.making import SPEECH, Bench, blend, weight
from tests.batch.recipes import g, kg


def asked(bench: Bench, command: object) -> str:
    return refusal_line(bench.run, bench.refuses(command), SPEECH)  # type: ignore[arg-type]


def test_the_water_that_the_powders_still_to_come_will_bind_is_said_of_the_end() -> None:
    """2.7 kg on 18 kg of powder: 0.150 once all the powder is in."""
    line = asked(blend(), Book(weight=weight(kg("2.7"))))
    assert line == "With this the water would end at 0.150, over the ceiling of 0.146."


def test_a_number_with_nothing_after_its_mark_is_told_where_a_mark_may_stand() -> None:
    line = units_line(UnitsError(BadNumber(found="4.")))
    assert line == "“4.” is not a number: type digits, with . or , before or among them."


def test_no_amount_is_called_nothing_that_is_something() -> None:
    """0.4 kg taken for grams, on a scale of 5 g; then one where enough is in."""
    bench = blend(g(5)).goes_to("blend-1")
    line = asked(bench, Book(weight=weight(400, "typed")))
    assert line == "0.4 g is far under the 9.000 kg asked for."
    bench.pours(kg("18.1"), confirmed=True)
    bench.goes_to("blend-2")
    assert asked(bench, Book(weight=weight(400, "typed"))) == "0.4 g, where no more is asked for."


@pytest.mark.parametrize("kind", get_args(UnitsFault), ids=lambda kind: kind.code)
def test_every_fault_of_a_quantity_can_be_said_with_its_own_fields(kind: type[Any]) -> None:
    line = units_line(UnitsError(kind(**{each.name: "{0}" for each in fields(kind)})))
    assert line[-1] in ".?"
    assert "{0}" in line or kind in (Nothing, TooLong)
