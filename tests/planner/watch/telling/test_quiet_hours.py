"""Nobody is woken for a pour of another day; on pour day a warning goes out at any hour."""

from datetime import datetime, time

import pytest

from crews.domain.quiet_hours import QuietHours
from planner.watch.domain.telling.hours import going_of
from tests.planner.forecast_domain.skies import ZONE, local

QUIET = QuietHours(from_time=time(21), until_time=time(6))


@pytest.mark.parametrize(
    ("now", "start_at", "goes_at", "urgent"),
    [
        # Daytime: at once.
        (local(15), local(7, day=2), local(15), False),
        # Night, the pour is days ahead: in the morning.
        (local(22), local(7, day=2), local(6, day=1), False),
        # Night before the pour: three hours before it, not at six.
        (local(22), local(7, day=1), local(4, day=1), True),
        (local(22), local(10, day=1), local(6, day=1), False),
        # Pour day, before dawn: at once.
        (local(2, day=1), local(7, day=1), local(2, day=1), True),
        (local(22, day=1), local(7, day=1), local(22, day=1), True),
        # Of no start: in the morning.
        (local(23), None, local(6, day=1), False),
    ],
)
def test_when_a_message_goes(now: datetime, start_at: datetime | None, goes_at: datetime, urgent: bool) -> None:
    going = going_of(now, start_at, quiet=QUIET, zone=ZONE.key)
    assert (going.not_before, going.urgent) == (goes_at, urgent)
