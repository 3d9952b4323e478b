"""What the weather does to one start: forbidden or not, why, and the expected loss."""

from dataclasses import dataclass, field
from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal

from jobs.domain.exposure import Exposure, Soil
from jobs.science.setting import Admixture
from planner.forecast.domain.halfday import HalfDays

SPOILS_FROM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitPart:
    """One limit's share in a verdict.

    Attributes
    ----------
    limit : name of the limit: ``air_min_c``, ``air_max_c``, ``wind_max_m_s``, ``gust_max_m_s``, ``thunder``,
        ``rain_stop``, ``rain_before``, ``rain_during``, ``rain_after``, ``ground``.
    chance : chance [0..1] that it is broken; 1 where a known value breaks it.
    known_share : share [0..1] of its hours that a forecast covers.
    forbids : a known value breaks it.
    limit_value : the limit in the unit of its name (rain [mm], thunder [0..1], ground [h]); ``None``: none.
    worst, worst_at : the worst known value and its hour, where one was looked for.
    source : where the limit comes from.
    """

    limit: str
    chance: float
    known_share: float
    forbids: bool
    limit_value: float | None
    worst: float | None = None
    worst_at: datetime | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RainSafe:
    """How long after placing rain can hurt concrete.

    Attributes
    ----------
    hours : from the end of placing [h].
    hours_at_21c : what the exposure asks at 21.1 degC [h].
    concrete_temp_c : mean temperature while it sets [degC], kept inside the table of setting.
    admixture : what is added for the set.
    """

    hours: float
    hours_at_21c: float
    concrete_temp_c: float
    admixture: Admixture


@dataclass(frozen=True, slots=True, kw_only=True)
class StartJudgement:
    """The verdict on one start.

    Attributes
    ----------
    forbidden : a known value breaks a limit, or the known chance of spoiling rain reaches the exposure's.
    reasons : short sentences with numbers, the forbidding ones first.
    chance_hit : chance [0..1] that the work is spoiled or stopped, from before its start until it is safe.
    storm_chance : chance [0..1] of rain or thunder alone that breaks a limit.
    known_share : share [0..1] of the judged hours that a forecast covers.
    dollars : expected loss, ``chance_hit * loss``, rounded half up.
    safe_at : when rain no longer matters.
    rain_safe : what that was reckoned from, for work that sets.
    """

    start_at: datetime
    end_at: datetime
    forbidden: bool
    reasons: tuple[str, ...]
    chance_hit: float
    storm_chance: float
    known_share: float
    dollars: int
    safe_at: datetime
    parts: tuple[LimitPart, ...]
    rain_safe: RainSafe | None = None


def expected_loss(chance: float, loss_dollars: int) -> int:
    """Expected loss in whole dollars, ``chance * loss``, rounded half up.

    Parameters
    ----------
    chance : chance [0..1] of the loss.
    loss_dollars : loss [dollars], not negative.

    >>> expected_loss(0.125, 12_000), expected_loss(0.125, 100)
    (1500, 13)
    """
    cents = Decimal(repr(round(chance, 9))) * loss_dollars
    return int(cents.quantize(Decimal(1), rounding=ROUND_HALF_UP))


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """What judges of one climate and zone share: the zone's half-days, and verdicts where nothing is known."""

    half_days: HalfDays
    far: dict[tuple[Exposure, Soil, Admixture], dict[tuple[int, int, int], StartJudgement]] = field(
        default_factory=dict
    )

    def far_of(
        self, exposure: Exposure, soil: Soil, admixture: Admixture
    ) -> dict[tuple[int, int, int], StartJudgement]:
        """Verdicts on an exposure on a soil by month, minute of the day and length [s]."""
        return self.far.setdefault((exposure, soil, admixture), {})
