"""Lets go of messages that nobody asks about any more."""

from datetime import datetime, timedelta

from django.conf import settings

from crews.models import Message

ENDED = (Message.State.SENT, Message.State.DEAD, Message.State.DROPPED)


def prune(*, now: datetime) -> int:
    """Delete what was posted more than ``PLANNER_MESSAGES_KEPT_DAYS`` ago and no longer waits; how many rows went."""
    before = now - timedelta(days=settings.PLANNER_MESSAGES_KEPT_DAYS)
    gone, _ = Message.objects.filter(state__in=ENDED, posted_at__lt=before).delete()
    return gone
