"""Bookings: asked for, confirmed, arrived or wrong, called off. Each bumps the branch's inputs."""

from datetime import date, datetime

from django.db import transaction

from crews.models import Booking, Crew, Supplier
from jobs.domain.errors import CannotDo
from jobs.models import Branch, Task
from jobs.services.branches import bump_inputs

LIVE = (Booking.State.ASKED, Booking.State.CONFIRMED)


def supplier_for(*, branch: Branch, task: Task, kind: str) -> Supplier:
    """Who is called: for a visit its authority, else the supplier of the kind.

    Raises
    ------
    CannotDo
        ``bookings.no_supplier`` where the branch has nobody of that kind.
    """
    asked = task.details.get("authority") or kind if task.kind == Task.Kind.VISIT else kind
    found = Supplier.objects.filter(branch=branch, kind=asked).first()
    if found is None:
        raise CannotDo("bookings.no_supplier", field="kind", kind=asked, branch=branch.name)
    return found


def ask(*, branch: Branch, task: Task, kind: str, on: date, now: datetime, reference: str = "") -> Booking:
    """A slot asked for on a day; asking again for the same day changes nothing, for another day asks anew.

    Raises
    ------
    CannotDo
        ``bookings.other_branch``, ``bookings.wrong_kind``, ``bookings.no_supplier``.
    """
    _refuse_foreign(branch, task, kind)
    supplier = supplier_for(branch=branch, task=task, kind=kind)
    with transaction.atomic():
        Branch.objects.select_for_update().get(pk=branch.pk)
        booking = live_booking(task=task, kind=kind)
        if booking is not None and booking.on == on and booking.state in LIVE:
            return booking
        if booking is None:
            booking = Booking(supplier=supplier, task=task, kind=kind)
        booking.state, booking.on, booking.asked_at = Booking.State.ASKED, on, now
        booking.confirmed_at, booking.reference = None, reference[:60]
        booking.save()
        bump_inputs(branch_id=branch.pk)
    return booking


def confirm(*, branch: Branch, task: Task, kind: str, on: date, now: datetime, reference: str = "") -> Booking:
    """The supplier or authority said yes for a day; a slot nobody had asked for counts as asked in the same call.

    Raises
    ------
    CannotDo
        As ``ask``.
    """
    with transaction.atomic():
        booking = ask(branch=branch, task=task, kind=kind, on=on, now=now)
        if booking.state == Booking.State.CONFIRMED:
            return booking
        booking.state, booking.confirmed_at = Booking.State.CONFIRMED, now
        booking.reference = reference[:60] or booking.reference
        booking.save(update_fields=["state", "confirmed_at", "reference"])
        bump_inputs(branch_id=branch.pk)
    return booking


def arrived(*, branch: Branch, task: Task, kind: str, wrong: bool, now: datetime) -> Booking:
    """What was booked came, whole or short or wrong.

    Raises
    ------
    CannotDo
        ``bookings.none_live`` where nothing of the kind is booked for the task.
    """
    _refuse_foreign(branch, task, kind)
    with transaction.atomic():
        Branch.objects.select_for_update().get(pk=branch.pk)
        booking = live_booking(task=task, kind=kind)
        if booking is None:
            raise CannotDo("bookings.none_live", field="kind", kind=kind, title=task.title)
        booking.state = Booking.State.WRONG if wrong else Booking.State.ARRIVED
        booking.confirmed_at = booking.confirmed_at or now
        booking.save(update_fields=["state", "confirmed_at"])
        bump_inputs(branch_id=branch.pk)
    return booking


def call_off(*, branch: Branch, task: Task, kind: str) -> None:
    """A slot the office has called off; calling it off again changes nothing.

    Raises
    ------
    CannotDo
        ``bookings.other_branch``.
    """
    if task.branch_id != branch.pk:
        raise CannotDo("bookings.other_branch", field="task")
    live = Booking.objects.filter(task=task, kind=kind, state__in=LIVE)
    with transaction.atomic():
        if live.update(state=Booking.State.CANCELLED):
            bump_inputs(branch_id=branch.pk)


def use_up(*, branch: Branch, task: Task) -> None:
    """A visit that took place without passing leaves no slot behind: the next one is asked for from the start."""
    ended = Booking.objects.filter(task=task, task__branch=branch).exclude(state=Booking.State.CANCELLED)
    if ended.update(state=Booking.State.CANCELLED):
        bump_inputs(branch_id=branch.pk)


def live_booking(*, task: Task, kind: str) -> Booking | None:
    """The booking of a kind that is not called off."""
    return Booking.objects.filter(task=task, kind=kind).exclude(state=Booking.State.CANCELLED).first()


def _refuse_foreign(branch: Branch, task: Task, kind: str) -> None:
    if task.branch_id != branch.pk:
        raise CannotDo("bookings.other_branch", field="task")
    if kind not in task.details.get("bookings", ()) and not _comes_with_a_crew(branch, task, kind):
        raise CannotDo("bookings.wrong_kind", field="kind", kind=kind, title=task.title)


def _comes_with_a_crew(branch: Branch, task: Task, kind: str) -> bool:
    """Whether a crew that could do the work comes by a booking of the kind."""
    return Crew.objects.filter(branch=branch, booked_through__kind=kind, trades__trade=task.trade).exists()
