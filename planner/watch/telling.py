"""Tell people the facts of a watch through the outbox, keep who was told, and who has read it."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import translation
from django.utils.translation import gettext

from crews.domain.quiet_hours import QuietHours
from crews.domain.reachable import Reachable
from crews.models import Message
from crews.services.outbox import answer, post, quiet_hours_of
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.dayplans.models import Seen
from planner.watch.domain.report import StateAtRisk, WatchReport
from planner.watch.domain.telling.facts import Fact, name_of
from planner.watch.domain.telling.hours import going_of
from planner.watch.models import Warned
from planner.watch.people import each_once, foremen_of, office_of, owners_of
from planner.watch.presenters.messages import Writer, unread_message
from planner.watch.selectors import list_unread

LONGEST_SAYS = 200


def tell(*, branch: Branch, report: WatchReport, facts: Sequence[Fact], now: datetime) -> tuple[Warned, ...]:
    """Post each fact to the office and to the foremen it concerns, and keep that they were told.

    Call it in the transaction that keeps the verdicts. A fact that was kept before is passed over.
    """
    if not facts:
        return ()
    keys = {key for fact in facts for key in _crews(report, fact)}
    office, foremen, quiet = office_of(branch), foremen_of(branch, keys), quiet_hours_of(branch)
    rows = []
    for fact in facts:
        people = each_once([*office, *(foremen[key] for key in _crews(report, fact) if key in foremen)])
        row, created = Warned.objects.get_or_create(
            branch=branch,
            fact=fact.key,
            defaults={
                "kind": fact.kind,
                "task_id": fact.task or None,
                "start_at": fact.start_at,
                "verdict": fact.verdict.value if fact.verdict is not None else "",
                "covers": list(fact.covers),
                "says": Writer(report).message(fact).subject[:LONGEST_SAYS],
                "people": [{"key": person.key, "name": person.name} for person in people],
                "told_at": now,
                "answer_by": _answer_by(fact, quiet, branch, now),
            },
        )
        if created:
            _post(branch, report, fact, row, people, quiet, now)
            rows.append(row)
    return tuple(rows)


def _post(
    branch: Branch,
    report: WatchReport,
    fact: Fact,
    row: Warned,
    people: Iterable[Reachable],
    quiet: QuietHours,
    now: datetime,
) -> None:
    going = going_of(now, fact.start_at, quiet=quiet, zone=branch.zone)
    for person in people:
        with translation.override(person.language):
            said = Writer(report, gettext).message(fact)
        post(
            branch=branch,
            fact=fact.key,
            person=person,
            subject=said.subject,
            body=said.body,
            short=said.short,
            now=now,
            not_before=going.not_before,
            urgent=going.urgent,
            answer_by=row.answer_by,
        )


def _answer_by(fact: Fact, quiet: QuietHours, branch: Branch, now: datetime) -> datetime | None:
    """Nobody is asked to answer before the message has gone out."""
    if fact.answer_by is None:
        return None
    going = going_of(now, fact.start_at, quiet=quiet, zone=branch.zone)
    return fact.answer_by + (going.not_before - now) if going.not_before > fact.answer_by else fact.answer_by


def _crews(report: WatchReport, fact: Fact) -> tuple[str, ...]:
    """Keys of the crews a fact concerns: who does the work, or the first who could protect what stands."""
    if fact.kind in ("verdict", "deadline"):
        return next((start.crews for start in report.starts if start.task == fact.task), ())
    states: Sequence[StateAtRisk] = report.states if fact.kind == "states" else report.weekend
    return tuple(
        dict.fromkeys(state.crew_keys[0] for state in states if state.crew_keys and name_of(state) in fact.covers)
    )


def note(*, branch: Branch, warned: int, person: str, name: str, user_id: int | None, now: datetime) -> Warned:
    """Keep that somebody has read a warning; saying it again changes nothing.

    ``person`` is their key in the outbox, whose messages about it that still wait are taken back.

    Raises
    ------
    CannotDo
        ``watch.unknown_warning`` where the branch has no such warning.
    """
    with transaction.atomic():
        rows = Warned.objects.filter(branch=branch, pk=warned)
        rows.filter(noted_at__isnull=True).update(noted_at=now, noted_by=name, noted_user_id=user_id)
        row = rows.first()
        if row is None:
            raise CannotDo("watch.unknown_warning", field="warned")
        answer(branch=branch, fact=row.fact, person=person, now=now)
    return row


def escalate(*, branch: Branch, now: datetime) -> int:
    """Tell the owners of warnings that nobody has read by their deadline; each once.

    Returns
    -------
    int
        How many warnings went to the owners now.
    """
    told = 0
    for row in note_seen(branch=branch, rows=list_unread(branch=branch, until=now)):
        with transaction.atomic():
            taken = Warned.objects.filter(pk=row.pk, noted_at__isnull=True, escalated_at__isnull=True)
            if taken.update(escalated_at=now) != 1:
                continue
            _to_owners(branch, row, now)
            told += 1
    return told


def _to_owners(branch: Branch, row: Warned, now: datetime) -> None:
    names = [str(one["name"]) for one in row.people]
    going = going_of(now, row.start_at, quiet=quiet_hours_of(branch), zone=branch.zone)
    for person in owners_of(branch):
        with translation.override(person.language):
            said = unread_message(row.says, row.told_at, names, zone=branch.zone, phone=branch.phone, gettext=gettext)
        post(
            branch=branch,
            fact=f"{row.fact}:unread",
            person=person,
            subject=said.subject,
            body=said.body,
            short=said.short,
            now=now,
            not_before=going.not_before,
            urgent=going.urgent,
        )


def note_seen(*, branch: Branch, rows: Sequence[Warned]) -> tuple[Warned, ...]:
    """Keep which of the warnings were read elsewhere, and give back those that were not.

    A warning is read when somebody who got it answered its message, or when a foreman it was sent to said, after it
    was told, that they have seen the plan of its day.
    """
    if not rows:
        return ()
    answered = {
        fact: (name, at)
        for fact, name, at in Message.objects.filter(
            branch=branch, fact__in=[row.fact for row in rows], answered_at__isnull=False
        ).values_list("fact", "name", "answered_at")
    }
    seen = _seen_by_crew(branch, rows)
    left = []
    for row in rows:
        read = answered.get(row.fact) or _seen_of(row, seen, branch)
        if read is None:
            left.append(row)
            continue
        Warned.objects.filter(pk=row.pk, noted_at__isnull=True).update(noted_by=read[0], noted_at=read[1])
    return tuple(left)


def _seen_by_crew(branch: Branch, rows: Sequence[Warned]) -> Mapping[str, list[Seen]]:
    found: dict[str, list[Seen]] = {}
    since = min(row.told_at for row in rows)
    for seen in Seen.objects.filter(link__branch=branch, seen_at__gte=since).select_related("link").order_by("seen_at"):
        found.setdefault(f"crew:{seen.link.crew_id}", []).append(seen)
    return found


def _seen_of(row: Warned, seen: Mapping[str, list[Seen]], branch: Branch) -> tuple[str, datetime] | None:
    if row.start_at is None:
        return None
    on = row.start_at.astimezone(ZoneInfo(branch.zone)).date()
    for person in row.people:
        for one in seen.get(person["key"], ()):
            if one.seen_at >= row.told_at and one.on == on:
                return one.said_by, one.seen_at
    return None
