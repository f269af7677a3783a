"""Writing a recipe as a file, independently of what reads it; only tests need it."""

from decimal import Decimal
from fractions import Fraction
from typing import assert_never

from mixstation.recipe.model import (
    AddStep,
    ConsistencyStep,
    Material,
    MixStep,
    NoteStep,
    Recipe,
    ReleaseStep,
    RestStep,
    Role,
    ScrapeStep,
    SplitStep,
    Step,
    TemperatureStep,
)


def decimal(number: Fraction) -> str:
    """A fraction that is a short decimal."""
    text = format(Decimal(number.numerator) / Decimal(number.denominator), "f")
    assert Fraction(text) == number, f"{number} is no short decimal"
    return text


def percent(number: Fraction) -> str:
    return f"{decimal(number * 100)} %"


def write(recipe: Recipe) -> str:
    """The recipe as a file; every addition becomes a step of its own, so keys are always written."""
    lines = [
        f'name = "{recipe.name}"',
        f'revision = "{recipe.revision}"',
        f'air = "{percent(recipe.air_fraction)}"',
        f'working_time = "{recipe.working_min} min"',
    ]
    lines += [
        f'{key} = "{minutes} min"'
        for key, minutes in (("strip", recipe.strip_min), ("seal", recipe.seal_min))
        if minutes is not None
    ]
    lines += [f'{key} = "{text}"' for key in ("note", "currency") if (text := getattr(recipe, key))]
    lines += ["[water]", f'of = "{recipe.water.of}"']
    for key in ("target", "least", "most", "ceiling"):
        lines.append(f'{key} = "{percent(getattr(recipe.water, key))}"')
    for material in recipe.materials:
        lines += ["[[material]]", *(f"{key} = {value}" for key, value in material_lines(material).items())]
    for step in recipe.steps:
        lines += [
            "[[step]]",
            f'key = "{step.key}"',
            *(f"{key} = {value}" for key, value in step_lines(step).items()),
        ]
        if step.say and not isinstance(step, NoteStep):
            lines.append(f'say = "{step.say}"')
    return "\n".join(lines) + "\n"


def material_lines(material: Material) -> dict[str, str]:
    def quoted(**texts: str) -> dict[str, str]:
        return {key: f'"{text}"' for key, text in texts.items()}

    tolerance = f"-{percent(material.tolerance.under)} +{percent(material.tolerance.over)}"
    lines = quoted(
        key=material.key,
        name=material.name,
        role=material.role,
        tolerance=tolerance,
        density=f"{decimal(Fraction(str(material.density_kg_m3)))} kg/m3",
    )
    if material.parts is not None:
        lines |= quoted(parts=decimal(material.parts))
    if (dose := material.dose) is not None:
        lines |= quoted(dose=percent(dose.fraction), of=dose.of)
        lines |= quoted(least=percent(dose.least)) if dose.least is not None else {}
        lines |= quoted(most=percent(dose.most)) if dose.most is not None else {}
        lines |= (
            quoted(counts=dose.counts)
            if material.role is not Role.FIBRE and material.role is not Role.ICE
            else {}
        )
    if (cap := material.cap) is not None:
        lines |= quoted(cap=percent(cap.fraction), cap_of=cap.of, cap_source=cap.source)
    if material.role in (Role.POLYMER, Role.PLASTICISER, Role.RETARDER, Role.PIGMENT):
        lines |= quoted(water=percent(material.water_fraction))
    if material.role is Role.SAND:
        lines |= quoted(
            moisture=percent(material.moisture_fraction), absorption=percent(material.absorption_fraction)
        )
    if material.role is Role.BLEND:
        lines |= quoted(cement_share=percent(material.cement_fraction)) if material.cement_fraction else {}
        lines |= quoted(binder_share=percent(material.binder_fraction)) if material.binder_fraction else {}
    if material.pack_mg is not None:
        lines |= quoted(pack=f"{decimal(Fraction(material.pack_mg, 1_000_000))} kg")
    if material.price_cents is not None:
        lines |= quoted(price=decimal(Fraction(material.price_cents, 100)))
    if material.film_forming_c is not None:
        lines |= quoted(film_forming=f"{material.film_forming_c} °C")
    return lines


def step_lines(step: Step) -> dict[str, str]:
    match step:
        case AddStep():
            return {"add": f'"{step.material}"', "share": f'"{percent(step.share)}"'}
        case ReleaseStep():
            return {
                "release": f'"{step.material}"',
                "by": f'"{percent(step.increment)}"',
                "mix": f'"{step.mix_s} s"',
            }
        case MixStep():
            return {"mix": f'"{step.min_s} s to {step.max_s} s"', "speed": f'"{step.speed}"'}
        case ScrapeStep():
            return {"scrape": "true"}
        case RestStep():
            return {"rest": f'"{step.min_s} s to {step.max_s} s"'}
        case ConsistencyStep(method="trowel"):
            return {"consistency": '"trowel"'}
        case ConsistencyStep():
            unit = {"spread": " mm", "flow": " %", "rings": ""}[step.method]
            return {step.method: f'"{step.least}{unit} to {step.most}{unit}"'}
        case TemperatureStep():
            bounds = {"least": step.min_c, "most": step.max_c}
            return {"temperature": "true"} | {k: f'"{c} °C"' for k, c in bounds.items() if c is not None}
        case SplitStep():
            return {"split": f'"{step.layer}"', "fraction": f'"{percent(step.fraction)}"'}
        case NoteStep():
            return {"note": f'"{step.say}"'}
        case _ as forgotten:
            assert_never(forgotten)
