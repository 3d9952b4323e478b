"""Private links: an address that opens one crew's days, ends by itself, and can be ended.

The address is a keyed hash of the link's id and generation. It is worked out when somebody asks for it and is never
stored; without the service's key nobody can make one.
"""

import base64
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import F
from django.utils.crypto import constant_time_compare, salted_hmac

from crews.models import Crew
from crews.services.outbox import answer
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.dayplans.models import DayLink, DayTold, Seen
from planner.plans.selectors import plan_in_force

SALT = "planner.dayplans.day_link"
LONGEST_DAYS = 14
LONGEST_NAME = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A link whose address is genuine; ``ended`` says why it opens nothing any more, empty where it does."""

    link: DayLink
    ended: str


def token_of(link: DayLink) -> str:
    """The address of a link: its id and the keyed hash of id and generation."""
    return f"{link.pk}-{_mac(link)}"


def _mac(link: DayLink) -> str:
    digest = salted_hmac(SALT, f"{link.pk}:{link.generation}", algorithm="sha256").digest()
    return base64.urlsafe_b64encode(digest).decode().rstrip("=")


def make_link(
    *, branch: Branch, crew: Crew, first_on: date, last_on: date, now: datetime, made_by: User | None = None
) -> DayLink:
    """The live link of a crew for a span of days; asking again gives the same one.

    Raises
    ------
    CannotDo
        ``links.other_branch``; ``links.bad_span`` for days out of order, past, or too many.
    """
    if crew.branch_id != branch.pk:
        raise CannotDo("links.other_branch", field="crew", crew=crew.name)
    today = today_of(branch, now)
    if not today <= last_on or not timedelta(0) <= last_on - first_on < timedelta(days=LONGEST_DAYS):
        raise CannotDo("links.bad_span", field="last_on", longest=LONGEST_DAYS)
    link, _ = DayLink.objects.get_or_create(
        branch=branch,
        crew=crew,
        first_on=first_on,
        last_on=last_on,
        revoked=False,
        defaults={"made_at": now, "made_by": made_by},
    )
    return link


def end_link(*, link: DayLink) -> None:
    """End a link for good: every address of it given out so far opens nothing."""
    DayLink.objects.filter(pk=link.pk, revoked=False).update(revoked=True, generation=F("generation") + 1)


def open_link(*, token: str, now: datetime) -> Opened | None:
    """The link of a genuine address; ``None`` for anything else, an address of an earlier generation too."""
    number, _, mac = token.partition("-")
    if not (number.isascii() and number.isdigit() and len(number) < 19):
        return None
    link = DayLink.objects.select_related("branch", "crew").filter(pk=int(number)).first()
    if link is None or not constant_time_compare(mac, _mac(link)):
        return None
    over = today_of(link.branch, now) > link.last_on
    return Opened(link=link, ended="revoked" if link.revoked or not link.crew.active else "over" if over else "")


def days_of(link: DayLink) -> tuple[date, ...]:
    """Every day a link opens."""
    return tuple(link.first_on + timedelta(days=at) for at in range((link.last_on - link.first_on).days + 1))


def refuse_other_day(link: DayLink, on: date) -> None:
    """Refuse a day outside the span.

    Raises
    ------
    CannotDo
        ``links.not_in_span``.
    """
    if not link.first_on <= on <= link.last_on:
        raise CannotDo("links.not_in_span", field="on", on=f"{on:%A} {on.day} {on:%B}")


def say_seen(*, link: DayLink, on: date, plan_number: int, said_by: str, now: datetime) -> Seen:
    """Keep that the plan of a day was seen; a repeat keeps the first answer.

    Raises
    ------
    CannotDo
        ``links.not_in_span``, ``links.nobody``; ``links.plan_moved`` where another plan is in force by now.
    """
    refuse_other_day(link, on)
    name = " ".join(said_by.split())[:LONGEST_NAME]
    if not name:
        raise CannotDo("links.nobody", field="said_by")
    with transaction.atomic():
        plan = plan_in_force(branch=link.branch)
        if plan is None or plan.number != plan_number:
            raise CannotDo("links.plan_moved", field="plan_number", number=plan.number if plan else "not made")
        seen, _ = Seen.objects.get_or_create(
            link=link, on=on, plan_number=plan_number, defaults={"seen_at": now, "said_by": name}
        )
        for told in DayTold.objects.filter(crew=link.crew_id, on=on):
            answer(branch=link.branch, fact=told.fact, person=f"crew:{link.crew_id}", now=now)
    return seen


def seen_of(*, link: DayLink, on: date, plan_number: int) -> Seen | None:
    """The answer to one plan of one day, if there is one."""
    return Seen.objects.filter(link=link, on=on, plan_number=plan_number).first()


def today_of(branch: Branch, now: datetime) -> date:
    """The branch's local date."""
    return now.astimezone(ZoneInfo(branch.zone)).date()
