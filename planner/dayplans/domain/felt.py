"""What the day's air does to people: the highest heat index and the lowest wind chill, each with its band."""

from dataclasses import replace
from datetime import datetime

from jobs.domain.facts import SiteFacts
from jobs.science.heat import (
    SUN_ADDS_C,
    WIND_CHILL_MAX_TEMP_C,
    WIND_CHILL_MAX_WIND_M_S,
    WIND_CHILL_MIN_TEMP_C,
    WIND_CHILL_MIN_WIND_M_S,
    cold_band,
    forecast_heat_index_c,
    heat_band,
    heat_class,
    wind_chill_c,
)
from planner.dayplans.domain.cautions import cautions_by_key
from planner.dayplans.domain.day import Day
from planner.dayplans.domain.sky import moments_of, series_over
from planner.dayplans.facts import ColdBand, HeatBand
from planner.forecast.domain.series import HourlySeries

HEAT_BANDS = {"lower": "lower", "moderate": "moderate", "high": "high", "very_high": "very high"}
COLD_BANDS = {
    "low": "low",
    "moderate": "moderate, chilled through after long",
    "high": "high, bare skin freezes in 10 to 30 minutes",
    "very_high": "very high, bare skin freezes in 5 to 10 minutes",
    "severe": "severe, bare skin freezes in 2 to 5 minutes",
    "extreme": "extreme, bare skin freezes in under 2 minutes: work indoors",
}


def heat_of(day: Day, site: SiteFacts | None) -> HeatBand | None:
    """The day's highest heat index in shade; ``None`` in cool weather, or where no hour is known."""
    series = series_over(day, site)
    if series is None:
        return None
    known = [(index, at) for at in moments_of(day) if (index := _index_c(series, at)) is not None]
    if not known:
        return None
    index_c, at = max(known, key=lambda one: one[0])
    if heat_class(index_c) == "none":
        return None
    (caution,) = cautions_by_key(("heat",), day.vocabulary)
    sun_f = round(SUN_ADDS_C * 1.8)
    return HeatBand(
        band=HEAT_BANDS[heat_band(index_c)],
        heat_index_c=index_c,
        at=at,
        caution=replace(caution, sentence=f"Full sun can add up to {sun_f} °F. {caution.sentence}"),
    )


def cold_of(day: Day, site: SiteFacts | None) -> ColdBand | None:
    """The day's lowest wind chill; ``None`` where nothing freezes, or where no hour is known."""
    series = series_over(day, site)
    if series is None:
        return None
    known = [(chill, at) for at in moments_of(day) if (chill := _chill_c(series, at)) is not None]
    if not known:
        return None
    chill_c, at = min(known, key=lambda one: one[0])
    band = cold_band(chill_c)
    if band == "none":
        return None
    (caution,) = cautions_by_key(("cold",), day.vocabulary)
    return ColdBand(band=COLD_BANDS[band], wind_chill_c=chill_c, at=at, caution=caution)


def _index_c(series: HourlySeries, at: datetime) -> float | None:
    return forecast_heat_index_c(series.value("air_temp_c", at), series.value("dew_point_c", at))


def _chill_c(series: HourlySeries, at: datetime) -> float | None:
    """Wind chill of an hour, in calm air its temperature; past the chart at least its end."""
    air_c, wind_m_s = series.value("air_temp_c", at), series.value("wind_m_s", at)
    if air_c is None or wind_m_s is None or air_c > WIND_CHILL_MAX_TEMP_C:
        return None
    if wind_m_s < WIND_CHILL_MIN_WIND_M_S or air_c < WIND_CHILL_MIN_TEMP_C:
        return air_c
    return wind_chill_c(air_c, min(wind_m_s, WIND_CHILL_MAX_WIND_M_S))
