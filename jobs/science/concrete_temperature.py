"""Temperature of young concrete from the air around it, until a probe in the concrete says better.

A member is one lump that loses heat to the air and is warmed by its own hydration:
``dT/dt = (T_air - T) / tau + rise / tau_h exp(-t / tau_h)``. An estimate for planning; probe readings replace it.
"""

from dataclasses import dataclass

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.science.ranges import Array, N, as_given, require_range

# Ordinary concrete; common practice, no source.
DENSITY_KG_M3 = 2400.0
HEAT_J_KG_K = 900.0

# Heat to the air from each square metre [W/m2/K]; estimates, no source. Bare: still air to light wind and radiation.
# Blanket: one insulating layer on top. Forms: two foam sides of about 1.8 m2K/W each.
BARE_FACE_W_M2_K = 15.0
BLANKET_W_M2_K = 2.5
INSULATED_FORMS_W_M2_K = 1.06

# About half the warming of a sealed, perfectly insulated lump of 300 kg cement a cubic metre: cold concrete hydrates
# slower than the model, so full heat would flatter it. Estimate, no source.
HYDRATION_RISE_C = 25.0
HYDRATION_H = 30.0

# Ready-mix in cold weather is heated to what thin sections ask for (13 degC), in hot weather cooled to 32 degC.
COLDEST_DELIVERED_C, HOTTEST_DELIVERED_C = 13.0, 32.0

SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """How fast a piece of concrete follows the air.

    Attributes
    ----------
    time_constant_h : hours in which it closes 63 % of the gap to the air [h], 0.5 to 500.
    hydration_rise_c : warming by hydration if no heat were lost [degC], 0 to 60.
    hydration_h : time constant of the hydration heat [h], 5 to 200.
    """

    time_constant_h: float
    hydration_rise_c: float = HYDRATION_RISE_C
    hydration_h: float = HYDRATION_H

    def __post_init__(self) -> None:
        for name, low, high, unit in (
            ("time_constant_h", 0.5, 500.0, "h"),
            ("hydration_rise_c", 0.0, 60.0, "degC"),
            ("hydration_h", 5.0, 200.0, "h"),
        ):
            require_range(getattr(self, name), name=name, low=low, high=high, unit=unit, source=SOURCE)


def time_constant_h(thickness_m: float, heat_loss_w_m2_k: float) -> float:
    """Hours in which a plate closes 63 % of its gap to the air: heat stored over heat lost.

    Parameters
    ----------
    thickness_m : float
        Thickness [m], 0.05 to 1.
    heat_loss_w_m2_k : float
        Heat lost a square metre of plate, both sides together [W/m2/K], 0.3 to 30.

    Returns
    -------
    float
        ``density heat thickness / loss`` [h]. The plate is taken as one temperature, the ground below as neither
        warming nor cooling.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: common practice, no source.

    >>> round(time_constant_h(0.15, 15.0))
    6
    """
    require_range(thickness_m, name="thickness_m", low=0.05, high=1.0, unit="m", source=SOURCE)
    require_range(heat_loss_w_m2_k, name="heat_loss_w_m2_k", low=0.3, high=30, unit="W/m2/K", source=SOURCE)
    return DENSITY_KG_M3 * HEAT_J_KG_K * thickness_m / heat_loss_w_m2_k / 3600


def slab(thickness_m: float = 0.15, *, blanket: bool = False) -> Member:
    """A floor or deck slab, bare or under an insulating blanket. Source: common practice, no source.

    >>> slab().time_constant_h < slab(blanket=True).time_constant_h
    True
    """
    return Member(time_constant_h=time_constant_h(thickness_m, BLANKET_W_M2_K if blanket else BARE_FACE_W_M2_K))


def insulated_wall(core_m: float = 0.15) -> Member:
    """A wall between insulating forms: it holds its heat for days. Source: common practice, no source.

    >>> round(insulated_wall().time_constant_h)
    85
    """
    return Member(time_constant_h=time_constant_h(core_m, INSULATED_FORMS_W_M2_K))


def delivered_temp_c(air_temp_c: N) -> N:
    """What ready-mix is assumed to be placed at until its ticket says better: the air, within 13 to 32 degC.

    Source: common practice, no source.

    >>> delivered_temp_c(-5.0), delivered_temp_c(20.0), delivered_temp_c(38.0)
    (13.0, 20.0, 32.0)
    """
    require_range(air_temp_c, name="air_temp_c", low=-40, high=50, unit="degC", source=SOURCE)
    return as_given(np.clip(air_temp_c, COLDEST_DELIVERED_C, HOTTEST_DELIVERED_C), air_temp_c)


def concrete_temps_c(air_temps_c: Array, *, placed_c: N, member: Member, probe_temps_c: Array | None = None) -> Array:
    """Concrete temperature at placing and at the end of every hour after [degC].

    Parameters
    ----------
    air_temps_c : array
        Mean air temperature of each hour from placing [degC], -40 to 50, time in the last axis; NaN unknown.
    placed_c : float or array
        Concrete temperature at placing [degC], 0 to 40; an array for the rows of ``air_temps_c``.
    member : Member
        How fast it follows the air.
    probe_temps_c : array, optional
        Readings in the concrete at the same hour marks, NaN where there is none: one more than hours of air.
        A reading replaces the prediction, and the prediction goes on from it.

    Returns
    -------
    array
        One more value than hours of air in the last axis; give it to ``maturity.step_means_c``. Exact for air that
        keeps its hourly mean.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.
    CannotDo
        ``temperature.lengths``.

    Source: common practice, no source.

    >>> still = np.full(4, 10.0)
    >>> quiet = Member(time_constant_h=6.0, hydration_rise_c=0.0)
    >>> concrete_temps_c(still, placed_c=20.0, member=quiet).round(1).tolist()
    [20.0, 18.5, 17.2, 16.1, 15.1]
    """
    require_range(air_temps_c, name="air_temps_c", low=-40, high=50, unit="degC", source=SOURCE)
    require_range(placed_c, name="placed_c", low=0, high=40, unit="degC", source=SOURCE)
    hours = air_temps_c.shape[-1]
    temps = np.empty((*air_temps_c.shape[:-1], hours + 1))
    readings = _readings(probe_temps_c, temps)
    temps[..., 0] = _replaced(np.asarray(placed_c, dtype=float), readings[..., 0])
    keeps = np.exp(-1 / member.time_constant_h)
    warms = _hydration_c(np.arange(hours, dtype=float), member)
    for hour in range(hours):
        air = air_temps_c[..., hour]
        predicted = air + (temps[..., hour] - air) * keeps + warms[hour]
        temps[..., hour + 1] = _replaced(predicted, readings[..., hour + 1])
    return temps


def _hydration_c(from_h: Array, member: Member) -> Array:
    """What hydration adds within each hour, less what of it is lost in that hour again."""
    tau, tau_h = member.time_constant_h, member.hydration_h
    released = member.hydration_rise_c * np.exp(-from_h / tau_h)
    difference = 1 / tau - 1 / tau_h
    if abs(difference) < 1e-9:
        return np.asarray(released / tau_h * np.exp(-1 / tau), dtype=float)
    return np.asarray(released / tau_h * (np.exp(-1 / tau_h) - np.exp(-1 / tau)) / difference, dtype=float)


def _readings(probe_temps_c: Array | None, marks: Array) -> Array:
    if probe_temps_c is None:
        return np.full(marks.shape, np.nan)
    require_range(probe_temps_c, name="probe_temps_c", low=-40, high=90, unit="degC", source=SOURCE)
    if probe_temps_c.shape != marks.shape:
        raise CannotDo(
            "temperature.lengths", field="probe_temps_c", given=probe_temps_c.shape[-1], needed=marks.shape[-1]
        )
    return probe_temps_c


def _replaced(predicted: Array, reading: Array) -> Array:
    return np.where(np.isnan(reading), predicted, reading)
