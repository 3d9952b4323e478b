"""How long surfaces and ground stay wet after rain, what must be pumped out, and when an empty shell floats.

Estimates for planning: a dry patch, a boot and the engineer say more.
"""

from collections.abc import Mapping

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.science.ranges import Array, N, as_given, require_range
from jobs.science.water_loss import rain_m3

# Water that stays on level concrete when the rest has run off or was pushed off: estimate, no source.
FILM_MM = 0.5
LAST_DIGITS_MM = 1e-9

# Wait after rain against clay, and the most that rain makes any ground wait (published spread for clay: 2 to 5 days);
# estimates. One federal rule waits a day after 25 mm (fhwa_fp155).
SOIL_SHARE: Mapping[str, float] = {"clay": 1.0, "loam": 0.6, "sand": 0.3, "stone_capped": 0.25}
LONGEST_CLAY_WAIT_H = 120.0
MM_PER_WAIT = 25.0

WATER_KG_M3 = 1000.0
CONCRETE_KG_M3 = 2400.0
GRAVITY_M_S2 = 9.80665


def film_mm(rain_mm: Array, evaporation_mm: Array, *, holds_mm: float = FILM_MM, film_before_mm: float = 0.0) -> Array:
    """Water standing on a surface at the end of every hour [mm].

    Parameters
    ----------
    rain_mm : array
        Rain of each hour [mm], 0 to 500, one dimension; 0 where the surface is covered.
    evaporation_mm : array
        What the surface could lose in each hour [mm], 0 to 5: ``evaporation.evaporation_kg_m2_h`` with the surface's
        temperature, which is mm an hour.
    holds_mm : float
        Film that does not run off [mm], 0.05 to 10.
    film_before_mm : float
        Film at the start [mm], 0 to 10.

    Returns
    -------
    array
        ``film + rain - evaporation`` within 0 and ``holds_mm``, hour by hour; NaN from an unknown hour on.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: menzel_1954; the film that stays: common practice, no source.

    >>> film_mm(np.array([2.0, 0.0, 0.0]), np.array([0.0, 0.2, 0.4])).round(1).tolist()
    [0.5, 0.3, 0.0]
    """
    require_range(rain_mm, name="rain_mm", low=0, high=500, unit="mm", source="menzel_1954")
    require_range(evaporation_mm, name="evaporation_mm", low=0, high=5, unit="mm", source="menzel_1954")
    require_range(holds_mm, name="holds_mm", low=0.05, high=10, unit="mm", source="menzel_1954")
    require_range(film_before_mm, name="film_before_mm", low=0, high=10, unit="mm", source="menzel_1954")
    films: list[float] = []
    film = film_before_mm
    for balance in (rain_mm - evaporation_mm).tolist():
        # The sum comes first: an unknown hour makes every hour after it unknown.
        film = min(max(film + balance, 0.0), holds_mm)
        # The last digits of a sum are no water.
        film = 0.0 if film < LAST_DIGITS_MM else film
        films.append(film)
    return np.array(films, dtype=float)


def hours_to_dry(
    rain_mm: Array,
    evaporation_mm: Array,
    *,
    dry_for_h: int = 0,
    holds_mm: float = FILM_MM,
    film_before_mm: float = 0.0,
) -> int:
    """Hours until a surface is free of water, and has been for as long as asked.

    Parameters
    ----------
    rain_mm, evaporation_mm, holds_mm, film_before_mm
        As ``film_mm``.
    dry_for_h : int
        Whole hours without film and rain that must have passed [h], 0 to 168: 16 or 24 before foam and coatings.

    Returns
    -------
    int
        The end of the first hour that satisfies both; 0 for a surface that is dry at the start and asks no hours.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.
    CannotDo
        ``drying.not_dry``.

    Source: menzel_1954, astm_d4263.

    >>> hours_to_dry(np.zeros(4), np.full(4, 0.2), film_before_mm=0.5)
    3
    """
    require_range(dry_for_h, name="dry_for_h", low=0, high=168, unit="h", source="astm_d4263")
    if dry_for_h == 0 and film_before_mm == 0:
        return 0
    films = film_mm(rain_mm, evaporation_mm, holds_mm=holds_mm, film_before_mm=film_before_mm)
    dry_h = 0
    for hour, film in enumerate(films, start=1):
        # The hour in which the film goes is itself not a dry hour; NaN is no dry hour either.
        was_dry = (films[hour - 2] if hour > 1 else film_before_mm) == 0
        dry_h = dry_h + 1 if film == 0 and was_dry and rain_mm[hour - 1] == 0 else 0
        if film == 0 and dry_h >= dry_for_h:
            return hour
    raise CannotDo("drying.not_dry", field="surface", dry_for=dry_for_h, hours=len(rain_mm))


def hours_to_dry_by_start(
    rain_mm: Array,
    evaporation_mm: Array,
    *,
    dry_for_h: int = 0,
    holds_mm: float = FILM_MM,
    film_before_mm: float = 0.0,
    look_ahead_h: int = 168,
) -> Array:
    """``hours_to_dry`` for a film laid at the start of every hour, all at once [h].

    Parameters
    ----------
    rain_mm, evaporation_mm, dry_for_h, holds_mm, film_before_mm
        As ``hours_to_dry``.
    look_ahead_h : int
        Hours looked through from each start [h], at least 1.

    Returns
    -------
    array
        Hours for each start; NaN where an hour is unknown or the surface is not dry within what is looked through.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: menzel_1954, astm_d4263.

    >>> hours_to_dry_by_start(np.zeros(4), np.full(4, 0.2), film_before_mm=0.5).tolist()
    [3.0, 3.0, nan, nan]
    """
    require_range(rain_mm, name="rain_mm", low=0, high=500, unit="mm", source="menzel_1954")
    require_range(evaporation_mm, name="evaporation_mm", low=0, high=5, unit="mm", source="menzel_1954")
    require_range(holds_mm, name="holds_mm", low=0.05, high=10, unit="mm", source="menzel_1954")
    require_range(film_before_mm, name="film_before_mm", low=0, high=10, unit="mm", source="menzel_1954")
    require_range(dry_for_h, name="dry_for_h", low=0, high=168, unit="h", source="astm_d4263")
    count = len(rain_mm)
    found = np.full(count, np.nan) if dry_for_h or film_before_mm else np.zeros(count)
    # Past the last hour nothing is known.
    rain = np.concatenate([rain_mm, np.full(look_ahead_h, np.nan)])
    balance = rain - np.concatenate([evaporation_mm, np.full(look_ahead_h, np.nan)])
    film, dry_h = np.full(count, film_before_mm), np.zeros(count)
    for hour in range(look_ahead_h):
        if not np.isnan(found).any():
            break
        was_dry = film == 0
        film = np.clip(film + balance[hour : hour + count], 0.0, holds_mm)
        film[film < LAST_DIGITS_MM] = 0.0
        is_dry = film == 0
        dry_h = np.where(is_dry & was_dry & (rain[hour : hour + count] == 0), dry_h + 1, 0)
        found = np.where(np.isnan(found) & is_dry & (dry_h >= dry_for_h), hour + 1, found)
    return found


def ground_wait_h(rain_mm: Array, *, clay_wait_h_per_25_mm: float, soil: str, wait_before_h: float = 0.0) -> Array:
    """Hours that open ground still has to dry, at the end of every hour [h].

    Parameters
    ----------
    rain_mm : array
        Rain of each hour that reaches the ground [mm], 0 to 500, one dimension.
    clay_wait_h_per_25_mm : float
        Hours that clay waits for each 25 mm, from the exposure of the work [h], 0 to 120.
    soil : str
        ``clay``, ``loam``, ``sand`` or ``stone_capped``.
    wait_before_h : float
        Wait left at the start [h], 0 to 120.

    Returns
    -------
    array
        Rain adds its wait, an hour without rain takes one off; at most 120 h for clay and its share for other soil.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.
    CannotDo
        ``drying.no_soil``.

    Source: fhwa_fp155; waits by soil: common practice, no source.

    >>> ground_wait_h(np.array([25.0, 0.0, 0.0]), clay_wait_h_per_25_mm=48.0, soil="clay").tolist()
    [48.0, 47.0, 46.0]
    """
    if soil not in SOIL_SHARE:
        raise CannotDo("drying.no_soil", field="soil", given=soil, known=", ".join(SOIL_SHARE))
    source = "fhwa_fp155"
    require_range(rain_mm, name="rain_mm", low=0, high=500, unit="mm", source=source)
    require_range(clay_wait_h_per_25_mm, name="clay_wait_h_per_25_mm", low=0, high=120, unit="h", source=source)
    require_range(wait_before_h, name="wait_before_h", low=0, high=LONGEST_CLAY_WAIT_H, unit="h", source=source)
    per_mm_h = clay_wait_h_per_25_mm * SOIL_SHARE[soil] / MM_PER_WAIT
    longest_h = LONGEST_CLAY_WAIT_H * SOIL_SHARE[soil]
    waits = np.empty(len(rain_mm))
    wait = wait_before_h
    for hour, rain in enumerate(rain_mm):
        change = -1.0 if rain == 0 else per_mm_h * rain
        wait = float(np.clip(wait + change, 0.0, max(longest_h, wait)))
        waits[hour] = wait
    return waits


def pump_out_m3(rain_mm: N, catch_m2: float, *, seep_m3: float = 0.0) -> N:
    """Water to pump out of an empty basin or a dig after rain [m3]: rain on its plan area, and what seeped in.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: ams_rain.

    >>> pump_out_m3(50.0, 60.0)
    3.0
    """
    require_range(seep_m3, name="seep_m3", low=0, high=1000, unit="m3", source="ams_rain")
    return as_given(rain_m3(rain_mm, catch_m2) + seep_m3, rain_mm)


def pump_out_h(volume_m3: float, pump_m3_h: float) -> float:
    """Hours to pump a volume out [h].

    Raises
    ------
    OutsideValidRange
        A volume outside 0 to 10,000 m3, a pump outside 0.1 to 500 m3/h.

    Source: common practice, no source.

    >>> pump_out_h(3.0, 12.0)
    0.25
    """
    source = "common practice, no source"
    require_range(volume_m3, name="volume_m3", low=0, high=10_000, unit="m3", source=source)
    require_range(pump_m3_h, name="pump_m3_h", low=0.1, high=500, unit="m3/h", source=source)
    return volume_m3 / pump_m3_h


def uplift_kpa(head_m: N) -> N:
    """Upward pressure of groundwater on the floor of a shell [kPa], from its head above the underside [m], 0 to 6.

    Raises
    ------
    OutsideValidRange
        A head outside its range.

    Source: common practice, no source.

    >>> f"{uplift_kpa(1.0):.2f}"
    '9.81'
    """
    require_range(head_m, name="head_m", low=0, high=6, unit="m", source="common practice, no source")
    return as_given(WATER_KG_M3 * GRAVITY_M_S2 * head_m / 1000, head_m)


def floats_above_head_m(slab_m: N, *, concrete_kg_m3: float = CONCRETE_KG_M3) -> N:
    """Groundwater head above the underside at which an empty floor slab alone begins to lift [m].

    Parameters
    ----------
    slab_m : float or array
        Slab thickness [m], 0.05 to 1; walls and friction are given no credit.
    concrete_kg_m3 : float
        Concrete [kg/m3], 1500 to 3000.

    Returns
    -------
    float or array
        ``thickness x density / density of water``. A relief valve, a sump or a well must hold the water below it.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: common practice, no source.

    >>> f"{floats_above_head_m(0.1524) / 0.3048:.2f}"
    '1.20'
    """
    source = "common practice, no source"
    require_range(slab_m, name="slab_m", low=0.05, high=1, unit="m", source=source)
    require_range(concrete_kg_m3, name="concrete_kg_m3", low=1500, high=3000, unit="kg/m3", source=source)
    return as_given(slab_m * concrete_kg_m3 / WATER_KG_M3, slab_m)
