"""What public warnings in force ask of a start, as a verdict."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from jobs.domain.exposure import Exposure
from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.outside.events import Asks, event_of
from planner.watch.domain.report import OfficialWarning, Verdict
from planner.watch.domain.verdict import SEVERITY

LEAST: Mapping[Asks, Verdict] = {"prepare": Verdict.PREPARE, "move": Verdict.MOVE}


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
        event = event_of(alert, exposure)
        found.append(
            OfficialWarning(
                message_id=alert.message_id,
                event_key=alert.event_key,
                event=alert.event,
                sender=alert.sender,
                headline=alert.headline or alert.event,
                instruction=alert.instruction,
                starts_at=alert.starts_at,
                until_at=alert.until_at,
                least=LEAST[event.asks] if event is not None else None,
                reason=event.reason if event is not None else "",
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
