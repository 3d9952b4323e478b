"""What a page shows before a branch has its first plan."""

from django.http import HttpRequest, HttpResponse

from planner.web.rendering import render_page


def render_no_plan(request: HttpRequest, here: str, title: str) -> HttpResponse:
    """The page's head, and how to get a plan."""
    return render_page(request, "planner/no_plan.html", here, title)
