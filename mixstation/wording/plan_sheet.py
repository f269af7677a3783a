"""What stands on the weigh-out sheet of a plan."""

from mixstation.plan.job_parts import JobPlan
from mixstation.plan.sheet import MOST_COLUMN_COUNT, Sheet, SheetRow, most_row_count, sheet_html
from mixstation.units.clean import clean
from mixstation.units.show import DisplayUnits, show_ratio
from mixstation.wording.counted import counted
from mixstation.wording.plan import caution_line, speech_for
from mixstation.wording.plan_lines import (
    day_lines,
    dilution_lines,
    rescue_line,
    title_line,
    weigh_out_rows,
)
from mixstation.wording.safety import LIMITS_OF_USE, ON_THE_SHEET
from mixstation.wording.words import BASIS_WORDS

LIMITS = (" ".join(LIMITS_OF_USE),)


def plan_sheets(plan: JobPlan, units: DisplayUnits) -> tuple[str, ...]:
    """The weigh-out sheets of a plan, each an HTML page that prints on one sheet of A4 or Letter.

    Args:
        plan: The plan.
        units: What the person reads in.

    Returns:
        One page for up to five buckets.
    """
    return tuple(sheet_html(sheet) for sheet in sheets_of(plan, units))


def sheets_of(plan: JobPlan, units: DisplayUnits) -> tuple[Sheet, ...]:
    """What stands on each page; see `plan_sheets`."""
    speech = speech_for(plan.request.recipe, units)
    rows = weigh_out_rows(plan, speech)
    pieces = ", ".join(f"{piece.piece.count} × {clean(piece.piece.name, 40)}" for piece in plan.pieces)
    count = len(plan.buckets)
    volume = f"{speech.volume(plan.volume.mixed_l)} in {counted(count, 'bucketful')}"
    water = plan.request.recipe.water
    notes = (
        ON_THE_SHEET,
        *dilution_lines(plan, speech),
        *(caution_line(caution, speech) for caution in plan.cautions),
        f"All water over {BASIS_WORDS[water.of]}: {show_ratio(water.target)}, from {show_ratio(water.least)} to "
        f"{show_ratio(water.most)}; never over {show_ratio(water.ceiling)}.",
        *day_lines(plan, speech),
        *(f"Rescue bag, kept dry: {line}." for line in (rescue_line(plan, speech),) if line),
    )
    # Rows are cut as well as columns: a recipe of many materials in many shares fills more than one page.
    most = most_row_count(LIMITS)
    blocks = [rows[at : at + most] for at in range(0, len(rows), most)]
    pages = []
    for first in range(0, len(plan.buckets), MOST_COLUMN_COUNT):
        buckets = plan.buckets[first : first + MOST_COLUMN_COUNT]
        for block in blocks:
            pages.append(
                Sheet(
                    title=title_line(plan.request.recipe),
                    line=f"{volume}: {pieces}" if pieces else volume,
                    columns=tuple(f"Bucket {bucket.number}" for bucket in buckets),
                    rows=tuple(
                        SheetRow(
                            name=name,
                            how=how,
                            figures=tuple(figures[first : first + len(buckets)]),
                        )
                        for name, how, figures in block
                    ),
                    above=LIMITS,
                    notes=notes,
                    more="Notes not shown here: {count}. See the plan.",
                    blanks=("Date", "Mixed by", "First water at", "Mix temperature"),
                    material_head="Weigh out",
                )
            )
    return tuple(pages)
