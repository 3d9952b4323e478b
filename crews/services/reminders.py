"""Calls by deadline, as messages: a list each morning, a last word before the deadline, letters to suppliers."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from django.db import transaction

from crews.domain.calls import LETTERS, Call, Reminder
from crews.domain.reachable import Reachable
from crews.domain.supplier_letters import letter_of
from crews.models import BranchReach, Message, Supplier
from crews.services import called
from crews.services.outbox import post
from crews.snapshots import supplier_reached
from jobs.domain.errors import CannotDo
from jobs.models import Branch, Task


def post_due(*, branch: Branch, reminders: Iterable[Reminder], people: Sequence[Reachable], now: datetime) -> int:
    """Post reminders to the office, each once for each person; the number that are new."""
    posted = 0
    with transaction.atomic():
        for one in reminders:
            for person in people:
                known = Message.objects.filter(branch=branch, fact=one.fact, person=person.key).exists()
                posted += not known
                if not known:
                    post(
                        branch=branch,
                        fact=one.fact,
                        person=person,
                        subject=one.subject,
                        body=one.body,
                        short=one.short,
                        now=now,
                    )
    return posted


def write_supplier(*, branch: Branch, task: Task, call: Call, values: Mapping[str, str], now: datetime) -> Message:
    """Write a letter in place of a call, and keep in the same transaction what it says: asked for, or called off.

    The same call again changes nothing.

    Raises
    ------
    CannotDo
        ``letters.nobody``, ``letters.no_mail``, ``letters.not_wanted``; as ``bookings.ask`` and ``letter_of``.
    """
    if call.act not in LETTERS:
        raise CannotDo("letters.not_wanted", field="act")
    if call.supplier is None:
        raise CannotDo("letters.nobody", field="kind", kind=call.kind)
    supplier = Supplier.objects.get(branch=branch, pk=call.supplier.id)
    if not supplier.email:
        raise CannotDo("letters.no_mail", field="mail", name=supplier.name, phone=supplier.phone or "them")
    kind = LETTERS[call.act]
    reach = BranchReach.objects.filter(branch=branch).first()
    letter = letter_of(kind, values, own=reach.letters()[kind] if reach is not None else "")
    with transaction.atomic():
        (message, *_) = post(
            branch=branch,
            fact=f"letter:{call.fact}",
            person=supplier_reached(supplier),
            subject=letter.subject,
            body=letter.body,
            now=now,
        )
        said: called.Said = "off" if call.act == "call_off" else "asked"
        called.keep(branch=branch, task=task, call=call, said=said, on=call.wanted_on, now=now)
    return message
