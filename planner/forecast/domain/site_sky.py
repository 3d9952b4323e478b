"""What is known of the sky over one site at one moment."""

from dataclasses import dataclass
from datetime import datetime

from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.series import HourlySeries


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteSky:
    """What is known of the sky over a site: the newest run with its age, and the measured hours before it.

    ``run`` is the row the series was read from, 0 where there is none; ``stands_in`` tells that the branch's first
    source had nothing usable, so that the series is another's. ``corrected_by`` counts the verified windows its chances
    of rain were corrected by; 0: they are as told. ``alerts`` are the public warnings in force, worst
    first, as the service listed them at ``alerts_at``; ``None``: it was never asked, or none serves the place.
    """

    series: HourlySeries | None
    freshness: Freshness
    observed: HourlySeries | None = None
    run: int = 0
    stands_in: bool = False
    corrected_by: int = 0
    alerts: tuple[Alert, ...] = ()
    alerts_at: datetime | None = None
