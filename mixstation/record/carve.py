"""Events read straight from the pages of a damaged journal file, where SQLite gives up at the first bad one.

Nothing found here is believed for being found: the chain of its batch proves it or does not.

Source: the SQLite database file format, sqlite.org/fileformat2.html, sections 1.3 (header), 1.6 (pages), 2.1 (records).
"""

from collections.abc import Iterator

from mixstation.record.chain import EventRow

Cell = int | bytes | None

_TABLE_LEAF, _INDEX_LEAF, _INDEX_INTERIOR = 0x0D, 0x0A, 0x02
_USUAL_PAGE_BYTES = 4096
_INT_BYTES = {0: 0, 1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8, 8: 0, 9: 0}
_LINK_BYTES = 32


def carve(content: bytes) -> tuple[dict[int, bytes], dict[int, dict[int, EventRow]]]:
    """Ids by batch number, and events by batch and sequence number, in the bytes of a journal file."""
    names: dict[int, bytes] = {}
    events: dict[int, dict[int, EventRow]] = {}
    for row_id, values in _records(content):
        match values:
            case (None, bytes(name)) if row_id is not None:
                names[row_id] = name
            case (int(number), int(seq), bytes(kind), bytes(body), bytes(link)) if len(link) == _LINK_BYTES:
                events.setdefault(number, {})[seq] = (seq, kind, body, link)
    return names, events


def _records(content: bytes) -> Iterator[tuple[int | None, tuple[Cell, ...]]]:
    """Every record of a table or of a table without row ids, with its row id where it has one."""
    page_bytes = int.from_bytes(content[16:18], "big")
    page_bytes = 65536 if page_bytes == 1 else page_bytes
    reserved_bytes = content[20] if len(content) > 20 else 0
    if page_bytes < 512 or page_bytes & (page_bytes - 1) or reserved_bytes > 32:
        page_bytes, reserved_bytes = _USUAL_PAGE_BYTES, 0
    for start in range(0, len(content), page_bytes):
        page = content[start : start + page_bytes]
        yield from _page_records(
            content, page, 100 if start == 0 else 0, page_bytes - reserved_bytes, page_bytes
        )


def _page_records(
    content: bytes, page: bytes, head_at: int, usable_bytes: int, page_bytes: int
) -> Iterator[tuple[int | None, tuple[Cell, ...]]]:
    kind = page[head_at] if len(page) > head_at else 0
    if kind not in (_TABLE_LEAF, _INDEX_LEAF, _INDEX_INTERIOR):
        return
    cell_count = int.from_bytes(page[head_at + 3 : head_at + 5], "big")
    pointers_at = head_at + (12 if kind == _INDEX_INTERIOR else 8)
    for index in range(min(cell_count, page_bytes // 4)):
        at = int.from_bytes(page[pointers_at + 2 * index : pointers_at + 2 * index + 2], "big")
        row_id = None
        try:
            if kind == _INDEX_INTERIOR:
                at += 4
            payload_count, at = _varint(page, at)
            if kind == _TABLE_LEAF:
                row_id, at = _varint(page, at)
            payload = _payload(
                content, page, at, payload_count, usable_bytes, page_bytes, kind == _TABLE_LEAF
            )
            yield row_id, _values(payload)
        except (IndexError, ValueError):
            continue


def _payload(
    content: bytes, page: bytes, at: int, count: int, usable_bytes: int, page_bytes: int, in_table: bool
) -> bytes:
    """A record's bytes, those on overflow pages with them."""
    if not 0 < count <= len(content):
        raise ValueError(count)
    most = usable_bytes - 35 if in_table else (usable_bytes - 12) * 64 // 255 - 23
    if count <= most:
        return page[at : at + count]
    least = (usable_bytes - 12) * 32 // 255 - 23
    local = least + (count - least) % (usable_bytes - 4)
    local = local if local <= most else least
    parts, left = [page[at : at + local]], count - local
    following = int.from_bytes(page[at + local : at + local + 4], "big")
    while left > 0 and following:
        start = (following - 1) * page_bytes
        part = content[start + 4 : start + min(usable_bytes, left + 4)]
        if not part:
            raise ValueError(following)
        parts.append(part)
        left -= len(part)
        following = int.from_bytes(content[start : start + 4], "big")
    if left > 0:
        raise ValueError(left)
    return b"".join(parts)


def _values(payload: bytes) -> tuple[Cell, ...]:
    head_count, at = _varint(payload, 0)
    types = []
    while at < head_count:
        kind, at = _varint(payload, at)
        types.append(kind)
    values: list[Cell] = []
    for kind in types:
        size = (kind - 12) // 2 if kind >= 12 else _INT_BYTES.get(kind, -1)
        part = payload[at : at + size] if size >= 0 else b""
        if size < 0 or len(part) != size:
            raise ValueError(kind)
        at += size
        if kind >= 12:
            values.append(part)
        elif kind in (8, 9):
            values.append(kind - 8)
        else:
            values.append(int.from_bytes(part, "big", signed=True) if kind else None)
    return tuple(values)


def _varint(content: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes, and where it ends."""
    value = 0
    for place in range(9):
        byte = content[at + place]
        if place == 8:
            return value << 8 | byte, at + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + place + 1
    raise AssertionError
