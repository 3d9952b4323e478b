"""A signed pool is opened on a page, through the door a file goes through."""

from pathlib import Path

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.domain.errors import CannotDo
from jobs.methods.loader import list_methods, load_method
from jobs.models import Branch, Job, Site
from jobs.services.entries import open_entry
from planner import clock
from planner.plans.replanning.facts import ask_after_opening
from planner.web.access import PLANNERS, for_roles, visit_of
from planner.web.presenters.pages.opening import entry_of, field_of, opening_page, words_of
from planner.web.presenters.pages.report_forms import Choice
from planner.web.rendering import render_page


@require_http_methods(["GET", "POST"])
@for_roles(*PLANNERS)
def open_pool(request: HttpRequest) -> HttpResponse:
    """The form; sent rightly, the pool is there with its tasks, and a plan with it is asked for."""
    branch = visit_of(request).branch
    sent: dict[str, str] = {}
    faults: dict[str, str] = {}
    if request.method == "POST":
        sent = {key: str(value) for key, value in request.POST.items()}
        entry, faults = entry_of(_, sent)
        if not faults:
            try:
                job = _open(branch, entry)
            except CannotDo as refused:
                faults = {field_of(refused): words_of(refused)}
            else:
                tasks = job.tasks.count()
                messages.success(
                    request,
                    _("%(pool)s is open with %(tasks)s tasks. It comes into the next proposal on the page Changes.")
                    % {"pool": job.name, "tasks": tasks},
                )
                return redirect("pool", job.pk)
    page = opening_page(
        _,
        soils=tuple(Choice(value=value, words=str(words)) for value, words in Site.Soil.choices),
        methods=tuple(Choice(value=key, words=load_method(key).title) for key in list_methods()),
        sent=sent,
        faults=faults,
    )
    response = render_page(request, "planner/open_pool.html", "pools", _("Open a pool"), page=page)
    response.status_code = 409 if faults else 200
    return response


@transaction.atomic
def _open(branch: Branch, entry: dict[str, object]) -> Job:
    now = clock.now()
    job = open_entry(branch=branch, entry=entry, file=Path(_("this form")), as_of=now)
    ask_after_opening(branch=branch, jobs=[job], now=now)
    return job
