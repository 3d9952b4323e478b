"""Reads of crews, each scoped to one branch and ordered."""

from datetime import date, datetime

from django.db.models import Q, QuerySet

from crews.models import Booking, BranchDay, Crew, Gear, Message, Supplier
from jobs.models import Branch


def list_crews(*, branch: Branch) -> QuerySet[Crew]:
    """Active crews with trades and days."""
    return (
        Crew.objects.filter(branch=branch, active=True)
        .select_related("booked_through")
        .prefetch_related("trades", "days")
        .order_by("name", "id")
    )


def get_crew(*, branch: Branch, name: str) -> Crew:
    """An active crew by its name or key; raises ``Crew.DoesNotExist``."""
    found = Crew.objects.filter(branch=branch, active=True)
    return found.filter(name__iexact=name).first() or found.get(key=name)


def list_gear(*, branch: Branch) -> QuerySet[Gear]:
    return Gear.objects.filter(branch=branch).order_by("kind")


def list_suppliers(*, branch: Branch) -> QuerySet[Supplier]:
    return Supplier.objects.filter(branch=branch).order_by("kind", "id")


def list_live_bookings(*, branch: Branch) -> QuerySet[Booking]:
    """Bookings that are not cancelled, of open tasks."""
    return (
        Booking.objects.filter(supplier__branch=branch, task__finished_at__isnull=True)
        .exclude(state=Booking.State.CANCELLED)
        .select_related("supplier")
        .order_by("on", "id")
    )


def list_branch_days(*, branch: Branch, from_on: date) -> QuerySet[BranchDay]:
    return BranchDay.objects.filter(branch=branch, on__gte=from_on).order_by("on")


def list_messages(*, branch: Branch, since: datetime) -> QuerySet[Message]:
    """What was told to whom since a moment, and whatever still waits or was given up; the newest first."""
    open_states = (Message.State.WAITING, Message.State.SENDING, Message.State.DEAD)
    return Message.objects.filter(Q(posted_at__gte=since) | Q(state__in=open_states), branch=branch).order_by(
        "-posted_at", "-id"
    )


def list_dead(*, branch: Branch) -> QuerySet[Message]:
    """Messages that were given up, with their reasons; the newest first."""
    return Message.objects.filter(branch=branch, state=Message.State.DEAD).order_by("-posted_at", "-id")
