"""A page, or only its changed part when htmx asks for it: both from one template."""

from typing import Any, cast

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers

from planner.web.loading import page_context

WHOLE, PART = "planner/base.html", "planner/part.html"


def render_page(request: HttpRequest, template: str, here: str, title: str, **values: Any) -> HttpResponse:
    """Render a template that extends ``frame``: the whole page, or its main block alone for htmx.

    A page that the browser's history asks for, or a boosted link, is always whole.
    """
    htmx = cast(Any, request).htmx
    part = htmx and not htmx.boosted and not htmx.history_restore_request
    context = page_context(request, here, title, frame=PART if part else WHOLE, **values)
    response = render(request, template, context)
    patch_vary_headers(response, ["HX-Request"])
    return response
