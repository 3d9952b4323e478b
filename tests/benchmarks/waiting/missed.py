"""What missing a start costs beyond its loss: days until the next start that the same sky lets be.

A good day before a run of poor ones is worth more than its chance alone: who lets it pass starts on a day that is
likelier to be missed, and then waits longer.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

# A wait longer than this is somebody's decision, not the sky's price [days].
MOST_DAYS = 14.0


def days_after_miss(hit: Flags, days: Floats, *, most: float = MOST_DAYS) -> Floats:
    """Mean days from a start that is hit to the next that is not, in the same weather.

    Parameters
    ----------
    hit : array of bool, shape (weathers, starts)
        Which starts each weather spoils, in order of the starts.
    days : array of float, shape (starts)
        When each start is, ascending [days].
    most : float
        No wait counts as longer [days]; after the last start there is one at once.

    Returns
    -------
    array of float, shape (starts)
        Over the weathers that hit the start; where none does, the days to the next start.

    >>> one_good_day = np.array([[False, True, True, False]])
    >>> days_after_miss(one_good_day, np.arange(4.0)).tolist()
    [1.0, 2.0, 1.0, 0.0]
    """
    weathers, starts = hit.shape
    gaps = np.append(np.diff(days), 0.0)
    waits = np.zeros((weathers, starts + 1))
    for at in range(starts - 1, -1, -1):
        # From a start to the next, and on from there where that is hit too.
        goes_on = hit[:, at + 1] if at + 1 < starts else np.zeros(weathers, dtype=np.bool_)
        waits[:, at] = np.minimum(most, gaps[at] + np.where(goes_on, waits[:, at + 1], 0.0))
    misses = hit.sum(axis=0)
    total = np.where(hit, waits[:, :starts], 0.0).sum(axis=0)
    mean: Floats = np.where(misses > 0, total / np.maximum(misses, 1), np.minimum(gaps, most))
    return mean


def start_dollars(chance: Floats, after: Floats, *, loss: int, a_day: int) -> Floats:
    """Expected dollars of each start: its chance of a miss, times the loss and the days of waiting that follow it."""
    dollars: Floats = chance * (loss + a_day * after)
    return dollars
