"""The words of a batch record as a page: its headings and lines, each with the values of the record that it says.

A line is a template, or several of which the first one counts that has no empty value; a line that has is left out.
Names in brackets are values inside a part of the record; names of one word are said beside it.
"""

from collections.abc import Mapping

Line = str | tuple[str, ...]
Lines = tuple[Line, ...]

TITLE = "# {title}, batch {head[batch]}"
OUTCOME = "**{head[outcome_said]}**"

HEADINGS: Mapping[str, str] = {
    "materials": "Materials",
    "water": "Water",
    "flags": "Flags",
    "ways": "Ways out and remedies taken",
    "steps": "Steps",
    "consistency": "Consistency",
    "temperatures": "Temperature of the mix",
    "notes": "Notes",
    "after_the_pour": "After the pour",
    "finished_piece": "The finished piece",
    "cautions": "Cautions",
    "entries": "Every entry",
    "made_with": "Made with",
}
"""Of each part, in the order of the page: what matters first."""

AT_A_GLANCE: Lines = (
    ("- Recipe: {recipe[name]}, revision {recipe[revision]}", "- Recipe: {recipe[name]}"),
    "- Begun: {head[began]}",
    "- First water: {head[first_water]}",
    "- Ended: {head[ended]}",
    "- Mixed by: {head[who]}",
    "- Water: **{water[ratio]} ± {water[expanded]}** all water / {water[of]}, {water[said]} "
    "(band {water[least]} to {water[most]})",
    ("- Weighed in: {made[weighed_in]}; made: {closed_volume}", "- Weighed in: {made[weighed_in]}"),
    "- Flags: {raised_count} raised, {stood_count} stood at the end",
    "- Bucket: {bucket}",
)

MATERIAL_HEADS = ("Material", "Went in", "In bucket", "Aimed at", "Off by", "Dose", "Stands")
MATERIAL: Lines = (
    "- {name}, {role}: lot {lots}",
    "- {name}: {taken_out} came out again",
)
_DOSE = "- {name}: {counts} of {of}, aimed at {target}, band {least} to {most}"
DOSE: Lines = ((_DOSE + ", limit {cap} ({cap_source})", _DOSE),)
PORTION: Lines = ("- Taken out for {layer}: {mass}, {volume}",)
LEFT: Lines = (
    "- Left in the bucket: {in_bucket}",
    "- Density by absolute volume: {density} (not measured)",
)
CUP: Lines = (
    "- A cup of it, measured: {density}",
    "- Air measured: {air} (ASTM C138, from memory)",
    "- Volume measured: {volume}",
)
NEEDED: Lines = (
    "- The moulds needed: {volume_needed}",
    ("- Cost: {cost}, without {without_price}", "- Cost: {cost}"),
)

WATER: Lines = (
    "- Steered by all water / {of}: aimed at {target}, band {least} to {most}, ceiling {ceiling}",
    "- {plain_water} water {added}, all water {all}, basis {basis}",
)
PLAIN_WATER, PLAIN_WATER_BY_PLAN = "Plain", "By plan: plain"
RATIO: Lines = (("- {water} water / {of}: {ratio}, {steering}", "- {water} water / {of}: {ratio}"),)
STEERING = "the one steered by"

FLAG: Lines = (("- {clock} {word}: {said} — {became}: {concession}", "- {clock} {word}: {said} — {became}"),)
TOLD: Lines = ("- {clock} {said}",)
SUGGESTION: Lines = ("- {said} [{source}]",)

STEP: Lines = ("- {said}: {state}", ", took {took}, {stands} {bounds}", ", {order}", " ({reason})")
"""Pieces of one line."""
OUT_OF_ORDER = "out of the recipe's order"

ENTRY: Lines = (
    "{said}",
    "**{actual}**",
    ("target {target} ({tolerance})", "target {target}"),
    "off by {deviation}",
    "{stands}",
    "{how} “{shown}”",
    "{reason}",
    "{late}",
)
"""What an entry says, piece by piece."""
LATE = "written late"
SHOWN, TYPED = "shown", "typed"
ENTRY_LINE = "- {number} · {clock} · "
TAKEN_BACK: Lines = (
    ("TAKEN BACK by entry {by_entry}, {clock}: {reason}", "TAKEN BACK by entry {by_entry}, {clock}"),
)

MADE_WITH: Lines = (
    "- Recipe file: {recipe[key]}, SHA-256 {recipe[hash]}",
    "- Scale: {scale_on_file}",
    "- Scale checked: {scale[checked]}",
    "- Read in steps of: {scale[divisions_read]}",
)
WEIGHED_BESIDE: Lines = ("- Weighed beside it: {material} on “{scale}”, {division}",)
MADE_BY: Lines = (
    "- Weighing: {head[weighing]}",
    "- Bucket volume: {head[bucket_volume]}",
    "- Shop: {head[shop_temperature]}",
    "- Safety text read: {head[safety_read]}",
    "- Program version: {head[programs]}",
)
PROOF = "- Proof: "
"""What stands before the count of entries and the head of the chain; the audit looks for it."""
