"""What a recipe is: materials, the proportions between them, and the steps in the recipe's own order."""

from enum import StrEnum
from fractions import Fraction
from typing import Literal

from mixstation.frozen import Frozen


class Role(StrEnum):
    """What a material does in the mix."""

    WATER = "water"
    ICE = "ice"
    BLEND = "blend"
    CEMENT = "cement"
    POZZOLAN = "pozzolan"
    SAND = "sand"
    FILLER = "filler"
    POLYMER = "polymer"
    PLASTICISER = "plasticiser"
    RETARDER = "retarder"
    FIBRE = "fibre"
    PIGMENT = "pigment"


POWDERS = frozenset({Role.BLEND, Role.CEMENT, Role.POZZOLAN, Role.SAND, Role.FILLER})


class Basis(StrEnum):
    """The mass a ratio is of."""

    CEMENT = "cement"
    BINDER = "binder"
    POWDER = "powder"
    TOTAL = "total"


class Dose(Frozen):
    """How much of a material that is not a powder and not the water.

    Attributes:
        fraction: Target, as a fraction of the basis, 0 < fraction < 1.
        of: The basis. "total" is the whole composite, the material itself included; fibres only.
        counts: Whether the delivered mass or only its solids count.
        least: Lower end of the recipe's own band, or None where only the tolerance bounds it.
        most: Upper end of the recipe's own band, or None.
    """

    fraction: Fraction
    of: Basis
    counts: Literal["mass", "solids"] = "mass"
    least: Fraction | None = None
    most: Fraction | None = None


class Cap(Frozen):
    """A limit that no dose may pass (a label's, or a standard's).

    Attributes:
        fraction: Of the basis, on the same count as the dose (mass or solids).
        source: Who set it, as a person would write it.
    """

    fraction: Fraction
    of: Basis
    source: str


class Tolerance(Frozen):
    """How far the total of a material may be from its target, as fractions of the target."""

    under: Fraction
    over: Fraction


class Material(Frozen):
    """One thing that is weighed into the bucket.

    Attributes:
        key: Short name used inside the recipe and the record.
        parts: Parts by dry mass among the powders; powders only.
        dose: Amount of everything else; None for powders, water, and ice (ice replaces water).
        water_fraction: Water in the delivered mass (1 − solids) of a liquid; 1 for water and ice.
        moisture_fraction: Total moisture of sand, of its dry mass.
        absorption_fraction: Absorption of sand, of its dry mass.
        cement_fraction: Cement in a blend (1 for cement); None where a blend does not state it.
        binder_fraction: Cement + pozzolan in a blend (1 for cement and pozzolan); None if not stated.
        density_kg_m3: Of the particles or the liquid (not bulk).
        pack_mg: Net mass of one pack, or None.
        price_cents: Price of one pack in hundredths of the currency, or None.
        film_forming_c: Lowest temperature at which a polymer forms its film, or None.
    """

    key: str
    name: str
    role: Role
    tolerance: Tolerance
    density_kg_m3: float
    parts: Fraction | None = None
    dose: Dose | None = None
    cap: Cap | None = None
    water_fraction: Fraction = Fraction(0)
    moisture_fraction: Fraction = Fraction(0)
    absorption_fraction: Fraction = Fraction(0)
    cement_fraction: Fraction | None = None
    binder_fraction: Fraction | None = None
    pack_mg: int | None = None
    price_cents: int | None = None
    film_forming_c: float | None = None

    @property
    def is_powder(self) -> bool:
        """Whether it is one of the dry powders that `parts` are given for."""
        return self.role in POWDERS

    @property
    def is_of_total(self) -> bool:
        """Whether its dose is of the whole composite, itself included."""
        return self.dose is not None and self.dose.of is Basis.TOTAL

    @property
    def dry_fraction(self) -> Fraction:
        """Dry mass in one unit of weighed mass of a powder: 1/(1 + moisture). Source: ACI 211.1, from memory."""
        return 1 / (1 + self.moisture_fraction)

    @property
    def water_share(self) -> Fraction:
        """Free water one unit of weighed mass brings; negative for sand that still drinks.

        Source: ACI 211.1, from memory, for sand; Definition for liquids.
        """
        if self.is_powder:
            return (self.moisture_fraction - self.absorption_fraction) * self.dry_fraction
        return self.water_fraction

    @property
    def counted_share(self) -> Fraction:
        """What one unit of weighed mass counts towards its own dose (its solids, or all of it)."""
        if self.dose is not None and self.dose.counts == "solids":
            return 1 - self.water_fraction
        return Fraction(1)

    def basis_share(self, basis: Basis) -> Fraction:
        """What one unit of weighed mass adds to a basis.

        Returns:
            A fraction of the weighed mass, 0 to 1.
        """
        if basis is Basis.TOTAL:
            return Fraction(1)
        if not self.is_powder:
            return Fraction(0)
        if basis is Basis.POWDER:
            return self.dry_fraction
        part = self.cement_fraction if basis is Basis.CEMENT else self.binder_fraction
        return (part or Fraction(0)) * self.dry_fraction


class WaterRule(Frozen):
    """The water ratio to steer by: all free mix water over its basis.

    Attributes:
        of: Basis; never "total".
        ceiling: Never passed without a confirmation; at least `most`.
    """

    of: Basis
    target: Fraction
    least: Fraction
    most: Fraction
    ceiling: Fraction


class AddStep(Frozen):
    """Weigh in a share of a material.

    `share` is of the material's total; `cumulative` is the sum of its shares up to and with this step.
    """

    kind: Literal["add"] = "add"
    key: str
    material: str
    share: Fraction
    cumulative: Fraction
    say: str = ""


class ReleaseStep(Frozen):
    """Let held-back water in, `increment` of the total at a time, each mixed, until it moves right."""

    kind: Literal["release"] = "release"
    key: str
    material: str
    increment: Fraction
    mix_s: int
    say: str = ""


class MixStep(Frozen):
    """Mix between `min_s` and `max_s` seconds."""

    kind: Literal["mix"] = "mix"
    key: str
    min_s: int
    max_s: int
    speed: Literal["slow", "fast"]
    say: str = ""


class ScrapeStep(Frozen):
    """Scrape sides and bottom."""

    kind: Literal["scrape"] = "scrape"
    key: str
    say: str = ""


class RestStep(Frozen):
    """Let the mix stand between `min_s` and `max_s` seconds."""

    kind: Literal["rest"] = "rest"
    key: str
    min_s: int
    max_s: int
    say: str = ""


class ConsistencyStep(Frozen):
    """Judge the consistency.

    Attributes:
        method: "trowel" (by eye), "spread" (mm), "flow" (percent), "rings" (slump tube rings).
        least: Lowest right figure for a measured method, else None.
        most: Highest right figure, else None.
    """

    kind: Literal["consistency"] = "consistency"
    key: str
    method: Literal["trowel", "spread", "flow", "rings"]
    least: int | None = None
    most: int | None = None
    say: str = ""


class TemperatureStep(Frozen):
    """Take the temperature of the mix; the bounds are the recipe's own, or None."""

    kind: Literal["temperature"] = "temperature"
    key: str
    min_c: float | None = None
    max_c: float | None = None
    say: str = ""


class SplitStep(Frozen):
    """Take out `fraction` of what is in the bucket for another layer (the face coat)."""

    kind: Literal["split"] = "split"
    key: str
    layer: str
    fraction: Fraction
    say: str = ""


class NoteStep(Frozen):
    """Something to do or see to, confirmed with one key."""

    kind: Literal["note"] = "note"
    key: str
    say: str


# Work that brings nothing in and takes nothing out.
WorkStep = MixStep | ScrapeStep | RestStep | ConsistencyStep | TemperatureStep | NoteStep
# Each `kind` tells its step apart where it is stored: some of them hold the same fields.
Step = AddStep | ReleaseStep | SplitStep | WorkStep


class Recipe(Frozen):
    """A whole recipe.

    Attributes:
        key: Short name (the file's stem).
        revision: The maker's own revision mark.
        materials: In the order of the file; exactly one with role water.
        steps: In the recipe's own order.
        air_fraction: Air in the fresh mix, of its volume.
        working_min: Working time from first water at 20 °C, minutes.
        currency: Of the prices, e.g. "EUR"; "" if none.
        strip_min: Least time from the end of placing to stripping at 20 °C, minutes; None for the usual.
        seal_min: Least time from the end of placing to sealing, minutes; None for the usual.
    """

    key: str
    name: str
    revision: str
    water: WaterRule
    materials: tuple[Material, ...]
    steps: tuple[Step, ...]
    air_fraction: Fraction
    working_min: int
    note: str = ""
    currency: str = ""
    strip_min: int | None = None
    seal_min: int | None = None

    def material(self, key: str) -> Material:
        """The material of that key.

        Raises:
            KeyError: There is none.
        """
        for material in self.materials:
            if material.key == key:
                return material
        raise KeyError(key)

    @property
    def water_key(self) -> str:
        """Key of the one material that is plain water."""
        return next(material.key for material in self.materials if material.role is Role.WATER)
