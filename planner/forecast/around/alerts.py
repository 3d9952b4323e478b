"""Public warnings at sites: asked for, kept message by message, and read as what holds there now."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from planner.forecast.domain.outside.alerts import Alert, in_force
from planner.forecast.domain.outside.providers import NWS
from planner.forecast.domain.place import Place
from planner.forecast.models import OfficialAlert, UrlState
from planner.forecast.selectors import find_grid_places
from planner.forecast.services import cell_of
from planner.forecast.snapshots import alert_facts, alert_of
from planner.forecast.sources.client import Unchanged
from planner.forecast.sources.nws import NwsSource
from planner.forecast.sources.nws_alerts import NwsAlerts, alerts_address


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceAlerts:
    """The warnings at a place, worst first, and when the service was last asked; never if ``checked_at`` is none."""

    alerts: tuple[Alert, ...]
    checked_at: datetime | None


def pull_alerts(*, source: NwsSource, place: Place, now: datetime) -> int:
    """Ask which warnings are out at a place and keep them.

    Returns
    -------
    int
        How many messages are new.

    Raises
    ------
    CannotDo, OutsideFailure
        As the source says; what was kept stays, with its age.
    """
    cell_of(source=source, place=place, now=now)
    answer = NwsAlerts(source.client).active(place, now)
    if isinstance(answer, Unchanged):
        return 0
    with transaction.atomic():
        new = sum(keep_alert(alert, now=now) for alert in answer.read.alerts)
        source.memory.keep(answer.known)
    return new


def keep_alert(alert: Alert, *, now: datetime) -> bool:
    """Keep a message once, and note that it is still listed; whether it is new."""
    row, created = OfficialAlert.objects.get_or_create(
        message_id=alert.message_id,
        defaults={
            "event_key": alert.event_key,
            "sent_at": alert.sent_at,
            "until_at": alert.until_at,
            "first_seen_at": now,
            "seen_at": now,
            "facts": alert_facts(alert),
        },
    )
    if not created:
        OfficialAlert.objects.filter(pk=row.pk, seen_at__lt=now).update(seen_at=now)
    return created


def alerts_at(*, base_url: str, places: Sequence[Place], now: datetime) -> dict[Place, PlaceAlerts]:
    """What is known of warnings at places, in three queries however many places, without asking anybody.

    A message the service no longer lists is over, whatever it said.
    """
    addresses = {place: alerts_address(base_url, place) for place in places}
    states = {state.url: state for state in UrlState.objects.filter(url__in=set(addresses.values()), status=200)}
    cells = find_grid_places(source=NWS.cells, places=places)
    rows = list(OfficialAlert.objects.filter(until_at__gt=now, first_seen_at__lte=now).order_by("sent_at", "pk"))
    read = {row.pk: alert_of(row) for row in rows}
    found = {}
    for place, address in addresses.items():
        state = states.get(address)
        if state is None:
            found[place] = PlaceAlerts(alerts=(), checked_at=None)
            continue
        listed = [read[row.pk] for row in rows if row.seen_at >= state.changed_at]
        zones = cells[place].zones if place in cells else ()
        held = in_force(listed, place=place, zones=zones, now=now)
        found[place] = PlaceAlerts(alerts=held, checked_at=state.checked_at)
    return found
