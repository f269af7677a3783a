"""The weigh-out sheet: nothing runs, nothing escapes its place, and it fits one page."""

import base64
import hashlib
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixstation.wording.counted import counted
from mixstation.wording.plan_sheet import (
    ABOVE,
    BLANKS,
    MOST_COLUMN_COUNT,
    MOST_ROW_COUNT,
    PAGE_MM,
    Sheet,
    fitting_notes,
    row_height_mm,
    sheet_html,
)
from mixstation.wording.sections import Row

PLAIN = Sheet(
    title="Wall, revision 2",
    line="12.1 L in 2 bucketfuls: 3 × wall",
    columns=("Bucket 1", "Bucket 2"),
    rows=(
        Row(name="Water", note="platform, in the bucket", cells=("1.180 kg", "1.180 kg")),
        Row(name="Then take out:"),
        Row(name="face coat", cells=("3.631 kg", "")),
    ),
    notes=("Respirator on.", "Never over 0.380."),
)


class Page(HTMLParser):
    """Tags, attributes and texts of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.texts: list[str] = []
        self.style = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_data(self, data: str) -> None:
        if self.tags and self.tags[-1] == "style" and not self.style:
            self.style = data
        elif data.strip():
            self.texts.append(data)


KNOWN_TAGS = {
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "header",
    "h1",
    "p",
    "span",
    "footer",
    "section",
} | {
    "table",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "div",
    "i",
    "b",
    "small",
}


def test_tick_boxes_figures_and_names() -> None:
    page = Page(sheet_html(PLAIN))
    assert page.tags.count("i") == 3
    assert [text for text in page.texts if text.endswith("kg")] == ["1.180 kg", "1.180 kg", "3.631 kg"]
    assert all(any(blank in text for text in page.texts) for blank in BLANKS)
    # One for the bucket that gives no face coat; a heading has none.
    assert page.texts.count("–") == 1
    assert {"Water", "Then take out:", "face coat", "Respirator on.", "Bucket 2", ABOVE} <= {
        text.strip() for text in page.texts
    }


def test_its_policy_lets_in_its_own_style_and_nothing_else() -> None:
    page = Page(sheet_html(PLAIN))
    (policy,) = [value for name, value in page.attributes if name == "content"]
    digest = base64.b64encode(hashlib.sha256(page.style.encode()).digest()).decode()
    assert policy == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    assert {name for name, _ in page.attributes} <= {"lang", "charset", "http-equiv", "content"}


hostile = st.one_of(
    st.text(max_size=80),
    st.sampled_from(
        [
            "<script>alert(1)</script>",
            "</style><img src=x onerror=alert(1)>",
            '" onload="x',
            "</td></tr></table><h1>",
            "&lt;b&gt;",
            "]]>",
            "\x1b[2J\u202e",
        ]
    ),
)


@given(st.lists(hostile, min_size=7, max_size=7))
def test_text_never_becomes_markup(texts: list[str]) -> None:
    sheet = Sheet(
        title=texts[0],
        line=texts[1],
        columns=(texts[2],),
        rows=(Row(name=texts[3], note=texts[4], cells=(texts[5],)),),
        notes=(texts[6],),
    )
    written = sheet_html(sheet)
    page = Page(written)
    assert set(page.tags) <= KNOWN_TAGS
    assert {name for name, _ in page.attributes} <= {"lang", "charset", "http-equiv", "content"}
    assert not any(character in written for character in "\x1b\u202e\x00")
    assert written.count("<table>") == written.count("</table>") == 1


notes = st.lists(st.integers(1, 480).map(lambda length: "x" * length), max_size=30)


@given(st.integers(1, 200), st.integers(1, MOST_COLUMN_COUNT), notes)
def test_what_is_on_a_page_fits_it(row_count: int, columns: int, texts: list[str]) -> None:
    row = Row(name="Material", note="platform", cells=("12.345 kg",) * columns)
    sheet = replace(
        PLAIN,
        rows=(row,) * min(row_count, MOST_ROW_COUNT),
        columns=("Bucket",) * columns,
        notes=tuple(texts),
    )
    page = sheet_html(sheet)
    assert page.index(f"<p>{ABOVE}</p>") < page.index("<table>")
    shown = fitting_notes(sheet)
    lines = sum(-(-max(1, len(note)) // 100) for note in shown)
    lines += -(-len(ABOVE) // 100)
    height_mm = 19 + 9 + row_height_mm(sheet) * len(sheet.rows) + 4.2 * lines
    assert height_mm <= PAGE_MM + 1e-6
    assert 5 - 1e-9 <= row_height_mm(sheet) <= 12
    kept = shown if shown == tuple(texts) else shown[:-1]
    assert kept == tuple(texts)[: len(kept)]
    if shown != tuple(texts):
        assert shown[-1] == f"And {counted(len(texts) - len(kept), 'more note')}: see the plan."


@given(st.integers(1, 60), st.integers(1, MOST_COLUMN_COUNT))
def test_figures_and_names_are_never_cut_off(length: int, columns: int) -> None:
    row = Row(name="n" * length, cells=("9" * min(length, 20),) * columns)
    style = Page(sheet_html(replace(PLAIN, rows=(row,), columns=("Bucket",) * columns))).style
    name_mm = float(re.search(r"th:first-child\{width:(\d+)mm", style)[1])  # type: ignore[index]
    figure_type_mm = float(re.search(r"\}b\{font-size:([\d.]+)mm", style)[1])  # type: ignore[index]
    name_type_mm = float(re.search(r"line-height:[\d.]+mm;font-size:([\d.]+)mm;text-align", style)[1])  # type: ignore[index]
    box_mm = float(re.search(r"inline-block;width:([\d.]+)mm", style)[1])  # type: ignore[index]
    # Bold digits of common sans types are up to 0.7 of the size wide.
    assert box_mm + 2 + 0.7 * figure_type_mm * min(length, 20) <= (186 - name_mm) / columns
    assert 0.7 * name_type_mm * length <= name_mm


def test_refuses_what_would_not_fit() -> None:
    row = PLAIN.rows[0]
    with pytest.raises(ValueError, match="do not fit"):
        sheet_html(replace(PLAIN, rows=(row,) * (MOST_ROW_COUNT + 1)))
    with pytest.raises(ValueError, match="do not fit"):
        sheet_html(replace(PLAIN, columns=("Bucket",) * (MOST_COLUMN_COUNT + 1)))
    with pytest.raises(ValueError, match="do not fit"):
        sheet_html(replace(PLAIN, columns=()))
