"""Requests for another plan: asked in the transaction of the fact, one row while it waits."""

from datetime import datetime

from django.db import transaction
from django.db.models import Exists, OuterRef
from django.utils import timezone

from jobs.models import Branch
from planner.plans.domain.triggers.reasons import REASONS
from planner.plans.domain.triggers.request import Request
from planner.plans.models import BranchReplanning, Plan, ReplanRequest

State = ReplanRequest.State
WAITING = (State.OPEN, State.TAKEN)
LONGEST_SAYS = 400


def ask(*, branch: Branch, reason: str, subject: str, says: str, now: datetime) -> ReplanRequest:
    """Ask for another plan; asked again while it waits, the row keeps its place and takes the newer sentence.

    Call it in the transaction of the fact it follows from. The row is touched even where it is there already: a worker
    that is about to take it waits for the fact, and so plans with it.

    Parameters
    ----------
    reason : str
        One of ``reasons.REASONS``.
    subject : str
        What it is about: ``task:12``, ``crew:forms-east``, ``booking:7``; empty for the branch as a whole.
    says : str
        One sentence for the page.
    """
    if reason not in REASONS:
        raise ValueError(f"unknown reason {reason!r}")
    with transaction.atomic():
        while True:
            row, made = ReplanRequest.objects.get_or_create(
                branch=branch,
                reason=reason,
                subject=subject[:80],
                state=State.OPEN,
                defaults={"says": says[:LONGEST_SAYS], "asked_at": now, "again_at": now},
            )
            if made:
                return row
            again = ReplanRequest.objects.filter(pk=row.pk, state=State.OPEN)
            if again.update(says=says[:LONGEST_SAYS], again_at=now):
                row.refresh_from_db()
                return row


def list_waiting(now: datetime) -> tuple[int, ...]:
    """Ids of the branches with requests asked by ``now`` that nobody is planning, the longest wait first."""
    claimed = BranchReplanning.objects.filter(branch=OuterRef("branch"), claimed_until__gt=timezone.now())
    rows = ReplanRequest.objects.filter(~Exists(claimed), state__in=WAITING, asked_at__lte=now)
    return tuple(dict.fromkeys(rows.order_by("asked_at", "pk").values_list("branch_id", flat=True)))


def list_open(*, branch: Branch) -> list[ReplanRequest]:
    """Requests that wait for a plan or are being planned, in the order they were asked."""
    return list(ReplanRequest.objects.filter(branch=branch, state__in=WAITING))


def list_causes(*, plan: Plan) -> list[ReplanRequest]:
    """The requests a plan answers, in the order they were asked."""
    return list(ReplanRequest.objects.filter(branch=plan.branch_id, outcome=plan.number))


def list_answered(*, branch: Branch, since: datetime, most: int) -> list[ReplanRequest]:
    """Requests that were answered since a moment, the last first."""
    rows = ReplanRequest.objects.filter(branch=branch, closed_at__gte=since)
    return list(rows.order_by("-closed_at", "-pk")[:most])


def as_value(row: ReplanRequest) -> Request:
    """A row as a value."""
    return Request(
        says=row.says,
        asked_at=row.asked_at,
        state=row.state,
        closed_at=row.closed_at,
        outcome=row.outcome,
        answer=row.answer,
    )
