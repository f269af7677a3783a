"""A batch record as JSON that is safe to print, and its JSON Schema, made from its form and shipped beside it.

Written anew by `python -m mixstation.account.record_json`.
"""

import json
import unicodedata
from pathlib import Path
from typing import Any

from mixstation.account.form import Record

SCHEMA_PATH = Path(__file__).with_name("batch_record.schema.json")
_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def record_schema() -> dict[str, Any]:
    """The schema, in which no other name than those of the form is allowed.

    Source: JSON Schema, draft 2020-12.
    """
    from pydantic import TypeAdapter

    from mixstation.account.form import Record

    schema = TypeAdapter(Record).json_schema()
    for form in (schema, *schema["$defs"].values()):
        form["additionalProperties"] = False
    return {"$schema": _DIALECT, **schema}


def schema_text() -> str:
    """The schema as the file holds it."""
    return json.dumps(record_schema(), indent=2, ensure_ascii=False, sort_keys=True) + "\n"


if __name__ == "__main__":
    SCHEMA_PATH.write_text(schema_text(), encoding="utf-8")


_ESCAPED = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def as_json(record: Record) -> str:
    """The record as JSON text, indented, with a line end at the last.

    Signs a terminal would act on are written as escapes, so that the text means the very same.

    Args:
        record: Made by `batch_record`.

    Source: RFC 8259, section 7: any character may be escaped inside a string.
    """
    text = json.dumps(record, ensure_ascii=False, indent=2, allow_nan=False)
    return "".join(map(_safe, text)) + "\n"


def _safe(sign: str) -> str:
    if sign == "\n" or unicodedata.category(sign) not in _ESCAPED:
        return sign
    return json.dumps(sign)[1:-1]
