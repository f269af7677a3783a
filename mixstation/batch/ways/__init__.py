"""Ways out of a deviation: searched for, checked apart from the search, told in full."""

from mixstation.batch.ways.limits import Limits, limits_of
from mixstation.batch.ways.listing import ways_out

__all__ = ["Limits", "limits_of", "ways_out"]
