"""Hours that crews work for pay: past their own, and on Saturdays they have off."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from crews.domain.facts import CrewFacts
from crews.domain.working_time import WorkCalendar
from jobs.domain.facts import BranchFacts
from planner.plans.domain.timeline import GRID_MINUTES, Timeline, timeline
from planner.plans.domain.world import Stay
from planner.solver.problem import Span

SATURDAY = 5
INSTANT = timedelta(microseconds=1)


def with_paid_hours(line: Timeline, crew: CrewFacts, usual: Iterable[Span]) -> tuple[Span, ...]:
    """A crew's usual windows with those it works for pay; the usual alone where it has no price.

    A day on which fewer people come than usual, or that ends sooner, is not made longer. A Saturday is worked with the
    hours of the working day before, unless it is a holiday or the crew has that very day off.
    """
    usual = tuple(usual)
    spans = [*(_with_overtime(line, crew, span) for span in usual), *_saturdays(line, crew)]
    return tuple(sorted(spans, key=lambda span: span.start))


def saturdays_for_pay(line: Timeline, crews: Iterable[CrewFacts], worked: Iterable[Span]) -> tuple[Span, ...]:
    """The branch's working windows and the Saturdays that any crew works for pay, whole."""
    days = {line.day_of(span).opens: line.day_of(span) for crew in crews for span in _saturdays(line, crew)}
    found = {span.start: span for span in worked}
    taken = {line.day_of(span).opens for span in found.values()}
    for opens, day in days.items():
        if opens not in taken:
            found[opens] = Span(start=opens, end=day.long_closes)
    return tuple(found[start] for start in sorted(found))


def worked_calendar(branch: BranchFacts, crew: CrewFacts, stay: Stay) -> WorkCalendar:
    """A crew's calendar with the hours a plan bought of it for a stay."""
    if stay.paid is None:
        return crew.calendar
    own, zone = crew.calendar, ZoneInfo(branch.zone)
    first_on, last_on = own.date_of(stay.start_at), own.date_of(stay.end_at - INSTANT)
    line = timeline(branch, first_on, (last_on - first_on).days + 1)
    worked = {
        line.day_of(span).on: (line.at(span.start).astimezone(zone).time(), line.at(span.end).astimezone(zone).time())
        for span in with_paid_hours(line, crew, line.windows(own))
    }
    kept = (one for one in own.changed_hours if one[0] not in worked)
    return replace(own, changed_hours=(*kept, *((on, *hours) for on, hours in worked.items())))


def _with_overtime(line: Timeline, crew: CrewFacts, span: Span) -> Span:
    on = crew.calendar.date_of(line.at(span.start))
    longest = crew.most_overtime_minutes // GRID_MINUTES * GRID_MINUTES if crew.overtime_hour_cents else 0
    if not longest or crew.head_counts.get(on, crew.size) < crew.size or crew.calendar.ends_early_on(on):
        return span
    return replace(span, end=max(span.end, min(span.end + longest, line.day_of(span).long_closes)))


def _saturdays(line: Timeline, crew: CrewFacts) -> tuple[Span, ...]:
    calendar = crew.calendar
    if not crew.saturday_hour_cents:
        return ()
    free = calendar.holidays | calendar.days_off
    hours = {
        day.on: calendar.hours_on(calendar.previous_working_day(day.on))
        for day in line.days
        if day.on.weekday() == SATURDAY and day.on not in free and not calendar.is_working_day(day.on)
    }
    opened = tuple((on, of.opens, of.closes) for on, of in hours.items() if of is not None)
    changed = replace(calendar, changed_hours=(*calendar.changed_hours, *opened))
    return tuple(span for span in line.windows(changed) if line.day_of(span).on in hours)
