"""How the service is, as pages tell it."""

from datetime import datetime, timedelta

from django.conf import settings

from planner.serving.models import Turn

TICKS_MISSED = 5
LEAST_WAIT = timedelta(seconds=15)


def standstill_since(*, running: datetime) -> datetime | None:
    """When the service last looked for what is due, if that is too long ago; none while it is well or never ran.

    Parameters
    ----------
    running : datetime
        The real present.
    """
    last = Turn.objects.filter(kind=Turn.Kind.TICK).values_list("well_at", flat=True).first()
    patience = max(TICKS_MISSED * timedelta(seconds=settings.PLANNER_TICK_SECONDS), LEAST_WAIT)
    return last if last is not None and running - last > patience else None
