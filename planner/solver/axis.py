"""The working axis: every branch day end to end, the nights cut out.

Position ``p`` is the ``p``-th grid unit of working days. As a start it is the moment unit ``p`` begins; as an
end it is the moment unit ``p - 1`` finishes. So the last end of a day and the first start of the next share one
position, which is why a follow-on without a lag is ``start >= end`` on the axis however long the night is.
Every lag is judged on real minutes, never on positions.
"""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import cached_property

from planner.solver.problem import Problem

DAY_MINUTES = 1440


@dataclass(frozen=True, kw_only=True)
class Axis:
    """Conversion between minutes since the problem's origin and positions.

    Parameters
    ----------
    grid_minutes : int
        Length of one position [min], > 0.
    opens : tuple of int
        Opening of each day [min since origin], ascending, one entry a calendar day.
    units : int
        Positions in a day, the same for all.
    """

    grid_minutes: int
    opens: tuple[int, ...]
    units: int

    @classmethod
    def of(cls, problem: Problem) -> "Axis":
        """Return the axis of a problem's days."""
        first = problem.days[0]
        return cls(
            grid_minutes=problem.grid_minutes,
            opens=tuple(day.opens for day in problem.days),
            units=(first.closes - first.opens) // problem.grid_minutes,
        )

    @cached_property
    def size(self) -> int:
        """Number of positions; also the last possible end."""
        return len(self.opens) * self.units

    @cached_property
    def day_minutes(self) -> int:
        """Length of every day's window [min]."""
        return self.units * self.grid_minutes

    @cached_property
    def last_minute(self) -> int:
        """Close of the last day [min since origin]."""
        return self.opens[-1] + self.day_minutes

    def start_minute(self, position: int) -> int:
        """Return the minute at which a start on ``position`` begins.

        >>> Axis(grid_minutes=15, opens=(420, 1860), units=40).start_minute(40)
        1860
        """
        day, unit = divmod(position, self.units)
        return self.opens[day] + unit * self.grid_minutes

    def end_minute(self, position: int) -> int:
        """Return the minute at which work that ends on ``position`` ends.

        >>> Axis(grid_minutes=15, opens=(420, 1860), units=40).end_minute(40)
        1020
        """
        day = (position - 1) // self.units
        return self.opens[day] + (position - day * self.units) * self.grid_minutes

    def start_position(self, minute: int) -> int:
        """Return the first start at or after ``minute``; ``size`` if there is none.

        >>> Axis(grid_minutes=15, opens=(420, 1860), units=40).start_position(1021)
        40
        """
        day = bisect_right(self.opens, minute) - 1
        if day < 0:
            return 0
        unit = -(-(minute - self.opens[day]) // self.grid_minutes)
        return day * self.units + min(unit, self.units)

    def last_start_position(self, minute: int) -> int:
        """Return the last start at or before ``minute``; -1 if there is none.

        >>> Axis(grid_minutes=15, opens=(420, 1860), units=40).last_start_position(1500)
        39
        """
        day = bisect_right(self.opens, minute) - 1
        if day < 0:
            return -1
        return day * self.units + min((minute - self.opens[day]) // self.grid_minutes, self.units - 1)

    def end_position(self, minute: int) -> int:
        """Return the first position at which something that ends at ``minute`` is over (a night rounds up).

        >>> Axis(grid_minutes=15, opens=(420, 1860), units=40).end_position(1500)
        40
        """
        return self.start_position(minute)

    def last_end_position(self, minute: int) -> int:
        """Return the last position whose end is at or before ``minute``; 0 if there is none.

        >>> Axis(grid_minutes=15, opens=(420, 1860), units=40).last_end_position(1860)
        40
        """
        day = bisect_left(self.opens, minute) - 1
        if day < 0:
            return 0
        return day * self.units + min((minute - self.opens[day]) // self.grid_minutes, self.units)

    def first_end_position(self, minute: int) -> int:
        """Return the first position whose end is at or after ``minute``; may lie past ``size``.

        >>> Axis(grid_minutes=15, opens=(420, 1860), units=40).first_end_position(1500)
        41
        """
        day = bisect_left(self.opens, minute) - 1
        if day < 0:
            return 1
        unit = -(-(minute - self.opens[day]) // self.grid_minutes)
        return day * self.units + (unit if unit <= self.units else self.units + 1)

    def day_index(self, minute: int) -> int:
        """Return the index of the last day that opens at or before ``minute``; by 24 h outside the horizon.

        >>> axis = Axis(grid_minutes=15, opens=(420, 1860), units=40)
        >>> [axis.day_index(minute) for minute in (419, 420, 1859, 1860, 3300)]
        [-1, 0, 0, 1, 2]
        """
        if minute < self.opens[0]:
            return (minute - self.opens[0]) // DAY_MINUTES
        if minute >= self.opens[-1]:
            return len(self.opens) - 1 + (minute - self.opens[-1]) // DAY_MINUTES
        return bisect_right(self.opens, minute) - 1

    def day_opens(self, day: int) -> int:
        """Return the opening of a day by index [min], also outside the horizon."""
        inside = min(max(day, 0), len(self.opens) - 1)
        return self.opens[inside] + (day - inside) * DAY_MINUTES

    def floor_position(self, minute: int) -> int:
        """Return the position of the unit that holds ``minute``; a night is the next opening, before all days 0.

        >>> Axis(grid_minutes=15, opens=(420, 1860), units=40).floor_position(436)
        1
        """
        day = bisect_right(self.opens, minute) - 1
        if day < 0:
            return 0
        return day * self.units + min((minute - self.opens[day]) // self.grid_minutes, self.units)

    def on_grid(self, minutes: int) -> int:
        """Return whole positions that hold ``minutes`` of work, rounded up."""
        return -(-minutes // self.grid_minutes)
