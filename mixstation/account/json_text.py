"""A batch record as JSON that is safe to print."""

import json
import unicodedata

from mixstation.account.form import Record

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
