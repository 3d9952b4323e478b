"""Who turned up: the head count of a crew by day, and what it means for the rate of work."""

from dataclasses import dataclass, field
from datetime import date

from jobs.domain.errors import CannotDo

# Common practice, no source: more hands than listed speed the work up to here, then they stand in each other's way.
CROWDING_LIMIT = 1.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Roster:
    """Head count of one crew.

    Parameters
    ----------
    crew : str
        Whose count it is.
    standing_size : int
        People who come on an ordinary day, at least 1.
    exceptions : tuple of (date, int)
        People who come on single dates, at least 0.
    """

    crew: str
    standing_size: int
    exceptions: tuple[tuple[date, int], ...] = ()
    _by_date: dict[date, int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        _refuse(self.standing_size < 1, self.crew, "standing_size", self.standing_size, "1 or more")
        by_date: dict[date, int] = {}
        for on, size in self.exceptions:
            _refuse(size < 0, self.crew, f"head count of {on}", size, "0 or more")
            if on in by_date:
                raise CannotDo("crews.head_count_twice", field="exceptions", crew=self.crew, on=on)
            by_date[on] = size
        object.__setattr__(self, "_by_date", by_date)

    def head_count_on(self, on: date) -> int:
        """People present on a date."""
        return self._by_date.get(on, self.standing_size)

    def is_present(self, on: date) -> bool:
        """Whether anybody of the crew comes on a date."""
        return self.head_count_on(on) > 0

    def absent_days(self) -> frozenset[date]:
        """Dates on which nobody comes: days off for the crew's work calendar."""
        return frozenset(on for on, size in self._by_date.items() if size == 0)

    def effective_head_count(self, on: date, *, listed: int, minimum: int) -> float:
        """``effective_head_count`` of the people present on a date."""
        return effective_head_count(self.head_count_on(on), crew=self.crew, listed=listed, minimum=minimum)


def effective_head_count(present: int, *, crew: str, listed: int, minimum: int) -> float:
    """People who count for the rate of a task.

    Parameters
    ----------
    present : int
        People on site, at least 0.
    crew : str
        Named in a refusal.
    listed : int
        Crew size the method's rate is given for, at least 1.
    minimum : int
        Fewest people the task may be done with, 1 to ``listed``.

    Returns
    -------
    float
        0 below the minimum (the task waits), otherwise ``min(present, 1.3 * listed)``: working time is the
        listed time times ``listed / effective``. The limit of 1.3 is common practice, no source.

    >>> effective_head_count(3, crew="Forms", listed=4, minimum=2)
    3.0
    >>> effective_head_count(1, crew="Forms", listed=4, minimum=2)
    0.0
    """
    _refuse(present < 0, crew, "head count", present, "0 or more")
    _refuse(listed < 1, crew, "listed crew size", listed, "1 or more")
    _refuse(not 1 <= minimum <= listed, crew, "fewest people", minimum, f"1 to {listed}")
    if present < minimum:
        return 0.0
    return min(float(present), CROWDING_LIMIT * listed)


def _refuse(wrong: bool, crew: str, name: str, value: object, rule: str) -> None:
    if wrong:
        raise CannotDo("crews.bad_head_count", field=name, crew=crew, name=name, value=value, rule=rule)
