"""Lets go of what asked for plans, and of what was remembered of starts, once nobody asks about it any more."""

from datetime import datetime, timedelta

from django.db import transaction

from planner.plans.models import Plan, ReplanRequest, StartMemory

KEPT_FOR = timedelta(days=90)


def prune(*, now: datetime, kept_for: timedelta = KEPT_FOR) -> int:
    """Delete answered requests, and memories of plans that were left, both older than 90 days; how many rows went.

    The causes of a proposal that still waits stay, and so does all that is remembered of the plan in force.
    """
    before = now - kept_for
    waiting = Plan.objects.filter(state=Plan.State.PROPOSED).values_list("branch", "number")
    with transaction.atomic():
        answered = ReplanRequest.objects.filter(closed_at__lt=before)
        for branch, number in waiting:
            answered = answered.exclude(branch=branch, outcome=number)
        requests, _ = answered.delete()
        left = StartMemory.objects.filter(plan__state__in=(Plan.State.PAST, Plan.State.DROPPED))
        memories, _ = left.filter(plan__made_at__lt=before).delete()
    return requests + memories
