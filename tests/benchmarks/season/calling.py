"""An office that makes its calls: what the list of calls says is asked for, moved, called off, and said yes to at once.

Nothing is called for before the list says so, two working days ahead of its deadline; goods come on their day.
"""

from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

from crews.domain.calls import Call, free_until
from crews.models import Booking
from crews.services import bookings
from crews.services.called import Said
from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_vocabulary
from jobs.models import Branch
from planner.dayplans.domain.calling import desk_of, list_calls
from planner.dayplans.reminding import keep_call
from planner.plans.services import world_of


@dataclass(slots=True)
class Calls:
    """What a season's calls came to: how many there were, those past their last moment, fees, and refusals."""

    made: int = 0
    moved: int = 0
    late: int = 0
    fee_dollars: int = 0
    refused: list[str] = field(default_factory=list)


def make_calls(branch: Branch, now: datetime, calls: Calls) -> None:
    """Make every call of today's list."""
    branch.refresh_from_db()
    today = now.astimezone(ZoneInfo(branch.zone)).date()
    for came in Booking.objects.filter(task__branch=branch, state__in=bookings.LIVE, on__lte=today):
        bookings.arrived(branch=branch, task=came.task, kind=came.kind, wrong=False, now=now)
    world = world_of(branch=branch, as_of=now)
    vocabulary = load_vocabulary()
    desk = desk_of(world, vocabulary)
    by_id = {booking.task: booking for booking in world.crews.bookings}
    for about in list_calls(world, world.told, vocabulary):
        call, booked = about.call, by_id.get(about.call.task)
        try:
            _keep(branch, call, now)
        except CannotDo as refused:
            calls.refused.append(f"{now:%d %b} {call.fact}: {refused}")
            continue
        calls.made += 1
        calls.late += call.by_at is not None and call.by_at <= now
        if call.act in ("move", "call_off"):
            calls.moved += 1
            if booked is not None and call.supplier is not None and free_until(desk, booked) <= now:
                calls.fee_dollars += call.supplier.fee_dollars


def _keep(branch: Branch, call: Call, now: datetime) -> None:
    said: Said = "off" if call.act == "call_off" else "yes"
    on = call.on if call.act == "confirm" else call.wanted_on
    keep_call(branch=branch, fact=call.fact, said=said, on=None if said == "off" else on, now=now)
