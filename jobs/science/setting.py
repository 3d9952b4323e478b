"""How long concrete takes to set at its temperature, and so how long rain can hurt it."""

import math
from collections.abc import Mapping
from typing import Literal

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.science.ranges import N, as_given, require_range

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
TABLE_C = tuple((fahrenheit - 32) * 5 / 9 for fahrenheit, _ in PUBLISHED_F_HOURS)
LOG_HOURS = tuple(math.log(hours) for _, hours in PUBLISHED_F_HOURS)

# The ends of the table, -1.11 and 37.78 °C, as a person would give them.
LOWEST_C = -1.12
HIGHEST_C = 37.8

REFERENCE_HOURS = 6.0

# Hotter concrete sets faster than its finish can be trusted to: common practice, no source.
NO_SHORTER_ABOVE_C = 27.0

# What is added for the set. The standard lets a retarder delay initial set by 1 to 3.5 h, an accelerator bring it
# forward by 1 to 3.5 h, against plain concrete in the laboratory (astm_c494). That it scales with the set at other
# temperatures: common practice, no source.
Admixture = Literal["none", "retarder", "accelerator"]
SET_SHIFT_H: Mapping[Admixture, tuple[float, float]] = {
    "none": (0.0, 0.0),
    "retarder": (1.0, 3.5),
    "accelerator": (-3.5, -1.0),
}


def set_shares(admixture: Admixture) -> tuple[float, float]:
    """Earliest and latest initial set as shares of what plain concrete takes.

    ``1 + shift / 6 h``, the shift of the standard over the set of plain concrete at 21.1 degC.

    Parameters
    ----------
    admixture : Admixture
        ``none``, ``retarder`` or ``accelerator``.

    Raises
    ------
    CannotDo
        ``setting.no_admixture``.

    Notes
    -----
    Source key ``astm_c494``; that the share holds at other temperatures: common practice, no source.

    Examples
    --------
    >>> [round(share, 3) for share in set_shares("retarder")]
    [1.167, 1.583]
    """
    if admixture not in SET_SHIFT_H:
        raise CannotDo("setting.no_admixture", field="admixture", given=admixture, known=", ".join(SET_SHIFT_H))
    earliest, latest = SET_SHIFT_H[admixture]
    return 1 + earliest / REFERENCE_HOURS, 1 + latest / REFERENCE_HOURS


def initial_set_hours(concrete_temp_c: N) -> N:
    """Hours from mixing to initial set of ordinary concrete without admixtures.

    Log-linear between the rows of the published table: ln(t) is linear in temperature. The table is no single
    Arrhenius line, so no activation energy is fitted.

    Parameters
    ----------
    concrete_temp_c : float or array
        Concrete temperature [degC], -1.1 (30 °F) to 37.8 (100 °F).

    Returns
    -------
    float or array
        Initial set [h], NaN where an array has an unknown temperature.

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
    require_range(
        concrete_temp_c, name="concrete_temp_c", low=LOWEST_C, high=HIGHEST_C, unit="°C", source="psu_setting"
    )
    return as_given(np.exp(np.interp(concrete_temp_c, TABLE_C, LOG_HOURS)), concrete_temp_c)


def rain_safe_hours(concrete_temp_c: N, hours_at_21c: float, admixture: Admixture = "none") -> N:
    """Hours from the end of placing until rain no longer spoils the concrete.

    ``hours_at_21c * initial_set(T) / initial_set(21.1 degC)``, and never less than at 27 degC; times the latest
    share of what is added.

    Parameters
    ----------
    concrete_temp_c : float or array
        Mean concrete temperature over those hours [degC], -1.1 to 37.8.
    hours_at_21c : float
        Hours the exposure asks at 21.1 degC (70 °F) [h], 0 or more.
    admixture : Admixture
        What is added for the set; the latest that the standard lets it set counts.

    Returns
    -------
    float or array
        Rain-safe hours [h].

    Raises
    ------
    OutsideValidRange
        Outside the setting table.
    CannotDo
        ``setting.hours_negative``, ``setting.no_admixture``.

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
    hours = np.maximum(initial_set_hours(concrete_temp_c), initial_set_hours(NO_SHORTER_ABOVE_C))
    _, latest = set_shares(admixture)
    return as_given(hours_at_21c * hours / REFERENCE_HOURS * latest, concrete_temp_c)
