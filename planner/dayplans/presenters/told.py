"""A day plan as a message: the whole plan for a mail, and a few words for a text message.

Phones, access notes and gate codes stand in the whole plan only, never in a subject or a text message.
"""

from dataclasses import dataclass

from crews.domain.letter import LINK
from planner.dayplans.facts import DayPlanFacts, DayTask, Stop
from planner.dayplans.presenters.measures import Gettext, clock, day, minutes
from planner.dayplans.presenters.text import day_plan_text

LONGEST_SUBJECT = 200
# Site, title, start and end of a task, the crews that join it, and what is prepared for it.
Line = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlanMessage:
    """Words for a foreman; ``lines`` are the work of the day, by which a later plan is seen to differ."""

    subject: str
    body: str
    short: str
    lines: tuple[Line, ...]


def lines_of(facts: DayPlanFacts) -> tuple[Line, ...]:
    """What a crew is told to do where and when, one line a task; the same lines are the same day."""
    return tuple(
        (
            stop.site,
            task.title,
            task.starts_at.isoformat(),
            task.ends_at.isoformat(),
            *task.joined_by,
            *((f"prepare: {task.prepares}",) if task.prepares else ()),
        )
        for stop in facts.stops
        for task in stop.tasks
    )


def _be_there(stop: Stop, facts: DayPlanFacts, gettext: Gettext) -> str:
    if not stop.prepare_minutes:
        return ""
    if stop.is_late:
        return gettext(", prepare for the weather first, {lasts}").format(lasts=minutes(stop.prepare_minutes))
    here = clock(stop.here_at, facts.zone, gettext)
    return gettext(", be there {here} to prepare for the weather").format(here=here)


def _work_from(task: DayTask, facts: DayPlanFacts, gettext: Gettext) -> str:
    """When the work itself begins, after what the plan leaves time to prepare."""
    if not task.prepare_minutes:
        return ""
    return gettext(", prepare for the weather first, work from {at}").format(
        at=clock(task.work_at, facts.zone, gettext)
    )


def day_plan_message(facts: DayPlanFacts, *, again: bool, linked: bool, gettext: Gettext = str) -> DayPlanMessage:
    """The message of a day; ``again``: the crew was told otherwise before; ``linked``: a link goes with it."""
    what = gettext("Changed: day plan for {crew}, {day}") if again else gettext("Day plan for {crew}, {day}")
    subject = what.format(crew=facts.crew, day=day(facts.on, gettext))
    where = (
        gettext("On the phone, with a button to say that you have seen it: {link}").format(link=LINK) if linked else ""
    )
    text = day_plan_text(facts, gettext)
    stops = "; ".join(
        f"{clock(task.starts_at, facts.zone, gettext)} {stop.site}, {task.title}"
        + (_be_there(stop, facts, gettext) if at == 0 else "")
        + _work_from(task, facts, gettext)
        for stop in facts.stops
        for at, task in enumerate(stop.tasks)
    )
    short = ". ".join(part for part in (subject, stops or gettext("No stop is planned. Call the office.")) if part)
    # The link stands before the stops, so that a long day does not cut it off.
    return DayPlanMessage(
        subject=subject[:LONGEST_SUBJECT],
        body=f"{where}\n\n{text}" if where else text,
        short=f"{LINK} {short}" if linked else short,
        lines=lines_of(facts),
    )
