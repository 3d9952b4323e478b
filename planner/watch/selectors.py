"""What is stored of the watch, each read scoped to one branch or made for all at once."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import cast

from django.db.models import Q, QuerySet

from jobs.models import Branch
from planner.watch.domain.report import Verdict
from planner.watch.domain.starts import Previous
from planner.watch.domain.telling.facts import FactKind, Told
from planner.watch.models import Warned, WatchVerdict

# Nothing that was told longer ago than this bears on what is told now.
LOOK_BACK = timedelta(days=14)


def current_verdicts(*, branch: Branch) -> list[WatchVerdict]:
    """The verdicts that stand, by start."""
    return list(WatchVerdict.objects.filter(branch=branch, current=True).order_by("start_at", "task_id"))


def previous_of(rows: Iterable[WatchVerdict]) -> tuple[Previous, ...]:
    """Stored verdicts as the watch takes them."""
    return tuple(Previous(task=row.task_id, start_at=row.start_at, verdict=Verdict(row.by_forecast)) for row in rows)


def list_told(*, branch: Branch, now: datetime) -> tuple[Told, ...]:
    """What people were told lately, oldest first."""
    rows = Warned.objects.filter(branch=branch).filter(Q(told_at__gt=now - LOOK_BACK) | Q(start_at__gt=now))
    return tuple(
        Told(
            key=row.fact,
            kind=cast(FactKind, row.kind),
            told_at=row.told_at,
            task=row.task_id or 0,
            start_at=row.start_at,
            verdict=Verdict(row.verdict) if row.verdict else None,
            covers=tuple(row.covers),
        )
        for row in rows.order_by("told_at", "pk")
    )


def list_warned(*, branch: Branch, since: datetime) -> QuerySet[Warned]:
    """What people were told since a moment, newest first."""
    return Warned.objects.filter(branch=branch, told_at__gte=since).order_by("-told_at", "-pk")


def list_unread(*, branch: Branch, until: datetime | None = None) -> list[Warned]:
    """Warnings that must be read, were not, and are not with the owners yet; with ``until`` those due by then."""
    rows = Warned.objects.filter(
        branch=branch, answer_by__isnull=False, noted_at__isnull=True, escalated_at__isnull=True
    )
    return list((rows.filter(answer_by__lte=until) if until is not None else rows).order_by("answer_by", "pk"))
