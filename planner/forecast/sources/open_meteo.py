"""Asks Open-Meteo: off unless the operator has a key or a server of their own, for the free service is not for trade.

Field names and units: Open-Meteo forecast API documentation; conventions and quirks: recorded replies.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any, Unpack
from urllib.parse import urlencode

from jobs.domain.errors import CannotDo, OutsideFailure
from planner.forecast.domain.intervals import Piece, floor_hour, hourly_amounts, hourly_chances, hourly_from_instants
from planner.forecast.domain.outside.providers import OPEN_METEO
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.forecast.sources import http
from planner.forecast.sources.client import LiveSource, Unchanged, Ways, reading
from planner.forecast.sources.conditional import retry_after
from planner.forecast.sources.reading import CELSIUS, M_S, MM, SHARE, Units, mapping, number, sequence, unit_of, within
from planner.forecast.sources.source import Cell, Fetched, fetched_of, require_future

PAID_URL = "https://customer-api.open-meteo.com"
ACCEPT = "application/json"
# The service gives no times to wait for; its models bring something new every hour at most.
LEAST_LIFE = timedelta(minutes=30)
_MOST_HOURS = 24 * 17
_KEY = re.compile(r"(-?\d+\.\d\d),(-?\d+\.\d\d)")
_THUNDER_CODES = frozenset({95.0, 96.0, 97.0, 99.0})
# Least chance of thunder where a model's weather code shows it. Common practice, no source.
_CODE_THUNDER = 0.25
_NO_UNIT: Units = {"wmo code": lambda v: v}

_Column = tuple[str, Units, float, float]
# Stated at the moment of the stamp.
_AT_STAMP: Mapping[str, _Column] = {
    "air_temp_c": ("temperature_2m", CELSIUS, -60.0, 60.0),
    "dew_point_c": ("dew_point_2m", CELSIUS, -80.0, 45.0),
    "wind_m_s": ("wind_speed_10m", M_S, 0.0, 400 / 3.6),
    "sky_cover": ("cloud_cover", SHARE, 0.0, 1.0),
}
# Stated for the hour before the stamp.
_BEFORE_STAMP: Mapping[str, _Column] = {
    "gust_m_s": ("wind_gusts_10m", M_S, 0.0, 400 / 3.6),
    "rain_mm": ("precipitation", MM, 0.0, 200.0),
    "rain_chance": ("precipitation_probability", SHARE, 0.0, 1.0),
}
_CODE: _Column = ("weather_code", _NO_UNIT, 0.0, 99.0)
_HOURLY = [column[0] for column in (*_AT_STAMP.values(), *_BEFORE_STAMP.values(), _CODE)]


def _stamps(hourly: Mapping[str, Any]) -> list[datetime]:
    stamps = []
    for raw in sequence(hourly.get("time"), "time"):
        try:
            if isinstance(raw, int):
                stamps.append(datetime.fromtimestamp(raw, UTC))
            else:
                # Times carry no offset; the reply states one for all, which must be none.
                stamps.append(datetime.fromisoformat(raw).replace(tzinfo=UTC))
        except (ValueError, TypeError, OverflowError, OSError) as error:
            raise OutsideFailure("forecast.bad_time", field="time", text=repr(raw)[:80]) from error
    if not 0 < len(stamps) <= _MOST_HOURS:
        raise OutsideFailure("forecast.no_values", source=OPEN_METEO.key)
    if any(later - earlier != HOUR for earlier, later in pairwise(stamps)):
        raise OutsideFailure("forecast.bad_time", field="time", text="stamps are not an hour apart")
    if stamps[0] != floor_hour(stamps[0]):
        raise OutsideFailure("forecast.bad_time", field="time", text=str(stamps[0]))
    return stamps


def read_open_meteo(payload: Mapping[str, Any], *, issued_at: datetime) -> HourlySeries:
    """Read an hourly forecast of one place and one model.

    Parameters
    ----------
    payload : mapping
        The decoded JSON, asked for in GMT.
    issued_at : datetime
        The service does not state when a run was issued; what to note instead.

    Returns
    -------
    HourlySeries
        From the hour before the first stamp on. Rain, its chance and gusts belong to the hour before their stamp;
        the rest holds at the stamp and becomes means of the hour after it. Missing columns and null tails are
        unknown.

    Raises
    ------
    OutsideFailure
        If the shape, the zone, a time, a unit or a value is not what the service documents.
    """
    if payload.get("utc_offset_seconds") != 0:
        raise OutsideFailure(
            "forecast.bad_value", field="utc_offset_seconds", value=repr(payload.get("utc_offset_seconds"))[:40]
        )
    units = mapping(payload.get("hourly_units"), "hourly_units")
    hourly = mapping(payload.get("hourly"), "hourly")
    stamps = _stamps(hourly)
    start_at, hours = stamps[0] - HOUR, len(stamps) + 1

    def column(stated: _Column) -> list[float | None]:
        name, known, low, high = stated
        if hourly.get(name) is None:
            return [None] * len(stamps)
        raw = sequence(hourly[name], name)
        if len(raw) != len(stamps):
            raise OutsideFailure("forecast.bad_value", field=name, value=f"{len(raw)} values for {len(stamps)} hours")
        convert = unit_of(units.get(name), known, name)
        return [None if v is None else within(convert(number(v, name)), low, high, name) for v in raw]

    columns = {
        name: hourly_from_instants(
            list(zip(stamps, column(stated), strict=True)), start_at=start_at, hours=hours, longest_gap=HOUR
        )
        for name, stated in _AT_STAMP.items()
    }
    for name, stated in _BEFORE_STAMP.items():
        pieces = [
            Piece(from_at=at - HOUR, until_at=at, value=value) for at, value in zip(stamps, column(stated), strict=True)
        ]
        spread = hourly_amounts if name == "rain_mm" else hourly_chances
        columns[name] = spread(pieces, start_at=start_at, hours=hours)
    if all(value is None for value in columns["air_temp_c"]):
        raise OutsideFailure("forecast.no_values", source=OPEN_METEO.key)
    stormy = [
        Piece(from_at=at - HOUR, until_at=at + HOUR, value=_CODE_THUNDER)
        for at, code in zip(stamps, column(_CODE), strict=True)
        if code in _THUNDER_CODES
    ]
    thunder = hourly_chances(stormy, start_at=start_at, hours=hours)
    return HourlySeries(
        source=OPEN_METEO.key, issued_at=issued_at, start_at=start_at, thunder_chance=thunder, **columns
    )


def _reason(reply: http.Reply) -> str:
    """What an error body says; empty if it says nothing."""
    try:
        stated = json.loads(reply.body).get("reason")
    except (ValueError, RecursionError, AttributeError):
        return ""
    return str(stated or "")[:200]


def _wait(reply: http.Reply, as_of: datetime) -> timedelta | None:
    """How long to leave the service alone, by which of its limits was met."""
    if reply.status != 429:
        return retry_after(reply.headers, as_of)
    reason = _reason(reply).lower()
    if "daily" in reason or "monthly" in reason:
        return (as_of.astimezone(UTC) + timedelta(days=1)).replace(hour=0, minute=5, second=0, microsecond=0) - as_of
    return timedelta(hours=1) if "hourly" in reason else timedelta(minutes=1)


class OpenMeteoSource(LiveSource):
    """The live service, paid or one's own; places within about a kilometre share a forecast.

    Parameters
    ----------
    base_url : str
        Address of the server, without ``/v1``.
    api_key : str
        Key of a paying customer; empty for a server of one's own. It is never stored or logged.
    user_agent, ways
        As of ``Client``.
    """

    name = OPEN_METEO.key
    accept = ACCEPT

    def __init__(self, *, base_url: str, user_agent: str, api_key: str = "", **ways: Unpack[Ways]) -> None:
        ways["secret"] = {"apikey": api_key} if api_key else {}
        ways["wait"] = _wait
        super().__init__(base_url=base_url, user_agent=user_agent, **ways)

    def locate(self, place: Place, as_of: datetime) -> Cell:
        """Key of a place, as ``40.70,-74.20``."""
        return Cell(grid_key=f"{round(place.latitude, 2) + 0.0:.2f},{round(place.longitude, 2) + 0.0:.2f}")

    def fetch_grid(self, grid_key: str, as_of: datetime) -> Fetched | Unchanged:
        """The forecast of a key, or that it is too early to ask again.

        Raises
        ------
        CannotDo
            ``forecast.unknown_key``.
        OutsideFailure
            If the service failed or refused.
        """
        found = _KEY.fullmatch(grid_key)
        if found is None:
            raise CannotDo("forecast.unknown_key", field="grid_key", key=grid_key[:80], example="40.70,-74.20")
        query = {
            "latitude": found.group(1),
            "longitude": found.group(2),
            "hourly": ",".join(_HOURLY),
            # With a local zone the service uses one offset on both sides of a clock change.
            "timezone": "GMT",
            "wind_speed_unit": "ms",
            "forecast_days": "10",
            "cell_selection": "land",
        }
        answer = self.client.ask(f"{self.client.base_url}/v1/forecast?{urlencode(query, safe=',')}", as_of)
        if isinstance(answer, Unchanged):
            return answer
        reply = answer.reply
        if reply.status != 200:
            reason = _reason(reply)
            if reason:
                raise OutsideFailure("forecast.refused", source=OPEN_METEO.title, status=reply.status, reason=reason)
            raise OutsideFailure("forecast.http_status", url=reply.url, status=reply.status)
        with reading(answer):
            series = read_open_meteo(http.json_of(reply), issued_at=floor_hour(as_of))
            require_future(series, as_of)
        fetched = fetched_of(series, answer, source=self.name, grid_key=grid_key, as_of=as_of)
        known = replace(answer.known, expires_at=max(answer.known.expires_at, as_of + LEAST_LIFE))
        return replace(fetched, known=known, issue_stated=False)
