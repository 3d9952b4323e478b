"""Everything the day plan's page is drawn from, out of one crew's facts."""

from dataclasses import dataclass

from planner.dayplans.facts import DayPlanFacts
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.measures import Gettext
from planner.dayplans.presenters.views import DayPlanPage
from planner.web.presenters.skies.sky import HourSky, SkyMark, draw_hours
from planner.web.presenters.trades import LegendEntry, legend


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPage:
    """Context of ``planner/day_plan.html``, name by name."""

    plan: DayPlanPage
    sky: HourSky | None
    legend: tuple[LegendEntry, ...]


def present_day_page(facts: DayPlanFacts, gettext: Gettext = str) -> DayPage:
    """Words, sky drawing and legend of one day."""
    tasks = [task for stop in facts.stops for task in stop.tasks]
    marks = tuple(
        SkyMark(
            title=task.title,
            trade=task.trade,
            from_at=task.starts_at,
            until_at=task.ends_at,
            safe_at=task.safe_at if task.exposed else None,
        )
        for task in tasks
    )
    return DayPage(
        plan=present_day_plan(facts, gettext),
        sky=draw_hours(facts.sky, zone=facts.zone, marks=marks, gettext=gettext),
        legend=legend((task.trade, task.trade_title) for task in tasks),
    )
