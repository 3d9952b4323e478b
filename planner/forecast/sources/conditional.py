"""What is remembered of one address, so that it is asked no more often than it wants to be, and who remembers it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Protocol

LONGEST_LIFE = timedelta(hours=6)
# The caller's moment is read a little before the server writes its date.
MARGIN = timedelta(minutes=1)
# A place without a forecast, or a cell that is gone, is asked for again after this long, whatever the headers say.
REFUSED_FOR = timedelta(hours=6)
REFUSALS = frozenset({400, 404, 410, 422})


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What one address last told us.

    ``last_modified`` and ``etag`` are kept exactly as sent: the service compares text. Age is never computed from
    them, as the US service sends dates in the future. ``status`` is 200, or a refusal with the name of its
    ``problem``. ``changed_at`` is when the body last came whole, ``checked_at`` when the service last answered.
    """

    url: str
    checked_at: datetime
    changed_at: datetime
    expires_at: datetime
    last_modified: str = ""
    etag: str = ""
    body_hash: str = ""
    status: int = 200
    problem: str = ""

    @property
    def conditions(self) -> dict[str, str]:
        """Headers that ask only for what is new."""
        headers = {}
        if self.last_modified:
            headers["If-Modified-Since"] = self.last_modified
        if self.etag:
            headers["If-None-Match"] = self.etag
        return headers

    def checked(self, headers: Mapping[str, str], as_of: datetime) -> "Known":
        """The same, confirmed by a reply without a body."""
        return replace(self, checked_at=as_of, expires_at=as_of + lifetime(headers))


class Memory(Protocol):
    """Keeps what addresses told us, and which hosts want to be left alone."""

    def known(self, url: str) -> Known | None: ...

    def keep(self, known: Known, run_id: int | None = None) -> None:
        """Remember an address, and the row of the run its body became."""
        ...

    def paused_until(self, host: str, as_of: datetime) -> datetime | None:
        """End of the host's pause; none if it may be asked."""
        ...

    def pause(self, host: str, as_of: datetime, *, reason: str, wait: timedelta | None = None) -> datetime:
        """Leave a host alone for a while, longer each time in a row unless it names its own wait."""
        ...

    def welcomed(self, host: str) -> None:
        """The host answered well: the next pause is a short one again."""
        ...


class NoMemory:
    """Remembers nothing: every request is a first request."""

    def known(self, url: str) -> Known | None:
        return None

    def keep(self, known: Known, run_id: int | None = None) -> None:
        return None

    def paused_until(self, host: str, as_of: datetime) -> datetime | None:
        return None

    def pause(self, host: str, as_of: datetime, *, reason: str, wait: timedelta | None = None) -> datetime:
        return as_of

    def welcomed(self, host: str) -> None:
        return None


def http_date(text: str) -> datetime | None:
    """An HTTP date [UTC]; none if it is no such date."""
    try:
        moment = parsedate_to_datetime(text)
    except (ValueError, TypeError):
        return None
    return moment.astimezone(UTC) if moment.tzinfo else moment.replace(tzinfo=UTC)


def lifetime(headers: Mapping[str, str]) -> timedelta:
    """How long a reply may be used before the address is asked again: 0 to 6 hours, with a minute's margin.

    ``max-age`` counts before ``Expires``; ``Expires`` counts from the reply's own ``Date``, so that clocks need
    not agree; the time it already spent in caches (``Age``) is taken off.

    Source: RFC 9111, sections 4.2.1 and 5.1 to 5.3.

    >>> str(lifetime({"Cache-Control": "public, max-age=600, s-maxage=3600", "Age": "60"}))
    '0:10:00'
    >>> str(lifetime({}))
    '0:00:00'
    """
    lower = {name.lower(): value for name, value in headers.items()}
    words = {
        name.strip().lower(): value.strip().strip('"')
        for name, _, value in (part.partition("=") for part in lower.get("cache-control", "").split(","))
    }
    if {"no-store", "no-cache"} & words.keys():
        return timedelta(0)
    life = timedelta(0)
    if words.get("max-age", "").isdecimal():
        life = timedelta(seconds=min(int(words["max-age"]), int(LONGEST_LIFE.total_seconds())))
    else:
        sent_at, expires_at = http_date(lower.get("date", "")), http_date(lower.get("expires", ""))
        if sent_at is not None and expires_at is not None:
            life = expires_at - sent_at
    age = lower.get("age", "").strip()
    if age.isdecimal():
        life -= timedelta(seconds=min(int(age), int(LONGEST_LIFE.total_seconds())))
    return min(life, LONGEST_LIFE) + MARGIN if life > timedelta(0) else timedelta(0)


def retry_after(headers: Mapping[str, str], as_of: datetime) -> timedelta | None:
    """How long a service asks to be left alone: seconds, or an HTTP date; none if it does not say."""
    text = next((value.strip() for name, value in headers.items() if name.lower() == "retry-after"), "")
    if text.isdecimal():
        return timedelta(seconds=min(int(text), 86_400))
    until = http_date(text) if text else None
    return None if until is None else min(max(until - as_of, timedelta(0)), timedelta(days=1))
