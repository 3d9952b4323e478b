"""The sun over the ground at a moment: where it stands tells the hour before the words are read."""

import math
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from planner.web.presenters.canvas import px
from planner.web.presenters.day_scale import DAY_FROM_H, DAY_UNTIL_H

WIDTH, GROUND, HIGH = 64.0, 32.0, 22.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sun:
    """Where the sun stands in a sky of ``WIDTH`` over the ground at ``GROUND``; at night there is none."""

    x: float
    y: float
    night: bool


def sun_at(moment: datetime, zone: ZoneInfo) -> Sun:
    """The sun of a clock hour: up at six, highest at noon, down at six.

    >>> sun_at(datetime(2026, 6, 8, 12, tzinfo=ZoneInfo("UTC")), ZoneInfo("UTC"))
    Sun(x=32.0, y=10.0, night=False)
    """
    local = moment.astimezone(zone)
    share = (local.hour + local.minute / 60 - DAY_FROM_H) / (DAY_UNTIL_H - DAY_FROM_H)
    night = not 0 <= share <= 1
    share = min(max(share, 0.0), 1.0)
    return Sun(x=px(8 + (WIDTH - 16) * share), y=px(GROUND - HIGH * math.sin(math.pi * share)), night=night)
