"""Asks the US National Weather Service: point, then the raw grid it lies in."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any
from urllib.parse import urlsplit

from jobs.domain.errors import CannotDo, OutsideFailure
from planner.forecast.domain.freshness import STALE_AFTER
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HourlySeries
from planner.forecast.sources import http
from planner.forecast.sources.client import Answered, LiveSource, Unchanged, problem_of, reading
from planner.forecast.sources.nws_grid import SOURCE, read_gridpoint
from planner.forecast.sources.reading import mapping
from planner.forecast.sources.source import Cell, Fetched, fetched_of, require_future

# The service caches by Accept; a constant one keeps us on one cache entry.
ACCEPT = "application/geo+json"
# Its caches have served bodies days old under one Accept and good ones under another.
OTHER_ACCEPT = "application/ld+json"
_GRID_PATH = re.compile(r"/gridpoints/([A-Z]{3}/\d{1,4},\d{1,4})/?$")
_ZONE = re.compile(r"/zones/[a-z]+/([A-Z]{2}[CZ]\d{3})/?$")
_ZONE_LINKS = ("forecastZone", "county", "fireWeatherZone")


class NwsSource(LiveSource):
    """The live service; links to any other host are refused. Parameters as of ``Client``."""

    name = SOURCE
    accept = ACCEPT

    def locate(self, place: Place, as_of: datetime) -> Cell:
        """The grid cell of a place, as ``PHI/85,102``, and its forecast, county and fire zones.

        Raises
        ------
        CannotDo
            ``forecast.outside_coverage`` or ``forecast.marine``.
        OutsideFailure
            If the service failed, or answered with a link to another host.
        """
        reply = self.client.ask_whole(f"{self.client.base_url}/points/{place.text}", as_of).reply
        if reply.status != 200:
            raise refusal(reply, place)
        properties = mapping(http.json_of(reply).get("properties"), "properties")
        link = properties.get("forecastGridData")
        if not isinstance(link, str):
            raise OutsideFailure("forecast.bad_value", field="forecastGridData", value=repr(link)[:40])
        if not http.same_host(link, self.client.base_url):
            raise OutsideFailure("forecast.other_host", url=link[:200], base_url=self.client.base_url)
        found = _GRID_PATH.search(urlsplit(link).path)
        if found is None:
            raise OutsideFailure("forecast.bad_value", field="forecastGridData", value=link[:80])
        zones = {zone.group(1) for name in _ZONE_LINKS if (zone := _ZONE.search(str(properties.get(name) or "")))}
        return Cell(grid_key=found.group(1), zones=tuple(sorted(zones)))

    def fetch_grid(self, grid_key: str, as_of: datetime) -> Fetched | Unchanged:
        """The forecast of one grid cell, or that it is still the one known.

        A body older than 18 hours is asked for once more under another ``Accept``; the newer one counts.

        Raises
        ------
        CannotDo
            ``forecast.marine`` if the cell has become sea.
        OutsideFailure
            ``forecast.grid_moved`` if the cell is gone (locate the place again), or any other failure of the
            service.
        """
        answer = self.client.ask(self._grid_url(grid_key), as_of)
        if isinstance(answer, Unchanged):
            return answer
        fetched = self._fetched(answer, grid_key, as_of)
        if as_of - fetched.issued_at > STALE_AFTER:
            other = self._under_other_accept(grid_key, as_of)
            if other is not None and other.issued_at > fetched.issued_at:
                fetched = other
        with reading(answer):
            require_future(fetched.series, as_of)
        return fetched

    def _grid_url(self, grid_key: str) -> str:
        return f"{self.client.base_url}/gridpoints/{grid_key}"

    def _read(self, payload: Mapping[str, Any]) -> HourlySeries:
        return read_gridpoint(payload)

    def _fetched(self, answer: Answered, grid_key: str, as_of: datetime, *, remember: bool = True) -> Fetched:
        if answer.reply.status != 200:
            raise refusal(answer.reply, None)
        with reading(answer):
            payload = http.json_of(answer.reply)
            if "properties" not in payload and "updateTime" in payload:
                # JSON-LD states the same fields without GeoJSON's wrapping.
                payload = {"properties": payload}
            series = self._read(payload)
        fetched = fetched_of(series, answer, source=self.name, grid_key=grid_key, as_of=as_of, remember=remember)
        return replace(fetched, altitude_m=_altitude(payload))

    def _under_other_accept(self, grid_key: str, as_of: datetime) -> Fetched | None:
        """A second reading of a stale body; none if that fails, for the stale one is still a good answer."""
        try:
            answer = self.client.ask_whole(self._grid_url(grid_key), as_of, accept=OTHER_ACCEPT)
            return self._fetched(answer, grid_key, as_of, remember=False)
        except (CannotDo, OutsideFailure):
            return None


def _altitude(payload: Mapping[str, Any]) -> float | None:
    """Altitude of the cell [m], where it is stated in metres."""
    stated = payload["properties"].get("elevation")
    value = stated.get("value") if isinstance(stated, dict) else None
    in_metres = isinstance(stated, dict) and str(stated.get("unitCode", "")).rpartition(":")[2] == "m"
    return float(value) if in_metres and isinstance(value, int | float) and -500 <= value <= 9000 else None


def refusal(reply: http.Reply, place: Place | None) -> CannotDo | OutsideFailure:
    """What a status other than 200 means; ``place`` is given when a place was asked for."""
    problem = problem_of(reply)
    if problem == "MarineForecastNotSupported":
        return CannotDo("forecast.marine", field="place")
    if place is not None and (reply.status == 404 or (reply.status == 400 and problem)):
        return CannotDo("forecast.outside_coverage", field="place", place=place.text)
    if reply.status == 404:
        return OutsideFailure("forecast.grid_moved", url=reply.url)
    if problem in {"ForecastGridExpired", "ForecastMissingData"}:
        return OutsideFailure("forecast.grid_expired", url=reply.url)
    return OutsideFailure("forecast.http_status", url=reply.url, status=reply.status)
