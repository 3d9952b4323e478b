"""Skies and works of the tests of chance, climate and verdicts: everything unset is calm, dry and mild."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from jobs.domain.exposure import Exposure, Limit, Soil
from jobs.science.setting import Admixture
from planner.forecast.domain.climate import PROBABILITIES, Climate, HalfDayClimate, HourClimate
from planner.forecast.domain.judge import Judge
from planner.forecast.domain.judgement import StartJudgement
from planner.forecast.domain.series import VARIABLES, HourlySeries, Values

ZONE = ZoneInfo("America/New_York")
# Wednesday, a summer day of EDT (UTC-4).
DAY = datetime(2026, 7, 15, tzinfo=ZONE)

CALM: Mapping[str, float] = {
    "air_temp_c": 20.0,
    "dew_point_c": 12.0,
    "wind_m_s": 2.0,
    "gust_m_s": 3.0,
    "rain_chance": 0.0,
    "rain_mm": 0.0,
    "thunder_chance": 0.0,
    "sky_cover": 0.2,
}


def local(hour: float, *, day: int = 0) -> datetime:
    """A local clock time, days after the test day."""
    return DAY + timedelta(days=day, hours=hour)


def sky(
    hours: int = 96, *, start_at: datetime | None = None, **by_local_time: Callable[[datetime], float | None]
) -> HourlySeries:
    """A series from local midnight of the test day; a variable may be a function of the local time."""
    first = (start_at or DAY).astimezone(UTC)
    values: dict[str, Values] = {}
    for name in VARIABLES:
        reads = by_local_time.get(name)
        values[name] = tuple(
            CALM[name] if reads is None else reads((first + timedelta(hours=at)).astimezone(ZONE))
            for at in range(hours)
        )
    return HourlySeries(source="test", issued_at=first, start_at=first, **values)


def unknown_after(moment: datetime, value: float) -> Callable[[datetime], float | None]:
    return lambda at: value if at < moment else None


def flat(low: float, high: float) -> tuple[float, ...]:
    """Quantiles of an even spread."""
    return tuple(low + (high - low) * share for share in PROBABILITIES)


def even_climate(
    *,
    wet_chance: float = 0.3,
    wet_mean_mm: float = 5.0,
    air: tuple[float, float] = (15.0, 25.0),
    wind: tuple[float, float] = (0.0, 4.0),
    gust: tuple[float, float] = (0.0, 6.0),
) -> Climate:
    """The same climate every month and hour; extremes of a half-day spread like its hours."""
    half = HalfDayClimate(
        wet_chance=wet_chance,
        wet_mean_mm=wet_mean_mm,
        air_low_c=flat(*air),
        air_high_c=flat(*air),
        wind_high_m_s=flat(*wind),
        gust_high_m_s=flat(*gust),
        known=30,
    )
    hour = HourClimate(
        air_mean_c=sum(air) / 2,
        dew_point_mean_c=10.0,
        air_temp_c=flat(*air),
        wind_m_s=flat(*wind),
        gust_m_s=flat(*gust),
    )
    return Climate(zone=ZONE.key, half_days=((half, half),) * 12, hours=((hour,) * 24,) * 12)


def limit(value: float | None) -> Limit | None:
    return None if value is None else Limit(value=value, source="common practice, no source")


def work(
    *,
    stop: float | None = None,
    before: float | None = None,
    before_hours: float = 0.0,
    during: float | None = None,
    after_hours: float = 0.0,
    after: float | None = None,
    sets: bool = False,
    air: tuple[float | None, float | None] = (None, None),
    wind: float | None = None,
    gust: float | None = None,
    thunder: bool = False,
    clay: float = 0.0,
    forbid: float = 0.6,
    loss: int = 1000,
) -> Exposure:
    """An exposure with the limits named, and no other."""
    return Exposure(
        key="test",
        title="Test work",
        rain_stop_mm_h=limit(stop),
        rain_before_mm=limit(before),
        rain_before_hours=before_hours,
        rain_during_mm=limit(during),
        rain_after_hours=after_hours,
        rain_after_mm=limit(after),
        sets=sets,
        air_min_c=limit(air[0]),
        air_max_c=limit(air[1]),
        surface_min_c=None,
        surface_max_c=None,
        wind_max_m_s=limit(wind),
        gust_max_m_s=limit(gust),
        stops_for_thunder=thunder,
        clay_wait_h_per_25mm=clay,
        forbid_chance=forbid,
        loss_dollars=loss,
        worst_dollars=loss,
        light="day",
    )


SLAB = work(
    stop=0.25, before=12, before_hours=12, during=0.5, after_hours=8, after=2, sets=True, air=(4.4, 35), gust=13,
    thunder=True, clay=24, loss=3500,
)  # fmt: skip


def judge_start(
    exposure: Exposure, start_at: datetime, end_at: datetime, *, soil: Soil, admixture: Admixture = "none", **site: Any
) -> StartJudgement:
    """The verdict of a judge made for one start."""
    return Judge(**site).start(exposure, start_at=start_at, end_at=end_at, soil=soil, admixture=admixture)
