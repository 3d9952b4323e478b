"""What if: fill in trials, have them planned apart, compare them with the plan people were told."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from jobs.domain.errors import CannotDo
from jobs.words import sentence_for
from planner import clock
from planner.plans.asking.wishes import from_plain
from planner.plans.models import Trial
from planner.plans.trials.services import ask_trial, is_given_up
from planner.web.access import PLANNERS, for_roles, visit_of
from planner.web.loading import load
from planner.web.presenters.pages.trying.asking import fault_over, forms_of, wishes_of
from planner.web.presenters.pages.trying.outcomes import TrialFacts, present_trial
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page
from planner.web.views.no_plan import render_no_plan

SHOWN = 6


@require_http_methods(["GET", "POST"])
@for_roles(*PLANNERS)
def trying(request: HttpRequest) -> HttpResponse:
    """The form, and the trials asked for lately. Asking starts a process; nothing is planned here."""
    visit = visit_of(request)
    loaded = load(visit.branch)
    if loaded.plan is None:
        return render_no_plan(request, "try", _("Try"))
    reader = Reader(loaded.world, loaded.stays, _)
    sent, refused = {}, None
    if request.method == "POST":
        sent = request.POST.dict()
        try:
            row = ask_trial(
                branch=loaded.branch,
                world=loaded.world,
                trials=wishes_of(reader, sent),
                asked_by=visit.user.get_full_name() or visit.user.get_username(),
            )
        except CannotDo as error:
            refused = error
        else:
            return redirect("trial", row.pk)
    forms = forms_of(reader, sent, refused)
    rows = Trial.objects.filter(branch=visit.branch)[:SHOWN]
    response = render_page(
        request,
        "planner/try.html",
        "try",
        _("Try"),
        forms=forms,
        fault=fault_over(forms, refused),
        trials=[present_trial(reader, _facts(row), in_force=loaded.plan.number) for row in rows],
        in_force=loaded.plan.number,
    )
    response.status_code = 409 if refused is not None else 200
    return response


@require_GET
@for_roles(*PLANNERS)
def trial(request: HttpRequest, trial_id: int) -> HttpResponse:
    """One trial: being planned, done or refused. It is only read here."""
    branch = visit_of(request).branch
    row = Trial.objects.filter(branch=branch, pk=trial_id).first()
    if row is None:
        raise Http404("No such trial here.")
    loaded = load(branch)
    reader = Reader(loaded.world, loaded.stays, _)
    view = present_trial(reader, _facts(row), in_force=loaded.plan.number if loaded.plan is not None else 0)
    return render_page(request, "planner/trial.html", "try", _("A trial"), trial=view)


def _facts(row: Trial) -> TrialFacts:
    state, says = row.state, row.says
    if is_given_up(row, running=clock.running()):
        state, says = Trial.State.REFUSED, " ".join(sentence_for("trials.broke_off", {}))
    return TrialFacts(
        id=row.pk,
        asked_by=row.asked_by,
        asked_at=row.asked_at,
        plan_number=row.plan_number,
        state=state,
        says=says,
        wishes=tuple(from_plain(wishes) for wishes in row.asked),
        outcomes=tuple(row.outcomes),
    )
