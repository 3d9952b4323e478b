"""The one door to every page: a signed-in person, the branch they work in, and what their role may do."""

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, cast

from django.contrib.auth.models import User
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.web.models import Membership

Role = Membership.Role
# Who may look, who may change the plan, who may say what happened on site.
READERS = (Role.OWNER, Role.OFFICE, Role.FOREMAN, Role.READER)
PLANNERS = (Role.OWNER, Role.OFFICE)
REPORTERS = (Role.OWNER, Role.OFFICE, Role.FOREMAN)
SESSION_KEY = "branch"

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponse]


class Visit:
    """Who asks, in which branch, as what; set on ``request.visit`` by ``for_roles``."""

    def __init__(self, membership: Membership) -> None:
        self.user = membership.user
        self.branch: Branch = membership.branch
        self.role: str = membership.role
        self.crew_id: int | None = membership.crew_id

    @property
    def may_plan(self) -> bool:
        return self.role in PLANNERS

    @property
    def may_report(self) -> bool:
        return self.role in REPORTERS


def for_roles(*roles: str) -> Callable[[View[P]], View[P]]:
    """Let these roles in; others get 403, strangers to every branch 404, the signed-out the sign-in page.

    The roles stand on the view as ``allowed_roles``, so that one test can walk every route.
    """

    def around(view: View[P]) -> View[P]:
        @wraps(view)
        def inner(request: HttpRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
            if not request.user.is_authenticated:
                return redirect_to_login(request.get_full_path())
            membership = membership_of(request.user, request.session.get(SESSION_KEY))
            if membership is None:
                return _without_a_branch(request, request.user)
            if membership.role not in roles:
                raise PermissionDenied
            cast(Any, request).visit = Visit(membership)
            return view(request, *args, **kwargs)

        cast(Any, inner).allowed_roles = roles
        return inner

    return around


def _without_a_branch(request: HttpRequest, user: User) -> HttpResponse:
    """What a person without any role is told: the same on every page, whether or not there is such a page."""
    failure = CannotDo("branch.no_role_yet" if user.is_staff else "branch.not_yours", field="branch")
    shown = {"failure": failure, "title": "", "admin": user.is_staff}
    return render(request, "planner/refusal.html", shown, status=404)


def membership_of(user: User, branch_id: int | None) -> Membership | None:
    """The person's membership in the branch they last chose, else in their first."""
    found = Membership.objects.select_related("branch", "user").filter(user=user)
    chosen = found.filter(branch_id=branch_id).first() if branch_id else None
    return chosen or found.order_by("branch__name", "pk").first()


def visit_of(request: HttpRequest) -> Visit:
    """The visit ``for_roles`` has set."""
    return cast(Visit, cast(Any, request).visit)
