"""The office reminded of its calls, and suppliers written to where the office lets letters go out by themselves."""

import logging
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext

from crews.domain.calls import has_letter, is_last_call
from crews.models import BranchReach, Message
from crews.services.called import Said, keep
from crews.services.reminders import post_due, write_supplier
from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_vocabulary
from jobs.models import Branch, Task
from planner.dayplans.domain.calling import CallAbout, list_calls, morning_list
from planner.dayplans.presenters.calls import CallWriter
from planner.plans.replanning.facts import ask_after_booking
from planner.plans.services import world_of
from planner.watch.people import office_of

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminded:
    """New messages to the office, and letters to suppliers."""

    reminders: int = 0
    letters: int = 0


def remind(*, branch: Branch, now: datetime) -> Reminded:
    """Post what is due of a branch's calls; run it as often as you like, each message goes out once.

    A list at the opening of each working day, of every call due by the end of the next; one more word two hours
    before each deadline. Where the office lets letters go out by themselves, the calls of the list that a letter can
    say are written, and only the others are reminded of.
    """
    world = world_of(branch=branch, as_of=now)
    calls = list_calls(world, world.told, load_vocabulary())
    writer = CallWriter(world.branch, load_vocabulary(), now, gettext)
    pressing = morning_list(world, calls)
    written = _write_what_may(branch, pressing, writer, now)
    left = [one for one in pressing if one.call.fact not in written]
    reminders = [
        *([writer.morning(left, world.crews.branch_calendar.date_of(now))] if left else []),
        *(writer.last_word(one) for one in calls if one.call.fact not in written and is_last_call(one.call, now=now)),
    ]
    return Reminded(
        reminders=post_due(branch=branch, reminders=reminders, people=office_of(branch), now=now), letters=len(written)
    )


def write_call(*, branch: Branch, fact: str, now: datetime) -> Message:
    """Write to the supplier in place of one call on today's list.

    Raises
    ------
    CannotDo
        ``letters.not_wanted`` where the list holds no such call any more; as ``write_supplier``.
    """
    about, writer = _on_the_list(branch, fact, now)
    return _write(branch, about, writer, now)


def keep_call(*, branch: Branch, fact: str, said: Said, on: date | None, now: datetime) -> str:
    """Keep what came of one call on today's list, and ask for another plan where the day does not fit the one in force.

    Returns
    -------
    str
        What was called about, and at which pool.

    Raises
    ------
    CannotDo
        ``letters.not_wanted`` where the list holds no such call any more; as ``called.keep``.
    """
    about, writer = _on_the_list(branch, fact, now)
    task = Task.objects.get(branch=branch, pk=about.task.id)
    with transaction.atomic():
        booking = keep(branch=branch, task=task, call=about.call, said=said, on=on, now=now)
        if booking is not None:
            ask_after_booking(branch=branch, booking=booking, now=now)
    view = writer.view(about)
    return f"{view.pool}, {writer.title(about)}"


def _on_the_list(branch: Branch, fact: str, now: datetime) -> tuple[CallAbout, CallWriter]:
    world = world_of(branch=branch, as_of=now)
    about = next((one for one in list_calls(world, world.told, load_vocabulary()) if one.call.fact == fact), None)
    if about is None:
        raise CannotDo("letters.not_wanted", field="fact")
    return about, CallWriter(world.branch, load_vocabulary(), now, gettext)


def _write_what_may(branch: Branch, calls: tuple[CallAbout, ...], writer: CallWriter, now: datetime) -> frozenset[str]:
    if not BranchReach.objects.filter(branch=branch, writes_by_itself=True).exists():
        return frozenset()
    written = set()
    for one in calls:
        if not has_letter(one.call):
            continue
        try:
            _write(branch, one, writer, now)
        except CannotDo as refused:
            # The call stays on the list that the office is reminded of.
            log.warning("No letter for %s: %s", one.call.fact, refused)
        else:
            written.add(one.call.fact)
    return frozenset(written)


def _write(branch: Branch, about: CallAbout, writer: CallWriter, now: datetime) -> Message:
    task = Task.objects.get(branch=branch, pk=about.task.id)
    return write_supplier(branch=branch, task=task, call=about.call, values=writer.letter_values(about), now=now)
