"""Rows of forecasts as plain values, and the packing of a series into one field."""

import hashlib
import json
import zlib
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import Any

from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.series import VARIABLES, HourlySeries, Values
from planner.forecast.models import ForecastRun, OfficialAlert, StationDay

_LAYOUT = 1
_PER_UNIT = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class RunFacts:
    """A run without its values."""

    run_id: int
    source: str
    grid_key: str
    issued_at: datetime
    fetched_at: datetime
    checked_at: datetime
    horizon_end_at: datetime


def facts_of(run: ForecastRun) -> RunFacts:
    return RunFacts(
        run_id=run.pk,
        source=run.source,
        grid_key=run.grid_key,
        issued_at=run.issued_at,
        fetched_at=run.fetched_at,
        checked_at=run.checked_at,
        horizon_end_at=run.horizon_end_at,
    )


def series_of(run: ForecastRun) -> HourlySeries:
    """The hourly series of a stored run, to 0.001 of each unit."""
    return unpack(bytes(run.packed))


def _document(series: HourlySeries) -> bytes:
    columns = {
        name: [None if value is None else round(value * _PER_UNIT) for value in getattr(series, name)]
        for name in VARIABLES
    }
    document = {
        "layout": _LAYOUT,
        "source": series.source,
        "issued_at": series.issued_at.astimezone(UTC).isoformat(),
        "start_at": series.start_at.astimezone(UTC).isoformat(),
        "thousandths": columns,
    }
    return json.dumps(document, separators=(",", ":"), sort_keys=True).encode()


def pack(series: HourlySeries) -> bytes:
    """A series as compact bytes: thousandths of each unit, ``None`` kept."""
    return zlib.compress(_document(series))


def content_hash(series: HourlySeries) -> str:
    """SHA-256 of what the series says, whatever else the reply carried."""
    return hashlib.sha256(_document(series)).hexdigest()


def unpack(packed: bytes) -> HourlySeries:
    """The series packed by ``pack``.

    Raises
    ------
    ValueError
        If the bytes are of another layout.
    """
    document: dict[str, Any] = json.loads(zlib.decompress(packed))
    if document["layout"] != _LAYOUT:
        raise ValueError(f"forecast packed in layout {document['layout']}, known is {_LAYOUT}")
    columns: dict[str, Values] = {
        name: tuple(None if value is None else value / _PER_UNIT for value in document["thousandths"][name])
        for name in VARIABLES
    }
    return HourlySeries(
        source=document["source"],
        issued_at=datetime.fromisoformat(document["issued_at"]),
        start_at=datetime.fromisoformat(document["start_at"]),
        **columns,
    )


def observed_of(day: StationDay) -> HourlySeries:
    """The 24 hours of a stored station day."""
    return unpack(bytes(day.packed))


_ALERT_MOMENTS = ("sent_at", "starts_at", "until_at")


def alert_facts(alert: Alert) -> dict[str, Any]:
    """A warning message as JSON."""
    facts = asdict(alert)
    return facts | {name: facts[name].astimezone(UTC).isoformat() for name in _ALERT_MOMENTS}


def alert_of(row: OfficialAlert) -> Alert:
    """The warning message of a row."""
    facts: dict[str, Any] = dict(row.facts)
    for name in _ALERT_MOMENTS:
        facts[name] = datetime.fromisoformat(facts[name])
    facts["zones"] = tuple(facts["zones"])
    facts["references"] = tuple(facts["references"])
    facts["outline"] = tuple(tuple(tuple((x, y) for x, y in ring) for ring in polygon) for polygon in facts["outline"])
    return Alert(**facts)
