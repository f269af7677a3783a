"""The one reader of tables that people write.

What a table may hold is a table itself: by key, how its value is read and what may be written, so that every fault
can say it. All that is wrong is noted, each value, each missing and each unknown key on its line.

Each fault also carries the key, and what may be written for it as its example.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from mixstation.coded import Told
from mixstation.frozen import Frozen
from mixstation.toml.faults import Faults, nearest
from mixstation.toml.faults_of_files import Form, NameTwice, TooMany, UnknownKey
from mixstation.toml.lines import FileRefused, parse_toml
from mixstation.toml.quantities import QuantityError
from mixstation.units.alike import alike


class Key(Frozen):
    """A key of a table.

    Attributes:
        read: Reads its value; raises `QuantityError`.
        example: What may be written, as it would stand in the file.
        optional: It may be left out.
    """

    read: Callable[[object], Any]
    example: str
    optional: bool = False


class TableKey(Frozen):
    """A key that holds a table, or tables, which are read by themselves.

    Attributes:
        example: What may be written, as it would stand in the file.
        optional: It may be left out.
        limit_count: How many tables it may hold; 0 where it is a table alone.
    """

    example: str
    optional: bool = False
    limit_count: int = 0


Keys = Mapping[str, Key | TableKey]


class Table:
    """One table of a file.

    Attributes:
        content: As parsed.
        values: What has been read of it, by key: a value, a `Table`, or a list of them.
        is_sound: Whether nothing was found wrong with it or with the tables in it.
    """

    __slots__ = ("_at", "_faults", "_keys", "_parent", "content", "is_sound", "values")

    def __init__(
        self,
        content: Mapping[str, Any],
        faults: Faults,
        at: tuple[str | int, ...] = (),
        parent: "Table | None" = None,
    ) -> None:
        """Take a table before it is read.

        Args:
            content: As parsed.
            faults: Where to note what is wrong.
            at: Where it stands in the file.
            parent: The table that holds it; None for the file as a whole.
        """
        self.content = content
        self.values: dict[str, Any] = {}
        self.is_sound = True
        self._at, self._faults, self._parent = at, faults, parent
        self._keys: Keys = {}

    def read(self, keys: Keys, *, ignore_rest: bool = False) -> dict[str, Any]:
        """Read the table.

        Args:
            keys: What it may hold.
            ignore_rest: Say nothing of unknown keys.

        Returns:
            Its `values`: what could be read, by key.
        """
        self._keys = {**self._keys, **keys}
        for name, key in keys.items():
            value = self.content.get(name)
            if value is None or (value == [] and isinstance(key, TableKey)):
                if not key.optional:
                    self.fault(name, Form.KEY_MISSING)
            elif isinstance(key, TableKey):
                self._read_inner(name, key, value)
            else:
                try:
                    self.values[name] = key.read(value)
                except QuantityError as error:
                    self.fault(name, error.told)
        if not ignore_rest:
            self._fault_unknown()
        return self.values

    def read_kind(self, name: str, kinds: Mapping[str, Keys], common: Keys) -> str:
        """Read a table one of whose keys says what else it may hold.

        Args:
            name: That key; its value is one of the kinds, or cannot be read.
            kinds: What a table of each kind may hold.
            common: What each may hold besides, the telling key among it.

        Returns:
            The kind; "" where it cannot be told, and then nothing else is read.
        """
        kind = str(self.read({name: common[name]}, ignore_rest=True).get(name, ""))
        if kind:
            self.read({**common, **kinds[kind]})
        return kind

    def fault(self, key: str | tuple[str, int] | None, told: Told, example: str = "") -> None:
        """Note a fault.

        Args:
            key: The key it is about, with the place from 0 where it is about one of a list; None for the table itself.
            told: What is wrong.
            example: What may be written, where it is not what the key's own example says.
        """
        table: Table | None = self
        while table is not None:
            table.is_sound, table = False, table._parent
        within = () if key is None else (key,) if isinstance(key, str) else key
        known = self._keys.get(within[0]) if within else None
        self._faults.add((*self._at, *within), told, example or (known.example if known else ""))

    def line(self, key: str | None = None) -> int:
        """Line of a key or of the table itself, or else of what encloses it; 0 where nothing does."""
        return self._faults.line(self._at if key is None else (*self._at, key))

    @property
    def number(self) -> int:
        """Which of its like it is, from 1; 0 where it stands alone."""
        place = self._at[-1] if self._at else ""
        return place + 1 if isinstance(place, int) else 0

    def refusal(self) -> FileRefused:
        """All that was found wrong with the file, to be raised."""
        return FileRefused(self._faults.found)

    def _read_inner(self, name: str, key: TableKey, value: object) -> None:
        at = (*self._at, name)
        if not key.limit_count:
            if isinstance(value, dict):
                self.values[name] = Table(value, self._faults, at, self)
            else:
                self.fault(name, Form.NOT_A_TABLE)
            return
        if not isinstance(value, list):
            self.fault(name, Form.NOT_TABLES)
            return
        limit = key.limit_count
        if len(value) > limit:
            self.fault((name, limit), TooMany(found_count=len(value), limit_count=limit))
        self.values[name] = []
        for index, content in enumerate(value[:limit]):
            if isinstance(content, dict):
                self.values[name].append(Table(content, self._faults, (*at, index), self))
            else:
                self.fault((name, index), Form.NOT_TABLES)

    def _fault_unknown(self) -> None:
        known = sorted(self._keys)
        for name in self.content:
            if name not in self._keys:
                near = "" if self._faults.is_full else nearest([name], known)
                self.fault(name, UnknownKey(suggestion=near, choices=", ".join(known)))


def file_table(text: str, path: str, *, places: bool = False) -> Table:
    """The outermost table of a file.

    Args:
        text: TOML.
        path: Where it is from; only named in faults.
        places: See `Faults`.

    Raises:
        FileRefused: It is no TOML, or too deep; see `mixstation.toml.lines.load_toml`.
    """
    document, lines = parse_toml(text, path)
    return Table(document, Faults(text, path, lines, places=places))


def note_twins(tables: Iterable[Table]) -> None:
    """Note every name that is, or looks like, one that stands before it, as "name-twice".

    Args:
        tables: Those of a repeated table, read; what has no name that could be read is passed over.
    """
    first: dict[str, Table] = {}
    for table in tables:
        name = table.values.get("name", "")
        before = first.setdefault(alike(name), table) if name else table
        if before is not table:
            other, first_line = before.values["name"], before.line("name")
            table.fault("name", NameTwice(found=name, other=other, first_line=first_line))
