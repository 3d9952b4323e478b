"""Heat on people over the hours of a piece of work."""

from datetime import UTC, datetime

from jobs.science.heat import forecast_heat_index_c
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.watch.domain.report import Reading, State
from planner.watch.domain.thresholds import HEAT_INDEX_LIMIT_C, HEAT_INDEX_NEAR_C


def heat_reading(series: HourlySeries, start_at: datetime, end_at: datetime) -> Reading | None:
    """The worst heat index in shade over [start_at, end_at), where an hour is warm enough to have one.

    Returns
    -------
    Reading or None
        Reached at 103 degF: strenuous work is rearranged; near from 91 degF: water, shade, breaks. It stops nobody
        by itself. Full sun adds to it.

    Source: osha_heat, nws_heat_index.
    """
    worst: tuple[float, datetime] | None = None
    at = start_at.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    while at < end_at:
        index_c = forecast_heat_index_c(series.value("air_temp_c", at), series.value("dew_point_c", at))
        if index_c is not None and (worst is None or index_c > worst[0]):
            worst = index_c, at
        at += HOUR
    if worst is None:
        return None
    index_c, worst_at = worst
    state: State = "reached" if index_c >= HEAT_INDEX_LIMIT_C else "near" if index_c >= HEAT_INDEX_NEAR_C else "clear"
    return Reading(
        limit="heat_index_c",
        unit="degc",
        state=state,
        limit_value=HEAT_INDEX_LIMIT_C,
        worst=index_c,
        worst_at=worst_at,
        source="osha_heat",
    )
