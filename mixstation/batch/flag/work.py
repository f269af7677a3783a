"""Flags on how the work was done: scraping, mixing and resting, the order of things, temperature, working time."""

from fractions import Fraction

from mixstation.batch.flag.kind import BatchFlag, MaterialFlag, StepFlag
from mixstation.batch.terms import Gravity


class FibresUnscraped(BatchFlag, code="fibres-unscraped"):
    """Fibres went in with powder still on the wall."""


class ScrapeFirst(BatchFlag, code="scrape-first"):
    """Fibres are asked for with powder still on the wall."""


class ScrapeSkipped(StepFlag, code="scrape-skipped"):
    """A scraping was left out with powder on the wall."""


class TimedFlag(StepFlag):
    """A mixing or a rest that was too short or too long."""

    took_s: int
    min_s: int
    max_s: int


class MixShort(TimedFlag, code="mix-short"):
    """A mixing was too short."""

    worsens = "took_s"
    falls = True


class RestShort(TimedFlag, code="rest-short"):
    """A rest was too short."""

    worsens = "took_s"
    falls = True


class TooLong(TimedFlag):
    """A mixing or a rest that was, or by now is, too long."""

    worsens = "took_s"
    # Choice: a running paddle would bring it back every second.
    worse_by = Fraction(1, 2)
    ended: bool

    @property
    def gravity(self) -> Gravity:
        """What is over can only be noted."""
        return "note" if self.ended else "warn"


class MixLong(TooLong, code="mix-long"):
    """A mixing is too long."""

    fibres_in: bool


class RestLong(TooLong, code="rest-long"):
    """A rest is too long."""


class MixSkipped(StepFlag, code="mix-skipped"):
    """A mixing was left out."""


class RestSkipped(StepFlag, code="rest-skipped"):
    """A rest was left out."""


class OutOfOrder(StepFlag, code="out-of-order"):
    """A step was done before its turn."""

    grave = "note"


class PlasticiserNotActed(BatchFlag, code="plasticiser-not-acted"):
    """Water went in before the plasticiser had its mixing."""


class PlasticiserFirst(BatchFlag, code="plasticiser-first"):
    """Water is asked for before the plasticiser is in."""

    asks_to_add = True


class MixPlasticiserFirst(BatchFlag, code="mix-plasticiser-first"):
    """Water is asked for before the plasticiser has had its mixing."""

    asks_to_add = True


class PolymerCold(MaterialFlag, code="polymer-cold"):
    """Colder than the polymer needs to form its film."""

    worsens = "mix_c"
    falls = True
    mix_c: float
    least_c: float


class MixWarm(StepFlag, code="mix-warm"):
    """The mix is warmer than the recipe wants it."""

    worsens = "mix_c"
    mix_c: float
    max_c: float


class MixCold(StepFlag, code="mix-cold"):
    """The mix is colder than the recipe wants it."""

    worsens = "mix_c"
    falls = True
    mix_c: float
    min_c: float


class TimeFlag(BatchFlag):
    """Working time that runs out."""

    since_s: int
    low_s: int
    high_s: int


class TimeNear(TimeFlag, code="time-near"):
    """The earlier end of the working time is near."""

    grave = "note"


class TimeLate(TimeFlag, code="time-late"):
    """The earlier end of the working time is past."""


class TimePast(TimeFlag, code="time-past"):
    """The working time is past."""

    grave = "stop"


class StiffAndWarm(BatchFlag, code="stiff-and-warm"):
    """It was judged to be setting."""

    grave = "stop"


class TooLoose(BatchFlag, code="too-loose"):
    """It was last judged too loose, and no step is left at which it would be judged again."""


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
    | TooLoose
)
