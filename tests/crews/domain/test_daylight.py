"""Daylight against published almanac times and pvlib's solar position algorithm."""

import json
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib.solarposition import get_solarposition

from crews.domain.daylight import daylight_on
from crews.domain.travel import Place
from jobs.domain.errors import CannotDo

NEW_YORK = "America/New_York"
# Almanacs print whole minutes.
TOLERANCE = timedelta(minutes=1)
MINUTE = timedelta(minutes=1)
# Upper limb on the horizon: half a degree of sun less half, and 34 minutes of arc of refraction; civil twilight.
RISE_DEG, CIVIL_DEG = 90 + 50 / 60, 96.0
RECORDED = Path(__file__).parents[4] / "shared" / "recordings" / "nws" / "points"


def local(light_at: datetime | None) -> datetime:
    assert light_at is not None
    return light_at.astimezone(ZoneInfo(NEW_YORK))


def close(light_at: datetime | None, on: date, hour: int, minute: int) -> bool:
    published = datetime(on.year, on.month, on.day, hour, minute, tzinfo=ZoneInfo(NEW_YORK))
    return abs(local(light_at) - published) <= TOLERANCE


def test_atlanta_as_the_naval_observatory_prints_it() -> None:
    """US Naval Observatory, Sun and Moon Data for One Day: N33.8 W84.4, 6 September 2009, EDT."""
    on = date(2009, 9, 6)
    light = daylight_on(Place(latitude_deg=33.8, longitude_deg=-84.4), on, NEW_YORK)
    assert close(light.dawn_at, on, 6, 50)
    assert close(light.sunrise_at, on, 7, 15)
    assert close(light.sunset_at, on, 19, 56)
    assert close(light.dusk_at, on, 20, 21)


def test_boston_as_the_naval_observatory_prints_it() -> None:
    """US Naval Observatory, Sun and Moon Data for One Day: N42.3 W71.1, 12 February 2014, EST, morning."""
    on = date(2014, 2, 12)
    light = daylight_on(Place(latitude_deg=42.3, longitude_deg=-71.1), on, NEW_YORK)
    assert close(light.dawn_at, on, 6, 16)
    assert close(light.sunrise_at, on, 6, 45)


@pytest.mark.parametrize("name", ["42.745_-73.752.json", "41.967_-71.189.json"])
def test_the_weather_service_gives_the_same_times(name: str) -> None:
    """US National Weather Service, recorded point answers of 15 July 2026, ``astronomicalData``.

    Its sun rises and sets a quarter of a degree lower than an almanac's (zenith 91.06 and 91.13, by pvlib): about two
    minutes of light more in the evening than the definition has.
    """
    file = RECORDED / name
    if not file.exists():
        pytest.skip("the recorded weather service answers are not beside this copy of the project")
    latitude, longitude = map(float, name.removesuffix(".json").split("_"))
    published = json.loads(file.read_text())["properties"]["astronomicalData"]
    light = daylight_on(Place(latitude_deg=latitude, longitude_deg=longitude), date(2026, 7, 15), NEW_YORK)
    for ours, theirs in (
        (light.dawn_at, "civilTwilightBegin"),
        (light.sunrise_at, "sunrise"),
        (light.sunset_at, "sunset"),
        (light.dusk_at, "civilTwilightEnd"),
    ):
        assert abs(local(ours) - datetime.fromisoformat(published[theirs])) <= 2.2 * MINUTE, theirs


def zeniths(light_at: datetime, latitude: float, longitude: float) -> np.ndarray:
    """The sun's centre a minute before, at and a minute after ``light_at``, by pvlib's sun position [degrees]."""
    around = pd.DatetimeIndex([light_at - MINUTE, light_at, light_at + MINUTE])
    return get_solarposition(around, latitude, longitude)["zenith"].to_numpy()


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone", "minutes"),
    [
        (42.0, -71.2, NEW_YORK, 0.5),
        (25.8, -80.2, NEW_YORK, 0.5),
        (33.4, -112.0, "America/Phoenix", 0.5),
        (47.6, -122.3, "America/Los_Angeles", 0.5),
        (61.2, -149.9, "America/Anchorage", 0.75),
        (-33.9, 151.2, "Australia/Sydney", 0.5),
    ],
)
def test_every_week_of_a_year_the_sun_stands_there_by_pvlib(
    latitude: float, longitude: float, zone: str, minutes: float
) -> None:
    """pvlib, the solar position algorithm of the National Renewable Energy Laboratory (Reda and Andreas 2004): where
    the sun stands at our moments. Its own table of sunsets is no check: it steps between days of UTC, and the sun
    stands up to 0.39 degrees from the horizon at its sunsets over America, three minutes at 61 degrees north."""
    for on in pd.date_range("2026-01-01", "2026-12-31", freq="7D", tz=zone):
        light = daylight_on(Place(latitude_deg=latitude, longitude_deg=longitude), on.date(), zone)
        for light_at in (light.sunrise_at, light.sunset_at):
            before, at, after = zeniths(light_at, latitude, longitude)
            assert abs((at - RISE_DEG) / ((after - before) / 2)) <= minutes, (on, light_at)
        for light_at in (light.dawn_at, light.dusk_at):
            # Twilight that lasts for hours has no sharp minute: its depth is checked.
            if light_at is not None:
                assert zeniths(light_at, latitude, longitude)[1] == pytest.approx(CIVIL_DEG, abs=0.08), (on, light_at)


def test_midsummer_in_alaska_has_no_dusk_and_a_sunset_after_midnight() -> None:
    light = daylight_on(Place(latitude_deg=64.0, longitude_deg=-150.0), date(2026, 6, 21), "America/Anchorage")
    assert light.dawn_at is None
    assert light.dusk_at is None
    assert timedelta(hours=20) < light.sunset_at - light.sunrise_at < timedelta(hours=22)


def test_the_polar_day_is_refused() -> None:
    with pytest.raises(CannotDo) as refusal:
        daylight_on(Place(latitude_deg=70.0, longitude_deg=-150.0), date(2026, 6, 21), "America/Anchorage")
    assert refusal.value.code == "crews.no_sunrise"


@settings(max_examples=60, deadline=None)
@given(
    st.floats(-60, 60),
    st.sampled_from(
        [(-74.0, NEW_YORK), (-122.0, "America/Los_Angeles"), (-157.9, "Pacific/Honolulu"), (151.2, "Australia/Sydney")]
    ),
    st.dates(date(2025, 1, 1), date(2027, 12, 31)),
)
def test_light_is_in_order_and_on_its_date(latitude: float, where: tuple[float, str], on: date) -> None:
    longitude, zone = where
    light = daylight_on(Place(latitude_deg=latitude, longitude_deg=longitude), on, zone)
    assert light.sunrise_at.astimezone(ZoneInfo(zone)).date() == on
    assert light.sunset_at.astimezone(ZoneInfo(zone)).date() == on
    assert light.sunrise_at < light.sunset_at
    if light.dawn_at is not None and light.dusk_at is not None:
        assert light.dawn_at < light.sunrise_at
        assert light.sunset_at < light.dusk_at
