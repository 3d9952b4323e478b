"""Travel between yard and sites: straight-line distance times a road factor, or the office's own table."""

import math
from dataclasses import dataclass, field

from jobs.domain.errors import CannotDo

# Mean radius R1 of the Earth (GRS 80, Moritz 2000).
EARTH_RADIUS_KM = 6371.0088
# Common practice, no source: roads in settled country are about a third longer than the straight line.
ROAD_FACTOR = 1.3
# Common practice, no source: a loaded truck door to door.
SPEED_KM_H = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A position [decimal degrees], north and east positive."""

    latitude_deg: float
    longitude_deg: float

    def __post_init__(self) -> None:
        for name, value, bound in (
            ("latitude_deg", self.latitude_deg, 90),
            ("longitude_deg", self.longitude_deg, 180),
        ):
            if not -bound <= value <= bound:
                raise CannotDo("crews.bad_place", field=name, name=name, value=value, low=-bound, high=bound)


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownTrip:
    """A trip the office has driven: road distance [km] and time [min]; holds both ways unless the way back is given."""

    from_key: str
    to_key: str
    km: float
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """One way: road distance [km], time rounded up [min], cost [cents]."""

    km: float
    minutes: int
    cents: int

    @property
    def dollars(self) -> int:
        """Cost in whole dollars, half up."""
        return (self.cents + 50) // 100


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelRules:
    """How a branch reckons travel.

    Parameters
    ----------
    road_factor : float
        Road distance over straight line, at least 1.
    speed_km_h : float
        Mean speed door to door [km/h], above 0.
    cents_per_km : int
        Cost of the vehicles [cents/km], at least 0.
    known : tuple of KnownTrip
        Trips the office gives; they win over the reckoning.
    """

    road_factor: float = ROAD_FACTOR
    speed_km_h: float = SPEED_KM_H
    cents_per_km: int = 0
    known: tuple[KnownTrip, ...] = ()
    _by_ends: dict[tuple[str, str], KnownTrip] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        _refuse(not self.road_factor >= 1, "road_factor", self.road_factor, "1 or more")
        _refuse(not 0 < self.speed_km_h < math.inf, "speed_km_h", self.speed_km_h, "above 0")
        _refuse(self.cents_per_km < 0, "cents_per_km", self.cents_per_km, "0 or more")
        by_ends: dict[tuple[str, str], KnownTrip] = {}
        for trip in self.known:
            _refuse(not 0 <= trip.km < math.inf, "km", trip.km, "0 or more")
            _refuse(trip.minutes < 0, "minutes", trip.minutes, "0 or more")
            if (trip.from_key, trip.to_key) in by_ends:
                raise CannotDo("crews.trip_twice", field="known", from_key=trip.from_key, to_key=trip.to_key)
            by_ends[trip.from_key, trip.to_key] = trip
        for trip in self.known:
            by_ends.setdefault((trip.to_key, trip.from_key), trip)
        object.__setattr__(self, "_by_ends", by_ends)

    def known_trip(self, from_key: str, to_key: str) -> KnownTrip | None:
        """The office's own figure for a trip, if it gave one."""
        return self._by_ends.get((from_key, to_key))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A yard or a site: its key in the office's travel table, and where it is."""

    key: str
    place: Place


def great_circle_km(a: Place, b: Place) -> float:
    """Great-circle distance [km] by the haversine formula on a sphere of the Earth's mean radius.

    Within 0.6 % of the distance on the ellipsoid.

    >>> round(great_circle_km(Place(latitude_deg=0, longitude_deg=0), Place(latitude_deg=0, longitude_deg=90)), 1)
    10007.6
    """
    lat_a, lat_b = math.radians(a.latitude_deg), math.radians(b.latitude_deg)
    half_lat = math.sin((lat_b - lat_a) / 2)
    half_lon = math.sin(math.radians(b.longitude_deg - a.longitude_deg) / 2)
    chord = half_lat**2 + math.cos(lat_a) * math.cos(lat_b) * half_lon**2
    return 2 * EARTH_RADIUS_KM * math.asin(math.sqrt(min(1.0, chord)))


def trip_between(start: Stop, end: Stop, rules: TravelRules, *, crew_cents_per_hour: int) -> Trip:
    """One way from stop to stop: the office's figure if there is one, else reckoned.

    Parameters
    ----------
    start, end : Stop
        Where from, where to; the same key is no trip.
    rules : TravelRules
        The branch's settings and table.
    crew_cents_per_hour : int
        Cost of the whole crew [cents/h], at least 0.

    Returns
    -------
    Trip
        Minutes are rounded up; cents once, half up: ``minutes/60 * crew_cents_per_hour + km * cents_per_km``.
    """
    _refuse(crew_cents_per_hour < 0, "crew_cents_per_hour", crew_cents_per_hour, "0 or more")
    if start.key == end.key:
        return Trip(km=0.0, minutes=0, cents=0)
    known = rules.known_trip(start.key, end.key)
    if known is not None:
        km, minutes = known.km, known.minutes
    else:
        km = great_circle_km(start.place, end.place) * rules.road_factor
        minutes = math.ceil(km / rules.speed_km_h * 60)
    cents = math.floor(minutes * crew_cents_per_hour / 60 + km * rules.cents_per_km + 0.5)
    return Trip(km=km, minutes=minutes, cents=cents)


def _refuse(wrong: bool, name: str, value: object, rule: str) -> None:
    if wrong:
        raise CannotDo("crews.bad_travel_number", field=name, name=name, value=value, rule=rule)
