"""The outbox: a fact becomes rows in the caller's transaction; ``delivery`` sends them outside of any."""

from datetime import datetime

from django.db import transaction

from crews.channels.channel import Off
from crews.channels.configured import configured_channels, sender_domain
from crews.domain.letter import LONGEST_TEXT, MAIL, TEXT, WEBHOOK, message_id_of, shortened
from crews.domain.quiet_hours import after_quiet
from crews.domain.reachable import Reachable, one_line
from crews.models import Message
from crews.services.delivery import Delivered, deliver_due
from crews.snapshots import office_mail_of, quiet_hours_of
from jobs.domain.errors import CannotDo
from jobs.models import Branch

__all__ = ["Delivered", "answer", "deliver_due", "drop_waiting", "post", "quiet_hours_of", "send_again"]

LONGEST_SUBJECT = 200
State = Message.State


def post(
    *,
    branch: Branch,
    fact: str,
    person: Reachable,
    subject: str,
    body: str,
    now: datetime,
    short: str = "",
    not_before: datetime | None = None,
    urgent: bool = False,
    answer_by: datetime | None = None,
    link: str = "",
    reply_to: str = "",
) -> tuple[Message, ...]:
    """Keep a fact for a person, one row for each channel that reaches them; the same fact again changes nothing.

    Call it in the transaction that writes the fact. Channels that are off are left out where another is on; where
    none is, the row waits and says which setting is missing. A person without any address gets a row that is given
    up at once, so that somebody sees it. ``short`` goes by text message in place of ``body``; without it a long body
    is represented by the subject. ``urgent`` ignores quiet hours. ``link`` fills ``[[link]]``, see ``LINK_FILLERS``.

    Raises
    ------
    CannotDo
        ``reach.empty``, ``reach.line_break``, ``reach.too_long`` for the fact, the subject or an empty body.
    """
    one_line("fact", fact, longest=200)
    one_line("subject", subject, longest=LONGEST_SUBJECT)
    if not body.strip():
        raise CannotDo("reach.empty", field="body")
    same = Message.objects.filter(branch=branch, fact=fact, person=person.key).order_by("channel")
    if kept := tuple(same):
        return kept
    quiet = quiet_hours_of(branch)
    rows = []
    for channel, address in _ways_to(branch, person):
        first_at = max(now, not_before) if not_before is not None else now
        if not urgent and channel != WEBHOOK:
            first_at = after_quiet(first_at, quiet, branch.zone)
        row = Message(
            branch=branch,
            fact=fact,
            person=person.key,
            name=person.name,
            channel=channel,
            address=address,
            reply_to=reply_to or (office_mail_of(branch) if channel == MAIL else ""),
            subject=subject,
            body=_short(short, subject, body) if channel == TEXT else body,
            link=link,
            message_id=message_id_of(
                branch=branch.pk, fact=fact, person=person.key, channel=channel, domain=sender_domain()
            ),
            urgent=urgent,
            posted_at=now,
            not_before=first_at if first_at > now else None,
            next_try_at=first_at,
            answer_by=answer_by,
        )
        if channel == Message.Channel.NONE:
            row.state, row.failing_since = State.DEAD, now
            row.last_error = str(CannotDo("outbox.nowhere", field="person", name=person.name))
        rows.append(row)
    with transaction.atomic():
        # Two who tell the same fact at once: the unique key lets one in, and both read what is kept.
        Message.objects.bulk_create(rows, ignore_conflicts=True)
        return tuple(same.all())


def _ways_to(branch: Branch, person: Reachable) -> list[tuple[str, str]]:
    addresses = {MAIL: person.mail, TEXT: person.text_number}
    reached = [(channel, address) for channel, address in addresses.items() if address]
    channels = configured_channels()
    on = [way for way in reached if not isinstance(channels.get(way[0]), Off | None)]
    told = [(WEBHOOK, "")] if not isinstance(channels.get(WEBHOOK), Off | None) else []
    return [*(on or reached[:1] or [(Message.Channel.NONE.value, "")]), *told]


def _short(short: str, subject: str, body: str) -> str:
    if short:
        return shortened(short)
    return shortened(body) if len(body) <= LONGEST_TEXT else shortened(subject)


def answer(*, branch: Branch, fact: str, person: str, now: datetime) -> int:
    """Keep that a person has read or answered a fact; rows that still wait are no longer needed."""
    rows = Message.objects.filter(branch=branch, fact=fact, person=person, answered_at__isnull=True)
    with transaction.atomic():
        told = rows.filter(state=State.WAITING).update(state=State.DROPPED, answered_at=now)
        return told + rows.update(answered_at=now)


def drop_waiting(*, branch: Branch, facts: str, person: str = "", but: str = "") -> int:
    """Take back what nobody has been told yet of the facts that begin with ``facts``, save the one named ``but``."""
    rows = Message.objects.filter(branch=branch, fact__startswith=facts, state=State.WAITING, attempts=0)
    if person:
        rows = rows.filter(person=person)
    return rows.exclude(fact=but).update(state=State.DROPPED) if but else rows.update(state=State.DROPPED)


def send_again(*, branch: Branch, message: int, now: datetime, person: Reachable | None = None) -> Message:
    """Let a message that was given up try anew, under the same message id; at the person's address of today.

    Raises
    ------
    CannotDo
        ``outbox.unknown_message``; ``outbox.nowhere`` where the person still has no address.
    """
    row = Message.objects.filter(branch=branch, pk=message, state=State.DEAD).first()
    if row is None:
        raise CannotDo("outbox.unknown_message", field="message")
    address, channel = row.address, row.channel
    if person is not None and channel != WEBHOOK:
        ways = {way: where for way, where in _ways_to(branch, person) if way != WEBHOOK}
        if channel not in ways:
            channel = next(iter(ways))
        address = ways[channel]
    if channel == Message.Channel.NONE:
        raise CannotDo("outbox.nowhere", field="person", name=row.name)
    taken = Message.objects.filter(branch=branch, fact=row.fact, person=row.person, channel=channel)
    if taken.exclude(pk=row.pk).exists():
        # They are told on that channel already; this row has nothing left to do.
        Message.objects.filter(pk=row.pk, state=State.DEAD).update(state=State.DROPPED)
    else:
        body = _short("", row.subject, row.body) if channel == TEXT != row.channel else row.body
        Message.objects.filter(pk=row.pk, state=State.DEAD).update(
            state=State.WAITING,
            channel=channel,
            address=address,
            body=body,
            attempts=0,
            next_try_at=now,
            failing_since=None,
            last_error="",
        )
    row.refresh_from_db()
    return row
