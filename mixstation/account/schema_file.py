"""The JSON Schema of a batch record, made from its form and shipped beside it.

Written anew by `python -m mixstation.account.schema_file`.
"""

import json
from pathlib import Path
from typing import Any

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
