"""Reads hourly airport records: inches, miles an hour or knots, and degrees Fahrenheit become our units.

One station, in order, in one of two layouts, known by their headings. In ours each line is an hour. In the one public
archives of airport reports hand out, every report stands with its minute: the routine one, shortly before or at the
full hour, is taken for that hour, and special ones between are left out; ``M`` is missing, ``T`` a trace. The stamp is
UTC; temperature and wind are taken for the hour that begins there, rain fell in the hour before it.
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
KNOT_M_S = 1852 / 3600
REPORT_TIME_COLUMN = "valid"
# Routine reports are made from this minute on, and count for the hour that follows.
ROUTINE_FROM_MINUTE = 45
_REPORT_COLUMNS: Mapping[str, _Column] = {
    "air_temp_c": ("tmpf", *_COLUMNS["air_temp_c"][1:]),
    "dew_point_c": ("dwpf", *_COLUMNS["dew_point_c"][1:]),
    "wind_m_s": ("sknt", lambda v: v * KNOT_M_S, 0.0, 75.0),
    "gust_m_s": ("gust", lambda v: v * KNOT_M_S, 0.0, 115.0),
    "rain_mm": ("p01i", *_COLUMNS["rain_mm"][1:]),
}
_WORDS_FOR_NUMBERS = {"M": "", "T": "0"}
_LONGEST_RECORD = timedelta(days=366 * 100)


def read_station_csv(path: Path, *, zone: str) -> TrueWeather:
    """Read one station's hourly records.

    Parameters
    ----------
    path : Path
        A comma-separated file with headings, gzip-packed if its name ends in ``.gz``: ``time_hour``, ``temp``,
        ``dewp``, ``wind_speed``, ``wind_gust``, ``precip`` [degF, mph, inch], or ``valid``, ``tmpf``, ``dwpf``,
        ``sknt``, ``gust``, ``p01i`` [degF, knots, inch].
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
        reports = REPORT_TIME_COLUMN in row
        time_column = REPORT_TIME_COLUMN if reports else TIME_COLUMN
        at = _routine_hour(path, line, row[time_column]) if reports else _hour(path, line, row[time_column])
        if at is None:
            continue
        if at <= latest and not (reports and at == latest):
            raise _bad(path, line, time_column, f"{row[time_column]}, not after the line before")
        latest = at
        values: dict[str, float | None] = {}
        for name, (column, convert, low, high) in (_REPORT_COLUMNS if reports else _COLUMNS).items():
            value = _value(path, line, column, _WORDS_FOR_NUMBERS.get(row[column], row[column]), convert)
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
    reports = REPORT_TIME_COLUMN in (reader.fieldnames or ())
    time_column, columns = (REPORT_TIME_COLUMN, _REPORT_COLUMNS) if reports else (TIME_COLUMN, _COLUMNS)
    for column in (time_column, *(entry[0] for entry in columns.values())):
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


def _routine_hour(path: Path, line: int, text: str) -> datetime | None:
    """The hour a report is the routine one of; ``None`` for a special report between two hours."""
    try:
        at = datetime.fromisoformat(text)
    except ValueError as error:
        raise _bad(path, line, REPORT_TIME_COLUMN, f"{text!r}, not a time such as 2013-01-01 05:51") from error
    at = at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)
    hour = at.replace(minute=0, second=0, microsecond=0)
    if at == hour:
        return hour
    return hour + HOUR if at.minute >= ROUTINE_FROM_MINUTE else None


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
