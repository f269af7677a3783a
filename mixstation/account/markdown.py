"""A batch record as a page: what matters first, readable in a terminal as it stands."""

import re
from collections.abc import Iterable, Iterator, Sequence

from mixstation.account.form import EntryKept, FlagKept, MaterialUsed, Record, StepWorked, Told
from mixstation.units.clean import clean
from mixstation.wording.entry_lines import FLAG_OUTCOMES, PLACE_WORDS, proof_said
from mixstation.wording.flag_lines import GRAVITY_WORDS

_BLANK = "." * 40


def as_markdown(record: Record) -> str:
    """The record as Markdown.

    Args:
        record: Made by `batch_record`.

    Returns:
        Lines with a line end at the last; nothing from outside is read as markup.
    """
    head = record["head"]
    day = head["began"][:10]
    title = page(head["piece"] or record["recipe"]["name"])
    lines = [f"# {title}, batch {page(head['batch'])}", "", *_at_a_glance(record)]
    for heading, body in (
        ("Materials", _materials(record)),
        ("Water", _water(record)),
        ("Flags", (_flag(flag, day) for flag in record["flags"])),
        ("Ways out and remedies taken", (_told(told, day) for told in record["ways"])),
        ("Steps", map(_step, record["steps"])),
        ("Consistency", (_told(told, day) for told in record["consistency"])),
        ("Temperature of the mix", (_told(told, day) for told in record["temperatures"])),
        ("Notes", (_told(told, day) for told in record["notes"])),
        ("After the pour", _after(record)),
        ("The finished piece", _finished(record)),
        ("Cautions", (f"- {page(caution)}" for caution in record["cautions"])),
        ("Every entry", (_entry(entry, day) for entry in record["entries"])),
        ("Made with", _made_with(record)),
    ):
        section = list(body)
        if section:
            lines += ["", f"## {heading}", "", *section]
    return "\n".join(lines) + "\n"


def _at_a_glance(record: Record) -> Iterator[str]:
    head, water, made, flags = record["head"], record["water"], record["made"], record["flags"]
    yield f"**{page(head['outcome_said'])}**"
    yield ""
    recipe = record["recipe"]
    yield f"- Recipe: {page(recipe['name'])}, revision {page(recipe['revision'])}"
    yield from _line("Begun", head["began"])
    yield from _line("First water", head["first_water"])
    yield from _line("Ended", head["ended"])
    yield from _line("Mixed by", ", ".join(head["who"]))
    if water["ratio"]:
        band = f"band {water['least']} to {water['most']}"
        figure = f"**{page(water['ratio'])} ± {page(water['expanded'])}** all water / {page(water['of'])}"
        yield f"- Water: {figure}, {page(water['said'])} ({page(band)})"
    volume = "" if head["outcome"] == "open" else f"; made: {page(made['volume'])}"
    yield f"- Weighed in: {page(made['weighed_in'])}{volume}"
    left = sum(flag["outcome"] != "passed" for flag in flags)
    yield f"- Flags: {len(flags)} raised, {left} stood at the end"
    if head["bucket"] != "1 of 1":
        yield from _line("Bucket", head["bucket"])


def _line(name: str, text: str) -> Iterator[str]:
    if text:
        yield f"- {name}: {page(text)}"


def _materials(record: Record) -> Iterator[str]:
    yield from table(
        ("Material", "Went in", "In bucket", "Aimed at", "Off by", "Dose", "Stands"),
        map(_material, record["materials"]),
    )
    made = record["made"]
    yield ""
    for material in record["materials"]:
        name = page(material["name"])
        if material["lots"]:
            yield f"- {name}, {page(material['role'])}: lot {page(', '.join(material['lots']))}"
        if material["taken_out"]:
            yield f"- {name}: {page(material['taken_out'])} came out again"
        dose = material["dose"]
        if dose is not None:
            cap = f", limit {page(dose['cap'])} ({page(dose['cap_source'])})" if dose["cap"] else ""
            band = f"aimed at {page(dose['target'])}, band {page(dose['least'])} to {page(dose['most'])}{cap}"
            yield f"- {name}: {page(dose['counts'])} of {page(dose['of'])}, {band}"
    for portion in made["portions"]:
        yield f"- Taken out for {page(portion['layer'])}: {page(portion['mass'])}, {page(portion['volume'])}"
    yield f"- Left in the bucket: {page(made['in_bucket'])}"
    if made["density"]:
        yield f"- Density by absolute volume: {page(made['density'])} (not measured)"
    if made["cup"] is not None:
        yield f"- A cup of it, measured: {page(made['cup']['density'])}"
        yield f"- Air measured: {page(made['cup']['air'])} (ASTM C138, from memory)"
        yield f"- Volume measured: {page(made['cup']['volume'])}"
    yield from _line("The moulds needed", made["volume_needed"])
    if made["cost"]:
        without = made["without_price"]
        yield f"- Cost: {page(made['cost'])}" + (f", without {page(', '.join(without))}" if without else "")


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
    water = record["water"]
    bounds = (
        f"aimed at {water['target']}, band {water['least']} to {water['most']}, ceiling {water['ceiling']}"
    )
    yield f"- Steered by all water / {page(water['of'])}: {page(bounds)}"
    by_plan = "By plan: plain" if record["head"]["outcome"] == "open" else "Plain"
    yield f"- {by_plan} water {page(water['added'])}, all water {page(water['all'])}, basis {page(water['basis'])}"
    for ratio in water["ratios"]:
        mark = ", the one steered by" if ratio["steers"] else ""
        yield f"- {page(ratio['water'])} water / {page(ratio['of'])}: {page(ratio['ratio'])}{mark}"


def _flag(flag: FlagKept, day: str) -> str:
    outcome = FLAG_OUTCOMES[flag["outcome"]]
    if flag["concession"]:
        outcome = f"{outcome}: {flag['concession']}"
    word = GRAVITY_WORDS[flag["gravity"]]
    return f"- {_clock(flag['time'], flag['since_first_water'], day)} {word}: {page(flag['said'])} — {page(outcome)}"


def _told(told: Told, day: str) -> str:
    return f"- {_clock(told['time'], told['since_first_water'], day)} {page(told['said'])}"


def _clock(time: str, since: str, day: str) -> str:
    """The time of day, with its date where that is another day, and the clock from the first water."""
    at = time[11:19] if time.startswith(day) else time[:19]
    return page(f"{at} (+{since})" if since else at)


def _step(step: StepWorked) -> str:
    said = f"- {page(step['said'].rstrip('.'))}: {page(step['state'])}"
    if step["took"]:
        said += f", took {page(step['took'])}, {page(PLACE_WORDS[step['place']])} {page(step['bounds'])}"
    if step["out_of_order"]:
        said += ", out of the recipe's order"
    return said + (f" ({page(step['reason'])})" if step["reason"] else "")


def _entry(entry: EntryKept, day: str) -> str:
    parts = [page(entry["said"])]
    # What was weighed says its mass already.
    if entry["actual"] and not (entry["source"] and entry["actual"] in entry["said"]):
        parts.append(f"**{page(entry['actual'])}**")
    if entry["target"]:
        within = f" ({page(entry['tolerance'])})" if entry["tolerance"] else ""
        parts.append(f"target {page(entry['target'])}{within}")
    if entry["deviation"]:
        parts.append(f"off by {page(entry['deviation'])}")
    if entry["place"]:
        parts.append(page(PLACE_WORDS[entry["place"]]))
    if entry["shown"]:
        word = "shown" if entry["source"] == "scale" else "typed"
        parts.append(f"{word} “{page(entry['shown'])}”")
    if entry["reason"] and entry["reason"] not in entry["said"]:
        parts.append(page(entry["reason"]))
    if entry["late"]:
        parts.append("written late")
    said = ", ".join(parts)
    line = f"- {entry['number']} · {_clock(entry['time'], entry['since_first_water'], day)} · "
    back = entry["taken_back"]
    if back is None:
        return line + said
    by = f"by entry {back['by_entry']}, {_clock(back['time'], '', day)}"
    return f"{line}~~{said}~~ TAKEN BACK {by}: {page(back['reason'])}"


def _after(record: Record) -> Iterable[str]:
    return (f"- {page(each['said'])} [{page(each['source'])}]" for each in record["after_the_pour"])


def _finished(record: Record) -> Iterator[str]:
    for name, text in record["finished_piece"].items():
        yield f"- {name.replace('_', ' ').capitalize()}: {page(str(text)) if text else _BLANK}"


def _made_with(record: Record) -> Iterator[str]:
    head, recipe, scale = record["head"], record["recipe"], record["scale"]
    yield f"- Recipe file: {page(recipe['key'])}, SHA-256 {page(recipe['hash'])}"
    on_file = [scale[key] for key in ("name", "capacity", "division") if scale[key]]
    yield from _line("Scale", ", ".join(on_file))
    yield from _line("Scale checked", scale["checked"])
    yield from _line("Read in steps of", ", ".join(scale["divisions_read"]))
    for each in scale["beside"]:
        yield from _line("Weighed beside it", f"{each['material']} on “{each['scale']}”, {each['division']}")
    yield from _line("Weighing", head["weighing"])
    yield from _line("Bucket volume", head["bucket_volume"])
    yield from _line("Shop", head["shop_temperature"])
    yield from _line("Safety text read", head["safety_read"])
    yield from _line("Program version", ", ".join(head["programs"]))
    if "proof" in record:
        yield from _line("Proof", proof_said(record["proof"]["entries"], record["proof"]["short"]))


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
