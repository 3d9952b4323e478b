"""Official warnings over the sites, and which service fails since when."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from jobs.domain.facts import SiteFacts
from planner.forecast.domain.outside.alerts import Alert
from planner.web.presenters.pools.reader import Reader


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureFacts:
    """A pull that fails: of what (``forecast``, ``warnings``, ``measured``), over which sites, since when.

    ``stopped``: nothing comes any more; else the last try got over it, as where another service stood in.
    """

    kind: str
    sites: tuple[str, ...]
    since_at: datetime
    well_at: datetime | None
    problem: str
    stopped: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertRow:
    """One warning with every site it holds at."""

    sites: str
    headline: str
    sender: str
    span: str
    severity: str
    instruction: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureRow:
    """``stopped``: nothing comes any more; else another service stands in."""

    what: str
    sites: str
    since: str
    well: str
    problem: str
    stopped: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarms:
    """``asked`` says when the service was asked for warnings last, or that none is asked."""

    alerts: tuple[AlertRow, ...]
    asked: str
    failures: tuple[FailureRow, ...]


def present_alarms(
    reader: Reader, sites: Sequence[SiteFacts], failures: Iterable[FailureFacts], *, asks_warnings: bool
) -> Alarms:
    """Warnings worst first, as the service ranks them; failures in the order given."""
    holding: dict[str, tuple[Alert, list[str]]] = {}
    asked: list[datetime | None] = []
    for site in sites:
        sky = reader.world.skies.get(site.id)
        asked.append(sky.alerts_at if sky is not None else None)
        for alert in sky.alerts if sky is not None else ():
            holding.setdefault(alert.message_id, (alert, []))[1].append(site.name)
    return Alarms(
        alerts=tuple(_alert(reader, alert, names) for alert, names in holding.values()),
        asked=_asked(reader, asked, asks_warnings=asks_warnings),
        failures=tuple(_failure(reader, one) for one in failures),
    )


def _alert(reader: Reader, alert: Alert, names: Sequence[str]) -> AlertRow:
    gettext = reader.gettext
    return AlertRow(
        sites=", ".join(names),
        headline=alert.headline or alert.event,
        sender=alert.sender,
        span=gettext("{start} to {end}").format(start=reader.when(alert.starts_at), end=reader.when(alert.until_at)),
        severity=gettext(alert.severity.lower()),
        instruction=alert.instruction,
    )


def _asked(reader: Reader, asked: Sequence[datetime | None], *, asks_warnings: bool) -> str:
    gettext = reader.gettext
    if not asks_warnings:
        return gettext(
            "No service of this branch tells official warnings: look at those of your country's weather service."
        )
    known = [at for at in asked if at is not None]
    if len(known) < len(asked) or not known:
        return gettext("Not every site has been asked for yet: look at the weather service's own warnings.")
    return gettext("Last asked {when}.").format(when=reader.when(min(known)))


def _failure(reader: Reader, one: FailureFacts) -> FailureRow:
    gettext = reader.gettext
    words = {
        "forecast": gettext("Forecast"),
        "warnings": gettext("Official warnings"),
        "measured": gettext("Measured rain"),
    }
    return FailureRow(
        what=words.get(one.kind, one.kind),
        sites=", ".join(one.sites),
        since=reader.when(one.since_at),
        well=reader.when(one.well_at) if one.well_at is not None else gettext("never yet"),
        problem=one.problem,
        stopped=one.stopped,
    )
