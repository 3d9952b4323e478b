"""Travel: distance against published ones, office's own table, cost."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crews.domain.travel import EARTH_RADIUS_KM, KnownTrip, Place, Stop, TravelRules, great_circle_km, trip_between
from jobs.domain.errors import CannotDo

places = st.builds(Place, latitude_deg=st.floats(-90, 90), longitude_deg=st.floats(-180, 180))
YARD = Stop(key="yard", place=Place(latitude_deg=40.0, longitude_deg=-75.0))
SITE = Stop(key="site", place=Place(latitude_deg=40.1, longitude_deg=-75.2))


def test_paris_to_washington() -> None:
    """J. Meeus, Astronomical Algorithms, 2nd ed. 1998, example 11.c: 6166 km on the sphere, 6181.63 km on the
    ellipsoid (from memory)."""
    paris = Place(latitude_deg=48 + 50 / 60 + 11 / 3600, longitude_deg=2 + 20 / 60 + 14 / 3600)
    washington = Place(latitude_deg=38 + 55 / 60 + 17 / 3600, longitude_deg=-(77 + 3 / 60 + 56 / 3600))
    assert great_circle_km(paris, washington) == pytest.approx(6166, abs=0.5)
    assert great_circle_km(paris, washington) == pytest.approx(6181.63, rel=0.006)


def test_jerusalem_to_los_angeles() -> None:
    """Hebrew University of Jerusalem, astronomy course page: 12,185 km by the cosine rule, in whole km (whether cut or
    rounded is not said: 1 km)."""
    jerusalem = Place(latitude_deg=31.75, longitude_deg=35.25)
    los_angeles = Place(latitude_deg=34.0, longitude_deg=-118.0)
    assert great_circle_km(jerusalem, los_angeles) == pytest.approx(12185, abs=1)


def test_an_arc_minute_of_latitude_is_a_sea_mile() -> None:
    """1852 m, definition of 1929 (SI brochure); the mean minute on this sphere is 1853.2 m."""
    south, north = Place(latitude_deg=45, longitude_deg=0), Place(latitude_deg=45 + 1 / 60, longitude_deg=0)
    assert great_circle_km(south, north) == pytest.approx(1.852, rel=0.001)


@given(places, places)
def test_distance_agrees_with_the_angle_between_position_vectors(a: Place, b: Place) -> None:
    """Independent closed form: the angle between two vectors, |a x b| and a . b."""

    def vector(place: Place) -> tuple[float, float, float]:
        lat, lon = math.radians(place.latitude_deg), math.radians(place.longitude_deg)
        return math.cos(lat) * math.cos(lon), math.cos(lat) * math.sin(lon), math.sin(lat)

    (ax, ay, az), (bx, by, bz) = vector(a), vector(b)
    cross = math.hypot(ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx)
    angle = math.atan2(cross, ax * bx + ay * by + az * bz)
    # The haversine loses half its digits close to the antipode: some decimetres there.
    assert great_circle_km(a, b) == pytest.approx(EARTH_RADIUS_KM * angle, abs=1e-3)


@given(places, places, places)
def test_distance_is_a_metric(a: Place, b: Place, c: Place) -> None:
    assert great_circle_km(a, a) == 0
    assert great_circle_km(a, b) == pytest.approx(great_circle_km(b, a), abs=1e-6)
    assert great_circle_km(a, b) <= great_circle_km(a, c) + great_circle_km(c, b) + 1e-3
    assert great_circle_km(a, b) <= math.pi * EARTH_RADIUS_KM + 1e-6


def test_a_trip_is_distance_times_road_factor_at_speed() -> None:
    straight = great_circle_km(YARD.place, SITE.place)
    trip = trip_between(YARD, SITE, TravelRules(cents_per_km=45), crew_cents_per_hour=18000)
    assert trip.km == pytest.approx(straight * 1.3)
    assert trip.minutes == math.ceil(straight * 1.3 / 50 * 60)
    assert trip.cents == math.floor(trip.minutes * 300 + trip.km * 45 + 0.5)


def test_the_office_table_wins_both_ways() -> None:
    rules = TravelRules(cents_per_km=100, known=(KnownTrip(from_key="yard", to_key="site", km=30.0, minutes=50),))
    for start, end in ((YARD, SITE), (SITE, YARD)):
        trip = trip_between(start, end, rules, crew_cents_per_hour=6000)
        assert (trip.km, trip.minutes, trip.cents, trip.dollars) == (30.0, 50, 8000, 80)


def test_the_way_back_may_differ() -> None:
    rules = TravelRules(
        known=(
            KnownTrip(from_key="yard", to_key="site", km=30.0, minutes=50),
            KnownTrip(from_key="site", to_key="yard", km=31.0, minutes=70),
        )
    )
    assert trip_between(YARD, SITE, rules, crew_cents_per_hour=0).minutes == 50
    assert trip_between(SITE, YARD, rules, crew_cents_per_hour=0).minutes == 70


def test_staying_costs_nothing_and_dollars_round_half_up() -> None:
    assert trip_between(SITE, SITE, TravelRules(), crew_cents_per_hour=10000).cents == 0
    rules = TravelRules(known=(KnownTrip(from_key="yard", to_key="site", km=0.0, minutes=1),))
    assert trip_between(YARD, SITE, rules, crew_cents_per_hour=150 * 60).dollars == 2
    assert trip_between(YARD, SITE, rules, crew_cents_per_hour=149 * 60).dollars == 1


@pytest.mark.parametrize("wrong", [{"road_factor": 0.9}, {"speed_km_h": 0.0}, {"cents_per_km": -1}])
def test_settings_that_make_no_sense_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(CannotDo) as refusal:
        TravelRules(**wrong)  # type: ignore[arg-type]
    assert refusal.value.field in wrong


def test_bad_places_and_double_trips_are_refused() -> None:
    with pytest.raises(CannotDo, match="latitude_deg is 91"):
        Place(latitude_deg=91, longitude_deg=0)
    with pytest.raises(CannotDo, match="longitude_deg"):
        Place(latitude_deg=0, longitude_deg=float("nan"))
    trip = KnownTrip(from_key="a", to_key="b", km=1, minutes=1)
    with pytest.raises(CannotDo, match="given twice"):
        TravelRules(known=(trip, trip))
