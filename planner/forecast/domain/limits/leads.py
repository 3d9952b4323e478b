"""How well a forecast knows temperature and wind so many hours ahead.

A value three days ahead or nearer is taken at its word. Further out it is a value with an error: it says how likely a
limit is broken, and forbids only where that is all but sure, so that a fine day is not thrown away for a number that
the next runs will change.
"""

from math import erf, sqrt

from planner.forecast.domain.climate import Level, Side

TAKEN_AT_ITS_WORD_H = 72.0
FORBIDS_FROM = 0.9
# Standard deviation of the error at issue, and what each day of lead adds; common practice, no source.
ERROR_AT_ISSUE: dict[Level, float] = {"air_temp_c": 1.0, "wind_m_s": 0.9, "gust_m_s": 1.35}
ERROR_A_DAY: dict[Level, float] = {"air_temp_c": 0.35, "wind_m_s": 0.2, "gust_m_s": 0.3}


def error_sd(level: Level, lead_h: float) -> float:
    """Standard deviation of a forecast's error [degC or m/s] so many hours after its issue.

    Parameters
    ----------
    level : what is forecast; a gust's error is 1.5 times the wind's.
    lead_h : hours from the issue of the run [h]; before the issue counts as 0.

    Source: common practice, no source.

    >>> round(error_sd("air_temp_c", 96), 2), round(error_sd("gust_m_s", 120), 2)
    (2.4, 2.85)
    """
    return ERROR_AT_ISSUE[level] + ERROR_A_DAY[level] * max(lead_h, 0.0) / 24


def chance_beyond(worst: float, limit: float, *, level: Level, side: Side, lead_h: float) -> float:
    """Chance [0..1] that a forecast value turns out beyond a limit: 0 or 1 while it is taken at its word.

    Parameters
    ----------
    worst : the forecast value [degC or m/s].
    limit : what it must not be beyond; the limit itself still holds.
    level, side : what is forecast, and on which side of the limit it hurts.
    lead_h : hours from the issue of the run to the value [h].

    Returns
    -------
    float
        ``Phi((worst - limit) / sd(lead))`` on the side that hurts.

    >>> chance_beyond(9.1, 9.0, level="wind_m_s", side="above", lead_h=24)
    1.0
    >>> round(chance_beyond(9.1, 9.0, level="wind_m_s", side="above", lead_h=120), 2)
    0.52
    """
    past = worst - limit if side == "above" else limit - worst
    if lead_h <= TAKEN_AT_ITS_WORD_H:
        return 1.0 if past > 0 else 0.0
    return 0.5 * (1.0 + erf(past / (error_sd(level, lead_h) * sqrt(2.0))))
