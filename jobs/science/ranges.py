"""Valid ranges of formulas: outside its range a formula refuses, it does not extrapolate."""

from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from jobs.domain.errors import OutsideValidRange

Array = NDArray[np.float64]
# All arguments of a formula are numbers, or all are arrays of one shape; the result is the same.
N = TypeVar("N", float, Array)


def require_range(value: float | Array, *, name: str, low: float, high: float, unit: str, source: str) -> None:
    """Refuse a value, or an array with any value, outside [low, high].

    Parameters
    ----------
    value : float or array
        What was given. A number must be known; NaN in an array is an unknown hour and passes through.
    name : str
        The parameter with its unit, as in the signature.
    low, high : float
        Bounds, both allowed.
    unit : str
        Unit for the sentence.
    source : str
        Key of ``jobs.science.sources``.

    Raises
    ------
    OutsideValidRange
        With the first value that is outside.
    """
    values = np.atleast_1d(np.asarray(value, dtype=float))
    known = values[~np.isnan(values)] if isinstance(value, np.ndarray) else values
    wrong = known[~((known >= low) & (known <= high))]
    if wrong.size:
        raise OutsideValidRange(
            name=name, value=f"{float(wrong[0]):g}", low=f"{low:g}", high=f"{high:g}", unit=unit, source=source
        )


def as_given(result: Any, like: N) -> N:
    """The result as an array for an array, as a plain number for a number."""
    answer: N = np.asarray(result, dtype=float) if isinstance(like, np.ndarray) else float(result)
    return answer
