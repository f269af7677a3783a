"""Buckets and tubs whose empty mass is on file, so that a start reading can be held against it."""

from typing import Literal

from mixstation.frozen import Frozen

VesselKind = Literal["bucket", "tub"]


class VesselOnFile(Frozen):
    """A bucket or tub that was weighed empty.

    Attributes:
        name: "" where the file gives it none.
        volume_l: What it holds to the brim, litres; None where that is not on file.
    """

    name: str
    kind: VesselKind
    empty_mg: int
    volume_l: float | None = None
