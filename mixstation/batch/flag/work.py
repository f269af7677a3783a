"""Flags on how the work was done: scraping, mixing and resting, the order of things, temperature, working time."""

from mixstation.batch.flag.kind import BatchFlag, MaterialFlag, StepFlag
from mixstation.batch.terms import Gravity
from mixstation.frozen import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class FibresUnscraped(BatchFlag, code="fibres-unscraped"):
    """Fibres went in with powder still on the wall."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrapeFirst(BatchFlag, code="scrape-first"):
    """Fibres are asked for with powder still on the wall."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrapeSkipped(StepFlag, code="scrape-skipped"):
    """A scraping was left out with powder on the wall."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedFlag(StepFlag):
    """A mixing or a rest that was too short or too long."""

    took_s: int
    min_s: int
    max_s: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MixShort(TimedFlag, code="mix-short"):
    """A mixing was too short."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RestShort(TimedFlag, code="rest-short"):
    """A rest was too short."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TooLong(TimedFlag):
    """A mixing or a rest that was, or by now is, too long."""

    ended: bool

    @property
    def gravity(self) -> Gravity:
        """What is over can only be noted."""
        return "note" if self.ended else "warn"


@dataclass(frozen=True, slots=True, kw_only=True)
class MixLong(TooLong, code="mix-long"):
    """A mixing is too long."""

    fibres_in: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RestLong(TooLong, code="rest-long"):
    """A rest is too long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MixSkipped(StepFlag, code="mix-skipped"):
    """A mixing was left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RestSkipped(StepFlag, code="rest-skipped"):
    """A rest was left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfOrder(StepFlag, code="out-of-order"):
    """A step was done before its turn."""

    grave = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlasticiserNotActed(BatchFlag, code="plasticiser-not-acted"):
    """Water went in before the plasticiser had its mixing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlasticiserFirst(BatchFlag, code="plasticiser-first"):
    """Water is asked for before the plasticiser is in."""

    asks_to_add = True


@dataclass(frozen=True, slots=True, kw_only=True)
class MixPlasticiserFirst(BatchFlag, code="mix-plasticiser-first"):
    """Water is asked for before the plasticiser has had its mixing."""

    asks_to_add = True


@dataclass(frozen=True, slots=True, kw_only=True)
class PolymerCold(MaterialFlag, code="polymer-cold"):
    """Colder than the polymer needs to form its film."""

    mix_c: float
    least_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MixWarm(StepFlag, code="mix-warm"):
    """The mix is warmer than the recipe wants it."""

    mix_c: float
    max_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MixCold(StepFlag, code="mix-cold"):
    """The mix is colder than the recipe wants it."""

    mix_c: float
    min_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeFlag(BatchFlag):
    """Working time that runs out."""

    since_s: int
    low_s: int
    high_s: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeNear(TimeFlag, code="time-near"):
    """The earlier end of the working time is near."""

    grave = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeLate(TimeFlag, code="time-late"):
    """The earlier end of the working time is past."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimePast(TimeFlag, code="time-past"):
    """The working time is past."""

    grave = "stop"


@dataclass(frozen=True, slots=True, kw_only=True)
class StiffAndWarm(BatchFlag, code="stiff-and-warm"):
    """It was judged to be setting."""

    grave = "stop"


WorkFlags = (
    FibresUnscraped
    | ScrapeFirst
    | ScrapeSkipped
    | MixShort
    | RestShort
    | MixLong
    | RestLong
    | MixSkipped
    | RestSkipped
    | OutOfOrder
    | PlasticiserNotActed
    | PlasticiserFirst
    | MixPlasticiserFirst
    | PolymerCold
    | MixWarm
    | MixCold
    | TimeNear
    | TimeLate
    | TimePast
    | StiffAndWarm
)
