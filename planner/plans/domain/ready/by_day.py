"""Waits that a cold day makes longer: how soon and how late the next work follows, by the mean air of the day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import accumulate, groupby, pairwise
from typing import NamedTuple
from zoneinfo import ZoneInfo

from crews.domain.working_time import local_moment
from jobs.domain.method import LinkRule
from jobs.domain.units import f_from_c
from jobs.domain.waiting import in_weather, later, reason_of
from jobs.words import sentence_for
from planner.plans.domain.ready.air import SiteAir, hour_of
from planner.plans.domain.ready.strength import latest
from planner.plans.domain.timeline import Timeline
from planner.solver.problem import Wait

# The hours of a day whose mean says how warm it is: those in which people work and concrete sets.
DAY_FROM, DAY_HOURS = time(7), 12
DAY = timedelta(days=1)
HOUR_MINUTES, DAY_MINUTES = 60, 1440


class DayAir:
    """Mean air of the days over one site, by the dates of its zone; keeps what it has worked out."""

    def __init__(self, *, air: SiteAir, zone: str) -> None:
        self.zone = ZoneInfo(zone)
        self._air = air
        self._means: dict[date, float] = {}

    def mean_c(self, on: date) -> float:
        """Mean air from 07:00 to 19:00 of a local date [degC]: measured, forecast, or usual for the month."""
        if on not in self._means:
            first = hour_of(local_moment(self.zone.key, on, DAY_FROM))
            self._means[on] = float(self._air.hours(first, DAY_HOURS).air_temp_c.mean())
        return self._means[on]

    def midnight(self, on: date) -> datetime:
        """The moment a local date begins."""
        return local_moment(self.zone.key, on, time())


@dataclass(frozen=True, slots=True, kw_only=True)
class DayWait:
    """A wait of the clock, longer after a cold day, with its latest hour; see ``LinkRule.cold_below_c``."""

    rule: LinkRule
    days: DayAir

    @property
    def reason(self) -> str:
        """What is waited for; how long depends on the day, see ``because``."""
        return reason_of(self.rule)

    def rule_on(self, on: date) -> LinkRule:
        """The rule as it counts where the work before ends on a date."""
        return in_weather(self.rule, self.days.mean_c(on))

    def is_cold(self, on: date) -> bool:
        """Whether the cold makes the wait longer."""
        return self.rule_on(on) is not self.rule

    def ready_at(self, start: datetime) -> datetime:
        """Earliest start after work that ended at ``start``; after a cold night's end a warm day is no sooner."""
        on = self._date_of(start)
        carried = later(self.days.midnight(on), self.rule_on(on - DAY).min_hours).astimezone(start.tzinfo)
        return latest(later(start, self.rule_on(on).min_hours), carried)

    def latest_at(self, end: datetime) -> datetime:
        """Latest start after work that ended at ``end``; never later than for work that ends after it."""
        on = self._date_of(end)
        most, after = self.rule_on(on).max_hours, self.rule_on(on + DAY).max_hours
        assert most is not None
        assert after is not None
        capped = later(self.days.midnight(on + DAY), after).astimezone(end.tzinfo)
        return min(later(end, most), capped, key=lambda moment: moment.timestamp())

    def because(self, start: datetime) -> str:
        """The span from the earliest to the latest start, and the temperature that sets it."""
        on = self._date_of(start)
        rule, mean_c = self.rule_on(on), self.days.mean_c(on)
        assert rule.cold_below_c is not None
        zone = self.days.zone
        facts = {
            "least": rule.min_hours,
            "most": rule.max_hours,
            "from": f"{self.ready_at(start).astimezone(zone):%a %d %b %H:%M}",
            "until": f"{self.latest_at(start).astimezone(zone):%a %d %b %H:%M}",
            "temp": mean_c,
            "temp_us": f_from_c(mean_c),
            "limit": rule.cold_below_c,
            "limit_us": f_from_c(rule.cold_below_c),
            "why": rule.why,
        }
        return sentence_for("waits.cold_day" if self.is_cold(on) else "waits.warm_day", facts)[0]

    def _date_of(self, moment: datetime) -> date:
        return moment.astimezone(self.days.zone).date()


class DayBounds(NamedTuple):
    """A wait that depends on the day as the solver reads it: what always holds [min], and steps where days differ."""

    min_minutes: int
    max_minutes: int
    ready: Wait | None
    close: Wait | None


def day_bounds(waiting: DayWait, line: Timeline) -> DayBounds:
    """The bounds of a wait on the days of a horizon.

    After a cold day the longer least wait is a step for each hour at which work may end; after a warm day the shorter
    longest wait is one too, never later than it is. A latest start in the night is the close of the evening before it.
    """
    rule = waiting.rule
    cold = [waiting.is_cold(day.on) for day in line.days]
    assert rule.max_hours is not None
    least, most = round(rule.min_hours * HOUR_MINUTES), round(rule.max_hours * HOUR_MINUTES)
    more = round(rule.cold_hours_more * HOUR_MINUTES)
    if not any(cold):
        return DayBounds(least, most, None, None)
    ready: list[tuple[int, int]] = []
    close: list[tuple[int, int]] = []
    for day, then, is_cold in zip(line.days, (*line.days[1:], None), cold, strict=True):
        next_opens = then.opens if then is not None else day.opens + DAY_MINUTES
        hours = range(day.opens, day.closes, HOUR_MINUTES)
        if is_cold:
            ready += [(end, _start_from(end + least + more, day.closes, next_opens)) for end in (*hours, day.closes)]
            close.append((day.closes, day.closes + most + more))
        else:
            ready.append((day.closes, day.opens))
            close += [
                (until, _start_until(end + most, day.closes, next_opens))
                for end, until in pairwise((*hours, day.closes))
            ]
    return DayBounds(least, most + more, Wait(steps=_rising(ready)), Wait(steps=_held(close)))


def _start_from(minute: int, closes: int, next_opens: int) -> int:
    return next_opens if closes < minute < next_opens else minute


def _start_until(minute: int, closes: int, next_opens: int) -> int:
    return closes if closes < minute < next_opens else minute


def _rising(steps: Sequence[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Steps of which none allows sooner than one before it."""
    values = accumulate((value for _, value in steps), max)
    return _merged([(until, value) for (until, _), value in zip(steps, values, strict=True)])


def _held(steps: Sequence[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Steps of which none allows later than one after it."""
    values = list(accumulate((value for _, value in reversed(steps)), min))[::-1]
    return _merged([(until, value) for (until, _), value in zip(steps, values, strict=True)])


def _merged(steps: Sequence[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    groups = groupby(steps, key=lambda step: step[1])
    return tuple((max(until for until, _ in group), value) for value, group in groups)
