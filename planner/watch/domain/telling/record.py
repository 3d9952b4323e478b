"""A verdict's arithmetic as plain values to keep: why a start was judged as it was, readable without the forecast."""

from dataclasses import asdict
from typing import Any

from planner.watch.domain.report import StartWatch


def record_of(start: StartWatch) -> dict[str, Any]:
    """Everything a verdict rests on, moments as datetimes; labels are kept as people read them then."""
    return {
        "fresh": start.fresh_verdict.value,
        "freshness": start.freshness.value,
        "issued_at": start.issued_at,
        "chance_hit": start.chance_hit,
        "known_share": start.known_share,
        "loss_dollars": start.loss_dollars,
        "going_dollars": start.going_dollars,
        "moving_dollars": start.moving_dollars,
        "move_to": start.move_to,
        "free_until": start.free_until,
        "fee_lost": start.fee_lost,
        "safe_at": start.safe_at,
        "lines": [asdict(line) for line in start.arithmetic],
        "readings": [asdict(reading) for reading in start.readings],
        "measures": [asdict(measure) for measure in start.measures],
        "warnings": [asdict(warning) for warning in start.warnings],
    }
