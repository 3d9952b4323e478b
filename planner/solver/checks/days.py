"""The calendar day a moment belongs to."""

from bisect import bisect_right
from datetime import timedelta

from planner.solver.problem import Day

DAY_MINUTES = 1440


class Days:
    """The days of a horizon, asked by moment."""

    def __init__(self, days: tuple[Day, ...]) -> None:
        self.days = days
        self._opens = [day.opens for day in days]

    def index(self, minute: int) -> int:
        """Index of the last day that opens at or before ``minute``; goes on by 24 h outside the horizon.

        Parameters
        ----------
        minute : int
            Moment [minutes since origin].

        Returns
        -------
        int
            Day index; negative before the first opening, at least the number of days past the last day.

        Examples
        --------
        >>> from datetime import date
        >>> monday = Day(on=date(2026, 6, 1), opens=420, closes=1020)
        >>> tuesday = Day(on=date(2026, 6, 2), opens=1860, closes=2460)
        >>> two = Days((monday, tuesday))
        >>> [two.index(m) for m in (419, 420, 1859, 1860, 3299, 3300)]
        [-1, 0, 0, 1, 1, 2]
        """
        if minute < self._opens[0]:
            return (minute - self._opens[0]) // DAY_MINUTES
        last = len(self._opens) - 1
        if minute >= self._opens[last]:
            return last + (minute - self._opens[last]) // DAY_MINUTES
        return bisect_right(self._opens, minute) - 1

    def opens(self, index: int) -> int:
        """Opening of a day by index [minutes since origin], also outside the horizon."""
        if index < 0:
            return self._opens[0] + index * DAY_MINUTES
        last = len(self._opens) - 1
        if index > last:
            return self._opens[last] + (index - last) * DAY_MINUTES
        return self._opens[index]

    def window_holding(self, minute: int) -> Day | None:
        """The day whose planning window holds the moment, if any."""
        index = bisect_right(self._opens, minute) - 1
        if index < 0 or minute >= self.days[index].closes:
            return None
        return self.days[index]

    def say(self, minute: int) -> str:
        """A moment as a builder reads it: date and hour, or hours after the day opens where no hour is known.

        Examples
        --------
        >>> from datetime import date
        >>> Days((Day(on=date(2026, 6, 1), opens=420, closes=1020),)).say(570)
        '2026-06-01, 2 h 30 min after opening'
        >>> Days((Day(on=date(2026, 6, 1), opens=420, closes=1020, clock=420),)).say(570)
        'Mon 1 June 09:30'
        """
        index = self.index(minute)
        if not 0 <= index < len(self.days):
            count = -index if index < 0 else index - len(self.days) + 1
            return f"{count} day{'s' if count > 1 else ''} {'before' if index < 0 else 'past'} the horizon"
        past = minute - self._opens[index]
        day = self.days[index]
        if day.clock is not None:
            hour = (day.clock + past) % DAY_MINUTES
            on = day.on if day.clock + past < DAY_MINUTES else day.on + timedelta(days=1)
            return f"{on:%a} {on.day} {on:%B} {hour // 60:02d}:{hour % 60:02d}"
        return f"{self.days[index].on.isoformat()}, {past // 60} h {past % 60:02d} min after opening"
