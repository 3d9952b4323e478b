"""Lets go of verdicts and warnings that nobody asks about any more, and with them of the runs they kept."""

from datetime import datetime, timedelta

from django.db import transaction

from planner.watch.models import Warned, WatchVerdict

KEPT_FOR = timedelta(days=90)


def prune(*, now: datetime, kept_for: timedelta = KEPT_FOR) -> int:
    """Delete verdicts that no longer stand and warnings, both older than 90 days; how many rows went."""
    before = now - kept_for
    with transaction.atomic():
        verdicts, _ = WatchVerdict.objects.filter(current=False, judged_at__lt=before).delete()
        warned, _ = Warned.objects.filter(told_at__lt=before).delete()
    return verdicts + warned
