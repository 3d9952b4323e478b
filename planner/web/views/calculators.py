"""One question of the trade, answered from the numbers in the address."""

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from jobs.domain.errors import CannotDo
from jobs.domain.order.lines import as_csv
from jobs.domain.order.sold import sold_in_us
from planner.calculators.catalog import ABOUT, CALCULATORS
from planner.web.access import READERS, for_roles
from planner.web.presenters.calculators.page import present_calculator
from planner.web.rendering import render_page


@require_GET
@for_roles(*READERS)
def calculators(request: HttpRequest) -> HttpResponse:
    """Every question there is."""
    return render_page(
        request, "planner/calculate/list.html", "calculators", _("Calculate"), about=tuple(ABOUT.items())
    )


@require_GET
@for_roles(*READERS)
def calculator(request: HttpRequest, name: str) -> HttpResponse:
    """The form as it was sent, with its answer or with what is wrong in it."""
    found = CALCULATORS.get(name)
    if found is None:
        raise Http404(f"There is no calculator '{name}'.")
    page = present_calculator(found, request.GET.dict())
    response = render_page(request, "planner/calculate/page.html", "calculators", found.title, page=page)
    response.status_code = 400 if page.problems else 200
    return response


@require_GET
@for_roles(*READERS)
def calculator_order(request: HttpRequest, name: str) -> HttpResponse:
    """What the answer orders, as comma-separated text; with nothing typed the example of the page, named so.

    Numbers that are refused lead back to the form.
    """
    found = CALCULATORS.get(name)
    if found is None or not found.orders:
        raise Http404(f"Nothing is ordered by a calculator '{name}'.")
    typed = request.GET.dict()
    try:
        answer = found.answer(typed or found.examples())
    except CannotDo:
        return calculator(request, name)
    response = HttpResponse(as_csv(answer.order, sold_in_us), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{"" if typed else "example-"}order-{name}.csv"'
    return response
