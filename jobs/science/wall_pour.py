"""Plan of a wall pour between forms: rate, passes round the wall, truck loads, and whether it ends before dark.

For planning only: the form maker's rating, the engineer, the producer's ticket and local code govern.
"""

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from jobs.domain.errors import CannotDo
from jobs.science.formwork import ORDINARY_KG_M3, highest_rate_m_h, wall_pressure_kpa
from jobs.science.ranges import require_range
from jobs.science.setting import Admixture, initial_set_hours, set_shares

# From batching to the end of discharge; since 2021 the purchaser or the producer states it (astm_c94).
DELIVERY_LIMIT_H = 1.5

# Walls rise 2 to 4 ft an hour, in passes of up to 4 ft: common practice, no source.
USUAL_RISE_M_H = 4 * 0.3048
USUAL_LIFT_M = 4 * 0.3048
# Under a vibrator's layer of 12 in a pass is no pass; under a yard a truck is not sent: common practice, no source.
LEAST_LIFT_M = 12 * 0.0254
LEAST_LOAD_M3 = 0.765
# The habit of 30 to 45 minutes hot and 60 to 90 mild between passes is this share of initial set.
COVERED_WITHIN_SHARE_OF_SET = 0.25

SLACK = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """The concrete of a wall: core length (its middle line), height and thickness [m], and what is ordered [m3]."""

    core_length_m: float
    height_m: float
    core_m: float
    ordered_m3: float

    def __post_init__(self) -> None:
        for name, high in (("core_length_m", 200.0), ("height_m", 6.0), ("core_m", 1.0), ("ordered_m3", 300.0)):
            _require_positive(name, getattr(self, name), high)
        require_range(
            self.ordered_m3, name="ordered_m3", low=self.net_m3 * (1 - 1e-6), high=300.0, unit="m3", source="nrmca_cip8"
        )

    @property
    def net_m3(self) -> float:
        """Core without coping and waste [m3]."""
        return self.core_length_m * self.height_m * self.core_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Forms:
    """What the forms bear [kPa], and the usual limits of rise [m/h] and pass [m]."""

    rated_kpa: float
    rise_m_h: float = USUAL_RISE_M_H
    lift_m: float = USUAL_LIFT_M

    def __post_init__(self) -> None:
        for name, high in (("rated_kpa", 200.0), ("rise_m_h", 10.0), ("lift_m", 2.0)):
            _require_positive(name, getattr(self, name), high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """Trucks and pump.

    Attributes
    ----------
    trucks_each : trucks that go round.
    load_m3 : most a truck carries [m3].
    travel_h : batching to arrival [h].
    round_trip_h : from leaving the site to being back with the next load [h].
    pump_m3_h : what the pump places [m3/h].
    limit_h : batching to end of discharge [h].
    """

    trucks_each: int
    load_m3: float
    travel_h: float
    round_trip_h: float
    pump_m3_h: float
    limit_h: float = DELIVERY_LIMIT_H

    def __post_init__(self) -> None:
        for name, high in (
            ("trucks_each", 50.0),
            ("load_m3", 12.0),
            ("travel_h", 3.0),
            ("round_trip_h", 8.0),
            ("pump_m3_h", 150.0),
            ("limit_h", 6.0),
        ):
            _require_positive(name, getattr(self, name), high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One truck: its concrete [m3], when it is batched, on site and empty, and its age then [min]."""

    number: int
    volume_m3: float
    batched_at: datetime
    arrives_at: datetime
    empty_at: datetime
    age_minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One pass round the wall: its levels [m], its start, and the wait [min] after it before the next may start."""

    number: int
    from_m: float
    until_m: float
    starts_at: datetime
    wait_minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WallPourPlan:
    """How a wall is poured.

    Attributes
    ----------
    rate_m3_h : mean placing rate with its waits [m3/h].
    rise_m_h : mean rise [m/h].
    pressure_kpa : highest pressure at the fastest rise of the plan [kPa].
    limited_by : ``forms``, ``usual_rise``, ``pump`` or ``trucks``.
    cover_within_minutes : a pass must be covered by the next within this.
    """

    rate_m3_h: float
    rise_m_h: float
    pressure_kpa: float
    limited_by: str
    cover_within_minutes: float
    lifts: tuple[Lift, ...]
    loads: tuple[Load, ...]
    starts_at: datetime
    ends_at: datetime

    @property
    def hours(self) -> float:
        """Duration [h]."""
        return (self.ends_at.astimezone(UTC) - self.starts_at.astimezone(UTC)) / timedelta(hours=1)


def cover_within_h(concrete_temp_c: float, admixture: Admixture = "none") -> float:
    """Hours within which a pass must be covered by the next: a quarter of initial set, the earliest it may come.

    Source: psu_setting, astm_c494; the quarter: common practice, no source. The next lift before initial set is the
    hard limit.

    >>> round(cover_within_h(21.111), 2)
    1.5
    """
    earliest, _ = set_shares(admixture)
    return COVERED_WITHIN_SHARE_OF_SET * earliest * initial_set_hours(concrete_temp_c)


def load_m3_in_time(rate_m3_h: float, supply: Supply) -> float:
    """Largest load that is placed before it is too old [m3].

    Raises
    ------
    CannotDo
        ``wall_pour.load_too_old`` if that is under a yard.

    Source: astm_c94.

    >>> supply = Supply(trucks_each=2, load_m3=7.6, travel_h=0.5, round_trip_h=1.0, pump_m3_h=20.0)
    >>> load_m3_in_time(5.0, supply)
    5.0
    """
    most = min(supply.load_m3, rate_m3_h * (supply.limit_h - supply.travel_h))
    if most < min(LEAST_LOAD_M3, supply.load_m3):
        raise CannotDo(
            "wall_pour.load_too_old",
            field="travel_h",
            load_m3=f"{LEAST_LOAD_M3:.2g}",
            age_minutes=round(60 * (supply.travel_h + LEAST_LOAD_M3 / rate_m3_h)),
            limit_minutes=round(60 * supply.limit_h),
        )
    return most


def supplied_m3_h(rate_m3_h: float, loads: int, load_m3: float, supply: Supply) -> float:
    """Mean rate that the trucks keep up with [m3/h]: all of it where nobody has to come twice.

    ``n load / (round trip + load / rate)`` at most. Source: common practice, no source.

    >>> supply = Supply(trucks_each=2, load_m3=6.0, travel_h=0.5, round_trip_h=1.5, pump_m3_h=20.0)
    >>> supplied_m3_h(12.0, 4, 6.0, supply), supplied_m3_h(12.0, 2, 6.0, supply)
    (6.0, 12.0)
    """
    if loads <= supply.trucks_each:
        return rate_m3_h
    return min(rate_m3_h, supply.trucks_each * load_m3 / (supply.round_trip_h + load_m3 / rate_m3_h))


def wall_pour_plan(
    *,
    wall: Wall,
    forms: Forms,
    supply: Supply,
    concrete_temp_c: float,
    starts_at: datetime,
    dark_at: datetime,
    density_kg_m3: float = ORDINARY_KG_M3,
    chemistry: float = 1.0,
    admixture: Admixture = "none",
) -> WallPourPlan:
    """Plan a wall pour from the first load to the top, or refuse.

    The slowest of form, practice, pump and trucks sets the rate; loads are no larger than what is placed in time;
    passes no higher than what is covered in time.

    Parameters
    ----------
    wall, forms, supply : values
        What is poured, what holds it, what brings it.
    concrete_temp_c : float
        Concrete temperature at placing [degC], 4 to 37.8.
    starts_at, dark_at : datetime
        First concrete into the form, and end of the light to work by, aware.
    density_kg_m3, chemistry : float
        As ``formwork.wall_pressure_kpa``.
    admixture : Admixture
        What is added for the set: passes are covered within the earliest it may come.

    Returns
    -------
    WallPourPlan
        Times in the zone of ``starts_at``.

    Raises
    ------
    OutsideValidRange
        A temperature, density or size outside the pressure equations.
    CannotDo
        ``formwork.form_too_weak``, ``wall_pour.load_too_old``, ``wall_pour.cold_joint``, ``wall_pour.past_dark``,
        ``wall_pour.dark_before_start``, ``wall_pour.no_zone``.

    Source: aci_347, astm_c94, psu_setting; usual rise, pass and cover: common practice, no source.
    """
    _check_times(starts_at, dark_at)
    form_m_h = highest_rate_m_h(
        forms.rated_kpa, concrete_temp_c, wall.height_m, density_kg_m3=density_kg_m3, chemistry=chemistry
    )
    plan_m2 = wall.core_length_m * wall.core_m
    caps = {"forms": form_m_h * plan_m2, "usual_rise": forms.rise_m_h * plan_m2, "pump": supply.pump_m3_h}
    limited_by = min(caps, key=lambda name: caps[name])
    fastest_m3_h = caps[limited_by]
    loads_each = math.ceil(wall.ordered_m3 / load_m3_in_time(fastest_m3_h, supply) - SLACK)
    load_m3 = wall.ordered_m3 / loads_each
    rate_m3_h = supplied_m3_h(fastest_m3_h, loads_each, load_m3, supply)
    if rate_m3_h < fastest_m3_h:
        limited_by = "trucks"
    hours = wall.ordered_m3 / rate_m3_h
    ends_at = _later(starts_at, hours)
    if ends_at.astimezone(UTC) > dark_at.astimezone(UTC):
        raise CannotDo(
            "wall_pour.past_dark",
            field="starts_at",
            ends=f"{ends_at:%H:%M}",
            dark=f"{dark_at.astimezone(starts_at.tzinfo):%H:%M}",
            hours=f"{hours:.1f}",
            limited_by=limited_by.replace("_", " "),
            start_by=f"{_later(dark_at, -hours).astimezone(starts_at.tzinfo):%H:%M}",
        )
    cover_h = cover_within_h(concrete_temp_c, admixture)
    return WallPourPlan(
        rate_m3_h=rate_m3_h,
        rise_m_h=rate_m3_h / plan_m2,
        pressure_kpa=wall_pressure_kpa(
            fastest_m3_h / plan_m2,
            concrete_temp_c,
            wall.height_m,
            density_kg_m3=density_kg_m3,
            chemistry=chemistry,
        ),
        limited_by=limited_by,
        cover_within_minutes=60 * cover_h,
        lifts=_lifts(wall, forms, supply, rate_m3_h, cover_h, starts_at),
        loads=_loads(loads_each, load_m3, fastest_m3_h, rate_m3_h, supply, starts_at),
        starts_at=starts_at,
        ends_at=ends_at,
    )


def _lifts(
    wall: Wall, forms: Forms, supply: Supply, rate_m3_h: float, cover_h: float, starts_at: datetime
) -> tuple[Lift, ...]:
    plan_m2 = wall.core_length_m * wall.core_m
    rise_m_h = rate_m3_h / plan_m2
    in_time_m = rise_m_h * cover_h
    if in_time_m < min(LEAST_LIFT_M, wall.height_m):
        raise CannotDo(
            "wall_pour.cold_joint",
            field="trucks_each",
            lift_m=f"{LEAST_LIFT_M:.1f}",
            pass_minutes=round(60 * LEAST_LIFT_M / rise_m_h),
            limit_minutes=round(60 * cover_h),
        )
    each = math.ceil(wall.height_m / min(forms.lift_m, in_time_m) - SLACK)
    lift_m = wall.height_m / each
    pass_h = lift_m / rise_m_h
    wait_h = pass_h - lift_m * plan_m2 / supply.pump_m3_h
    return tuple(
        Lift(
            number=number + 1,
            from_m=number * lift_m,
            until_m=(number + 1) * lift_m,
            starts_at=_later(starts_at, number * pass_h),
            wait_minutes=60 * max(0.0, wait_h) if number + 1 < each else 0.0,
        )
        for number in range(each)
    )


def _loads(
    each: int, load_m3: float, fastest_m3_h: float, rate_m3_h: float, supply: Supply, starts_at: datetime
) -> tuple[Load, ...]:
    discharge_h = load_m3 / fastest_m3_h
    arrivals = [_later(starts_at, number * load_m3 / rate_m3_h) for number in range(each)]
    return tuple(
        Load(
            number=number,
            volume_m3=load_m3,
            batched_at=_later(arrives_at, -supply.travel_h),
            arrives_at=arrives_at,
            empty_at=_later(arrives_at, discharge_h),
            age_minutes=60 * (supply.travel_h + discharge_h),
        )
        for number, arrives_at in enumerate(arrivals, start=1)
    )


def _check_times(starts_at: datetime, dark_at: datetime) -> None:
    for what, moment in (("start", starts_at), ("dark", dark_at)):
        if moment.utcoffset() is None:
            raise CannotDo("wall_pour.no_zone", field=f"{what}_at", what=what)
    if starts_at.astimezone(UTC) >= dark_at.astimezone(UTC):
        raise CannotDo(
            "wall_pour.dark_before_start",
            field="starts_at",
            start=f"{starts_at:%H:%M}",
            dark=f"{dark_at.astimezone(starts_at.tzinfo):%H:%M}",
        )


def _later(moment: datetime, hours: float) -> datetime:
    # Moments of one zone add by the wall clock; hours of concrete need instants.
    return (moment.astimezone(UTC) + timedelta(hours=hours)).astimezone(moment.tzinfo)


def _require_positive(name: str, value: float, high: float) -> None:
    if not 0 < value <= high:
        what = name.rsplit("_", 1)[0].replace("_", " ")
        raise CannotDo("wall_pour.not_positive", field=name, what=what, value=value, high=f"{high:g}")
