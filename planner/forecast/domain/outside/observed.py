"""What a weather station measured, as hours."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from planner.forecast.domain.series import HOUR, VARIABLES, HourlySeries, Values

# A report made at the 53rd minute sums the hour before it, which is mostly the clock hour it lies in; one on the full
# hour sums the clock hour before. Half an hour back lies in the right one for both.
_BACK = timedelta(minutes=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A station near a place, by its code."""

    code: str
    name: str
    latitude: float
    longitude: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One report of a station; ``rain_mm`` fell since its last full-hour report, ``None`` is unknown."""

    at: datetime
    air_temp_c: float | None
    dew_point_c: float | None
    wind_m_s: float | None
    gust_m_s: float | None
    rain_mm: float | None


def hours_of(
    reports: Iterable[Report], *, source: str, start_at: datetime, hours: int, fetched_at: datetime
) -> HourlySeries:
    """Reports as hours: mean temperature and wind, highest gust, and the highest rain count of each hour.

    Reports between the full ones repeat what has fallen since the last full one, so that the highest is the sum.

    Parameters
    ----------
    reports : iterable of Report
        In any order.
    source : str
        Name the series carries.
    start_at : datetime
        Full UTC hour of the first entry.
    hours : int
        Number of entries [h].
    fetched_at : datetime
        When they were asked for.

    Returns
    -------
    HourlySeries
        An hour without a report is unknown; chances and sky are unknown throughout.
    """
    found: dict[str, list[list[float]]] = {name: [[] for _ in range(hours)] for name in VARIABLES}
    for report in reports:
        at = int((report.at - _BACK - start_at) // HOUR)
        if not 0 <= at < hours:
            continue
        for name in ("air_temp_c", "dew_point_c", "wind_m_s", "gust_m_s", "rain_mm"):
            value = getattr(report, name)
            if value is not None:
                found[name][at].append(value)

    def each(name: str, highest: bool) -> Values:
        return tuple(
            None if not values else max(values) if highest else sum(values) / len(values) for values in found[name]
        )

    columns = {name: each(name, name in {"gust_m_s", "rain_mm"}) for name in VARIABLES}
    return HourlySeries(source=source, issued_at=fetched_at, start_at=start_at, **columns)


def filled(first: HourlySeries, second: HourlySeries) -> HourlySeries:
    """The values of the first, and of the second where the first has none; both cover the same hours.

    Raises
    ------
    ValueError
        If they do not.
    """
    if (first.start_at, first.hours) != (second.start_at, second.hours):
        raise ValueError("only the same hours can be filled")
    columns = {
        name: tuple(b if a is None else a for a, b in zip(getattr(first, name), getattr(second, name), strict=True))
        for name in VARIABLES
    }
    return HourlySeries(source=first.source, issued_at=first.issued_at, start_at=first.start_at, **columns)


def joined(days: Sequence[HourlySeries], *, from_at: datetime, until_at: datetime, source: str) -> HourlySeries:
    """One series of one day or more, from the first to the last full hour of [from_at, until_at)."""
    hours = int((until_at - from_at) // HOUR)
    columns: dict[str, list[float | None]] = {name: [None] * hours for name in VARIABLES}
    for day in days:
        first = int((day.start_at - from_at) // HOUR)
        for name in VARIABLES:
            for at, value in enumerate(getattr(day, name)):
                if 0 <= first + at < hours and value is not None:
                    columns[name][first + at] = value
    return HourlySeries(
        source=source,
        issued_at=max(day.issued_at for day in days),
        start_at=from_at,
        **{name: tuple(values) for name, values in columns.items()},
    )
