"""Reads public warnings of the US service and asks for those at a point.

Field names: api.weather.gov, OpenAPI specification, and CAP 1.2; event codes (VTEC): NWS Instruction 10-1703;
quirks: recorded replies.
"""

import logging
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.outside.alerts import Alert, Polygon
from planner.forecast.domain.place import Place
from planner.forecast.sources import http
from planner.forecast.sources.client import Client, Unchanged
from planner.forecast.sources.conditional import Known
from planner.forecast.sources.nws import refusal
from planner.forecast.sources.reading import mapping, moment, number, sequence

logger = logging.getLogger(__name__)

# The service asks for no more than a request every half minute.
LEAST_LIFE = timedelta(minutes=1)
_VTEC = re.compile(r"/([OTEX])\.([A-Z]{3})\.([A-Z]{4})\.([A-Z]{2})\.([A-Z])\.(\d{4})\.")
_ZONE = re.compile(r"[A-Z]{2}[CZ]\d{3}")
_LONGEST_TEXT = 4000


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertsRead:
    """The messages of a reply, and what was wrong with those that could not be read."""

    alerts: tuple[Alert, ...]
    unread: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertsFetched:
    read: AlertsRead
    known: Known


def read_alerts(payload: Mapping[str, Any]) -> AlertsRead:
    """Read a reply of the alerts pages.

    One message that cannot be read must not hide the others: it is named in ``unread``.

    Raises
    ------
    OutsideFailure
        If the reply is no list of messages.
    """
    alerts, unread = [], []
    for feature in sequence(payload.get("features"), "features"):
        try:
            alerts.append(_alert(mapping(feature, "features")))
        except OutsideFailure as failure:
            unread.append(str(failure))
    return AlertsRead(alerts=tuple(alerts), unread=tuple(unread))


def _alert(feature: Mapping[str, Any]) -> Alert:
    properties = mapping(feature.get("properties"), "properties")
    message_id = _text(properties, "id", required=True)
    sent_at = moment(properties.get("sent"), "sent")
    expires_at = moment(properties.get("expires"), "expires")
    starts = next((properties[name] for name in ("onset", "effective") if properties.get(name)), None)
    references = [
        mapping(reference, "references") for reference in sequence(properties.get("references") or [], "references")
    ]
    event_key, action, product = _event(properties, message_id, references, sent_at)
    # A test product is no warning, whatever its status says.
    status = "Test" if product in {"T", "X"} else _text(properties, "status", required=True)
    return Alert(
        message_id=message_id,
        event_key=event_key,
        action=action,
        event=_text(properties, "event", required=True),
        message_type=_text(properties, "messageType", required=True),
        status=status,
        severity=_text(properties, "severity"),
        certainty=_text(properties, "certainty"),
        urgency=_text(properties, "urgency"),
        headline=_text(properties, "headline"),
        instruction=_text(properties, "instruction"),
        area=_text(properties, "areaDesc"),
        sender=_text(properties, "senderName"),
        sent_at=sent_at,
        starts_at=sent_at if starts is None else moment(starts, "onset"),
        until_at=expires_at if properties.get("ends") is None else moment(properties["ends"], "ends"),
        zones=_zones(properties),
        outline=_outline(feature.get("geometry")),
        references=tuple(str(reference["identifier"]) for reference in references if reference.get("identifier")),
    )


def _text(properties: Mapping[str, Any], name: str, *, required: bool = False) -> str:
    raw = properties.get(name)
    if isinstance(raw, str) and raw:
        return raw[:_LONGEST_TEXT]
    if required:
        raise OutsideFailure("forecast.bad_value", field=name, value=repr(raw)[:40])
    return ""


def _event(
    properties: Mapping[str, Any], message_id: str, references: Sequence[Mapping[str, Any]], sent_at: datetime
) -> tuple[str, str, str]:
    """Key of the event, the action on it and the kind of product: by event code, else by the first of the chain."""
    parameters = properties.get("parameters")
    codes = parameters.get("VTEC") if isinstance(parameters, dict) else None
    for code in codes if isinstance(codes, list) else ():
        found = _VTEC.match(str(code))
        if found is not None:
            product, action, *event = found.groups()
            # Numbers start again each year.
            return f"{'.'.join(event)}.{sent_at.year}", action, product
    chain = sorted((str(r.get("sent") or ""), str(r.get("identifier") or "")) for r in references)
    return next((identifier for _, identifier in chain if identifier), message_id), "", ""


def _zones(properties: Mapping[str, Any]) -> tuple[str, ...]:
    """Zone and county codes, from the codes themselves and from the links to them."""
    geocode = properties.get("geocode")
    codes = geocode.get("UGC") if isinstance(geocode, dict) else None
    links = properties.get("affectedZones")
    named = [str(code) for code in (codes if isinstance(codes, list) else [])]
    named += [str(link).rstrip("/").rpartition("/")[2] for link in (links if isinstance(links, list) else [])]
    return tuple(sorted({code for code in named if _ZONE.fullmatch(code)}))


def _outline(geometry: object) -> tuple[Polygon, ...]:
    if geometry is None:
        return ()
    stated = mapping(geometry, "geometry")
    kind = stated.get("type")
    if kind == "GeometryCollection":
        parts = [_outline(part) for part in sequence(stated.get("geometries"), "geometries")]
        return tuple(polygon for part in parts for polygon in part)
    if kind == "Polygon":
        return (_polygon(stated.get("coordinates")),)
    if kind == "MultiPolygon":
        return tuple(_polygon(part) for part in sequence(stated.get("coordinates"), "coordinates"))
    raise OutsideFailure("forecast.bad_value", field="geometry", value=repr(kind)[:40])


def _polygon(raw: object) -> Polygon:
    return tuple(
        tuple((number(x, "coordinates"), number(y, "coordinates")) for x, y, *_ in sequence(ring, "coordinates"))
        for ring in sequence(raw, "coordinates")
    )


def alerts_address(base_url: str, place: Place) -> str:
    """Where the warnings of a place are listed."""
    return f"{base_url.rstrip('/')}/alerts/active?point={place.text}"


class NwsAlerts:
    """Warnings of the live service, through the client of its forecasts."""

    def __init__(self, client: Client) -> None:
        self.client = client

    def active(self, place: Place, as_of: datetime) -> AlertsFetched | Unchanged:
        """The messages listed for a place, or that they are still those known.

        Raises
        ------
        CannotDo
            ``forecast.outside_coverage``.
        OutsideFailure
            If the service failed.
        """
        answer = self.client.ask(alerts_address(self.client.base_url, place), as_of)
        if isinstance(answer, Unchanged):
            return answer
        if answer.reply.status != 200:
            raise refusal(answer.reply, place)
        read = read_alerts(http.json_of(answer.reply))
        for fault in read.unread:
            logger.warning("a warning at %s could not be read: %s", place.text, fault)
        known = replace(answer.known, expires_at=max(answer.known.expires_at, as_of + LEAST_LIFE))
        return AlertsFetched(read=read, known=known)
