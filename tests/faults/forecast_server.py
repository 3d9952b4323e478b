"""A stand-in for the US service on this machine, with weather as a test wants it."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from planner.forecast.domain.intervals import Piece, floor_hour
from planner.forecast.domain.made.degrade import DegradedForecast
from planner.forecast.domain.place import Place
from planner.forecast.sources.nws_writer import as_body, write_gridpoint, write_point

GEO = "application/geo+json"
HOUR = timedelta(hours=1)
Answer = Callable[[Request], Response]


def weather(
    *, issued_at: datetime, wet: Callable[[datetime], bool] = lambda at: False, hours: int = 168, temp_c: float = 20.0
) -> DegradedForecast:
    """Mild, light wind, dry but for the hours that are wet: 90 % and 3 mm each."""
    start_at = floor_hour(issued_at)
    times = [start_at + at * HOUR for at in range(hours)]
    rain = [wet(at) for at in times]
    return DegradedForecast(
        issued_at=issued_at,
        start_at=start_at,
        air_temp_c=(temp_c,) * hours,
        dew_point_c=(temp_c - 8,) * hours,
        wind_m_s=(2.0,) * hours,
        gust_m_s=(3.0,) * hours,
        rain_chance=tuple(0.9 if one else 0.0 for one in rain),
        thunder_chance=(0.0,) * hours,
        sky_cover=tuple(0.9 if one else 0.2 for one in rain),
        rain_blocks=tuple(
            Piece(from_at=at, until_at=at + HOUR, value=3.0 if one else 0.0)
            for at, one in zip(times, rain, strict=True)
        ),
    )


class ForecastServer:
    """Answers for places and their cells; a cell answers as it was last told to."""

    def __init__(self, server: HTTPServer, zone: str = "America/New_York") -> None:
        self.server = server
        self.zone = zone
        self.answers: dict[str, Answer] = {}
        self.places: dict[str, Place] = {}
        self.known: dict[str, str] = {}
        server.expect_request("/alerts/active").respond_with_json(
            {"type": "FeatureCollection", "features": []}, content_type=GEO
        )

    @property
    def base(self) -> str:
        return self.server.url_for("").rstrip("/")

    def place(self, place: Place, cell: str) -> None:
        """Let a place lie in a cell, which answers 503 until it is told otherwise."""
        point = as_body(write_point(place, grid_key=cell, zone=self.zone, base_url=self.base))
        self.server.expect_request(f"/points/{place.text}").respond_with_data(point, content_type=GEO)
        self.places[cell] = place
        if cell not in self.answers:
            self.answers[cell] = lambda request: Response(b"{}", status=503, content_type="application/problem+json")
            self.server.expect_request(f"/gridpoints/{cell}").respond_with_handler(lambda one: self.answers[cell](one))
            for path in ("forecast/hourly", "stations"):
                self.server.expect_request(f"/gridpoints/{cell}/{path}").respond_with_data(
                    b"{}", status=503, content_type="application/problem+json"
                )

    def body(self, cell: str, forecast: DegradedForecast) -> bytes:
        return as_body(write_gridpoint(forecast, grid_key=cell, place=self.places[cell], base_url=self.base))

    def tell(self, cell: str, forecast: DegradedForecast, **headers: str) -> None:
        """Let a cell answer with a forecast."""
        body = self.body(cell, forecast)
        self.answers[cell] = lambda request: Response(body, content_type=GEO, headers=headers)

    def say(self, cell: str, body: bytes, *, status: int = 200, content_type: str = GEO, **headers: Any) -> None:
        """Let a cell answer with anything."""
        self.answers[cell] = lambda request: Response(body, status=status, content_type=content_type, headers=headers)

    def asked(self, path: str) -> int:
        """How often a path was asked for."""
        return sum(request.path == path for request, _ in self.server.log)
