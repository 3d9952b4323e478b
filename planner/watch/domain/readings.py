"""Every limit of a start with the forecast's worst known value beside it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from jobs.domain.exposure import Exposure, Hazard
from planner.forecast.domain.judgement import LimitPart, StartJudgement
from planner.watch.domain.concrete.drying import worst_of
from planner.watch.domain.report import DryingHour, Reading, State, Unit
from planner.watch.domain.thresholds import (
    AIR_MARGIN_C,
    CHANCE_NOISE,
    DRYING_LIMIT_KG_M2_H,
    HELD_MARGIN,
    HELD_REACHED,
    THUNDER_MARGIN,
    VISIBLE_FACE_KG_M2_H,
    VISIBLE_FACES,
    WIND_MARGIN,
)

UNITS: Mapping[str, Unit] = {
    "air_min_c": "degc",
    "air_max_c": "degc",
    "wind_max_m_s": "m_s",
    "gust_max_m_s": "m_s",
    "thunder": "share",
    "rain_stop": "mm_h",
    "rain_before": "mm",
    "rain_during": "mm",
    "rain_after": "mm",
    "ground": "h",
}
# The margin [unit of the limit] of each level, from its limit; a level not named is rain, which is priced.
MARGINS: Mapping[str, Callable[[float], float]] = {
    "air_min_c": lambda limit: AIR_MARGIN_C,
    "air_max_c": lambda limit: AIR_MARGIN_C,
    "wind_max_m_s": lambda limit: WIND_MARGIN * limit,
    "gust_max_m_s": lambda limit: WIND_MARGIN * limit,
    "thunder": lambda limit: THUNDER_MARGIN,
}
FALLING = frozenset({"air_min_c"})
# Only what comes after now is asked of a forecast; the past and the ground are looked at on site. Thunder is often
# left out of a forecast and comes with rain.
ASKED_OF_FORECAST = frozenset(
    {"air_min_c", "air_max_c", "wind_max_m_s", "gust_max_m_s", "rain_during", "rain_after", "evaporation_kg_m2_h"}
)
HAZARD_OF_READING: Mapping[str, Hazard] = {
    "air_min_c": "cold",
    "air_max_c": "heat",
    "wind_max_m_s": "wind",
    "gust_max_m_s": "wind",
    "rain_during": "rain",
    "rain_after": "rain",
    "evaporation_kg_m2_h": "drying",
}


def readings_of(
    exposure: Exposure, judgement: StartJudgement, drying: Sequence[DryingHour], heat: Reading | None
) -> tuple[Reading, ...]:
    """Every limit of the exposure as a reading, the worst state first, else in the order of the data."""
    found = [_of_part(part, exposure) for part in judgement.parts]
    if exposure.sets:
        found.append(_of_drying(exposure, drying))
    if heat is not None:
        found.append(heat)
    for name in ("surface_min_c", "surface_max_c"):
        limit = getattr(exposure, name)
        if limit is not None:
            found.append(
                Reading(limit=name, unit="degc", state="on_site", limit_value=limit.value, source=limit.source)
            )
    order = {"reached": 0, "near": 1, "unknown": 2, "clear": 3, "on_site": 4}
    return tuple(sorted(found, key=lambda reading: order[reading.state]))


def level_state(limit: str, limit_value: float, worst: float | None, known_share: float, widen: float = 1.0) -> State:
    """Where a level's worst known value lies: beyond its limit, within the margin of it, or clear of it.

    >>> [level_state("gust_max_m_s", 13.0, gust, 1.0) for gust in (13.1, 10.4, 10.3)]
    ['reached', 'near', 'clear']
    """
    if worst is None:
        return "unknown"
    room = worst - limit_value if limit in FALLING else limit_value - worst
    if room < 0 or (limit == "thunder" and room <= 0):
        return "reached"
    if room <= MARGINS[limit](limit_value) * widen + 1e-9:
        return "near"
    return "clear" if known_share >= 1.0 else "unknown"


def held(reading: Reading) -> Reading:
    """A reading as a verdict that stands takes it: its margin wider, and the inner half of it as reached."""
    if reading.limit not in MARGINS or reading.worst is None or reading.limit_value is None:
        return reading
    state = level_state(reading.limit, reading.limit_value, reading.worst, reading.known_share, HELD_MARGIN)
    inner = level_state(reading.limit, reading.limit_value, reading.worst, reading.known_share, HELD_REACHED)
    if inner in ("reached", "near"):
        state = "reached"
    return replace(reading, state=state)


def asks_to_prepare(reading: Reading) -> bool:
    """Whether a reading alone asks for preparation; a hot day that is only near its limit is told, not more."""
    return reading.state == "reached" or (reading.state == "near" and reading.limit != "heat_index_c")


def near_hazards(readings: Sequence[Reading]) -> frozenset[Hazard]:
    """Hazards whose limit is near or reached."""
    return frozenset(
        HAZARD_OF_READING[reading.limit]
        for reading in readings
        if reading.state in ("near", "reached") and reading.limit in HAZARD_OF_READING
    )


def _of_part(part: LimitPart, exposure: Exposure) -> Reading:
    return Reading(
        limit=part.limit,
        unit=UNITS[part.limit],
        state=_part_state(part, exposure),
        limit_value=part.limit_value,
        worst=part.worst,
        worst_at=part.worst_at,
        chance=part.chance,
        known_share=part.known_share,
        forbids=part.forbids,
        source=part.source,
    )


def _part_state(part: LimitPart, exposure: Exposure) -> State:
    if part.forbids:
        return "reached"
    if part.limit in MARGINS and part.limit_value is not None:
        return level_state(part.limit, part.limit_value, part.worst, part.known_share)
    if part.chance >= exposure.forbid_chance - CHANCE_NOISE:
        return "near"
    return "unknown" if part.limit in ASKED_OF_FORECAST and part.known_share < 1.0 else "clear"


def _of_drying(exposure: Exposure, hours: Sequence[DryingHour]) -> Reading:
    """Near where the upper end of the estimate reaches the limit: 40 % is its stated uncertainty."""
    visible = exposure.key in VISIBLE_FACES
    limit = VISIBLE_FACE_KG_M2_H if visible else DRYING_LIMIT_KG_M2_H
    known = [hour for hour in hours if hour.rate_kg_m2_h is not None]
    worst = worst_of(hours)
    share = len(known) / len(hours) if hours else 0.0
    state: State = "unknown"
    if worst is not None and worst.rate_kg_m2_h is not None and worst.high_kg_m2_h is not None:
        if worst.rate_kg_m2_h >= limit:
            state = "reached"
        elif worst.high_kg_m2_h >= limit:
            state = "near"
        elif share >= 1.0:
            state = "clear"
    return Reading(
        limit="evaporation_kg_m2_h",
        unit="kg_m2_h",
        state=state,
        limit_value=limit,
        worst=worst.rate_kg_m2_h if worst else None,
        worst_at=worst.at if worst else None,
        known_share=share,
        source="aci_305, half of it on a face that stays in view" if visible else "aci_305",
    )
