"""Filling a pool: flow of a hose, level against time with rain, evaporation and pauses, and retiming by a reading."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.domain.units import M_PER_FT, M_PER_IN, gpm_from_m3_h, m3_h_from_gpm, psi_from_mpa
from jobs.science.ranges import Array, require_range
from jobs.science.water.inflow import SLACK_M3

# Hazen-Williams in psi, ft, gpm, in; a smooth hose has 140.
PSI_FACTOR, FLOW_POWER, DIAMETER_POWER = 4.52, 1.852, 4.8704
SMOOTH_HOSE = 140.0
# v [ft/s] of 1 gpm in 1 in; psi of a foot of water; feet of v squared.
FT_S_PER_GPM_IN2, PSI_PER_FT, TWO_G_FT_S2 = 0.4085, 62.4 / 144, 64.348


class LevelVolume(Protocol):
    """What the fill asks of a basin; levels are above the deepest floor."""

    @property
    def max_level_m(self) -> float: ...
    def volume_at_m3(self, level_m: float) -> float: ...
    def surface_at_m2(self, level_m: float) -> float: ...
    def level_for_volume_m(self, volume_m3: float) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fill:
    """What goes into and out of a pool in each step of a fill, and where the level starts.

    Attributes
    ----------
    marks_h : begin of the first step and end of each [h since the fill began]; no step is longer than an hour.
    start_level_m : level at the first [m].
    inflow_m3 : water added in each step [m3].
    rain_mm, evaporation_mm : of each step [mm].
    catch_m2 : area whose rain ends in the pool [m2].
    """

    marks_h: Array
    start_level_m: float
    inflow_m3: Array
    rain_mm: Array
    evaporation_mm: Array
    catch_m2: float

    def __post_init__(self) -> None:
        for name, high in (("inflow_m3", 500.0), ("rain_mm", 500.0), ("evaporation_mm", 5.0), ("catch_m2", 10_000.0)):
            require_range(getattr(self, name), name=name, low=0, high=high, unit=name.split("_")[1], source="carrier")
        steps = len(self.marks_h) - 1
        for name in ("inflow_m3", "rain_mm", "evaporation_mm"):
            given = len(getattr(self, name))
            if given != steps:
                what = name.rpartition("_")[0]
                raise CannotDo("filling.steps_differ", field=name, steps=steps, what=what, given=given)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FillCurve:
    """Volume [m3] and level [m] at the marks of a fill [h]."""

    hours: Array
    volumes_m3: Array
    levels_m: Array


def hose_flow_m3_h(
    diameter_m: float, length_m: float, pressure_kpa: float, *, smoothness: float = SMOOTH_HOSE
) -> float:
    """Flow out of the open end of a hose [m3/h]: an upper bound, for the tap's own loss is left out.

    Parameters
    ----------
    diameter_m : float
        Inside diameter [m], 0.009 to 0.16.
    length_m : float
        Length [m], 1 to 500.
    pressure_kpa : float
        Pressure at the tap while it runs [kPa], 30 to 1000.
    smoothness : float
        Hazen-Williams coefficient, 100 to 150.

    Returns
    -------
    float
        The flow whose friction and velocity head use up the pressure. In psi, ft, gpm, in:
        ``4.52 L Q^1.852 / (C^1.852 d^4.8704) + 0.433 v^2 / 2g``.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: hazen_williams, wsu_hose.

    >>> f"{gpm_from_m3_h(hose_flow_m3_h(0.01905, 30.48, 275.8)):.1f}"
    '17.5'
    """
    for name, value, low, high, unit in (
        ("diameter_m", diameter_m, 0.009, 0.16, "m"),
        ("length_m", length_m, 1.0, 500.0, "m"),
        ("pressure_kpa", pressure_kpa, 30.0, 1000.0, "kPa"),
        ("smoothness", smoothness, 100.0, 150.0, ""),
    ):
        require_range(value, name=name, low=low, high=high, unit=unit, source="hazen_williams")
    inches, psi = diameter_m / M_PER_IN, psi_from_mpa(pressure_kpa / 1000)
    friction = PSI_FACTOR * length_m / M_PER_FT / (smoothness**FLOW_POWER * inches**DIAMETER_POWER)
    velocity = PSI_PER_FT * (FT_S_PER_GPM_IN2 / inches**2) ** 2 / TWO_G_FT_S2
    low_gpm, high_gpm = 0.0, (psi / velocity) ** 0.5
    # Both losses grow with the flow: halving closes on the one root to the last digits.
    for _ in range(60):
        gpm = (low_gpm + high_gpm) / 2
        if friction * gpm**FLOW_POWER + velocity * gpm**2 > psi:
            high_gpm = gpm
        else:
            low_gpm = gpm
    return m3_h_from_gpm(low_gpm)


def hose_friction_kpa(diameter_m: float, length_m: float, flow_m3_h: float) -> float:
    """Pressure lost to friction in a smooth hose [kPa], by the same formula and ranges as ``hose_flow_m3_h``.

    Source: hazen_williams.

    >>> round(hose_friction_kpa(0.01905, 30.48, m3_h_from_gpm(18.0)))
    283
    """
    require_range(diameter_m, name="diameter_m", low=0.009, high=0.16, unit="m", source="hazen_williams")
    require_range(length_m, name="length_m", low=1, high=500, unit="m", source="hazen_williams")
    require_range(flow_m3_h, name="flow_m3_h", low=0, high=200, unit="m3/h", source="hazen_williams")
    inches, gpm = diameter_m / M_PER_IN, gpm_from_m3_h(flow_m3_h)
    per_foot = PSI_FACTOR * gpm**FLOW_POWER / (SMOOTH_HOSE**FLOW_POWER * inches**DIAMETER_POWER)
    return float(per_foot * length_m / M_PER_FT / psi_from_mpa(1e-3))


def bucket_flow_m3_h(bucket_m3: float, seconds: float) -> float:
    """Flow from the seconds a bucket takes to fill [m3/h]: the measurement that beats every table.

    Raises
    ------
    OutsideValidRange
        A bucket outside 0.002 to 1 m3, a time outside 1 to 3600 s.

    Source: common practice, no source.

    >>> f"{gpm_from_m3_h(bucket_flow_m3_h(0.018927, 30.0)):.1f}"
    '10.0'
    """
    require_range(bucket_m3, name="bucket_m3", low=0.002, high=1, unit="m3", source="usual_flows")
    require_range(seconds, name="seconds", low=1, high=3600, unit="s", source="usual_flows")
    return bucket_m3 / seconds * 3600


def fill_curve(basin: LevelVolume, fill: Fill) -> FillCurve:
    """Level of a fill at every mark.

    Parameters
    ----------
    basin : LevelVolume
        Level-volume curve of the pool.
    fill : Fill
        Start and the water of each step.

    Returns
    -------
    FillCurve
        At the marks, and where it brims over. Each step adds inflow and rain on the catch and takes evaporation from
        the surface it starts with; the pool never holds less than nothing nor more than to its coping.

    Raises
    ------
    CannotDo
        A start level outside the basin.

    Source: carrier; the balance is arithmetic.
    """
    hours, volumes, levels = [float(fill.marks_h[0])], [basin.volume_at_m3(fill.start_level_m)], [fill.start_level_m]
    most_m3 = basin.volume_at_m3(basin.max_level_m)
    added = fill.inflow_m3 + fill.rain_mm * fill.catch_m2 / 1000
    for step, water_m3 in enumerate(added):
        lost_m3 = float(fill.evaporation_mm[step]) / 1000 * basin.surface_at_m2(levels[-1]) if volumes[-1] > 0 else 0.0
        gain_m3, end_h = float(water_m3) - lost_m3, float(fill.marks_h[step + 1])
        room_m3 = most_m3 - volumes[-1]
        if gain_m3 > room_m3 > 0:
            # It brims over within the step: from then on it stands, and until then it rises at the step's own pace.
            hours.append(hours[-1] + (end_h - hours[-1]) * room_m3 / gain_m3)
            volumes.append(most_m3)
            levels.append(basin.max_level_m)
        hours.append(end_h)
        volumes.append(min(max(volumes[-1] + gain_m3, 0.0), most_m3))
        levels.append(basin.level_for_volume_m(volumes[-1]))
    return FillCurve(hours=np.array(hours), volumes_m3=np.array(volumes), levels_m=np.array(levels))


def hour_of_level(basin: LevelVolume, curve: FillCurve, level_m: float) -> float:
    """Hour at which the water first reaches a level [h]; water comes evenly within a step.

    Raises
    ------
    CannotDo
        ``filling.not_reached``, or a level outside the basin.

    Source: the balance is arithmetic; common practice, no source.
    """
    wanted_m3 = basin.volume_at_m3(level_m)
    reached = np.flatnonzero(curve.volumes_m3 >= wanted_m3 - SLACK_M3)
    if reached.size == 0:
        raise CannotDo(
            "filling.not_reached",
            field="level_m",
            level=round(float(curve.levels_m.max()), 3),
            hours=round(float(curve.hours[-1])),
            wanted=round(level_m, 3),
        )
    mark = int(reached[0])
    if mark == 0:
        return float(curve.hours[0])
    below, above = curve.volumes_m3[mark - 1], curve.volumes_m3[mark]
    step_h = curve.hours[mark] - curve.hours[mark - 1]
    return float(curve.hours[mark - 1] + step_h * min((wanted_m3 - below) / (above - below), 1.0))


def retimed(basin: LevelVolume, fill: Fill, *, reading_h: float, reading_level_m: float) -> tuple[Fill, float]:
    """The rest of a fill, timed again from a level that was read.

    Parameters
    ----------
    basin : LevelVolume
        Level-volume curve of the pool.
    fill : Fill
        The fill as it was planned.
    reading_h : float
        Hour of the fill at which the level was read [h].
    reading_level_m : float
        Level read [m].

    Returns
    -------
    (Fill, float)
        The fill from the reading on, and the share of the planned inflow that really came: what is still planned is
        taken at that share, so a weak tap stays weak. Rain and evaporation stay as planned.

    Raises
    ------
    CannotDo
        ``filling.reading_outside``, ``filling.reading_shows_no_flow``, or a level outside the basin.

    Source: the balance is arithmetic; common practice, no source.
    """
    marks = fill.marks_h
    if not marks[0] <= reading_h <= marks[-1]:
        raise CannotDo("filling.reading_outside", field="reading_h", hour=f"{reading_h:g}", hours=f"{marks[-1]:g}")
    curve = fill_curve(basin, fill)
    planned_m3 = float(np.interp(reading_h, marks, _sums(fill.inflow_m3)))
    share = 1.0
    if planned_m3 > 0:
        expected_gain = float(np.interp(reading_h, curve.hours, curve.volumes_m3)) - float(curve.volumes_m3[0])
        gain_m3 = basin.volume_at_m3(reading_level_m) - float(curve.volumes_m3[0])
        share = (gain_m3 - (expected_gain - planned_m3)) / planned_m3
        if share <= 0:
            raise CannotDo("filling.reading_shows_no_flow", field="reading_level_m", hours=f"{reading_h - marks[0]:g}")
    rest = np.concatenate([[reading_h], marks[marks > reading_h]])
    taken = [np.diff(np.interp(rest, marks, _sums(a))) for a in (fill.inflow_m3, fill.rain_mm, fill.evaporation_mm)]
    rest_fill = Fill(
        marks_h=rest,
        start_level_m=reading_level_m,
        inflow_m3=taken[0] * share,
        rain_mm=taken[1],
        evaporation_mm=taken[2],
        catch_m2=fill.catch_m2,
    )
    return rest_fill, share


def _sums(by_step: Array) -> Array:
    return np.concatenate([[0.0], np.cumsum(by_step)])
