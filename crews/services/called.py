"""What came of a call: a slot somebody said yes to, one that was asked for, or one called off."""

from datetime import date, datetime
from typing import Literal

from crews.domain.calls import Call
from crews.models import Booking
from crews.services import bookings
from jobs.domain.errors import CannotDo
from jobs.models import Branch, Task

Said = Literal["yes", "asked", "off"]


def keep(*, branch: Branch, task: Task, call: Call, said: Said, on: date | None, now: datetime) -> Booking | None:
    """Keep what came of a call; the booking, or ``None`` where the slot was called off.

    Parameters
    ----------
    said : ``yes`` for the day, ``asked`` and no word yet, or ``off``: called off.
    on : the day, where it is not called off.

    Raises
    ------
    CannotDo
        ``bookings.bad_day`` without a day; as ``bookings.ask``.
    """
    # A visit is booked by the kind its task names, and called for at its authority.
    kind = next(iter(task.details.get("bookings", ())), call.kind) if call.act == "ask" else call.kind
    if said == "off":
        bookings.call_off(branch=branch, task=task, kind=kind)
        return None
    if on is None:
        raise CannotDo("bookings.bad_day", field="on", value="")
    do = bookings.confirm if said == "yes" else bookings.ask
    return do(branch=branch, task=task, kind=kind, on=on, now=now)
