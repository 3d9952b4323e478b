"""Five recorded days at one site in Georgia, served by local stand-ins of three services.

Source: recorded hourly replies of 30 July to 4 August 2026; on 3 August the service answered 503.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from pytest_httpserver import HTTPServer

from jobs.domain.facts import SiteFacts
from jobs.models import Branch
from planner.forecast.domain.climate import Climate, ObservedHour
from planner.forecast.domain.place import Place
from planner.forecast.domain.site_sky import SiteSky
from planner.forecast.domain.station import climate_from_hours
from planner.forecast.skies import Pulled, pull_for_branch, skies_over
from planner.forecast.sources.nws_writer import as_body, write_point
from tests.planner.forecast.recordings import recorded
from tests.planner.forecast.written import GEO, PROBLEM, base, body

ZONE = "America/New_York"
SITE = SiteFacts(id=1, name="Statham", address="", latitude=33.93, longitude=-83.58, soil="clay")
CELL = "FFC/83,98"
DAYS = {
    "07-30": datetime(2026, 7, 30, 12, 10, tzinfo=UTC),
    "08-01": datetime(2026, 8, 1, 11, 40, tzinfo=UTC),
    "08-02": datetime(2026, 8, 2, 11, 40, tzinfo=UTC),
    "08-03": datetime(2026, 8, 3, 13, 21, tzinfo=UTC),
    "08-04": datetime(2026, 8, 4, 12, 23, tzinfo=UTC),
}
CAPTURES = {
    "07-30": "FFC_statham_2026-07-30T1208Z",
    "08-01": "FFC_statham_2026-08-01T1137Z",
    "08-02": "FFC_statham_2026-08-02T1137Z",
    "08-04": "FFC_statham_2026-08-04T1221Z",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    branch: Branch
    nws: HTTPServer
    met: HTTPServer
    own: HTTPServer

    def serve(self, day: str, *, met: dict[str, Any] | None = None, own: dict[str, Any] | None = None) -> None:
        """One day's answers; the raw grid is never there, the hourly text where it was recorded."""
        for server in (self.nws, self.met, self.own):
            server.clear()
        place = Place(latitude=SITE.latitude, longitude=SITE.longitude)
        point = write_point(place, grid_key=CELL, zone=ZONE, base_url=base(self.nws))
        self.nws.expect_request(f"/points/{place.text}").respond_with_data(as_body(point), content_type=GEO)
        expired = json.dumps(recorded("errors", "503_ForecastGridExpired_2020"))
        self.nws.expect_request(f"/gridpoints/{CELL}").respond_with_data(expired, status=503, content_type=PROBLEM)
        hourly = self.nws.expect_request(f"/gridpoints/{CELL}/forecast/hourly")
        if day in CAPTURES:
            hourly.respond_with_data(body(recorded("hourly", CAPTURES[day])), content_type=GEO)
        else:
            down = json.dumps(recorded("errors", "503_ServiceUnavailable"))
            hourly.respond_with_data(down, status=503, content_type=PROBLEM)
        for server, path, reply in ((self.met, "/complete", met), (self.own, "/v1/forecast", own)):
            if reply is None:
                server.expect_request(path).respond_with_data(b"", status=503)
            else:
                server.expect_request(path).respond_with_json(reply)

    def pull(self, day: str) -> tuple[Pulled, SiteSky]:
        pulled = pull_for_branch(branch=self.branch, sites=(SITE,), now=DAYS[day])
        return pulled, self.sky(DAYS[day])

    def sky(self, as_of: datetime) -> SiteSky:
        return skies_over(branch=self.branch, sites=(SITE,), as_of=as_of)[SITE.id]


def open_world(settings: Any) -> Iterator[World]:
    """A branch whose services are local; nothing answers until ``serve`` says what."""
    branch = Branch.objects.create(
        name="South",
        slug="south",
        company="Made up",
        zone=ZONE,
        opens="07:00",
        closes="15:00",
        yard_latitude=33.9,
        yard_longitude=-83.6,
    )
    with HTTPServer() as nws, HTTPServer() as met, HTTPServer() as own:
        settings.PLANNER_NWS_URL, settings.PLANNER_MET_URL = base(nws), base(met)
        settings.PLANNER_OPEN_METEO_URL = base(own)
        yield World(branch=branch, nws=nws, met=met, own=own)


def july(at: datetime) -> ObservedHour:
    """An hour of a made-up July: rain from two to five in the afternoon every third day."""
    wet = at.day % 3 == 0 and 18 <= at.hour < 21
    return ObservedHour(
        start_at=at, air_temp_c=27.0, dew_point_c=20.0, wind_m_s=2.0, gust_m_s=4.0, rain_mm=2.0 if wet else 0.0
    )


def made_up_climate() -> Climate:
    first = datetime(2025, 1, 1, tzinfo=UTC)
    return climate_from_hours((july(first + at * timedelta(hours=1)) for at in range(365 * 24)), zone=ZoneInfo(ZONE))
