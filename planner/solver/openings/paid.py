"""Starts in hours that crews work for pay, split by what they cost: classes then need no rule of their own."""

from collections.abc import Iterator

from planner.solver.axis import Axis
from planner.solver.masks import lowest, runs_of
from planner.solver.openings.choices import Choice
from planner.solver.openings.hours import DayHours, DayList, Hours
from planner.solver.openings.unbound import Unbound
from planner.solver.problem import Crew

# The hours of one day, and the window of each crew in it.
DayKind = tuple[DayHours | tuple[int, int] | None, ...]
# The window of each day, by crew.
Windows = tuple[tuple[tuple[int, int] | None, ...], ...]


class PaidStarts:
    """Splits the starts of one choice of crews in paid hours by their dollars.

    Parameters
    ----------
    axis : Axis
        The axis.
    hours : Hours
        Looks up calendars.
    crews : tuple of Crew
        With their rates.
    """

    def __init__(self, axis: Axis, hours: Hours, crews: tuple[Crew, ...]) -> None:
        self._axis = axis
        self._hours = hours
        self._crews = {crew.key: crew for crew in crews}

    def split(self, choice: Choice, days: DayList, paid: Unbound, usual: Unbound) -> Iterator[tuple[int, Unbound]]:
        """Yield dollars and the starts that cost so much, those left out that end the same in the usual hours.

        Parameters
        ----------
        choice : Choice
            The crews.
        days : tuple
            Their common hours of each day, those for pay with them.
        paid, usual : Unbound
            Starts in these hours, and in the usual ones.
        """
        usual_masks = dict(usual.masks)
        own = tuple(self._hours.of_crew(option) for option in choice.options)
        # Days alike in the hours of all: weeks repeat, and a start costs the same on each of its kind.
        kinds: dict[DayKind, int] = {}
        alike = [kinds.setdefault(kind, len(kinds)) for kind in zip(days, *own, strict=True)]
        by_dollars: dict[int, dict[tuple[int, int], int]] = {}
        known: dict[tuple[tuple[int, int], int, tuple[int, ...]], dict[int, int]] = {}
        units = self._axis.units
        whole_day = (1 << units) - 1
        for time, mask in paid.masks:
            left = mask & ~usual_masks.get(time, 0)
            while left:
                day = lowest(left) // units
                starts = left >> day * units & whole_day
                left ^= starts << day * units
                kind = time, starts, tuple(alike[day : day + (units + time[0] - 2) // units + 1])
                if kind not in known:
                    known[kind] = self._of_day(choice, days, own, (day, starts), time)
                for dollars, part in known[kind].items():
                    masks = by_dollars.setdefault(dollars, {})
                    masks[time] = masks.get(time, 0) | part << day * units
        for dollars, masks in sorted(by_dollars.items()):
            yield dollars, Unbound(masks=tuple(sorted(masks.items())))

    def _of_day(
        self, choice: Choice, days: DayList, own: Windows, starts: tuple[int, int], time: tuple[int, int]
    ) -> dict[int, int]:
        """Return starts of one day, counted from its beginning, by their dollars."""
        day, mask = starts
        by_dollars: dict[int, int] = {}
        for first, last in runs_of(mask):
            for into in range(first, last + 1):
                dollars = self._dollars(choice, days, own, day * self._axis.units + into, time)
                by_dollars[dollars] = by_dollars.get(dollars, 0) | 1 << into
        return by_dollars

    def _dollars(
        self,
        choice: Choice,
        days: DayList,
        own: Windows,
        position: int,
        time: tuple[int, int],
    ) -> int:
        axis = self._axis
        length, pad = time
        first, last = position // axis.units, (position + length - 1) // axis.units
        total = 0
        for option, windows in zip(choice.options, own, strict=True):
            crew = self._crews[option.crew]
            per_hour = 0
            for day in range(first, last + 1):
                hours = days[day]
                if hours is None:
                    continue
                begins = (
                    (position - day * axis.units) * axis.grid_minutes
                    if day == first
                    else hours.first * axis.grid_minutes
                )
                ends = (
                    (position + length - day * axis.units) * axis.grid_minutes - pad
                    if day == last
                    else hours.works_until
                )
                usual = windows[day]
                inside = 0 if usual is None else max(0, min(ends, usual[1]) - max(begins, usual[0]))
                rate = crew.day_off_dollars if usual is None else crew.overtime_dollars
                per_hour += (ends - begins - inside) * rate
            total += -(-per_hour // 60)
        return total
