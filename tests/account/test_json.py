"""The JSON of a record means the record, is safe to print, and keeps to the shipped schema."""

import copy
import hashlib
import json
import unicodedata
from dataclasses import replace
from typing import Any

import pytest
from jsonschema import Draft202012Validator  # type: ignore[import-untyped]

from mixstation.account.batch_record import batch_record
from mixstation.account.form import Record
from mixstation.account.record_json import SCHEMA_PATH, as_json, record_schema, schema_text
from mixstation.batch.events import BatchStarted
from mixstation.units.show import DisplayUnits
from tests.account.batches import BATCHES, entries_of

SHIPPED = json.loads(SCHEMA_PATH.read_text("utf-8"))
VALIDATOR = Draft202012Validator(SHIPPED)


def record_of(name: str, units: DisplayUnits = DisplayUnits.METRIC) -> Record:
    return batch_record(entries_of(name), units)


def test_the_shipped_schema_is_up_to_date() -> None:
    assert SCHEMA_PATH.read_text("utf-8") == schema_text()


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(record_schema())


@pytest.mark.parametrize("units", list(DisplayUnits))
@pytest.mark.parametrize("name", BATCHES)
def test_every_record_keeps_to_it(name: str, units: DisplayUnits) -> None:
    read = json.loads(as_json(record_of(name, units)))
    assert [error.message for error in VALIDATOR.iter_errors(read)] == []
    assert read == record_of(name, units)


def _broken(change: str) -> Any:
    record: Any = copy.deepcopy(record_of("eventful"))
    match change:
        case "a part too many":
            record["head"]["colour"] = "grey"
        case "a part missing":
            del record["water"]["expanded"]
        case "a bare number":
            record["entries"][3]["actual"] = 1.5
        case "an outcome of its own":
            record["head"]["outcome"] = "lost"
        case "no taking back":
            record["entries"][3]["taken_back"] = "slip"
        case "a whole part missing":
            del record["cautions"]
    return record


@pytest.mark.parametrize(
    "change",
    [
        "a part too many",
        "a part missing",
        "a bare number",
        "an outcome of its own",
        "no taking back",
        "a whole part missing",
    ],
)
def test_the_schema_refuses(change: str) -> None:
    assert not VALIDATOR.is_valid(_broken(change))


def test_nothing_a_terminal_would_act_on() -> None:
    text = as_json(record_of("hostile"))
    raw = {sign for sign in text if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")}
    assert raw == {"\n"}
    assert "é" in as_json({**record_of("eventful"), "cautions": ["é\x9b"]})


def test_the_recipe_is_kept_to_the_letter() -> None:
    start = entries_of("as advised")[0]
    assert isinstance(start.fact, BatchStarted)
    text = 'name = "Sill\ttop \u202e \x85"\r\n# two\n'
    fact = replace(start.fact, recipe_text=text, recipe_hash=hashlib.sha256(text.encode()).hexdigest())
    entries = (replace(start, fact=fact), *entries_of("as advised")[1:])
    read = json.loads(as_json(batch_record(entries, DisplayUnits.METRIC)))
    assert read["recipe"]["text"] == text
    assert hashlib.sha256(read["recipe"]["text"].encode()).hexdigest() == read["recipe"]["hash"]
