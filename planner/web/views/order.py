"""What is bought for one pool: a page to print, and a table for a spreadsheet."""

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.text import slugify
from django.utils.translation import gettext as _

from jobs.domain.order.lines import as_csv
from jobs.domain.order.sold import sold_in_us
from jobs.models import Branch, Job
from jobs.snapshots import order_of
from planner.web.access import READERS, for_roles, visit_of
from planner.web.presenters.pages.supplies.order import order_page
from planner.web.rendering import render_page


@for_roles(*READERS)
def order(request: HttpRequest, job_id: int) -> HttpResponse:
    """The order list of one pool; another branch's is not found."""
    job = _job(visit_of(request).branch, job_id)
    page = order_page(
        job_id=job.pk,
        name=job.name,
        address=job.site.address,
        lines=order_of(job, say=sold_in_us),
        gettext=_,
    )
    return render_page(request, "planner/order.html", "pools", _("Order list: {name}").format(name=job.name), page=page)


@for_roles(*READERS)
def order_table(request: HttpRequest, job_id: int) -> HttpResponse:
    """The order list as comma-separated text."""
    job = _job(visit_of(request).branch, job_id)
    table = as_csv(order_of(job, say=sold_in_us), sold_in_us)
    response = HttpResponse(table, content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="order-{slugify(job.name) or job.pk}.csv"'
    return response


def _job(branch: Branch, job_id: int) -> Job:
    found = Job.objects.select_related("branch", "site", "basin").filter(branch=branch, pk=job_id).first()
    if found is None:
        raise Http404("This branch has no such pool.")
    return found
