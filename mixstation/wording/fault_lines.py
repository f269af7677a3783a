"""What is wrong with a file: each fault with its place, the line itself, what is wrong, and what to write."""

from collections.abc import Iterable

from mixstation.coded import Told
from mixstation.toml.faults_of_files import AnyFileFault
from mixstation.toml.lines import FileFault
from mixstation.units.clean import clean
from mixstation.units.errors import UnitsFault
from mixstation.wording.file_faults import file_sentence
from mixstation.wording.spoken import Plainly, spoken

_LONGEST_LINE = 160
_LONGEST_VALUE = 400


def fault_lines(faults: Iterable[FileFault]) -> tuple[str, ...]:
    """Every fault, in lines to print one below the other.

    Args:
        faults: Of one file or several.

    Returns:
        For each fault its place with what is wrong and what to do, then, indented, the line it stands on.

    Example:
        >>> from mixstation.toml.faults_of_files import BadValue
        >>> fault = FileFault(path="cap.toml", line=3, line_text="air = 5", key="air", example='"5 %"',
        ...                   told=BadValue(code="not-text", found="5"))
        >>> print(*fault_lines([fault]), sep="\\n")
        cap.toml:3: air must be text in quotation marks, with its unit where it has one; found 5. Write: air = "5 %"
            air = 5
    """
    lines: list[str] = []
    for fault in faults:
        place = f"{clean(fault.path, 300)}:{fault.line}" if fault.line else clean(fault.path, 300)
        lines.append(f"{place}: {sentence_of(fault)}")
        if fault.line_text.strip():
            lines.append(f"    {clean(fault.line_text.strip(), _LONGEST_LINE)}")
    return tuple(lines)


def sentence_of(fault: FileFault) -> str:
    """What is wrong and what to write."""
    told = fault.told
    suggestion = clean(getattr(told, "suggestion", ""), _LONGEST_VALUE)
    near = f"Did you mean “{suggestion}”? " if suggestion else ""
    write = _written(clean(fault.key, _LONGEST_VALUE), clean(fault.example, _LONGEST_VALUE))
    also = {
        "key": clean(fault.place or fault.key, _LONGEST_VALUE),
        "example": clean(fault.example, _LONGEST_VALUE),
        "near": near,
        "write": write,
        "hint": near or write,
    }
    return spoken(_template(told), told, Plainly(), **also).strip()


def _template(told: Told) -> str:
    if isinstance(told, AnyFileFault | UnitsFault):
        return file_sentence(told)
    # Those of one kind of file, loaded where there is one: settings are read before the first picture.
    from mixstation.plan.faults_of_files import PlanFileFault
    from mixstation.plan.faults_of_pieces import PieceFault
    from mixstation.recipe.faults import RecipeFault
    from mixstation.recipe.proportions import ScalingTrouble
    from mixstation.scale.faults import ProfileFault
    from mixstation.wording.piece_lines import piece_sentence
    from mixstation.wording.plan_file_faults import plan_file_sentence
    from mixstation.wording.profile_faults import profile_sentence
    from mixstation.wording.recipe_faults import recipe_sentence

    if isinstance(told, RecipeFault | ScalingTrouble):
        return recipe_sentence(told)
    if isinstance(told, ProfileFault):
        return profile_sentence(told)
    if isinstance(told, PlanFileFault):
        return plan_file_sentence(told)
    if isinstance(told, PieceFault):
        return piece_sentence(told)
    raise TypeError(told)


def _written(key: str, example: str) -> str:
    """What may be written, as it would stand in the file."""
    if not example:
        return ""
    # Cleaning has made U+FFFD of the line end between a table's head and its key.
    whole = example.replace("\N{REPLACEMENT CHARACTER}", ", and below it ")
    is_head = example.startswith("[") and not set(example.strip("[]")) & set("\"', 0123456789")
    return f"Write: {whole}" if is_head or " = " in example else f"Write: {key} = {whole}"
