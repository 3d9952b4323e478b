"""What the ticket of each load must say in the day's weather: how warm the concrete is, and how warm it was batched."""

import math
from datetime import timedelta

import numpy as np

from jobs.domain.errors import OutsideValidRange
from jobs.science.cold_hot import (
    discharge_limits_c,
    is_cold_weather,
    is_hot_weather,
    least_mixed_temp_c,
    transit_drop_c,
)
from jobs.science.concrete_temperature import delivered_temp_c
from jobs.science.evaporation import WIND_MAX_M_S, evaporation_kg_m2_h, surface_wind_m_s
from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.presenters.measures import measure
from planner.plans.domain.ready.air import AirHours, hour_of
from planner.plans.domain.ready.concrete import section_m

READY_MIX = "ready_mix"
USUAL_TRAVEL_H = 0.5
# Air this long after placing says whether the weather is cold for it: its first night.
LOOK_AHEAD = timedelta(hours=24)


def ticket_note(day: Day, piece: Piece) -> str:
    """How warm concrete may come and, in cold or hot weather, what to ask of the plant; nothing for other work."""
    if READY_MIX not in piece.task.bookings or piece.task.started_at is not None:
        return ""
    section = section_m(piece.task, piece.job.pool)
    first = hour_of(piece.stay_work_at)
    air = day.waits.air_at(piece.task.site.id)
    try:
        low_c, high_c = discharge_limits_c(section)
        ahead = air.hours(first, hour_of(piece.stay_end_at + LOOK_AHEAD) - first)
        pour = air.hours(first, max(1, hour_of(piece.stay_end_at) - first))
        asks = _cold(piece, section, low_c, float(ahead.air_temp_c.min())) + _hot(pour, high_c)
    except OutsideValidRange as outside:
        return str(outside)
    return (
        f"Concrete out of the truck between {measure(low_c, 'degc')} and {measure(high_c, 'degc')} (ACI 306 and 305);"
        f"{asks} the specification and the ticket decide."
    )


def _cold(piece: Piece, section: float, low_c: float, coldest_c: float) -> str:
    if not is_cold_weather(coldest_c):
        return ""
    pool = piece.job.pool
    travel_h = pool.truck_travel_h if pool is not None else USUAL_TRAVEL_H
    lost_c = float(transit_drop_c(low_c, coldest_c, travel_h))
    batched_c = max(least_mixed_temp_c(section, coldest_c), low_c + lost_c)
    return (
        f" in air down to {measure(coldest_c, 'degc')} ask the plant for {measure(batched_c, 'degc')} as mixed, as"
        f" {travel_h * 60:.0f} minutes on the road cost {1.8 * lost_c:.0f} °F;"
    )


def _hot(pour: AirHours, high_c: float) -> str:
    """The hottest hour of the pour, where it dries the face too fast as well, or warms loads past their limit."""
    hottest_c = float(np.max(pour.air_temp_c))
    asks = f" in heat up to {measure(hottest_c, 'degc')} ask the plant for a cooler mix (chilled water or ice);"
    if hottest_c >= high_c:
        return asks
    names = ("air_temp_c", "dew_point_c", "wind_m_s")
    for air_c, dew_c, wind_10m in zip(*(pour.by_name[name] for name in names), strict=True):
        if math.isnan(dew_c) or math.isnan(wind_10m):
            continue
        wind = min(float(surface_wind_m_s(max(wind_10m, 0.0))), WIND_MAX_M_S)
        rate = float(evaporation_kg_m2_h(float(delivered_temp_c(air_c)), min(dew_c, air_c), wind))
        if is_hot_weather(float(air_c), rate):
            return asks
    return ""
