"""What a page says when a branch cannot be read, or a service failed: one sentence and its remedy, never a crash."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from jobs.domain.errors import DryWindowError, OutsideFailure


class RefusalMiddleware:
    """Turns a known failure that no view has shown on its form into a page of its own."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self._get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """A page for a known failure; ``None`` leaves anything else to be logged as the bug it is."""
        if not isinstance(exception, DryWindowError):
            return None
        status = 503 if isinstance(exception, OutsideFailure) else 409
        return render(request, "planner/refusal.html", {"failure": exception, "title": ""}, status=status)
