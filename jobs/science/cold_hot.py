"""Limits of cold and hot weather concreting: temperatures, days of protection, heat lost on the way, the mix.

Tables are for planning; the specification, the ready-mix producer and local code govern.
"""

from bisect import bisect_left
from collections.abc import Mapping

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.domain.units import M_PER_IN, c_from_f
from jobs.science.ranges import Array, N, as_given, require_range
from jobs.science.strength import DEFAULT_RATE, StrengthLaw, fractions_by_hour

COLD_AIR_C = c_from_f(40.0)
HOT_AIR_C = c_from_f(80.0)
HOT_EVAPORATION_KG_M2_H = 1.0
HOTTEST_DISCHARGE_C = 35.0

# Least sections [m] of columns 2 to 4 (12, 36, 72 in), and lines of the table [degF] by section.
SECTIONS_M = tuple(inches * M_PER_IN for inches in (12, 36, 72))
PLACED_F = (55.0, 50.0, 45.0, 40.0)
MIXED_MORE_F = 5.0
# Placed concrete warmer than the minimum by more than this cracks as it cools (aci_306_protection).
WARMEST_OVER_MINIMUM_C = 20 / 1.8

# Days of protection by service: ordinary concrete, and quick concrete (type III, accelerator, 60 kg more cement).
PROTECTION_DAYS: Mapping[str, tuple[int, int]] = {
    "no_load_sheltered": (2, 1),
    "no_load_exposed": (3, 2),
    "part_load_exposed": (6, 4),
}

# Compressive strength from which one freezing does no harm [MPa]: 500 psi; pore water freezes near 30 degF.
FREEZE_SAFE_MPA = 3.5
FREEZES_AT_C = -1.0

# After protection ends: most cooling in an hour and in 24 h (5 and 50 degF).
COOLING_C_PER_HOUR, COOLING_C_PER_DAY = 5 / 1.8, 50 / 1.8

# Share of the gap to the air lost in an hour on the way.
LOSS_PER_HOUR: Mapping[str, float] = {"drum": 0.25, "covered_dump": 0.10, "open_dump": 0.20}

# Heat of dry materials over water's, and what melting and warming a kilogram of ice takes: (112 + 32) / 1.8.
DRY_HEAT = 0.22
ICE_C = 80.0


def is_cold_weather(lowest_air_c: float) -> bool:
    """Whether the air falls below 4.4 degC (40 degF) during the protection period. Source: aci_306.

    >>> is_cold_weather(4.0), is_cold_weather(5.0)
    (True, False)
    """
    return lowest_air_c < COLD_AIR_C


def is_hot_weather(air_temp_c: float, evaporation_kg_m2_h: float) -> bool:
    """Whether air of 26.7 degC (80 degF) or more dries the concrete by more than 1 kg/m2/h. Source: aci_305.

    >>> is_hot_weather(30.0, 1.1), is_hot_weather(30.0, 0.6)
    (True, False)
    """
    return air_temp_c >= HOT_AIR_C and evaporation_kg_m2_h > HOT_EVAPORATION_KG_M2_H


def least_placed_temp_c(section_m: float) -> float:
    """Lowest concrete temperature as placed and kept in cold weather [degC].

    Parameters
    ----------
    section_m : float
        Least dimension of the section [m], 0.02 to 3.

    Returns
    -------
    float
        13, 10, 7 or 5 degC (55 to 40 degF): thick sections keep their own heat.

    Raises
    ------
    OutsideValidRange
        A section outside the range.

    Source: aci_306, aci_306_protection.

    >>> round(least_placed_temp_c(0.15))
    13
    """
    require_range(section_m, name="section_m", low=0.02, high=3, unit="m", source="aci_306")
    thin_m, *thicker_m = SECTIONS_M
    # A section on a boundary of two printed columns takes the warmer one; the first column is printed as below 12 in.
    column = 0 if section_m < thin_m - 1e-9 else 1 + bisect_left(thicker_m, section_m - 1e-9)
    return c_from_f(PLACED_F[column])


def least_mixed_temp_c(section_m: float, air_temp_c: float) -> float:
    """Lowest concrete temperature as mixed for cold weather [degC].

    Parameters
    ----------
    section_m : float
        Least dimension of the section [m], 0.02 to 3.
    air_temp_c : float
        Air [degC], -40 to 50.

    Returns
    -------
    float
        ``least_placed_temp_c`` and 5 degF more; 10 from 30 degF down, 15 below 0 degF.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: aci_306, aci_306_protection.

    >>> round(least_mixed_temp_c(0.15, -10.0))
    18
    """
    require_range(air_temp_c, name="air_temp_c", low=-40, high=50, unit="degC", source="aci_306")
    steps = 1 + (air_temp_c <= c_from_f(30.0)) + (air_temp_c < c_from_f(0.0))
    return least_placed_temp_c(section_m) + steps * MIXED_MORE_F / 1.8


def discharge_limits_c(section_m: float) -> tuple[float, float]:
    """Lowest and highest concrete temperature out of the truck [degC]. Source: aci_306, aci_305.

    >>> tuple(round(limit) for limit in discharge_limits_c(0.15))
    (13, 35)
    """
    return least_placed_temp_c(section_m), HOTTEST_DISCHARGE_C


def protection_days(service: str, *, quick: bool = False) -> int:
    """Days that fresh concrete is kept at its placing temperature in cold weather.

    Parameters
    ----------
    service : str
        ``no_load_sheltered``, ``no_load_exposed`` or ``part_load_exposed``; ``full_load`` waits for strength.
    quick : bool
        Type III cement, an accelerator, or 60 kg/m3 (100 lb/yd3) more cement.

    Returns
    -------
    int
        Days [d].

    Raises
    ------
    CannotDo
        ``cold.protection_by_test``, ``cold.no_such_case``.

    Source: aci_306_protection.

    >>> protection_days("no_load_exposed"), protection_days("part_load_exposed", quick=True)
    (3, 4)
    """
    if service == "full_load":
        raise CannotDo("cold.protection_by_test", field="service")
    if service not in PROTECTION_DAYS:
        raise _no_such_case(service, "services", PROTECTION_DAYS)
    return PROTECTION_DAYS[service][quick]


def transit_drop_c(required_c: N, air_temp_c: N, hours: float, carrier: str = "drum") -> N:
    """Temperature a load loses on the way [degC]: batch it that much warmer.

    Parameters
    ----------
    required_c : float or array
        Concrete temperature asked at discharge [degC], 0 to 40.
    air_temp_c : float or array
        Air on the way [degC], -40 to 40.
    hours : float
        From batching to discharge [h], 0 to 3.
    carrier : str
        ``drum`` (revolving), ``covered_dump`` or ``open_dump``.

    Returns
    -------
    float or array
        ``0.25 (tr - ta)`` an hour in a drum, 0.10 covered, 0.20 open; 0 where the air is warmer.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.
    CannotDo
        ``cold.no_such_case``.

    Source: aci_306_protection.

    >>> transit_drop_c(10.0, -6.0, 1.0)
    4.0
    """
    source = "aci_306_protection"
    require_range(required_c, name="required_c", low=0, high=40, unit="degC", source=source)
    require_range(air_temp_c, name="air_temp_c", low=-40, high=40, unit="degC", source=source)
    require_range(hours, name="hours", low=0, high=3, unit="h", source=source)
    if carrier not in LOSS_PER_HOUR:
        raise _no_such_case(carrier, "carriers", LOSS_PER_HOUR)
    return as_given(np.maximum(0.0, LOSS_PER_HOUR[carrier] * hours * (required_c - air_temp_c)), required_c)


def mixture_temp_c(
    *,
    aggregate_kg: float,
    aggregate_c: float,
    cement_kg: float,
    cement_c: float,
    water_kg: float,
    water_c: float,
    moisture_kg: float = 0.0,
    ice_kg: float = 0.0,
) -> float:
    """Temperature of fresh concrete from its materials [degC].

    Parameters
    ----------
    aggregate_kg, cement_kg, water_kg, moisture_kg, ice_kg : float
        Masses of one batch [kg], 0 to 20,000: dry aggregate, cement, mixing water, water on the aggregate, ice.
    aggregate_c, cement_c, water_c : float
        Temperatures [degC], 0 to 90; the water on the aggregate has the aggregate's.

    Returns
    -------
    float
        ``(0.22 (Ta Wa + Tc Wc) + Tw Ww + Ta Wm - 80 Wi) / (0.22 (Wa + Wc) + Ww + Wm + Wi)``: the published equation
        in degF with 112, converted exactly (its metric print has 79.6).

    Raises
    ------
    OutsideValidRange
        An argument outside its range, no mass at all, or a mix that would freeze.

    Source: aci_305, aci_306.

    >>> f"{mixture_temp_c(aggregate_kg=1839, aggregate_c=27, cement_kg=335, cement_c=66, water_kg=123, water_c=27):.1f}"
    '31.8'
    """
    masses = {
        "aggregate_kg": aggregate_kg,
        "cement_kg": cement_kg,
        "water_kg": water_kg,
        "moisture_kg": moisture_kg,
        "ice_kg": ice_kg,
    }
    for name, mass_kg in masses.items():
        require_range(mass_kg, name=name, low=0, high=20_000, unit="kg", source="aci_305")
    for name, temp_c in (("aggregate_c", aggregate_c), ("cement_c", cement_c), ("water_c", water_c)):
        require_range(temp_c, name=name, low=0, high=90, unit="degC", source="aci_305")
    require_range(sum(masses.values()), name="batch_kg", low=1, high=100_000, unit="kg", source="aci_305")
    holds = DRY_HEAT * (aggregate_kg + cement_kg) + water_kg + moisture_kg + ice_kg
    heat = DRY_HEAT * (aggregate_c * aggregate_kg + cement_c * cement_kg) + water_c * water_kg
    temp_c = (heat + aggregate_c * moisture_kg - ICE_C * ice_kg) / holds
    require_range(temp_c, name="mixture temperature", low=0, high=90, unit="degC", source="aci_305")
    return temp_c


def cools_too_fast(temps_c: Array) -> bool:
    """Whether concrete loses more than 2.8 degC (5 degF) in an hour or 27.8 degC (50 degF) in 24 hours.

    Parameters
    ----------
    temps_c : array
        Surface temperature at hour marks after protection ends [degC], one dimension.

    Returns
    -------
    bool
        True as well where a temperature is unknown: keep the cover on.

    Source: ufgs_cold.

    >>> cools_too_fast(np.array([20.0, 18.0, 15.0])), cools_too_fast(np.array([20.0, 18.0, 16.0]))
    (True, False)
    """
    hourly = np.max(-np.diff(temps_c), initial=0.0)
    daily = np.max([np.max(temps_c[at : at + 25]) - temps_c[at + 24] for at in range(len(temps_c) - 24)], initial=0.0)
    return not (hourly <= COOLING_C_PER_HOUR and daily <= COOLING_C_PER_DAY)


def first_frost_h(temps_c: Array, *, specified_mpa: float, law: StrengthLaw) -> int | None:
    """First hour after placing in which the concrete freezes before it can bear it, or None.

    Parameters
    ----------
    temps_c : array
        Mean concrete temperature of each hour [degC], the first from placing.
    specified_mpa : float
        28-day strength [MPa], 14 to 70.
    law : StrengthLaw
        As ``strength.fractions_by_hour``.

    Returns
    -------
    int or None
        Hour, counted from 0: concrete below -1 degC not known to have reached 3.5 MPa (500 psi).

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: aci_306.

    >>> from jobs.science.strength import EUROPEAN_LAWS
    >>> first_frost_h(np.array([10.0, 5.0, -3.0]), specified_mpa=28.0, law=EUROPEAN_LAWS["N"])
    2
    """
    require_range(specified_mpa, name="specified_mpa", low=14, high=70, unit="MPa", source="aci_306")
    at_start = np.concatenate([[0.0], fractions_by_hour(temps_c, law=law, rate=DEFAULT_RATE)[:-1]])
    frozen = np.flatnonzero((temps_c < FREEZES_AT_C) & ~(at_start * specified_mpa >= FREEZE_SAFE_MPA))
    return int(frozen[0]) if frozen.size else None


def _no_such_case(given: str, what: str, known: Mapping[str, object]) -> CannotDo:
    return CannotDo("cold.no_such_case", field="case", given=given, what=what, known=", ".join(known))
