"""What stops a way out, and by how much, in words."""

from mixstation.batch.run import Run
from mixstation.batch.way import Hindrance
from mixstation.units.show import DisplayUnits, show_duration, show_ratio, show_volume_ml
from mixstation.units.show_mass import show_mass
from mixstation.wording.words import name_of


def hindrance_line(hindrance: Hindrance, run: Run, units: DisplayUnits) -> str:
    """What stops a way, and by how much.

    Args:
        hindrance: The limit.
        run: The batch.
        units: What the person reads in.

    Returns:
        A sentence that may follow a colon.

    Raises:
        KeyError: A limit without a sentence.
    """
    name = name_of(run.recipe, hindrance.about) if hindrance.about else ""
    side = "over" if hindrance.by > 0 else "short of"
    size = abs(hindrance.by)
    match hindrance.limit:
        case "stock":
            return f"{show_weight(size, units)} more {name} than there is."
        case "bucket":
            return f"{show_volume(size, units)} more than the bucket may hold."
        case "volume":
            return f"{show_volume(size, units)} less than the moulds need."
        case "time":
            return f"{show_duration(round(size))} past the working time."
        case "water-ratio":
            return (
                f"the water would be {show_ratio(size)} {'over' if hindrance.by > 0 else 'under'} its band."
            )
        case "dose":
            return f"{name} would be {show_weight(size, units)} {side} its band."
        case "cap":
            cap = run.recipe.material(hindrance.about).cap
            source = f" ({cap.source})" if cap is not None else ""
            return f"{name} would be {show_weight(size, units)} over its limit{source}."
        case "division":
            return f"the scale cannot weigh {name} finely enough."
    raise KeyError(hindrance.limit)


def show_weight(mass_mg: float | int, units: DisplayUnits) -> str:
    """To what the mass itself warrants, as no one scale weighs it all."""
    return show_mass(round(mass_mg), units)


def show_volume(volume_l: float, units: DisplayUnits) -> str:
    """To ten millilitres."""
    return show_volume_ml(10 * round(100 * volume_l), units)
