"""What to do about how the mix moves, in words."""

from mixstation.batch.consistency import Remedy
from mixstation.batch.run import Run
from mixstation.units.show import show_duration
from mixstation.wording.words import Speech, in_its_steps, name_of


def remedy_line(remedy: Remedy, run: Run, speech: Speech) -> str:
    """One sentence in the imperative.

    Args:
        remedy: The next thing to do.
        run: The batch.
        speech: How to say things.

    Returns:
        One line.
    """
    mass = in_its_steps(run, remedy.material, speech).mass if remedy.mass_mg else speech.mass
    dose = f"{mass(remedy.mass_mg)} {name_of(run.recipe, remedy.material)}" if remedy.mass_mg else ""
    verb = "mix slowly" if run.fibres_in else "mix"
    mix = f"{verb} {show_duration(remedy.mix_s)}" if remedy.mix_s else ""
    room = f"; {mass(remedy.room_mg)} more may follow" if remedy.room_mg else "; that is the last of it"
    match remedy.code:
        case "mix-first":
            return f"Not all is mixed in yet: {mix}, then judge again."
        case "rest-first":
            return (
                f"Rest {show_duration(remedy.rest_s)}, {mix}, then judge again: remixing loosens a false set."
            )
        case "remix-first":
            return f"It has rested: {mix}, then judge again."
        case "go-on":
            return "It moves right: add no more water."
        case "plasticiser":
            return f"Add {dose} and {mix} before any more water, then judge again{room}."
        case "held-back-water":
            return f"Let in {dose} of what was held back, {mix}, judge again{room}."
        case "water-to-limit":
            return f"Add {dose}, {mix}, judge again: up to the end of the band and no further{room}."
        case "stop":
            return "Nothing more may go in: place it stiff, packed in, or discard it."
        case "hold-water":
            return "Keep back the rest of the water."
        case "wait":
            return (
                f"Let it stand {show_duration(remedy.rest_s)}, {mix}, judge again; add no powder by itself."
            )
        case "ways-out":
            return "The water is over its band: see the ways out."
        case "discard":
            return "It sets: add nothing, least of all water. Discard it."
