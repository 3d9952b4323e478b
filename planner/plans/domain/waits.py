"""Links of a job as the solver reads them: constant lags, or steps where a lag depends on the day it begins."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from crews.domain.facts import CrewsFacts
from crews.domain.working_time import WorkCalendar
from jobs.domain.facts import LinkFacts
from jobs.domain.method import LinkRule
from jobs.domain.waiting import (
    ClockWait,
    FixedDryingWait,
    FixedLevelWait,
    FixedStrengthWait,
    PlainWait,
    Waiting,
    latest_after,
    waiting_for,
)
from planner.plans.domain.timeline import DAY, Timeline
from planner.solver.problem import Link, Wait

HOURS_A_STEP = 6
# Waits whose length does not depend on when they begin.
SAME_EVERY_DAY = (PlainWait, ClockWait, FixedStrengthWait, FixedDryingWait, FixedLevelWait)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendars:
    """Whose days a link counts in: the authority's or supplier's for a notice, else the branch's."""

    crews: CrewsFacts

    def of(self, kind: str) -> WorkCalendar:
        for supplier in self.crews.suppliers:
            if supplier.kind == kind:
                return supplier.calendar
        return self.crews.branch_calendar


def waiting_of(rule: LinkRule, calendar: WorkCalendar) -> Waiting:
    """The wait a link rule asks for."""
    return waiting_for(rule, calendar=calendar, zone=ZoneInfo(calendar.zone))


def latest_of(rule: LinkRule, end: datetime, calendar: WorkCalendar) -> datetime | None:
    """The latest start a link rule allows after ``end``, if it sets one."""
    return latest_after(rule, end, calendar=calendar, zone=ZoneInfo(calendar.zone))


def solver_link(fact: LinkFacts, keys: tuple[str, str], line: Timeline, calendar: WorkCalendar) -> Link:
    """One link between two open tasks.

    A wait that is not constant is sampled at the end of each local day and every six hours between; its value
    at the end of a step stands for the whole step, which is never too early because waits do not decrease.
    """
    rule = fact.rule
    waiting = waiting_of(rule, calendar)
    before, after = keys
    begins = line.midnight(line.first_on)
    constant = line.minute_up(waiting.ready_at(begins)) if isinstance(waiting, SAME_EVERY_DAY) else None
    ready = None if constant is not None else Wait(steps=_ready_steps(waiting, line))
    close = None
    max_minutes = None
    if rule.max_working_days is not None:
        close = Wait(steps=_close_steps(rule, line, calendar))
    elif rule.max_hours is not None:
        max_minutes = round(rule.max_hours * 60)
    return Link(
        before=before,
        after=after,
        kind=rule.kind,
        min_minutes=constant or 0,
        ready=ready,
        max_minutes=max_minutes,
        close=close,
        why=rule.why,
    )


def _step_ends(line: Timeline) -> list[datetime]:
    ends = []
    on = line.first_on
    while on < line.until_on:
        midnight = line.midnight(on)
        ends += [midnight + timedelta(hours=hour) for hour in range(HOURS_A_STEP, 24, HOURS_A_STEP)]
        on += DAY
        ends.append(line.midnight(on) - timedelta(minutes=1))
    return ends


def _ready_steps(waiting: Waiting, line: Timeline) -> tuple[tuple[int, int], ...]:
    return _merged([(line.minute(end), line.minute_up(waiting.ready_at(end))) for end in _step_ends(line)])


def _close_steps(rule: LinkRule, line: Timeline, calendar: WorkCalendar) -> tuple[tuple[int, int], ...]:
    steps = []
    for end in _step_ends(line):
        latest = latest_of(rule, end, calendar)
        steps.append((line.minute(end), line.minute_down(latest) if latest is not None else line.days[-1].closes))
    return _merged(steps)


def _merged(steps: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    kept: list[tuple[int, int]] = []
    for until, value in steps:
        if kept and kept[-1][1] == value:
            kept[-1] = (until, value)
        else:
            kept.append((until, value))
    return tuple(kept)
