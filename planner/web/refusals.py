"""What a page says when a branch cannot be read, or a service failed: one sentence and its remedy, never a crash."""

import logging
from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.db import InterfaceError, OperationalError, connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from jobs.domain.errors import DryWindowError, OutsideFailure
from planner import clock
from planner.serving.selectors import is_behind

log = logging.getLogger(__name__)
PAGE = "planner/refusal.html"
Execute = Callable[..., Any]


class RefusalMiddleware:
    """Turns a known failure that no view has shown on its form into a page of its own."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response
        # Since when the database does not answer this process; any answer ends it.
        self._away_since: datetime | None = None

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with connection.execute_wrapper(self._note_answer):
            return self._get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """A page for a known failure; ``None`` leaves anything else to be logged as the bug it is."""
        if is_behind(exception):
            # The table that is missing may be one that every page reads.
            log.error("%s", exception)
            failure = OutsideFailure("serve.database_behind")
            return HttpResponse(render_to_string(PAGE, {"failure": failure, "title": ""}), status=503)
        if isinstance(exception, OperationalError | InterfaceError):
            return self._database_away(exception)
        if not isinstance(exception, DryWindowError):
            return None
        status = 503 if isinstance(exception, OutsideFailure) else 409
        return render(request, PAGE, {"failure": exception, "title": ""}, status=status)

    def _note_answer(self, execute: Execute, sql: str, params: Any, many: bool, context: dict[str, Any]) -> Any:
        answer = execute(sql, params, many, context)
        self._away_since = None
        return answer

    def _database_away(self, exception: Exception) -> HttpResponse:
        since = self._away_since = self._away_since or clock.running()
        log.error("The database does not answer since %s: %s", since.isoformat(timespec="seconds"), exception)
        failure = OutsideFailure("serve.database_away", since=f"{since:%Y-%m-%d %H:%M} UTC")
        # Without the request: whoever is signed in stands in the database too.
        return HttpResponse(render_to_string(PAGE, {"failure": failure, "title": ""}), status=503)
