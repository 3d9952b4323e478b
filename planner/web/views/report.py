"""What the site says, entered by the office or by a foreman for the own crew."""

from dataclasses import replace
from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.domain.errors import CannotDo
from jobs.models import Task
from planner import clock
from planner.dayplans.field_reports import keep
from planner.web.access import REPORTERS, Role, Visit, for_roles, visit_of
from planner.web.designs import designs_of, levels_of
from planner.web.links import links
from planner.web.loading import load
from planner.web.presenters.pages.report import may_be_said, present_report, present_task
from planner.web.presenters.pages.report_forms import Form, forms_of, short_form
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page
from planner.web.reporting import said_of, sent_back


@require_http_methods(["GET", "POST"])
@for_roles(*REPORTERS)
def report(request: HttpRequest) -> HttpResponse:
    """The work to report on, and the form for a crew that is short of people."""
    visit = visit_of(request)
    loaded = load(visit.branch)
    reader = Reader(loaded.world, loaded.stays, _)
    own, said_by = _own_crew(reader, visit), _name(visit)
    shown = request.GET.get("crew", "")
    form = short_form(reader, said_by=said_by, own_crew=own, shown_crew=shown)
    status = 200
    if request.method == "POST":
        try:
            if own and request.POST.get("crew") != own:
                raise CannotDo("report.not_your_crew", field="crew")
            keep(
                branch=visit.branch,
                said=said_of(form, request.POST.dict(), zone=visit.branch.zone),
                now=clock.now(),
            )
        except CannotDo as refused:
            form, status = sent_back(form, request.POST.dict(), refused), 409
        else:
            messages.success(
                request, _("Kept. The plan does not know it yet: make a new proposal on the page Changes.")
            )
            return redirect("report")
    form = form if form.sent_id else _fresh(form)
    page = present_report(
        reader,
        own_crew=own,
        shown_crew=shown,
        short=form,
        designs=designs_of(branch=visit.branch),
        levels_m=levels_of(branch=visit.branch),
    )
    response = render_page(request, "planner/report.html", "report", _("Say what happened"), page=page)
    response.status_code = status
    return response


@require_http_methods(["GET", "POST"])
@for_roles(*REPORTERS)
def report_task(request: HttpRequest, task_id: int) -> HttpResponse:
    """One task: everything that can be said of it. Another branch's, or another crew's for a foreman, is not found."""
    visit = visit_of(request)
    loaded = load(visit.branch)
    reader = Reader(loaded.world, loaded.stays, _)
    found = reader.tasks.get(task_id)
    own, said_by = _own_crew(reader, visit), _name(visit)
    if found is None or not may_be_said(reader, found[1], own):
        raise Http404("No such task here.")
    job, task = found
    refused: dict[str, Form] = {}
    if request.method == "POST":
        sent = request.POST.dict()
        form = next(
            (one for one in forms_of(reader, job, task, said_by=said_by) if one.key == sent.get("form")),
            None,
        )
        row = Task.objects.get(branch=visit.branch, pk=task.id)
        try:
            if form is None:
                raise CannotDo("report.form_gone", field="form", title=task.title)
            keep(branch=visit.branch, said=said_of(form, sent, zone=visit.branch.zone, task=row), now=clock.now())
        except CannotDo as error:
            if form is None:
                messages.error(request, f"{error.says} {error.remedy}")
                return redirect("report_task", task_id)
            refused[form.key] = sent_back(form, sent, error)
        else:
            said = _("Kept: %(what)s, %(pool)s.") % {"what": form.title, "pool": job.name or task.site.name}
            messages.success(request, said)
            return redirect("report_task", task_id)
    page = present_task(
        reader,
        job,
        task,
        where=links().task(job.id, task.key),
        said_by=said_by,
        sent_ids=[str(uuid4()) for _unused in range(40)],
        refused=refused,
        design=designs_of(branch=visit.branch).get(job.id),
        level_m=levels_of(branch=visit.branch).get(job.id),
        asked=request.GET.get("say", ""),
    )
    response = render_page(request, "planner/report_task.html", "report", task.title, page=page)
    response.status_code = 409 if refused else 200
    return response


def _fresh(form: Form) -> Form:
    return replace(form, sent_id=str(uuid4()))


def _own_crew(reader: Reader, visit: Visit) -> str:
    """The key of a foreman's crew; empty for the office. A foreman without a crew sees no work."""
    if visit.role != Role.FOREMAN:
        return ""
    return next((crew.key for crew in reader.world.crews.crews if crew.id == visit.crew_id), "no crew")


def _name(visit: Visit) -> str:
    return visit.user.get_full_name() or visit.user.get_username()
