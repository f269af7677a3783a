"""The page shows what the record holds and lets no name become markup, checked by an independent Markdown reader."""

import html
import re
import unicodedata
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from mixstation.account.batch_record import batch_record
from mixstation.account.markdown import as_markdown, page, table
from mixstation.batch.events import Entry, NoteWritten
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits
from mixstation.wording.record_page import HEADINGS
from tests.account.batches import BATCHES, NASTY, as_advised, entries_of, eventful

READER = MarkdownIt("commonmark").enable(["table", "strikethrough"])
OURS = {"h1", "h2", "p", "strong", "ul", "li", "table", "thead", "tbody", "tr", "th", "td", "s"}


def rendered(text: str) -> str:
    return str(READER.render(text))


def tags(shown: str) -> Counter[str]:
    return Counter(re.findall(r"<([a-z0-9]+)", shown))


def words(shown: str) -> str:
    """What a person sees."""
    return html.unescape(re.sub(r"<[^>]*>", "", shown))


def page_of(name: str) -> str:
    return as_markdown(batch_record(entries_of(name), DisplayUnits.METRIC))


MARKS = st.text(alphabet="ab1 .,:/*_`~[]()<>#+-=!|&;\\'\"@\n\r\t{}^$w\x1b\u202e\u00e9", max_size=40)


@given(MARKS)
@pytest.mark.parametrize("around", ["{}", "- {}", "before {} after", "# {}", "- before **{}** after"])
def test_any_text_comes_out_as_it_is(around: str, text: str) -> None:
    shown = rendered(around.format(page(text)))
    benign = rendered(around.format("x"))
    plain = clean(" ".join(text.split()), 4_000)
    assert set(tags(shown)) <= set(tags(benign)) or not plain
    if plain:
        assert " ".join(words(shown).split()) == " ".join(words(benign).replace("x", plain, 1).split())


@given(MARKS)
def test_any_text_stays_in_its_cell(text: str) -> None:
    shown = rendered("\n".join(table(("One", "Two"), [(page(text), page("second"))])))
    assert tags(shown) == tags(rendered("\n".join(table(("One", "Two"), [("a", "b")]))))


def test_no_name_becomes_markup() -> None:
    text = page_of("hostile")
    shown = rendered(text)
    assert set(tags(shown)) <= OURS
    assert not re.search(r"<(a|img|script|em|code)\b", shown)
    # Every heading is one of ours.
    assert all("x.example" not in heading for heading in re.findall(r"<h2>(.*?)</h2>", shown))
    assert tags(shown)["h1"] == 1
    assert clean(" ".join(NASTY.split())) in words(shown)


@pytest.mark.parametrize("name", BATCHES)
def test_nothing_a_terminal_would_act_on(name: str) -> None:
    text = page_of(name)
    bad = {sign for sign in text if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")}
    assert bad <= {"\n"}
    assert text.endswith("\n")
    assert set(tags(rendered(text))) <= OURS


@pytest.mark.parametrize("name", [name for name in BATCHES if name != "hostile"])
def test_every_entry_is_on_the_page(name: str) -> None:
    record = batch_record(entries_of(name), DisplayUnits.METRIC)
    shown = words(rendered(as_markdown(record)))
    for entry in record["entries"]:
        assert entry["said"] in shown
        assert entry["target"] in shown
        assert entry["shown"] in shown
        assert entry["reason"] in shown
    for caution in record["cautions"]:
        assert caution in shown
    for flag in record["flags"]:
        assert flag["said"] in shown


def test_what_matters_first() -> None:
    lines = as_markdown(batch_record(eventful().run.entries, DisplayUnits.METRIC)).splitlines()
    first = "\n".join(lines[:16])
    assert lines[0] == "# sill cap, batch b-1"
    assert "used where it will not show" in first
    assert "**0.142 ± 0.001** all water / dry powder, over its band" in first
    assert "4 raised, 3 stood at the end" in first


def test_what_was_taken_back_is_struck_out_with_its_reason() -> None:
    (line,) = [
        line
        for line in as_markdown(batch_record(eventful().run.entries, DisplayUnits.METRIC)).splitlines()
        if "TAKEN BACK" in line
    ]
    assert line.startswith("- 4 · 21:26:43 · ~~1.500 kg Water in")
    assert line.endswith("~~ TAKEN BACK by entry 5, 21:26:44: slip")


def test_another_day_is_named() -> None:
    entries = eventful().run.entries
    last = entries[-1]
    morrow = Entry(
        seq=last.seq + 1,
        stamp=replace(
            last.stamp, utc_ms=last.stamp.utc_ms + 86_400_000, boot_ms=last.stamp.boot_ms + 86_400_000
        ),
        fact=NoteWritten(text="hard"),
    )
    text = as_markdown(batch_record((*entries, morrow), DisplayUnits.METRIC))
    assert "- 2026-05-29 22:38:03 (+24:11:18) hard" in text


def test_columns_stand_one_under_the_other() -> None:
    lines = page_of("as advised").splitlines()
    rows = [line for line in lines if line.startswith("|")]
    assert len(rows) == 2 + len(as_advised().run.recipe.materials)
    assert len({tuple(at for at, sign in enumerate(row) if sign == "|") for row in rows}) == 1
    assert max(map(len, rows)) <= 100


def test_space_is_left_for_the_finished_piece() -> None:
    text = page_of("as advised")
    for name in ("Colour", "Voids", "Cracks", "Change next time"):
        assert f"- {name}: ......" in text


def test_every_part_of_the_page_has_a_heading() -> None:
    text = as_markdown(batch_record(eventful().run.entries, DisplayUnits.METRIC))
    heads = [line.removeprefix("## ") for line in text.splitlines() if line.startswith("## ")]
    assert heads == [heading for heading in HEADINGS.values() if heading in heads]
    assert {"Materials", "Water", "Every entry", "Made with"} <= set(heads)


def test_a_line_with_an_empty_value_takes_its_shorter_form_or_is_left_out() -> None:
    record = batch_record(as_advised().run.entries, DisplayUnits.METRIC)
    record["recipe"]["revision"], record["head"]["who"] = "", []
    text = as_markdown(record)
    name = page(record["recipe"]["name"])
    assert f"- Recipe: {name}\n" in text
    assert "Mixed by" not in text
    assert "Mixed by" in as_markdown(batch_record(as_advised().run.entries, DisplayUnits.METRIC))
