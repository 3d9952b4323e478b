"""Asks MET Norway for its location forecast, within its terms: by name, over HTTPS, never before the reply expires.

Field names, units and terms: MET Norway, Locationforecast 2.0 documentation and terms of service.
"""

import logging
import re
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from jobs.domain.errors import CannotDo, OutsideFailure
from jobs.science.psychrometrics import dew_point_c
from planner.forecast.domain.intervals import (
    Piece,
    ceil_hour,
    floor_hour,
    highest_of,
    hourly_amounts,
    hourly_chances,
    hourly_from_instants,
)
from planner.forecast.domain.outside.amount_chance import chances_from_amounts
from planner.forecast.domain.outside.providers import MET
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.forecast.sources import http
from planner.forecast.sources.client import LiveSource, Unchanged, reading
from planner.forecast.sources.nws_grid import LONGEST_REPLY
from planner.forecast.sources.reading import (
    CELSIUS,
    M_S,
    MM,
    SHARE,
    Units,
    mapping,
    moment,
    number,
    sequence,
    unit_of,
    within,
)
from planner.forecast.sources.source import Cell, Fetched, fetched_of, require_future

logger = logging.getLogger(__name__)

ACCEPT = "application/json"
# Steps are an hour apart for two or three days, then six.
LONGEST_STEP = timedelta(hours=6)
_MOST_STEPS = 600
_KEY = re.compile(r"(-?\d+\.\d\d),(-?\d+\.\d\d)(?:,(-?\d+))?")
# Least chance of thunder where the symbol of a step shows it. Common practice, no source.
_SYMBOL_THUNDER = 0.25

# Our variable, its name at the instant of a step, its units, and the range physics allows.
_LEVELS: Mapping[str, tuple[str, Units, float, float]] = {
    "air_temp_c": ("air_temperature", CELSIUS, -60.0, 60.0),
    "dew_point_c": ("dew_point_temperature", CELSIUS, -80.0, 45.0),
    "wind_m_s": ("wind_speed", M_S, 0.0, 400 / 3.6),
    "gust_m_s": ("wind_speed_of_gust", M_S, 0.0, 400 / 3.6),
    "sky_cover": ("cloud_area_fraction", SHARE, 0.0, 1.0),
}
_SPANS = (("next_1_hours", timedelta(hours=1)), ("next_6_hours", timedelta(hours=6)))


class _Steps:
    """The steps of a reply with its units."""

    def __init__(self, payload: Mapping[str, Any]) -> None:
        properties = mapping(payload.get("properties"), "properties")
        meta = mapping(properties.get("meta"), "meta")
        self.units = mapping(meta.get("units"), "units")
        self.issued_at = moment(meta.get("updated_at"), "updated_at")
        raw = sequence(properties.get("timeseries"), "timeseries")
        if not 0 < len(raw) <= _MOST_STEPS:
            raise OutsideFailure("forecast.no_values", source=MET.key)
        self.steps = [
            (moment(mapping(step, "timeseries").get("time"), "time"), mapping(step.get("data"), "data")) for step in raw
        ]
        times = [at for at, _ in self.steps]
        if times != sorted(set(times)):
            raise OutsideFailure("forecast.bad_time", field="time", text="steps out of order")

    def value(self, details: Mapping[str, Any], name: str, units: Units, low: float, high: float) -> float | None:
        raw = details.get(name)
        if raw is None:
            return None
        return within(unit_of(self.units.get(name), units, name)(number(raw, name)), low, high, name)

    def instants(self, name: str, units: Units, low: float, high: float) -> list[tuple[datetime, float | None]]:
        return [(at, self.value(_details(data, "instant"), name, units, low, high)) for at, data in self.steps]

    def dew_points(self) -> list[tuple[datetime, float | None]]:
        """Dew points where stated, else from the humidity, which the compact reply states alone."""
        stated = self.instants(*_LEVELS["dew_point_c"])
        temps = self.instants(*_LEVELS["air_temp_c"])
        shares = self.instants("relative_humidity", SHARE, 0.0, 1.1)
        return [
            (at, dew if dew is not None else _dew_point(temp, share))
            for (at, dew), (_, temp), (_, share) in zip(stated, temps, shares, strict=True)
        ]

    def amounts(self) -> list[Piece]:
        """Rain of each step over its shortest span: the spans of a step overlap and are never added."""
        pieces = []
        for at, data in self.steps:
            for span, length in _SPANS:
                most_mm = 200.0 * (length / HOUR)
                amount = self.value(_details(data, span), "precipitation_amount", MM, 0.0, most_mm)
                if amount is not None:
                    pieces.append(Piece(from_at=at, until_at=at + length, value=amount))
                    break
        return pieces

    def chances(self, name: str) -> list[Piece]:
        """Chances of each step over its longest span; the hour a step begins takes that of the hours after it."""
        pieces = []
        for at, data in self.steps:
            for span, length in reversed(_SPANS):
                chance = self.value(_details(data, span), name, SHARE, 0.0, 1.0)
                if chance is not None:
                    pieces.append(Piece(from_at=at, until_at=at + length, value=chance))
                    break
        return pieces

    def thunder_symbols(self) -> list[Piece]:
        pieces = []
        for at, data in self.steps:
            span, length = next((entry for entry in _SPANS if entry[0] in data), ("", HOUR))
            summary = mapping(data.get(span) or {}, span).get("summary") or {}
            if "thunder" in str(mapping(summary, "summary").get("symbol_code") or ""):
                pieces.append(Piece(from_at=at, until_at=at + length, value=_SYMBOL_THUNDER))
        return pieces


def _details(data: Mapping[str, Any], span: str) -> Mapping[str, Any]:
    return mapping(mapping(data.get(span) or {}, span).get("details") or {}, span)


def _dew_point(air_temp_c: float | None, humidity: float | None) -> float | None:
    # Outside the range of the formula the dew point stays unknown.
    if air_temp_c is None or humidity is None or not (-30.0 <= air_temp_c <= 50.0 and 0.05 <= humidity <= 1.1):
        return None
    return float(dew_point_c(air_temp_c, min(humidity, 1.0) * 100.0))


def read_locationforecast(payload: Mapping[str, Any]) -> HourlySeries:
    """Read a compact or complete location forecast.

    Parameters
    ----------
    payload : mapping
        The decoded JSON.

    Returns
    -------
    HourlySeries
        SI units, gaps kept. Values at an instant become means of the hour after it; ``next_1_hours`` is the hour
        after the step. The service states no chance of rain outside the Nordic countries: it is then made from the
        amounts (``amount_chance``).

    Raises
    ------
    OutsideFailure
        If the shape, a time, a unit or a value is not what the service documents.
    """
    steps = _Steps(payload)
    amounts, rain, thunder = steps.amounts(), steps.chances("probability_of_precipitation"), steps.thunder_symbols()
    start_at = floor_hour(steps.steps[0][0])
    ends: Sequence[datetime] = [steps.steps[-1][0], *(piece.until_at for piece in (*amounts, *rain))]
    end_at = ceil_hour(max(ends))
    if end_at - start_at > LONGEST_REPLY:
        raise OutsideFailure("forecast.bad_time", field="time", text=f"{start_at} to {end_at}")
    hours = int((end_at - start_at) / HOUR)
    levels = {
        name: hourly_from_instants(
            steps.dew_points() if name == "dew_point_c" else steps.instants(*stated),
            start_at=start_at,
            hours=hours,
            longest_gap=LONGEST_STEP,
        )
        for name, stated in _LEVELS.items()
    }
    if all(value is None for value in levels["air_temp_c"]):
        raise OutsideFailure("forecast.no_values", source=MET.key)
    rain_mm = hourly_amounts(amounts, start_at=start_at, hours=hours)
    stated_chance = hourly_chances(rain, start_at=start_at, hours=hours)
    from_amounts = chances_from_amounts(rain_mm, start_at=start_at, issued_at=steps.issued_at)
    return HourlySeries(
        source=MET.key,
        issued_at=steps.issued_at,
        start_at=start_at,
        rain_mm=rain_mm,
        rain_chance=tuple(
            made if stated is None else stated for stated, made in zip(stated_chance, from_amounts, strict=True)
        ),
        thunder_chance=highest_of(
            hourly_chances(steps.chances("probability_of_thunder"), start_at=start_at, hours=hours),
            hourly_chances(thunder, start_at=start_at, hours=hours),
        ),
        **levels,
    )


class MetSource(LiveSource):
    """The live service. Places within about a kilometre share a forecast."""

    name = MET.key
    accept = ACCEPT
    # The terms want redirects followed.
    follow = True

    def locate(self, place: Place, as_of: datetime) -> Cell:
        """Key of a place, as ``40.70,-74.20`` or with its altitude [m] ``40.70,-74.20,12``."""
        key = f"{round(place.latitude, 2) + 0.0:.2f},{round(place.longitude, 2) + 0.0:.2f}"
        return Cell(grid_key=key if place.altitude_m is None else f"{key},{round(place.altitude_m)}")

    def fetch_grid(self, grid_key: str, as_of: datetime) -> Fetched | Unchanged:
        """The forecast of a key, or that it is still the one known.

        Raises
        ------
        CannotDo
            ``forecast.unknown_key``, or ``forecast.no_such_place`` if the service has none for the place.
        OutsideFailure
            If the service failed.
        """
        found = _KEY.fullmatch(grid_key)
        if found is None:
            raise CannotDo("forecast.unknown_key", field="grid_key", key=grid_key[:80], example="40.70,-74.20,12")
        latitude, longitude, altitude = found.groups()
        url = f"{self.client.base_url}/complete?lat={latitude}&lon={longitude}"
        answer = self.client.ask(url if altitude is None else f"{url}&altitude={altitude}", as_of)
        if isinstance(answer, Unchanged):
            return answer
        reply = answer.reply
        if reply.status == 422:
            raise CannotDo("forecast.no_such_place", field="place", source=MET.title, place=grid_key)
        if reply.status not in {200, 203}:
            raise OutsideFailure("forecast.http_status", url=reply.url, status=reply.status)
        if reply.status == 203:
            logger.warning("%s is about to be withdrawn: it answered 203", self.client.base_url)
        with reading(answer):
            series = read_locationforecast(http.json_of(reply))
            require_future(series, as_of)
        return fetched_of(series, answer, source=self.name, grid_key=grid_key, as_of=as_of)
