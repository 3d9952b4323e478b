"""What public warnings in force ask of a start: which events count for which work, as data with reasons."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from jobs.domain.exposure import Exposure
from planner.forecast.domain.outside.alerts import Alert
from planner.watch.domain.report import OfficialWarning, Verdict
from planner.watch.domain.verdict import SEVERITY

Kind = Literal["thunder", "flood", "wind", "cold", "winter", "heat", "statement"]

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
    """A warned event by the name its sender gives it; ``least`` is the mildest verdict while it holds.

    ``reason`` is the code of a sentence.
    """

    name: str
    kind: Kind
    least: Verdict
    reason: str


def _events(kind: Kind, least: Verdict, reason: str, *names: str) -> tuple[Event, ...]:
    return tuple(Event(name=name, kind=kind, least=least, reason=f"watch.alert.{reason}") for name in names)


# Event names: the US National Weather Service's own (NWS Instruction 10-1701 and 10-1703; recorded replies). What each
# asks of our work is common practice, no source: a warning says it happens or is about to, a watch that it may.
EVENTS = (
    *_events("thunder", Verdict.MOVE, "thunder", "Severe Thunderstorm Warning", "Tornado Warning"),
    *_events("thunder", Verdict.PREPARE, "thunder_watch", "Severe Thunderstorm Watch", "Tornado Watch"),
    *_events("statement", Verdict.PREPARE, "statement", "Special Weather Statement"),
    *_events("flood", Verdict.MOVE, "flood", "Flash Flood Warning", "Flood Warning", "Coastal Flood Warning"),
    *_events(
        "flood",
        Verdict.PREPARE,
        "flood_watch",
        "Flash Flood Watch",
        "Flood Watch",
        "Flood Advisory",
        "Areal Flood Watch",
    ),
    *_events(
        "wind",
        Verdict.MOVE,
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
        Verdict.PREPARE,
        "wind_watch",
        "Wind Advisory",
        "High Wind Watch",
        "Hurricane Watch",
        "Tropical Storm Watch",
    ),
    *_events("cold", Verdict.PREPARE, "frost", "Frost Advisory", "Freeze Watch", "Freeze Warning", "Hard Freeze Watch"),
    *_events("cold", Verdict.MOVE, "hard_freeze", "Hard Freeze Warning", "Extreme Cold Warning"),
    *_events("winter", Verdict.MOVE, "winter", "Winter Storm Warning", "Ice Storm Warning", "Blizzard Warning"),
    *_events("winter", Verdict.PREPARE, "winter_watch", "Winter Storm Watch", "Winter Weather Advisory"),
    *_events("heat", Verdict.PREPARE, "heat", "Heat Advisory", "Extreme Heat Warning", "Extreme Heat Watch"),
    *_events("heat", Verdict.PREPARE, "heat", "Excessive Heat Warning", "Excessive Heat Watch"),
)
_BY_NAME = {event.name: event for event in EVENTS}


def official_of(
    alerts: Iterable[Alert], exposure: Exposure, *, from_at: datetime, until_at: datetime
) -> tuple[OfficialWarning, ...]:
    """The warnings that hold somewhere in the exposed span of a start, as its watch takes them.

    Parameters
    ----------
    alerts : in force at the site, worst first.
    exposure : of the work.
    from_at, until_at : from the start until it is safe, aware, half-open.

    Returns
    -------
    tuple of OfficialWarning
        ``least`` is ``None`` where the event asks nothing of this kind of work: it is shown all the same.
    """
    found = []
    for alert in alerts:
        if not (alert.starts_at < until_at and from_at < alert.until_at):
            continue
        event = _BY_NAME.get(alert.event)
        counts = event is not None and CONCERNS[event.kind](exposure)
        found.append(
            OfficialWarning(
                message_id=alert.message_id,
                event=alert.event,
                sender=alert.sender,
                headline=alert.headline or alert.event,
                instruction=alert.instruction,
                starts_at=alert.starts_at,
                until_at=alert.until_at,
                least=event.least if event is not None and counts else None,
                reason=event.reason if event is not None and counts else "",
            )
        )
    return tuple(found)


def at_least(verdict: Verdict, warnings: Iterable[OfficialWarning]) -> Verdict:
    """A verdict raised to what the warnings ask; an unknown one stays unknown: the office is called either way.

    >>> at_least(Verdict.PREPARE, ()).value
    'prepare'
    """
    if verdict is Verdict.UNKNOWN:
        return verdict
    asked = [warning.least for warning in warnings if warning.least is not None]
    return max([verdict, *asked], key=SEVERITY.__getitem__)
