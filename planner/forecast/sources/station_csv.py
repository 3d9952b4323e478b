"""Reads hourly airport records: inches, miles an hour and degrees Fahrenheit become our units.

One line an hour of one station, in order. The stamp is the hour of the report in UTC; temperature and wind are taken
for the hour that begins there, rain fell in the hour before it.
"""

import csv
import gzip
import io
import math
import zlib
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path

from jobs.domain.errors import CannotDo
from planner.forecast.domain.series import HOUR
from planner.forecast.domain.truth import RECORDED, TrueWeather

TIME_COLUMN = "time_hour"
# Column, conversion, and the range any instrument on the ground has ever read rightly.
_Column = tuple[str, Callable[[float], float], float, float]
_COLUMNS: Mapping[str, _Column] = {
    "air_temp_c": ("temp", lambda v: (v - 32.0) / 1.8, -60.0, 60.0),
    "dew_point_c": ("dewp", lambda v: (v - 32.0) / 1.8, -70.0, 40.0),
    "wind_m_s": ("wind_speed", lambda v: v * 0.44704, 0.0, 75.0),
    "gust_m_s": ("wind_gust", lambda v: v * 0.44704, 0.0, 115.0),
    "rain_mm": ("precip", lambda v: v * 25.4, 0.0, 310.0),
}
_LONGEST_RECORD = timedelta(days=366 * 100)


def read_station_csv(path: Path, *, zone: str) -> TrueWeather:
    """Read one station's hourly records.

    Parameters
    ----------
    path : Path
        A comma-separated file with headings, gzip-packed if its name ends in ``.gz``.
    zone : str
        IANA zone of the station.

    Returns
    -------
    TrueWeather
        Absent lines and empty fields are ``None``. A value no instrument can have seen (a wind of 1048 mph) is
        ``None`` too, and counted in ``refused``.

    Raises
    ------
    CannotDo
        ``forecast.bad_csv`` naming line and column: a missing column, an unreadable number or time, an hour twice
        or out of order.
    """
    rows: dict[datetime, dict[str, float | None]] = {}
    refused = 0
    latest = datetime.min.replace(tzinfo=UTC)
    for line, row in _lines(path):
        at = _hour(path, line, row[TIME_COLUMN])
        if at <= latest:
            raise _bad(path, line, TIME_COLUMN, f"{row[TIME_COLUMN]}, not after the line before")
        latest = at
        values: dict[str, float | None] = {}
        for name, (column, convert, low, high) in _COLUMNS.items():
            value = _value(path, line, column, row[column], convert)
            if value is not None and not low <= value <= high:
                refused += 1
                value = None
            values[name] = value
        rows[at] = values
    if not rows:
        raise _bad(path, 2, TIME_COLUMN, "missing: no records")
    return _weather(path, rows, zone=zone, refused=refused)


def _weather(
    path: Path, rows: Mapping[datetime, Mapping[str, float | None]], *, zone: str, refused: int
) -> TrueWeather:
    first, last = min(rows), max(rows)
    if last - first > _LONGEST_RECORD:
        raise _bad(path, len(rows) + 1, TIME_COLUMN, f"{last}, more than a century after the first")
    start_at = first - HOUR
    moments = [start_at + i * HOUR for i in range(int((last - start_at) / HOUR) + 1)]
    none: Mapping[str, float | None] = dict.fromkeys(RECORDED)

    def column(name: str) -> tuple[float | None, ...]:
        ahead = HOUR if name == "rain_mm" else timedelta(0)
        return tuple(rows.get(moment + ahead, none)[name] for moment in moments)

    return TrueWeather(
        start_at=start_at,
        zone=zone,
        air_temp_c=column("air_temp_c"),
        dew_point_c=column("dew_point_c"),
        wind_m_s=column("wind_m_s"),
        gust_m_s=column("gust_m_s"),
        rain_mm=column("rain_mm"),
        refused=refused,
    )


def _lines(path: Path) -> Iterator[tuple[int, Mapping[str, str]]]:
    try:
        packed = path.read_bytes()
        text = (gzip.decompress(packed) if path.suffix == ".gz" else packed).decode("utf-8")
    except (OSError, EOFError, UnicodeDecodeError, zlib.error) as error:
        raise _bad(path, 0, "the file", f"unreadable ({type(error).__name__})") from error
    reader = csv.DictReader(io.StringIO(text, newline=""))
    for column in (TIME_COLUMN, *(entry[0] for entry in _COLUMNS.values())):
        if column not in (reader.fieldnames or ()):
            raise _bad(path, 1, column, "missing")
    for row in reader:
        if None in row.values() or None in row:
            raise _bad(path, reader.line_num, "the line", "longer or shorter than the headings")
        yield reader.line_num, row


def _hour(path: Path, line: int, text: str) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError as error:
        raise _bad(path, line, TIME_COLUMN, f"{text!r}, not an ISO time") from error
    if at.tzinfo is None or at.astimezone(UTC) != at.astimezone(UTC).replace(minute=0, second=0, microsecond=0):
        raise _bad(path, line, TIME_COLUMN, f"{text!r}, not a full hour with its offset from UTC")
    return at.astimezone(UTC)


def _value(path: Path, line: int, column: str, text: str, convert: Callable[[float], float]) -> float | None:
    if not text:
        return None
    try:
        value = float(text)
    except ValueError as error:
        raise _bad(path, line, column, repr(text[:40])) from error
    if not math.isfinite(value):
        raise _bad(path, line, column, repr(text[:40]))
    return round(convert(value), 4)


def _bad(path: Path, line: int, column: str, value: str) -> CannotDo:
    return CannotDo("forecast.bad_csv", field=column, path=path.name, line=line, value=value)
