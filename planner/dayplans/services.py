"""A crew's day plan as text or as a page, from the plan in force."""

from datetime import date, datetime
from typing import Literal, get_args

from django.template.loader import render_to_string

from crews.models import Crew
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.dayplans.domain.day import PlanHead
from planner.dayplans.domain.day_plan import day_plan_facts
from planner.dayplans.facts import DayPlanFacts
from planner.dayplans.presenters.text import day_plan_text
from planner.plans.selectors import plan_before, plan_in_force
from planner.plans.services import document_stays, stays_of, world_of
from planner.web.presenters.day_page import present_day_page

Format = Literal["text", "html"]


def day_plan_of(*, branch: Branch, crew: Crew, on: date, now: datetime) -> DayPlanFacts:
    """What a crew must know of a date, as known at ``now``; compared with the plan that was in force before.

    Raises
    ------
    CannotDo
        ``plans.none_in_force``; ``dayplans.other_branch``; ``dayplans.unknown_crew`` for a crew that is not active.
    """
    if crew.branch_id != branch.pk:
        raise CannotDo("dayplans.other_branch", field="crew", crew=crew.name, branch=branch.name)
    plan = plan_in_force(branch=branch)
    if plan is None:
        raise CannotDo("plans.none_in_force", field="branch", branch=branch.name)
    before = plan_before(plan=plan)
    return day_plan_facts(
        world_of(branch=branch, as_of=now, with_told=False),
        plan=PlanHead(number=plan.number, made_at=plan.made_at, told_number=before.number if before else None),
        stays=stays_of(plan),
        crew=crew.key,
        on=on,
        told_stays=document_stays(before) if before else (),
    )


def render_day_plan(*, branch: Branch, crew: Crew, on: date, now: datetime, format: Format) -> str:
    """The day plan of a crew as plain text or as an HTML page.

    Raises
    ------
    CannotDo
        As ``day_plan_of``, and ``dayplans.unknown_format``.
    """
    if format not in get_args(Format):
        raise CannotDo("dayplans.unknown_format", field="format", format=format)
    facts = day_plan_of(branch=branch, crew=crew, on=on, now=now)
    if format == "text":
        return day_plan_text(facts)
    page = present_day_page(facts)
    return render_to_string("planner/day_plan.html", {"plan": page.plan, "sky": page.sky, "legend": page.legend})
