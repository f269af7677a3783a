"""A batch record as a page: what matters first, readable in a terminal as it stands."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from string import Formatter

from mixstation.account.form import EntryKept, FlagKept, MaterialUsed, Record, StepWorked, Told
from mixstation.units.clean import clean
from mixstation.wording import record_page as words
from mixstation.wording.entry_lines import FLAG_OUTCOMES, PLACE_WORDS, proof_said
from mixstation.wording.flag_lines import GRAVITY_WORDS

_BLANK = "." * 40
_FORMATTER = Formatter()


def as_markdown(record: Record) -> str:
    """The record as Markdown.

    Args:
        record: Made by `batch_record`.

    Returns:
        Lines with a line end at the last; nothing from outside is read as markup.
    """
    day = record["head"]["began"][:10]
    parts: Mapping[str, Iterable[str]] = {
        "materials": _materials(record),
        "water": _water(record),
        "flags": (_flag(flag, day) for flag in record["flags"]),
        "ways": _told(record["ways"], day),
        "steps": map(_step, record["steps"]),
        "consistency": _told(record["consistency"], day),
        "temperatures": _told(record["temperatures"], day),
        "notes": _told(record["notes"], day),
        "after_the_pour": _of_each(words.SUGGESTION, record["after_the_pour"]),
        "finished_piece": _finished(record),
        "cautions": (f"- {page(caution)}" for caution in record["cautions"]),
        "entries": (_entry(entry, day) for entry in record["entries"]),
        "made_with": _made_with(record),
    }
    lines = [*_at_a_glance(record)]
    for name, heading in words.HEADINGS.items():
        if section := list(parts[name]):
            lines += ["", f"## {heading}", "", *section]
    return "\n".join(lines) + "\n"


def _said(lines: words.Lines, part: Mapping[str, object], **beside: str) -> Iterator[str]:
    """Each line that has a form without an empty value, every value as plain text of the page.

    Args:
        lines: Their forms, the fullest first.
        part: A part of the record.
        **beside: More values; they stand before those of the part.
    """
    values = {**part, **beside}
    for forms in lines:
        for form in (forms,) if isinstance(forms, str) else forms:
            pieces = [
                (text, _value(name, values) if name else None) for text, name, *_ in _FORMATTER.parse(form)
            ]
            if all(value != "" for _, value in pieces):
                yield "".join(text + (value or "") for text, value in pieces)
                break


def _value(name: str, values: Mapping[str, object]) -> str:
    value = _FORMATTER.get_field(name, (), values)[0]
    return page(", ".join(value) if isinstance(value, list) else str(value))


def _of_each(lines: words.Lines, parts: Iterable[Mapping[str, object]]) -> Iterator[str]:
    for part in parts:
        yield from _said(lines, part)


def _at_a_glance(record: Record) -> Iterator[str]:
    head, flags = record["head"], record["flags"]
    yield from _said((words.TITLE,), record, title=head["piece"] or record["recipe"]["name"])
    yield ""
    yield from _said((words.OUTCOME,), record)
    yield ""
    yield from _said(
        words.AT_A_GLANCE,
        record,
        closed_volume="" if head["outcome"] == "open" else record["made"]["volume"],
        raised_count=str(len(flags)),
        stood_count=str(sum(flag["outcome"] != "passed" for flag in flags)),
        bucket="" if head["bucket"] == "1 of 1" else head["bucket"],
    )


def _materials(record: Record) -> Iterator[str]:
    yield from table(words.MATERIAL_HEADS, map(_material, record["materials"]))
    yield ""
    made = record["made"]
    for material in record["materials"]:
        yield from _said(words.MATERIAL, material)
        if material["dose"] is not None:
            yield from _said(words.DOSE, material["dose"], name=material["name"])
    yield from _of_each(words.PORTION, made["portions"])
    yield from _said(words.LEFT, made)
    yield from _of_each(words.CUP, [made["cup"]] if made["cup"] is not None else [])
    yield from _said(words.NEEDED, made)


def _material(material: MaterialUsed) -> tuple[str, ...]:
    off, dose = material["deviation"], material["dose"]
    if off and material["deviation_percent"]:
        off = f"{off}, {material['deviation_percent']}"
    return (
        page(material["name"]),
        page(material["went_in"]),
        page(material["in_bucket"]),
        page(material["target"]),
        page(off),
        page(dose["fraction"]) if dose is not None else "",
        page(PLACE_WORDS[material["place"]]),
    )


def _water(record: Record) -> Iterator[str]:
    is_open = record["head"]["outcome"] == "open"
    yield from _said(
        words.WATER,
        record["water"],
        plain_water=words.PLAIN_WATER_BY_PLAN if is_open else words.PLAIN_WATER,
    )
    for ratio in record["water"]["ratios"]:
        yield from _said(words.RATIO, ratio, steering=words.STEERING if ratio["steers"] else "")


def _flag(flag: FlagKept, day: str) -> str:
    clock = _clock(flag["time"], flag["since_first_water"], day)
    word, became = GRAVITY_WORDS[flag["gravity"]], FLAG_OUTCOMES[flag["outcome"]]
    return "".join(_said(words.FLAG, flag, clock=clock, word=word, became=became))


def _told(told: Iterable[Told], day: str) -> Iterator[str]:
    for each in told:
        yield from _said(words.TOLD, each, clock=_clock(each["time"], each["since_first_water"], day))


def _clock(time: str, since: str, day: str) -> str:
    """The time of day, with its date where that is another day, and the clock from the first water."""
    at = time[11:19] if time.startswith(day) else time[:19]
    return f"{at} (+{since})" if since else at


def _step(step: StepWorked) -> str:
    pieces = _said(
        words.STEP,
        step,
        said=step["said"].rstrip("."),
        stands=PLACE_WORDS[step["place"]],
        order=words.OUT_OF_ORDER if step["out_of_order"] else "",
    )
    return "".join(pieces)


def _entry(entry: EntryKept, day: str) -> str:
    # What was weighed says its mass already.
    is_weighed = bool(entry["source"]) and entry["actual"] in entry["said"]
    pieces = _said(
        words.ENTRY,
        entry,
        actual="" if is_weighed else entry["actual"],
        stands=PLACE_WORDS[entry["place"]],
        how=words.SHOWN if entry["source"] == "scale" else words.TYPED,
        reason="" if entry["reason"] in entry["said"] else entry["reason"],
        late=words.LATE if entry["late"] else "",
    )
    back, clock = entry["taken_back"], page(_clock(entry["time"], entry["since_first_water"], day))
    line = words.ENTRY_LINE.format(number=entry["number"], clock=clock)
    if back is None:
        return line + ", ".join(pieces)
    by = "".join(_said(words.TAKEN_BACK, back, clock=_clock(back["time"], "", day)))
    return f"{line}~~{', '.join(pieces)}~~ {by}"


def _finished(record: Record) -> Iterator[str]:
    for name, text in record["finished_piece"].items():
        yield f"- {name.replace('_', ' ').capitalize()}: {page(str(text)) if text else _BLANK}"


def _made_with(record: Record) -> Iterator[str]:
    scale = record["scale"]
    on_file = (scale["name"], scale["capacity"], scale["division"])
    yield from _said(words.MADE_WITH, record, scale_on_file=", ".join(filter(None, on_file)))
    yield from _of_each(words.WEIGHED_BESIDE, scale["beside"])
    yield from _said(words.MADE_BY, record)
    if "proof" in record:
        yield words.PROOF + page(proof_said(record["proof"]["entries"], record["proof"]["short"]))


# Signs that Markdown reads as markup inside a line. A backslash before one makes it plain, in every dialect.
_MARKUP = re.compile(r"[\\`_\[\]<>|~&@]|(?<!\s)\*|\*(?!\s)|:(?=//)|(?i:www)\.|#(?=#*$)")
# What would begin a heading, a list, a quotation or a rule at the start of a line; a signed number would not.
_AT_START = re.compile(r"^(?:[#+\-=](?!\d)|\d+[.)](?=\s|$))")


def page(text: str) -> str:
    r"""Text from outside as plain text of a page, on one line.

    Args:
        text: Any text.

    Returns:
        Markdown that shows the cleaned text and nothing else.

    Source: CommonMark 0.31, backslash escapes: any ASCII punctuation may be escaped.

    Example:
        >>> print(page("*pale* <b>[spot](x)\n# 3"))
        \*pale\* \<b\>\[spot\](x) # 3
    """
    line = clean(" ".join(text.split()), 4_000)
    return _AT_START.sub(lambda found: f"{found[0][:-1]}\\{found[0][-1]}", _MARKUP.sub(_plain, line))


def _plain(found: re.Match[str]) -> str:
    sign = found[0]
    return f"{sign[:-1]}\\." if sign.endswith(".") else f"\\{sign}"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """A table whose columns stand one under the other in a terminal too.

    Args:
        head: Titles, our own words.
        rows: Texts, escaped already.
    """
    lines = [list(head), *map(list, rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]
    texts = [
        "| " + " | ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)) + " |"
        for line in lines
    ]
    rule = "| " + " | ".join("-" * width for width in widths) + " |"
    return [texts[0], rule, *texts[1:]]
