"""Every route the resolver knows, asked by everybody: own branch's things, another branch's, signed out, a stranger."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from crews.models import Crew, Message
from jobs.models import Branch, Hold, Job, Task
from planner.dayplans.models import DayLink
from planner.dayplans.private_links import make_link, token_of
from planner.plans.models import Plan, Trial
from planner.watch.models import Warned
from planner.web.access import PLANNERS, READERS, REPORTERS
from planner.web.models import Membership
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn

ROLES = tuple(Membership.Role.values)
MONDAY = "2026-06-08"
Args = Callable[["Things"], list[Any]]


@dataclass(frozen=True)
class Things:
    """One of everything a route can name, of one branch."""

    crew: str
    job: int
    task: int
    hold: int
    link: DayLink
    to_end: DayLink
    plan: int
    warned: int
    message: int
    trial: int


@dataclass(frozen=True)
class Route:
    """``roles`` may use it; ``open`` routes need no sign-in. ``args`` name a thing where the route takes one.

    ``of_a_branch`` is false where that thing belongs to no branch and is the same for everybody.
    """

    roles: tuple[str, ...] = ()
    post: bool = False
    args: Args | None = None
    data: Mapping[str, Any] = field(default_factory=dict)
    open: bool = False
    fine: tuple[int, ...] = (200,)
    of_a_branch: bool = True


ROUTES: dict[str, Route] = {
    "sign_in": Route(open=True),
    "sign_out": Route(open=True, post=True, fine=(302,)),
    "today": Route(READERS),
    "pools": Route(READERS),
    "open_pool": Route(PLANNERS),
    "pool": Route(READERS, args=lambda of: [of.job]),
    "order": Route(READERS, args=lambda of: [of.job]),
    "order_table": Route(READERS, args=lambda of: [of.job]),
    "crews": Route(READERS),
    "crew_day": Route(READERS, args=lambda of: [of.crew, MONDAY]),
    "crew_link": Route(PLANNERS, args=lambda of: [of.crew]),
    "crew_link_end": Route(PLANNERS, post=True, args=lambda of: [of.crew, of.to_end.pk], fine=(302,)),
    "pours": Route(READERS),
    "pours_note": Route(REPORTERS, post=True, args=lambda of: [of.warned], fine=(302,)),
    "holds": Route(READERS),
    "holds_visit": Route(PLANNERS, post=True, args=lambda of: [of.hold], data={"on": "2026-06-12"}, fine=(302,)),
    # A call nobody has: refused alike for every role that may write.
    "calls_keep": Route(PLANNERS, post=True, data={"fact": "none", "said": "off"}, fine=(409,)),
    "calls_write": Route(PLANNERS, post=True, data={"fact": "none"}, fine=(409,)),
    "sky": Route(READERS),
    "calculators": Route(READERS),
    "calculator": Route(READERS, args=lambda of: ["fill"], of_a_branch=False),
    "calculator_order": Route(READERS, args=lambda of: ["gravel"], of_a_branch=False),
    "report": Route(REPORTERS),
    "report_task": Route(REPORTERS, args=lambda of: [of.task]),
    "changes": Route(READERS),
    # A number nobody has: the answer is a refusal, so that one row of the table serves every role.
    "changes_take": Route(PLANNERS, post=True, data={"number": "999"}, fine=(409,)),
    "changes_keep": Route(PLANNERS, post=True, data={"number": "999"}, fine=(409,)),
    "changes_make": Route(PLANNERS, post=True, data={"number": "999"}, fine=(302,)),
    "changes_itself": Route(PLANNERS, post=True, data={"takes_itself": "yes"}, fine=(302,)),
    "try": Route(PLANNERS),
    "trial": Route(PLANNERS, args=lambda of: [of.trial]),
    "told": Route(PLANNERS),
    "told_again": Route(PLANNERS, post=True, args=lambda of: [of.message], fine=(302,)),
    "day_link": Route(open=True, args=lambda of: [token_of(of.link)]),
    "day_link_on": Route(open=True, args=lambda of: [token_of(of.link), MONDAY]),
    "day_seen": Route(
        open=True, post=True, args=lambda of: [token_of(of.link), MONDAY], data={"plan_number": "0"}, fine=(409,)
    ),
}


def routes_of(resolver: URLResolver, namespace: str = "") -> Iterator[str]:
    for one in resolver.url_patterns:
        if isinstance(one, URLResolver):
            yield from routes_of(one, f"{namespace}{one.namespace}:" if one.namespace else namespace)
        elif isinstance(one, URLPattern):
            yield f"{namespace}{one.name}"


def things_of(branch: Branch) -> Things:
    crew = Crew.objects.filter(branch=branch).order_by("pk")[0]
    hold = Hold.objects.filter(job__branch=branch, result="open", visit__details__bookings__isnull=False).order_by(
        "pk"
    )[0]
    task = Task.objects.filter(branch=branch, finished_at=None).order_by("pk")[0]
    if branch.plan_number:
        task = crew.assignments.order_by("start_at")[0].task
    return Things(
        crew=crew.key,
        job=Job.objects.filter(branch=branch).order_by("pk")[0].pk,
        task=task.pk,
        hold=hold.pk,
        link=make_link(branch=branch, crew=crew, first_on=date(2026, 6, 8), last_on=date(2026, 6, 9), now=NOW),
        to_end=make_link(branch=branch, crew=crew, first_on=date(2026, 6, 9), last_on=date(2026, 6, 9), now=NOW),
        plan=Plan.objects.filter(branch=branch).order_by("number")[0].number,
        warned=told_to(branch, crew),
        message=given_up(branch),
        trial=Trial.objects.create(
            branch=branch, asked_by="Office", asked_at=NOW, began_at=NOW, plan_number=1, state="done", asked=[]
        ).pk,
    )


def given_up(branch: Branch) -> int:
    """A message of the branch that was given up."""
    row, _ = Message.objects.get_or_create(
        branch=branch,
        fact="matrix",
        person="somebody:1",
        channel="mail",
        defaults={
            "name": "Somebody",
            "address": "somebody@example.org",
            "subject": "A fact",
            "body": "A fact",
            "message_id": f"matrix-{branch.pk}@example.org",
            "posted_at": NOW,
            "next_try_at": NOW,
        },
    )
    Message.objects.filter(pk=row.pk).update(state="dead")
    return row.pk


def told_to(branch: Branch, crew: Crew) -> int:
    """A warning that went to the foreman of a crew."""
    row, _ = Warned.objects.get_or_create(
        branch=branch,
        fact="matrix",
        defaults={
            "kind": "states",
            "says": "Protect what stands",
            "people": [{"key": f"crew:{crew.pk}", "name": crew.name}],
            "told_at": NOW,
        },
    )
    return row.pk


def ask(client: Client, name: str, route: Route, of: Things) -> int:
    url = reverse(name, args=route.args(of) if route.args else [])
    return (client.post(url, dict(route.data)) if route.post else client.get(url)).status_code


def test_every_route_is_in_the_table() -> None:
    known = {name for name in routes_of(get_resolver()) if not name.startswith("admin:")}
    assert known - set(ROUTES) == set(), "name who may use the new route, and what it must not open"
    assert set(ROUTES) - known == set()


@pytest.mark.parametrize("role", ROLES)
def test_each_role_opens_what_it_may_of_its_own_branch_and_nothing_else(
    sign_in: SignIn, branch: Branch, role: str
) -> None:
    of = things_of(branch)
    client = sign_in(role, crew=of.crew if role == "foreman" else "")
    wrong = {}
    for name, route in ROUTES.items():
        if name == "sign_out":
            continue
        wanted = route.fine if route.open or role in route.roles else (403,)
        status = ask(client, name, route, of)
        if status not in wanted:
            wrong[name] = (status, wanted)
    assert wrong == {}


@pytest.mark.parametrize("role", ROLES)
def test_nobody_reaches_a_thing_of_another_branch(
    sign_in: SignIn, branch: Branch, other_branch: Branch, role: str
) -> None:
    client = sign_in(role, crew=things_of(branch).crew if role == "foreman" else "")
    theirs = things_of(other_branch)
    wrong = {}
    for name, route in ROUTES.items():
        if route.open or route.args is None or not route.of_a_branch:
            continue
        status = ask(client, name, route, theirs)
        wanted = 404 if role in route.roles else 403
        if status != wanted:
            wrong[name] = (status, wanted)
    assert wrong == {}


@pytest.mark.parametrize(("name", "field"), [("changes_take", "number"), ("changes_keep", "number")])
def test_a_plan_of_another_branch_cannot_be_decided_on(
    sign_in: SignIn, branch: Branch, other_branch: Branch, name: str, field: str
) -> None:
    theirs = Plan.objects.get(branch=other_branch)
    assert sign_in("owner").post(reverse(name), {field: theirs.number}).status_code == 409
    theirs.refresh_from_db()
    assert theirs.state == Plan.State.PROPOSED


def test_a_stranger_who_is_signed_in_finds_nothing(sign_in: SignIn, branch: Branch) -> None:
    client, of = sign_in(""), things_of(branch)
    found = {name: ask(client, name, route, of) for name, route in ROUTES.items() if not route.open}
    assert set(found.values()) == {404}, found


def test_the_first_person_of_a_fresh_folder_is_told_where_to_begin(sign_in: SignIn, admin_client: Client) -> None:
    """A superuser made on the command line has no role in a branch yet, and may enter one."""
    page = admin_client.get(reverse("today"), follow=True)
    assert (page.status_code, page.context["failure"].code) == (404, "branch.no_role_yet")
    assert f'href="{reverse("admin:index")}"' in page.content.decode()
    other = sign_in("").get(reverse("today"))
    assert (other.status_code, other.context["failure"].code) == (404, "branch.not_yours")
    assert reverse("admin:index") not in other.content.decode()


def test_the_signed_out_are_asked_to_sign_in(branch: Branch) -> None:
    client, of = Client(), things_of(branch)
    for name, route in ROUTES.items():
        url = reverse(name, args=route.args(of) if route.args else [])
        answer = client.post(url, dict(route.data)) if route.post else client.get(url)
        if route.open:
            assert answer.status_code in route.fine, name
        else:
            assert answer.status_code == 302, name
            assert answer["Location"].startswith(reverse("sign_in")), name


def test_every_post_is_guarded_against_forms_of_other_sites(sign_in: SignIn, branch: Branch) -> None:
    of = things_of(branch)
    signed_in = sign_in("owner")
    client = Client(enforce_csrf_checks=True)
    client.cookies = signed_in.cookies
    posts = {
        **ROUTES,
        "report": Route(REPORTERS),
        "report_task": ROUTES["report_task"],
        "crew_link": ROUTES["crew_link"],
    }
    for name, route in posts.items():
        if route.post or name in ("report", "report_task", "crew_link"):
            url = reverse(name, args=route.args(of) if route.args else [])
            assert client.post(url, dict(route.data)).status_code == 403, name


def test_a_foreman_reports_for_the_own_crew_only(sign_in: SignIn, branch: Branch) -> None:
    west, east = (Crew.objects.get(branch=branch, key=key) for key in ("forms-west", "forms-east"))
    client = sign_in("foreman", crew="forms-west")
    own, others = west.assignments.order_by("start_at")[0], east.assignments.order_by("start_at")[0]
    assert client.get(reverse("report_task", args=[own.task_id])).status_code == 200
    assert client.get(reverse("report_task", args=[others.task_id])).status_code == 404
    assert client.post(reverse("report_task", args=[others.task_id]), {"form": "note"}).status_code == 404


def test_the_admin_pages_are_for_staff(sign_in: SignIn, branch: Branch) -> None:
    assert sign_in("owner").get(reverse("admin:index")).status_code == 302
