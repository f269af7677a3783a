"""What a search may do, and what it is to make least."""

from mixstation.frozen import Frozen


class Freedom(Frozen):
    """What the search may do.

    Attributes:
        any_stock: Use more than there is; at a cost.
        any_volume: End in less than the moulds need; at a cost.
        any_band: End outside the bands; at a cost.
    """

    scoop: bool = False
    any_stock: bool = False
    any_volume: bool = False
    any_band: bool = False


class Goal(Frozen):
    """How much each thing counts in the cost.

    Attributes:
        off: A half width of a band off target.
        extra: The planned mass once again added.
        scoop: The planned mass once taken out.
        unsure: A half width of the water band inside what the scale cannot tell from outside.
        short: The planned volume once lacking.
        same_colour: Pigments, fibres and polymers exactly on target, and only the water counts as off.
    """

    off: float
    extra: float
    scoop: float
    unsure: float
    short: float
    same_colour: bool = False


# Choice: the first-named concern outweighs the next wherever it can be moved at all by more than rounding.
NEAREST = Goal(off=5.0, extra=1.0, scoop=2.0, unsure=5.0, short=0.5)
LEAST_ADDED = Goal(off=1e-5, extra=1.0, scoop=2.0, unsure=1.0, short=1e-5)
LEAST_WASTED = Goal(off=1e-3, extra=1e-5, scoop=1.0, unsure=1.0, short=1e-5)
SAME_COLOUR = Goal(off=5.0, extra=1.0, scoop=2.0, unsure=5.0, short=0.5, same_colour=True)
