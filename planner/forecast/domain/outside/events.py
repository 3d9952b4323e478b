"""What public warnings ask of outdoor work: which events count for which work, as data with reasons."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from jobs.domain.exposure import Exposure
from planner.forecast.domain.outside.alerts import Alert

Kind = Literal["thunder", "flood", "wind", "cold", "winter", "heat", "statement"]
Asks = Literal["prepare", "move"]

# Whether a kind of warning concerns a kind of work; work that is not exposed is never watched.
CONCERNS: dict[Kind, Callable[[Exposure], bool]] = {
    "thunder": lambda exposure: True,
    "flood": lambda exposure: True,
    "wind": lambda exposure: exposure.wind_max_m_s is not None or exposure.gust_max_m_s is not None,
    "cold": lambda exposure: exposure.sets or (exposure.air_min_c is not None and exposure.air_min_c.value >= 0),
    "winter": lambda exposure: True,
    "heat": lambda exposure: True,
    "statement": lambda exposure: exposure.stops_for_thunder,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """A warned event by the name its sender gives it.

    ``asks`` is the least it asks while it holds, ``reason`` the code of a sentence.
    """

    name: str
    kind: Kind
    asks: Asks
    reason: str


def _events(kind: Kind, asks: Asks, reason: str, *names: str) -> tuple[Event, ...]:
    return tuple(Event(name=name, kind=kind, asks=asks, reason=f"watch.alert.{reason}") for name in names)


# Event names: the US National Weather Service's own (NWS Instruction 10-1701 and 10-1703; recorded replies). What each
# asks of our work is common practice, no source: a warning says it happens or is about to, a watch that it may.
EVENTS = (
    *_events("thunder", "move", "thunder", "Severe Thunderstorm Warning", "Tornado Warning"),
    *_events("thunder", "prepare", "thunder_watch", "Severe Thunderstorm Watch", "Tornado Watch"),
    *_events("statement", "prepare", "statement", "Special Weather Statement"),
    *_events("flood", "move", "flood", "Flash Flood Warning", "Flood Warning", "Coastal Flood Warning"),
    *_events(
        "flood",
        "prepare",
        "flood_watch",
        "Flash Flood Watch",
        "Flood Watch",
        "Flood Advisory",
        "Areal Flood Watch",
    ),
    *_events(
        "wind",
        "move",
        "wind",
        "High Wind Warning",
        "Extreme Wind Warning",
        "Hurricane Warning",
        "Tropical Storm Warning",
        "Dust Storm Warning",
        "Blowing Dust Warning",
    ),
    *_events(
        "wind",
        "prepare",
        "wind_watch",
        "Wind Advisory",
        "High Wind Watch",
        "Hurricane Watch",
        "Tropical Storm Watch",
    ),
    *_events("cold", "prepare", "frost", "Frost Advisory", "Freeze Watch", "Freeze Warning", "Hard Freeze Watch"),
    *_events("cold", "move", "hard_freeze", "Hard Freeze Warning", "Extreme Cold Warning"),
    *_events("winter", "move", "winter", "Winter Storm Warning", "Ice Storm Warning", "Blizzard Warning"),
    *_events("winter", "prepare", "winter_watch", "Winter Storm Watch", "Winter Weather Advisory"),
    *_events("heat", "prepare", "heat", "Heat Advisory", "Extreme Heat Warning", "Extreme Heat Watch"),
    *_events("heat", "prepare", "heat", "Excessive Heat Warning", "Excessive Heat Watch"),
)
_BY_NAME = {event.name: event for event in EVENTS}


def event_of(alert: Alert, exposure: Exposure) -> Event | None:
    """What a warning asks of a kind of work; ``None`` where it asks nothing."""
    event = _BY_NAME.get(alert.event)
    return event if event is not None and CONCERNS[event.kind](exposure) else None


def forbidding(
    alerts: Iterable[Alert], exposure: Exposure, *, from_at: datetime, until_at: datetime
) -> tuple[Alert, ...]:
    """The warnings under which work of an exposure does not go on, somewhere in [from_at, until_at)."""
    return tuple(
        alert
        for alert in alerts
        if alert.starts_at < until_at
        and from_at < alert.until_at
        and (event := event_of(alert, exposure)) is not None
        and event.asks == "move"
    )
