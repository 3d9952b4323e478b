"""One worker a branch, by a row: a conditional update that must touch it, on every database.

A claim runs out by the machine's clock, never by the office's, which may be pinned: a worker that was killed must not
hold a branch for ever. Whoever lost a claim can store nothing any more.
"""

import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from uuid import uuid4

from django.db import DatabaseError, connection
from django.db.models import Q
from django.utils import timezone

from jobs.models import Branch
from planner.plans.models import BranchReplanning
from planner.solver.parameters import Parameters, Patient, Repeatable

log = logging.getLogger(__name__)
# Renewed so often in one lease: two renewals may fail before it runs out.
BEATS = 3
# Reading, judging and writing around the search; renewed between the steps.
MARGIN = timedelta(seconds=150)


def lease_for(parameters: Parameters) -> timedelta:
    """How long a claim lasts without being renewed: the longest search, and what is around it."""
    if isinstance(parameters, Repeatable):
        return timedelta(seconds=parameters.outer_seconds) + MARGIN
    if isinstance(parameters, Patient):
        return timedelta(seconds=parameters.seconds) + MARGIN
    return MARGIN


def claim(*, branch: Branch, lease: timedelta) -> str:
    """Claim a branch; empty where another worker holds it."""
    BranchReplanning.objects.get_or_create(branch=branch)
    mark, now = uuid4().hex, timezone.now()
    free = BranchReplanning.objects.filter(Q(claimed_until__isnull=True) | Q(claimed_until__lte=now), branch=branch)
    return mark if free.update(claim=mark, claimed_until=now + lease) else ""


def renew(*, branch: Branch, mark: str, lease: timedelta) -> bool:
    """Hold a claim longer; ``False`` where another worker has it by now. Inside a transaction it also locks it."""
    mine = BranchReplanning.objects.filter(branch=branch, claim=mark)
    return mine.update(claimed_until=timezone.now() + lease) == 1


def release(*, branch: Branch, mark: str) -> None:
    """Give a claim back; one that was lost stays with whoever has it."""
    BranchReplanning.objects.filter(branch=branch, claim=mark).update(claim="", claimed_until=None)


@contextmanager
def kept_alive(*, branch: Branch, mark: str, lease: timedelta) -> Iterator[None]:
    """Renew a claim from beside the work for as long as this process lives: no step is too long, no death is hidden."""
    over = threading.Event()

    def beat() -> None:
        try:
            while not over.wait(lease.total_seconds() / BEATS):
                try:
                    if not renew(branch=branch, mark=mark, lease=lease):
                        return
                except DatabaseError as failure:
                    log.warning("the claim on branch %s could not be renewed: %s", branch.pk, failure)
                    connection.close()
        finally:
            connection.close()

    beside = threading.Thread(target=beat, name=f"claim-{branch.pk}", daemon=True)
    beside.start()
    try:
        yield
    finally:
        over.set()
        beside.join()
