"""Tells each foreman the next day, once a plan, and again only where the day has changed since they were told."""

import hashlib
import json
from datetime import date, datetime, timedelta
from functools import cache

from django.conf import settings
from django.db import transaction
from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext

from crews.channels.configured import channel_facts
from crews.domain.letter import MAIL, TEXT
from crews.domain.reachable import Reachable
from crews.domain.working_time import local_moment
from crews.models import Crew
from crews.selectors import list_crews
from crews.services.outbox import drop_waiting, post
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.dayplans.domain.day import PlanHead
from planner.dayplans.domain.day_plan import day_plan_facts
from planner.dayplans.facts import DayPlanFacts
from planner.dayplans.models import DayLink, DayTold
from planner.dayplans.presenters.told import DayPlanMessage, Line, day_plan_message
from planner.dayplans.private_links import make_link, token_of
from planner.plans.domain.world import Stay, World
from planner.plans.models import Plan
from planner.plans.selectors import plan_in_force
from planner.plans.services import document_stays, world_of
from planner.watch.people import foremen_of

# Plans go out on the working day before, from this much before the office closes on.
BEFORE_CLOSING_HOURS = 1


def send_due_day_plans(*, branch: Branch, now: datetime) -> int:
    """Tell what is due at a moment: the coming days from an hour before closing on; changes at once.

    The coming days reach to the branch's next working day: before it may lie a Saturday that a plan bought of a crew.
    Nothing where no way to people is switched on: such an office tells its foremen itself.
    """
    if not any(way.on for way in channel_facts() if way.name in (MAIL, TEXT)):
        return 0
    world = world_of(branch=branch, as_of=now)
    calendar = world.crews.branch_calendar
    today = calendar.date_of(now)
    window = calendar.window_on(today)
    closes_at = window[1] if window is not None else local_moment(branch.zone, today, branch.closes)
    sent = _send(branch, world, today, now, only_told=True) if now < closes_at else 0
    # Not yet, or a day off: only those who were told a coming day hear that it has changed.
    not_yet = window is None or (closes_at - now).total_seconds() > BEFORE_CLOSING_HOURS * 3600
    until = (calendar.next_working_day(today) - today).days
    coming = [today + timedelta(days=at) for at in range(1, until + 1)]
    return sent + sum(_send(branch, world, on, now, only_told=not_yet) for on in coming)


def send_day_plans(*, branch: Branch, on: date, now: datetime) -> int:
    """Tell every crew its day ``on``; the number of crews told now.

    A crew that was told the same day before is left in peace; one whose day has changed is told again, with what
    changed. A crew without work that day hears nothing, unless it was told of work before.

    Raises
    ------
    CannotDo
        ``plans.none_in_force``.
    """
    return _send(branch, world_of(branch=branch, as_of=now), on, now, only_told=False)


def _send(branch: Branch, world: World, on: date, now: datetime, *, only_told: bool) -> int:
    plan = plan_in_force(branch=branch)
    if plan is None:
        if only_told:
            return 0
        raise CannotDo("plans.none_in_force", field="branch", branch=branch.name)
    crews = {crew.key: crew for crew in list_crews(branch=branch)}
    told = {row.crew_id: row for row in DayTold.objects.filter(crew__branch=branch, on=on).order_by("told_at", "pk")}
    people = foremen_of(branch, crews)
    teller = _Teller(branch, world, plan, on, now)
    return sum(
        teller.tell(crew, people[key], told.get(crew.pk))
        for key, crew in crews.items()
        if key in people and (crew.pk in told or not only_told) and _concerns(crew, people[key])
    )


def _concerns(crew: Crew, person: Reachable) -> bool:
    """Own crews always, so that a missing address is seen; outside crews where they have given one."""
    return crew.own or bool(person.mail or person.text_number)


class _Teller:
    """Tells the crews of one branch one day."""

    def __init__(self, branch: Branch, world: World, plan: Plan, on: date, now: datetime) -> None:
        self._branch, self._world, self._plan, self._on, self._now = branch, world, plan, on, now
        self._stays_of = cache(self._document_stays)

    def tell(self, crew: Crew, person: Reachable, last: DayTold | None) -> bool:
        """Post the day of a crew where it was not told, or differs from what it was told."""
        facts = self._facts(crew, last)
        with translation.override(person.language):
            message = day_plan_message(
                facts, again=last is not None, linked=bool(settings.PLANNER_PUBLIC_URL), gettext=gettext
            )
        if message.lines == self._known(last):
            return False
        with transaction.atomic():
            self._post(crew, person, message)
        return True

    def _known(self, last: DayTold | None) -> tuple[Line, ...]:
        """What the crew knows of the day, without pools that are finished since: their work is over, not moved."""
        places = {job.name or task.site.name for job in self._world.jobs for task in job.tasks}
        return tuple(tuple(line) for line in last.lines if line[0] in places) if last is not None else ()

    def _facts(self, crew: Crew, last: DayTold | None) -> DayPlanFacts:
        told_number = last.plan_number if last is not None else None
        head = PlanHead(number=self._plan.number, made_at=self._plan.made_at, told_number=told_number)
        return day_plan_facts(
            self._world,
            plan=head,
            stays=self._world.told,
            crew=crew.key,
            on=self._on,
            told_stays=self._stays_of(told_number) if told_number is not None else (),
        )

    def _document_stays(self, number: int) -> tuple[Stay, ...]:
        plan = Plan.objects.filter(branch=self._branch, number=number).first()
        return document_stays(plan) if plan is not None else ()

    def _post(self, crew: Crew, person: Reachable, message: DayPlanMessage) -> None:
        digest = hashlib.sha256(json.dumps(message.lines).encode()).hexdigest()[:12]
        count = DayTold.objects.filter(crew=crew, on=self._on).count()
        day = f"day:{self._on.isoformat()}:"
        fact = f"{day}{self._plan.number}:{digest}:{count}"
        # The unique key lets one of two that tell at once write the row; the other's message is then the same fact.
        DayTold.objects.get_or_create(
            crew=crew,
            on=self._on,
            count=count,
            defaults={
                "plan_number": self._plan.number,
                "lines": message.lines,
                "fact": fact,
                "told_at": self._now,
            },
        )
        drop_waiting(branch=self._branch, facts=day, person=person.key, but=fact)
        post(
            branch=self._branch,
            fact=fact,
            person=person,
            subject=message.subject,
            body=message.body,
            short=message.short,
            now=self._now,
            answer_by=local_moment(self._branch.zone, self._on, self._branch.opens),
            link=self._link(crew),
        )

    def _link(self, crew: Crew) -> str:
        if not settings.PLANNER_PUBLIC_URL:
            return ""
        link = make_link(branch=self._branch, crew=crew, first_on=self._on, last_on=self._on, now=self._now)
        return f"day_link:{link.pk}"


def address_of_link(what: str) -> str:
    """The private address of a day link (its id), worked out when a message is sent; see ``LINK_FILLERS``.

    Raises
    ------
    CannotDo
        ``links.ended`` where the link was ended or its crew has left.
    """
    link = DayLink.objects.select_related("crew").filter(pk=int(what)).first()
    if link is None or link.revoked or not link.crew.active:
        raise CannotDo("links.ended", field="link")
    return settings.PLANNER_PUBLIC_URL + reverse("day_link_on", args=[token_of(link), link.first_on.isoformat()])
