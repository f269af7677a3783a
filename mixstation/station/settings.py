"""How a mixer likes it."""

from mixstation.frozen import dataclass
from mixstation.units.show import DisplayUnits


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How a mixer likes it.

    Attributes:
        units: What masses and temperatures are read in.
        division_mg: Smallest step worth saying before a scale has been heard.
        hands_free_s: Seconds a steady weight inside its tolerance waits before it takes itself; 0 for never.
        decimal_comma: A comma in a typed number is always a decimal mark.
    """

    units: DisplayUnits = DisplayUnits.METRIC
    division_mg: int = 1_000
    hands_free_s: float = 4.0
    decimal_comma: bool = False
