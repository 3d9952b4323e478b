"""How long concrete takes to set at its temperature, and so how long rain can hurt it."""

import math
from bisect import bisect_right

from jobs.domain.errors import CannotDo, OutsideValidRange

SOURCE = "psu_setting"

# Temperature [°F] and initial set [h] as published; at 20 °F the table says it will not set, so it ends at 30 °F.
PUBLISHED_F_HOURS = (
    (30.0, 19.0),
    (40.0, 14.0),
    (50.0, 11.0),
    (60.0, 8.0),
    (70.0, 6.0),
    (80.0, 4.0),
    (90.0, 8 / 3),
    (100.0, 5 / 3),
)
TABLE = tuple(((fahrenheit - 32) * 5 / 9, hours) for fahrenheit, hours in PUBLISHED_F_HOURS)
LOWEST_C = TABLE[0][0]
HIGHEST_C = TABLE[-1][0]

REFERENCE_C = (70.0 - 32) * 5 / 9
REFERENCE_HOURS = 6.0

# Hotter concrete sets faster than its finish can be trusted to: common practice, no source.
NO_SHORTER_ABOVE_C = 27.0


def initial_set_hours(concrete_temp_c: float) -> float:
    """Hours from mixing to initial set of ordinary concrete without admixtures.

    Log-linear between the rows of the published table: ln(t) is linear in temperature. The table is no single
    Arrhenius line, so no activation energy is fitted.

    Parameters
    ----------
    concrete_temp_c : float
        Concrete temperature [degC], -1.1 (30 °F) to 37.8 (100 °F).

    Returns
    -------
    float
        Initial set [h].

    Raises
    ------
    OutsideValidRange
        Outside the table; colder concrete does not set.

    Notes
    -----
    Source key ``psu_setting``.

    Examples
    --------
    >>> round(initial_set_hours(10.0), 2)
    11.0
    """
    if not LOWEST_C - 1e-9 <= concrete_temp_c <= HIGHEST_C + 1e-9:
        raise OutsideValidRange(
            name="concrete_temp_c",
            value=concrete_temp_c,
            low=round(LOWEST_C, 1),
            high=round(HIGHEST_C, 1),
            unit="°C",
            source=SOURCE,
        )
    row = min(max(bisect_right(TABLE, concrete_temp_c, key=lambda entry: entry[0]), 1), len(TABLE) - 1)
    (cold_c, slow), (warm_c, fast) = TABLE[row - 1], TABLE[row]
    share = (concrete_temp_c - cold_c) / (warm_c - cold_c)
    return slow * math.exp(share * math.log(fast / slow))


def rain_safe_hours(concrete_temp_c: float, hours_at_21c: float) -> float:
    """Hours from the end of placing until rain no longer spoils the concrete.

    ``hours_at_21c * initial_set(T) / initial_set(21.1 degC)``, and never less than at 27 degC.

    Parameters
    ----------
    concrete_temp_c : float
        Mean concrete temperature over those hours [degC], -1.1 to 37.8.
    hours_at_21c : float
        Hours the exposure asks at 21.1 degC (70 °F) [h], 0 or more.

    Returns
    -------
    float
        Rain-safe hours [h].

    Raises
    ------
    OutsideValidRange
        Outside the setting table.
    CannotDo
        ``setting.hours_negative``.

    Notes
    -----
    Setting times: source key ``psu_setting``. That rain harm scales with set is common practice, no source; where no
    set model applies, hold to 12 h (source key ``ufgs_rain``).

    Examples
    --------
    >>> round(rain_safe_hours(10.0, 8.0), 2)
    14.67
    """
    if not hours_at_21c >= 0 or math.isinf(hours_at_21c):
        raise CannotDo("setting.hours_negative", field="hours_at_21c", value=hours_at_21c)
    hours = initial_set_hours(concrete_temp_c)
    least = initial_set_hours(NO_SHORTER_ABOVE_C)
    return hours_at_21c * max(hours, least) / REFERENCE_HOURS
