"""Which pages a branch has to show, with the rows it holds now."""

from collections.abc import Iterator
from datetime import date

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY, get_user_model
from django.contrib.auth.models import User
from django.contrib.sessions.backends.db import SessionStore
from django.urls import NoReverseMatch, reverse

from crews.selectors import list_crews
from jobs.models import Branch, Task
from jobs.selectors import list_open_jobs
from planner.web.models import Membership
from planner.web.screens.shots import Shown

# Pages that need nothing but the branch; one that this installation lacks is left out.
PLAIN = (
    "today",
    "pools",
    "open_pool",
    "crews",
    "pours",
    "holds",
    "changes",
    "try",
    "told",
    "sky",
    "report",
    "calculators",
)
CALCULATORS = (
    "fill",
    "pour-rate",
    "strength",
    "evaporation",
    "salt",
    "maturity",
    "measures",
    "whole-order",
    "over-order",
)
VISITOR = "pictures"


def pages_of(branch: Branch, on: date) -> Iterator[Shown]:
    """Every page worth a picture."""
    yield Shown(name="sign-in", path=reverse("sign_in"))
    for name in PLAIN:
        path = _path(name)
        if path:
            yield Shown(name=name, path=path)
    for job in list_open_jobs(branch=branch)[:2]:
        yield Shown(name=f"pool-{job.name.lower().replace(' ', '-')}", path=reverse("pool", args=[job.pk]))
    for crew in list_crews(branch=branch).filter(own=True)[:3]:
        yield Shown(name=f"day-{crew.key}", path=reverse("crew_day", args=[crew.key, on.isoformat()]))
    task = Task.objects.filter(branch=branch, finished_at__isnull=True, kind="work").order_by("pk").first()
    if task is not None:
        yield Shown(name="report-task", path=reverse("report_task", args=[task.pk]))
    for name in CALCULATORS:
        path = _path("calculator", name)
        if path:
            yield Shown(name=f"calculator-{name}", path=path)


def _path(name: str, *values: str) -> str:
    try:
        return reverse(name, args=values)
    except NoReverseMatch:
        return ""


def visitor_session(branch: Branch) -> str:
    """The session key of a person who may see everything of the branch, without any password."""
    user, made = get_user_model().objects.get_or_create(username=VISITOR)
    assert isinstance(user, User)
    if made:
        user.set_unusable_password()
        user.save()
    Membership.objects.get_or_create(user=user, branch=branch, defaults={"role": Membership.Role.OWNER})
    session = SessionStore()
    session[SESSION_KEY] = str(user.pk)
    session[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[0]
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.create()
    key = session.session_key
    assert key is not None
    return key


def forget_visitor() -> None:
    """Take the person and every session of theirs away again."""
    get_user_model().objects.filter(username=VISITOR).delete()
