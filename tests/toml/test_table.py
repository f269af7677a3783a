"""The reader of tables: every fault, on its line, with what to write, and what could be read all the same."""

import pytest

from mixstation.toml.faults_of_files import TooMany
from mixstation.toml.quantities import count, one_of, words
from mixstation.toml.table import Key, Keys, Table, TableKey, file_table

NAME = Key(read=words(10), example='"tub"')
HOLES = Key(read=count(1, 3), example="2", optional=True)
YARD: Keys = {
    "name": NAME,
    "lid": TableKey(example="[lid]", optional=True),
    "tub": TableKey(example="[[tub]]", limit_count=2),
}
LID: Keys = {"name": NAME, "holes": HOLES}


def brief(top: Table) -> list[tuple[int, str, str, str]]:
    """Line, code, key and example of each fault."""
    faults = top.refusal().faults
    return [(fault.line, fault.code, fault.key, fault.example) for fault in faults]


def test_a_sound_file_gives_values_tables_and_lists_of_tables() -> None:
    top = file_table('name = "yard"\n[lid]\nname = "lid"\n[[tub]]\n[[tub]]\nname = "b"\n', "yard.toml")
    values = top.read(YARD)
    assert values["name"] == "yard"
    assert values["lid"].read(LID) == {"name": "lid"}
    assert [tub.number for tub in values["tub"]] == [1, 2]
    assert [tub.line() for tub in values["tub"]] == [4, 5]
    assert (top.number, values["tub"][1].line("name"), top.line("nothing")) == (0, 6, 0)
    assert top.is_sound


def test_all_faults_come_together_in_the_order_of_the_file() -> None:
    text = 'nmae = "yard"\n[lid]\nname = 3\nholes = 4\n[[tub]]\n'
    top = file_table(text, "yard.toml")
    top.read(YARD)["lid"].read(LID)
    assert brief(top) == [
        (0, "key-missing", "name", '"tub"'),
        (1, "unknown-key", "nmae", ""),
        (3, "not-text", "name", '"tub"'),
        (4, "out-of-range", "holes", "2"),
    ]
    unknown, *_ = (fault for fault in top.refusal().faults if fault.code == "unknown-key")
    assert (unknown.told.suggestion, unknown.told.choices) == ("name", "lid, name, tub")


def test_a_fault_is_of_every_table_around_it_and_of_no_other() -> None:
    top = file_table('name = "yard"\n[[tub]]\nname = "a"\n[[tub]]\nname = "a"\n', "yard.toml")
    first, second = top.read(YARD)["tub"]
    for tub in (first, second):
        tub.read({"name": NAME})
    second.fault("name", TooMany(found_count=2, limit_count=1))
    assert (first.is_sound, second.is_sound, top.is_sound) == (True, False, False)
    assert brief(top) == [(5, "too-many", "name", '"tub"')]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ('name = "y"\nlid = 3\n[[tub]]', [(2, "not-a-table", "lid", "[lid]")]),
        ('name = "y"\n[tub]', [(2, "not-tables", "tub", "[[tub]]")]),
        ('name = "y"\ntub = []', [(2, "key-missing", "tub", "[[tub]]")]),
        ('name = "y"\ntub = [\n{},\n4,\n]', [(4, "not-tables", "tub", "[[tub]]")]),
        ('name = "y"\n[[tub]]\n[[tub]]\n[[tub]]\n[[tub]]', [(4, "too-many", "tub", "[[tub]]")]),
    ],
)
def test_tables_that_are_none_or_too_many(text: str, faults: list[tuple[int, str, str, str]]) -> None:
    top = file_table(text, "yard.toml")
    tubs = top.read(YARD).get("tub", [])
    assert brief(top) == faults
    assert all(isinstance(tub, Table) for tub in tubs)
    assert len(tubs) <= 2


def test_a_table_whose_kind_is_not_known_is_not_read_on() -> None:
    kinds: dict[str, Keys] = {"round": {"holes": HOLES}, "square": {"name": NAME}}
    common: Keys = {"kind": Key(read=one_of(*kinds), example='"round"')}
    top = file_table('kind = "round"\nholes = 1\n', "lid.toml")
    assert top.read_kind("kind", kinds, common) == "round"
    assert top.values == {"kind": "round", "holes": 1}
    for text, code in (('kind = "ruond"\nodd = 1', "not-one-of"), ("odd = 1", "key-missing")):
        top = file_table(text, "lid.toml")
        assert top.read_kind("kind", kinds, common) == ""
        assert [fault[1] for fault in brief(top)] == [code]


def test_where_tables_share_a_line_the_place_is_told() -> None:
    top = file_table('name = "y"\ntub = [{}, {odd = 1}]\n', "yard.toml", places=True)
    for tub in top.read(YARD)["tub"]:
        tub.read({})
    assert [fault.place for fault in top.refusal().faults] == ["tub[2].odd"]


def test_a_key_without_a_name_stands_on_its_own_line() -> None:
    top = file_table('[lid]\nname = "lid"\n"" = 1\n', "yard.toml")
    top.read({"lid": YARD["lid"]})["lid"].read(LID)
    assert brief(top) == [(3, "unknown-key", "", "")]


def test_a_slip_repeated_is_told_a_hundred_times_and_never_forgotten() -> None:
    top = file_table("".join(f"odd{n} = 1\n" for n in range(150)) + "[lid]\n", "yard.toml")
    lid = top.read({"lid": YARD["lid"]})["lid"]
    lid.read(LID)
    assert not lid.is_sound
    assert {fault[1] for fault in brief(top)} == {"unknown-key"}
    assert len(brief(top)) == 100
