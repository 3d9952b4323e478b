"""What would stop the work: each weather limit in words, with the forecast's worst value beside it."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from jobs.domain.exposure import Exposure, Limit
from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.domain.known_hours import Known, complete, highest, values_between
from planner.dayplans.facts import StopLimit, UnitCode
from planner.dayplans.presenters.measures import measure
from planner.forecast.domain.climate import MEASURABLE_MM
from planner.forecast.domain.judgement import LimitPart, StartJudgement
from planner.forecast.domain.limits.wind import FORECAST_HEIGHT_M
from planner.forecast.domain.site_sky import SiteSky

LEVELS: dict[str, tuple[str, UnitCode]] = {
    "air_min_c": ("Air colder than", "degc"),
    "air_max_c": ("Air hotter than", "degc"),
    "wind_max_m_s": ("Mean wind above", "m_s"),
    "gust_max_m_s": ("Gusts above", "m_s"),
}
THUNDER = "Thunder heard, or lightning within 10 miles; the forecast's chance is beside it"


def stop_limits(day: Day, piece: Piece, judgement: StartJudgement) -> Iterator[StopLimit]:
    """The limits of the task's exposure over the hours that were judged."""
    exposure = day.world.exposures[piece.task.exposure]
    sky = day.world.skies.get(piece.task.site.id)
    yield from _rain(exposure, sky, judgement)
    for part in judgement.parts:
        if part.limit in LEVELS:
            words, unit = LEVELS[part.limit]
            yield _level(part, _at_height(words, exposure, part), unit, part.limit_value)
        elif part.limit == "thunder":
            yield _level(part, THUNDER, "share", None)
        elif part.limit == "ground":
            yield _ground(part, sky)
    for side, limit in (("colder", exposure.surface_min_c), ("hotter", exposure.surface_max_c)):
        if limit is not None:
            yield StopLimit(words=f"Surface {side} than", unit="degc", limit=limit.value, on_site=True)


def _at_height(words: str, exposure: Exposure, part: LimitPart) -> str:
    """Limit and forecast stand at the forecast's height; the work's own limit, lower down, is said beside them."""
    if not part.limit.endswith("_m_s") or exposure.wind_height_m >= FORECAST_HEIGHT_M:
        return words
    limit: Limit = getattr(exposure, part.limit)
    own = f"{measure(limit.value, 'm_s')} at the work"
    return f"{words} {own}; in a forecast, made for {measure(FORECAST_HEIGHT_M, 'm_long')} up, that is"


def _level(part: LimitPart, words: str, unit: UnitCode, limit: float | None) -> StopLimit:
    reached: bool | None = None
    if part.worst is not None and part.limit_value is not None:
        if part.limit == "air_min_c":
            reached = part.worst < part.limit_value
        elif part.limit == "thunder":
            reached = part.worst >= part.limit_value
        else:
            reached = part.worst > part.limit_value
        if not reached and part.known_share < 1.0:
            reached = None
    return StopLimit(words=words, unit=unit, limit=limit, forecast=part.worst, worst_at=part.worst_at, reached=reached)


def _ground(part: LimitPart, sky: SiteSky | None) -> StopLimit:
    """Only measured rain tells how long the ground still dries."""
    measured = sky is not None and sky.observed is not None
    return StopLimit(
        words="Ground wet from measured rain",
        unit="h",
        forecast=part.worst if measured else None,
        reached=part.forbids if measured else None,
    )


def _rain(exposure: Exposure, sky: SiteSky | None, judgement: StartJudgement) -> Iterator[StopLimit]:
    start_at, end_at = judgement.start_at, judgement.end_at
    if exposure.rain_stop_mm_h is not None:
        rates = values_between(sky, "rain_mm", start_at, end_at)
        at, rate = highest(rates)
        limit = max(exposure.rain_stop_mm_h.value, MEASURABLE_MM)
        yield StopLimit(
            words="Rain at a rate of",
            unit="mm_h",
            limit=limit,
            forecast=rate,
            worst_at=at if rate else None,
            reached=_reached(rate, limit, known=complete(rates)),
        )
    hours = exposure.rain_before_hours
    spans: list[tuple[str, float, datetime, datetime]] = []
    if exposure.rain_before_mm is not None:
        words = f"Rain of the {hours:g} hours before the start, measured and forecast, of"
        spans.append((words, exposure.rain_before_mm.value, start_at - timedelta(hours=hours), start_at))
    if exposure.rain_during_mm is not None:
        spans.append(("Rain during the work, in all, of", exposure.rain_during_mm.value, start_at, end_at))
    if exposure.rain_after_mm is not None:
        words = "Rain after the end, until weather cannot spoil it, of"
        spans.append((words, exposure.rain_after_mm.value, end_at, judgement.safe_at))
    for words, limit, from_at, until_at in spans:
        yield _total(words, limit, values_between(sky, "rain_mm", from_at, until_at))


def _total(words: str, limit: float, amounts: Known) -> StopLimit:
    known = [value for _, value in amounts if value is not None]
    total = sum(known) if known else None
    return StopLimit(
        words=words,
        unit="mm",
        # Work that stands no rain at all is stopped by what a gauge can measure.
        limit=max(limit, MEASURABLE_MM),
        forecast=total,
        reached=_reached(total, max(limit, MEASURABLE_MM), known=complete(amounts)),
    )


def _reached(value: float | None, limit: float, *, known: bool) -> bool | None:
    if value is not None and value >= limit:
        return True
    return False if known else None
