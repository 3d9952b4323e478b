"""Sends what the outbox holds: each row claimed, sent outside of any transaction, and marked.

A worker that dies between sending and marking leaves a lease that runs out; the row is then sent again under the same
message id.
"""

import random
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings
from django.db.models import F, Q, QuerySet
from django.db.models.functions import Coalesce
from django.utils.module_loading import import_string

from crews.channels.channel import Channel, Off
from crews.channels.configured import configured_channels
from crews.domain.letter import LINK, WEBHOOK, Letter
from crews.domain.quiet_hours import after_quiet
from crews.domain.retries import MOST_ATTEMPTS, next_try_at
from crews.models import Message
from crews.snapshots import quiet_hours_of
from jobs.domain.errors import CannotDo, OutsideFailure

# A round ends after this many seconds, so that a slow server does not hold a worker.
ROUND_S = 120.0
# What nobody could send for so long says nothing any more about today's work.
LONGEST_WAIT = timedelta(days=3)
State = Message.State


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivered:
    """What a round of sending did with the rows it claimed: their numbers."""

    sent: int = 0
    put_off: int = 0
    dead: int = 0
    quiet: int = 0


def deliver_due(*, now: datetime, limit: int = 50, round_s: float = ROUND_S) -> Delivered:
    """Send what is due, at most ``limit`` rows, each claimed by itself just before it is sent.

    Call it outside any transaction: a row is claimed in one statement, sent, and marked in another. A round ends
    after ``round_s`` seconds at the latest, and the attempt that runs then.
    """
    began = time.monotonic()
    channels = configured_channels()
    on = {name: channel for name, channel in channels.items() if not isinstance(channel, Off)}
    off = {name: channel for name, channel in channels.items() if isinstance(channel, Off)}

    def moment() -> datetime:
        return now + timedelta(seconds=time.monotonic() - began)

    counts = {"sent": 0, "put_off": 0, "dead": _give_up_the_unsent(now, off), "quiet": 0}
    try:
        for row in _list_due(now=now, channels=tuple(on), limit=limit):
            if time.monotonic() - began > round_s:
                break
            outcome = _deliver(row, on[row.channel], moment)
            if outcome:
                counts[outcome] += 1
    finally:
        for channel in on.values():
            channel.close()
    return Delivered(**counts)


def _list_due(*, now: datetime, channels: tuple[str, ...], limit: int) -> tuple[Message, ...]:
    """Rows whose time has come, and rows whose worker let its lease run out; what is urgent first."""
    waiting = Q(state=State.WAITING, next_try_at__lte=now)
    abandoned = Q(state=State.SENDING, lease_until__lte=now)
    due = Message.objects.filter(waiting | abandoned, channel__in=channels).select_related("branch")
    return tuple(due.order_by("-urgent", "next_try_at", "id")[:limit])


def _deliver(row: Message, channel: Channel, moment: Callable[[], datetime]) -> str:
    """One attempt; the name of what came of it, empty where another worker has the row."""
    now = moment()
    # Whoever claims, puts off or gives up a row changes its state or its attempts; the others' updates then miss it.
    as_seen = Message.objects.filter(pk=row.pk, state=row.state, attempts=row.attempts, lease_until=row.lease_until)
    if not row.urgent and row.channel != WEBHOOK:
        loud_at = after_quiet(now, quiet_hours_of(row.branch), row.branch.zone)
        if loud_at > now:
            put_off = as_seen.update(state=State.WAITING, lease_until=None, next_try_at=loud_at)
            return "quiet" if put_off else ""
    if row.attempts >= MOST_ATTEMPTS:
        return _dead(as_seen, CannotDo("outbox.worker_lost", field="message", attempts=row.attempts), now)
    if not as_seen.update(state=State.SENDING, lease_until=now + settings.MESSAGE_LEASE, attempts=F("attempts") + 1):
        return ""
    row.attempts += 1
    ours = Message.objects.filter(pk=row.pk, state=State.SENDING, attempts=row.attempts)
    try:
        channel.send(_letter(row, now))
    except CannotDo as refused:
        return _dead(ours, refused, moment())
    except OutsideFailure as failed:
        return _put_off(ours, row, failed, moment())
    marked = ours.update(state=State.SENT, sent_at=moment(), lease_until=None, failing_since=None, last_error="")
    return "sent" if marked else ""


def _letter(row: Message, now: datetime) -> Letter:
    return Letter(
        message_id=row.message_id,
        to=row.address,
        name=row.name,
        subject=row.subject,
        body=row.body.replace(LINK, _filled(row)) if LINK in row.body else row.body,
        fact=row.fact,
        branch=row.branch.slug,
        person=row.person,
        at=now,
        attempt=row.attempts,
        urgent=row.urgent,
        reply_to=row.reply_to,
        answer_by=row.answer_by,
    )


def _filled(row: Message) -> str:
    """What ``[[link]]`` becomes: the row's own link and no other, whatever its body says; nothing to a machine.

    Raises
    ------
    CannotDo
        From the filler, where the link opens nothing any more.
    """
    kind, _, what = row.link.partition(":")
    if not what or row.channel == WEBHOOK:
        return ""
    fill: Callable[[str], str] = import_string(settings.LINK_FILLERS[kind])
    return fill(what)


def _put_off(ours: QuerySet[Message], row: Message, failed: OutsideFailure, now: datetime) -> str:
    asked = failed.facts.get("asked_s")
    next_at = next_try_at(
        row.attempts,
        now=now,
        jitter=random.random(),
        asked_s=float(asked) if isinstance(asked, int | float) else None,
    )
    if next_at is None:
        return _dead(ours, failed, now)
    put_off = ours.update(
        state=State.WAITING,
        next_try_at=next_at,
        lease_until=None,
        last_error=str(failed),
        failing_since=Coalesce("failing_since", now),
    )
    return "put_off" if put_off else ""


def _dead(rows: QuerySet[Message], reason: CannotDo | OutsideFailure, now: datetime) -> str:
    given_up = rows.update(
        state=State.DEAD, lease_until=None, last_error=str(reason), failing_since=Coalesce("failing_since", now)
    )
    return "dead" if given_up else ""


def _give_up_the_unsent(now: datetime, off: Mapping[str, Off]) -> int:
    """Give up what waits for a channel that nobody switched on in time: it must not go out weeks later."""
    count = 0
    for name, channel in off.items():
        rows = Message.objects.filter(state=State.WAITING, channel=name, next_try_at__lte=now - LONGEST_WAIT)
        reason = CannotDo("outbox.too_old", field="message", days=LONGEST_WAIT.days, why=str(channel.reason))
        count += rows.update(
            state=State.DEAD, last_error=str(reason), failing_since=Coalesce("failing_since", "next_try_at")
        )
    return count
