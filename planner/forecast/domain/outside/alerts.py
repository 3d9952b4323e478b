"""Public warnings: which of many messages count at a place, and until when.

A warning is a chain of messages. Each update is a message of its own, may cover a part of the ground only, and may
come after the one before has run out; ``ends`` is the end of the event, ``expires`` only that of the message.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from planner.forecast.domain.place import Place

Ring = tuple[tuple[float, float], ...]
Polygon = tuple[Ring, ...]

# Event actions that end it: cancelled, expired, replaced by another event (VTEC, from memory).
ENDING_ACTIONS = frozenset({"CAN", "EXP", "UPG"})
_SEVERITIES = ("Extreme", "Severe", "Moderate", "Minor")


@dataclass(frozen=True, slots=True, kw_only=True)
class Alert:
    """One message of a warning.

    ``event_key`` is the same for all messages about one event; ``action`` is what the message does to it where it
    says so; ``references`` are the messages it takes the place of. ``outline`` holds polygons of rings of
    (longitude, latitude), the first ring the outer one; where there is none, ``zones`` say where it holds.
    """

    message_id: str
    event_key: str
    action: str
    event: str
    message_type: str
    status: str
    severity: str
    certainty: str
    urgency: str
    headline: str
    instruction: str
    area: str
    sender: str
    sent_at: datetime
    starts_at: datetime
    until_at: datetime
    zones: tuple[str, ...] = ()
    outline: tuple[Polygon, ...] = ()
    references: tuple[str, ...] = ()

    @property
    def is_actual(self) -> bool:
        """Whether it is meant, and no exercise, test or draft."""
        return self.status == "Actual"

    @property
    def ends_event(self) -> bool:
        return self.message_type == "Cancel" or self.action in ENDING_ACTIONS

    def covers(self, place: Place, zones: Iterable[str]) -> bool:
        """Whether it holds at a place that lies in these zones."""
        if self.outline:
            return any(_inside(polygon, place) for polygon in self.outline)
        return not set(self.zones).isdisjoint(zones)


def in_force(alerts: Iterable[Alert], *, place: Place, zones: Iterable[str], now: datetime) -> tuple[Alert, ...]:
    """The warnings that hold at a place or are about to, one message an event.

    Parameters
    ----------
    alerts : iterable of Alert
        Everything known, in any order, however often.
    place : Place
        The site.
    zones : iterable of str
        Codes of the zones the site lies in.
    now : datetime
        The present moment.

    Returns
    -------
    tuple of Alert
        Worst first, then by start. Exercises, messages replaced by another, events cancelled here and events that
        are over are left out; one that begins later is in (``has_begun``).
    """
    known = {alert.message_id: alert for alert in alerts if alert.is_actual}
    replaced = {reference for alert in known.values() for reference in alert.references}
    zones = frozenset(zones)
    newest: dict[str, Alert] = {}
    for alert in known.values():
        if alert.message_id in replaced or not alert.covers(place, zones):
            continue
        before = newest.get(alert.event_key)
        # Of two parts of one event sent together, the one that holds longer counts.
        if before is None or (alert.sent_at, alert.until_at) > (before.sent_at, before.until_at):
            newest[alert.event_key] = alert
    holding = [alert for alert in newest.values() if not alert.ends_event and alert.until_at > now]
    return tuple(sorted(holding, key=lambda a: (_rank(a.severity), a.starts_at, a.message_id)))


def _rank(severity: str) -> int:
    return _SEVERITIES.index(severity) if severity in _SEVERITIES else len(_SEVERITIES)


def _inside(polygon: Polygon, place: Place) -> bool:
    """Inside the outer ring and in no hole."""
    return bool(polygon) and _in_ring(polygon[0], place) and not any(_in_ring(hole, place) for hole in polygon[1:])


def _in_ring(ring: Ring, place: Place) -> bool:
    """Even-odd rule on longitude and latitude as plane coordinates; warned areas are small."""
    inside = False
    x, y = place.longitude, place.latitude
    for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], *ring[:1]), strict=True):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            inside = not inside
    return inside
