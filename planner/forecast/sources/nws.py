"""Asks the US National Weather Service: point, then the raw grid it lies in."""

import re
from datetime import datetime
from typing import Any
from urllib.parse import urlsplit

import requests

from jobs.domain.errors import CannotDo, OutsideFailure
from planner.forecast.domain.place import Place
from planner.forecast.sources import http
from planner.forecast.sources.nws_grid import SOURCE, read_gridpoint
from planner.forecast.sources.source import Fetched, require_future

# The service caches by Accept; a constant one keeps us on one cache entry.
ACCEPT = "application/geo+json"
_GRID_PATH = re.compile(r"/gridpoints/([A-Z]{3}/\d{1,4},\d{1,4})/?$")


def _problem(reply: http.Reply) -> str:
    """Last part of the ``type`` of a problem body (RFC 9457); empty if there is none."""
    if reply.content_type != "application/problem+json":
        return ""
    kind = http.json_of(reply).get("type")
    return kind.rpartition("/")[2] if isinstance(kind, str) else ""


class NwsSource:
    """The live service.

    Parameters
    ----------
    base_url : str
        Address of the service; links to any other host are refused.
    user_agent : str
        Who asks, with a contact; the service refuses requests without one.
    session : requests.Session, optional
        Shared connection; one of its own if absent.
    limits : http.Limits, optional
        Time and size allowed.
    """

    name = SOURCE

    def __init__(
        self,
        *,
        base_url: str,
        user_agent: str,
        session: requests.Session | None = None,
        limits: http.Limits | None = None,
    ) -> None:
        if not user_agent.strip():
            raise CannotDo("forecast.no_user_agent", field="PLANNER_USER_AGENT")
        self._base_url = base_url.rstrip("/")
        self._headers = {"User-Agent": user_agent, "Accept": ACCEPT}
        self._session = session or requests.Session()
        self._limits = limits or http.Limits()

    def resolve(self, place: Place) -> str:
        """Key of the grid cell of a place, as ``PHI/85,102``.

        Raises
        ------
        CannotDo
            ``forecast.outside_coverage`` or ``forecast.marine``.
        OutsideFailure
            If the service failed, or answered with a link to another host.
        """
        reply = self._get(f"{self._base_url}/points/{place.text}")
        if reply.status != 200:
            raise self._refusal(reply, place)
        properties = http.json_of(reply).get("properties")
        link = properties.get("forecastGridData") if isinstance(properties, dict) else None
        if not isinstance(link, str):
            raise OutsideFailure("forecast.bad_value", field="forecastGridData", value=repr(link)[:40])
        if not http.same_host(link, self._base_url):
            raise OutsideFailure("forecast.other_host", url=link[:200], base_url=self._base_url)
        found = _GRID_PATH.search(urlsplit(link).path)
        if found is None:
            raise OutsideFailure("forecast.bad_value", field="forecastGridData", value=link[:80])
        return found.group(1)

    def fetch_grid(self, grid_key: str, as_of: datetime) -> Fetched:
        """The forecast of one grid cell.

        Raises
        ------
        CannotDo
            ``forecast.marine`` if the cell has become sea.
        OutsideFailure
            ``forecast.grid_moved`` if the cell is gone (resolve the place again), or any other failure of the
            service.
        """
        reply = self._get(f"{self._base_url}/gridpoints/{grid_key}")
        if reply.status != 200:
            raise self._refusal(reply, None)
        payload: dict[str, Any] = http.json_of(reply)
        series = read_gridpoint(payload)
        require_future(series, as_of)
        return Fetched(
            series=series,
            body=reply.body,
            source=self.name,
            grid_key=grid_key,
            issued_at=series.issued_at,
            fetched_at=as_of,
        )

    def fetch(self, place: Place, as_of: datetime) -> Fetched:
        """The forecast of a place: both steps."""
        return self.fetch_grid(self.resolve(place), as_of)

    def _get(self, url: str) -> http.Reply:
        return http.get(self._session, url, headers=self._headers, limits=self._limits)

    def _refusal(self, reply: http.Reply, place: Place | None) -> CannotDo | OutsideFailure:
        """What a status other than 200 means; ``place`` is given when a place was asked for."""
        problem = _problem(reply)
        if problem == "MarineForecastNotSupported":
            return CannotDo("forecast.marine", field="place")
        if place is not None and (reply.status == 404 or (reply.status == 400 and problem)):
            return CannotDo("forecast.outside_coverage", field="place", place=place.text)
        if reply.status == 404:
            return OutsideFailure("forecast.grid_moved", url=reply.url)
        if problem in {"ForecastGridExpired", "ForecastMissingData"}:
            return OutsideFailure("forecast.grid_expired", url=reply.url)
        if reply.status == 429:
            return OutsideFailure("forecast.throttled", url=reply.url)
        if reply.content_type == "text/html":
            return OutsideFailure("forecast.refused_html", url=reply.url, status=reply.status)
        return OutsideFailure("forecast.http_status", url=reply.url, status=reply.status)
