"""What addresses told us and which hosts want to be left alone, in the database, shared by every worker."""

from datetime import datetime, timedelta

from django.db.models import F

from planner.forecast.models import ForecastRun, HostPause, UrlState
from planner.forecast.sources.conditional import Known

# A rate block of the US service clears in about five seconds; one that comes again is no longer that.
FIRST_PAUSE = timedelta(seconds=5)
NEXT_PAUSE = timedelta(minutes=1)
LONGEST_PAUSE = timedelta(minutes=15)


class DatabaseMemory:
    """Keeps one row for each address and each paused host."""

    def known(self, url: str) -> Known | None:
        row = UrlState.objects.filter(url=url).first()
        if row is None:
            return None
        return Known(
            url=row.url,
            checked_at=row.checked_at,
            changed_at=row.changed_at,
            expires_at=row.expires_at,
            last_modified=row.last_modified,
            etag=row.etag,
            body_hash=row.body_hash,
            status=row.status,
            problem=row.problem,
        )

    def keep(self, known: Known, run_id: int | None = None) -> None:
        values = {
            "last_modified": known.last_modified[:80],
            "etag": known.etag[:200],
            "body_hash": known.body_hash,
            "status": known.status,
            "problem": known.problem,
            "expires_at": known.expires_at,
            "changed_at": known.changed_at,
            "checked_at": known.checked_at,
        }
        if run_id is not None:
            values["run_id"] = run_id
        UrlState.objects.update_or_create(url=known.url, defaults=values)

    def paused_until(self, host: str, as_of: datetime) -> datetime | None:
        return HostPause.objects.filter(host=host, until__gt=as_of).values_list("until", flat=True).first()

    def pause(self, host: str, as_of: datetime, *, reason: str, wait: timedelta | None = None) -> datetime:
        row, created = HostPause.objects.get_or_create(host=host, defaults={"until": as_of, "reason": reason[:120]})
        if not created:
            HostPause.objects.filter(pk=row.pk).update(times=F("times") + 1, reason=reason[:120])
            row.refresh_from_db()
        until = as_of + (pause_after(row.times) if wait is None else wait)
        # Conditional, so that a shorter pause of another worker cannot cut a longer one.
        HostPause.objects.filter(pk=row.pk, until__lt=until).update(until=until)
        return until

    def welcomed(self, host: str) -> None:
        paused = HostPause.objects.filter(host=host)
        # Most replies are good ones: they should cost no write.
        if paused.exists():
            paused.delete()


def pause_after(times: int) -> timedelta:
    """How long a host is left alone after so many refusals in a row.

    >>> [str(pause_after(times)) for times in (1, 2, 3, 20)]
    ['0:00:05', '0:01:00', '0:02:00', '0:15:00']
    """
    if times <= 1:
        return FIRST_PAUSE
    return min(NEXT_PAUSE * 2 ** min(times - 2, 10), LONGEST_PAUSE)


def run_behind(url: str) -> ForecastRun | None:
    """The run an address last became."""
    state = UrlState.objects.filter(url=url).select_related("run").first()
    return None if state is None else state.run
