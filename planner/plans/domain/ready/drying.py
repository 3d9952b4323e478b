"""Waits for a dry surface or dry ground, from rain measured and forecast. A dry patch and a boot say more."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from jobs.domain.method import LinkRule
from jobs.domain.waiting import later
from jobs.science.drying import FILM_MM, ground_wait_h, hours_to_dry_by_start
from jobs.science.evaporation import UNCERTAINTY, WIND_MAX_M_S, evaporation_kg_m2_h, surface_wind_m_s
from jobs.science.ranges import Array
from jobs.words import sentence_for
from planner.plans.domain.ready.air import SiteAir, hours_since_epoch, moment_of
from planner.plans.domain.ready.strength import latest

# Whole hours without film or rain: for glue on a wall, common practice, no source; for the patch of a taped sheet on a
# floor, S-D4263.
DRY_FOR_H: Mapping[str, int] = {"wall": 2, "floor": 16}
# No surface is reckoned dry sooner: a covered base counts as dry after two hours; common practice, no source.
LEAST_H = 2.0
# A row of hours is looked through for at most a week.
LOOK_AHEAD_H = 168
# The formula's range; a frozen film does not dry, other hours outside stay unknown.
SURFACE_MAX_C, DEW_MIN_C, DEW_MAX_C = 50.0, -40.0, 50.0


def surface_evaporation_mm(by_name: Mapping[str, Array]) -> Array:
    """What a bare surface as warm as the air loses in each hour [mm], at the low end of the estimate's uncertainty.

    Source: menzel_1954, wmo_8, hover_2020. NaN where a value is unknown or outside the formula.
    """
    air_c, dew_c, wind_10m = by_name["air_temp_c"], by_name["dew_point_c"], by_name["wind_m_s"]
    with np.errstate(invalid="ignore"):
        fits = (air_c <= SURFACE_MAX_C) & (dew_c >= DEW_MIN_C) & (dew_c <= DEW_MAX_C) & (wind_10m >= 0)
    wind = np.where(fits, surface_wind_m_s(np.where(fits, wind_10m, 0.0)), np.nan)
    fits &= wind <= WIND_MAX_M_S
    warm = np.where(fits & (air_c > 0), air_c, np.nan)
    mm = (1 - UNCERTAINTY) * evaporation_kg_m2_h(warm, np.where(fits, dew_c, np.nan), np.where(fits, wind, np.nan))
    return np.asarray(np.where(fits & (air_c <= 0), 0.0, mm), dtype=float)


class SurfaceTable:
    """From which hour a washed surface is dry, by the hour it was washed; never falling.

    Past what the forecast knows, ``fixed_hours`` count.
    """

    def __init__(self, *, air: SiteAir, anchor: int, dry_for_h: int, fixed_hours: float) -> None:
        self.anchor = anchor
        self.fixed_hours = fixed_hours
        count = max(air.known_until - anchor, 0) + 1
        hours = air.hours(anchor, count)
        rain = hours.by_name["rain_mm"]
        evaporation = surface_evaporation_mm(hours.by_name)
        alone = hours_to_dry_by_start(
            rain, evaporation, dry_for_h=dry_for_h, film_before_mm=FILM_MM, look_ahead_h=LOOK_AHEAD_H
        )
        self._is_fixed = np.isnan(alone)
        rows = np.arange(count, dtype=float)
        lasts = np.where(self._is_fixed, fixed_hours, np.maximum(alone, LEAST_H))
        self._ready = np.maximum.accumulate(rows + lasts)

    def ready_hours(self, washed_h: Array) -> Array:
        """Hours [h since the epoch] at which surfaces washed at some hours are dry."""
        into = np.maximum(washed_h - self.anchor, 0.0)
        known = np.interp(into, np.arange(len(self._ready)), self._ready)
        beyond = into > len(self._ready) - 1
        return np.asarray(
            self.anchor + np.where(beyond, np.maximum(self._ready[-1], into + self.fixed_hours), known), dtype=float
        )

    def is_fixed(self, washed_h: float) -> bool:
        """Whether the fixed hours count for that hour."""
        at = int(max(washed_h - self.anchor, 0.0))
        return at >= len(self._is_fixed) or bool(self._is_fixed[at])


class GroundTable:
    """From which hour open ground is dry enough, by the hour the work before it ended; never falling."""

    def __init__(
        self, *, air: SiteAir, anchor: int, soil: str, clay_wait_h_per_25_mm: float, least_hours: float
    ) -> None:
        self.anchor = anchor
        self.soil = soil
        self.least_hours = least_hours
        count = max(air.known_until - anchor, 0)
        # An hour nobody knows adds no rain.
        rain = np.nan_to_num(air.hours(anchor, count).by_name["rain_mm"]) if count else np.empty(0)
        left = ground_wait_h(rain, clay_wait_h_per_25_mm=clay_wait_h_per_25_mm, soil=soil)
        self._dry_from = _dry_from(left)

    def ready_hours(self, ended_h: Array) -> Array:
        """Hours [h since the epoch] at which the ground is dry after work that ended at some hours."""
        soonest_h = ended_h + self.least_hours
        into = np.maximum(soonest_h - self.anchor, 0.0)
        at = np.minimum(into.astype(int), len(self._dry_from) - 1)
        return np.asarray(np.maximum(self.anchor + self._dry_from[at], soonest_h), dtype=float)


def _dry_from(left_h: Array) -> Array:
    """For each hour the first at or after it at whose start nothing is left to wait: rain after that wets it again."""
    left = np.concatenate([[0.0], left_h])
    found = np.empty(len(left))
    # Past what is known each hour dries one.
    dry = len(left) - 1 + left[-1]
    for at in range(len(left) - 1, -1, -1):
        if left[at] == 0:
            dry = float(at)
        found[at] = dry
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingWait:
    """A dry wall or floor after washing, or dry ground under a pour; never under the link's least hours."""

    rule: LinkRule
    table: SurfaceTable | GroundTable

    @property
    def reason(self) -> str:
        """What is waited for; how long depends on when the wait begins, see ``because``."""
        return _said("waits.drying", requirement=self.rule.requirement, why=self.rule.why)

    def ready_at(self, start: datetime) -> datetime:
        """When it is dry for a wait that begins at ``start``; non-decreasing."""
        dry_h = float(self.table.ready_hours(np.array([hours_since_epoch(start)]))[0])
        dry_at = moment_of(dry_h).astimezone(start.tzinfo)
        return latest(dry_at, later(start, self.rule.min_hours))

    def ready_hours(self, ended_h: Array) -> Array:
        """``ready_at`` of many starts of the wait at once, all as hours since the epoch [h]."""
        dry_h = np.round(self.table.ready_hours(ended_h) * 3600) / 3600
        return np.maximum(dry_h, ended_h + self.rule.min_hours)

    def because(self, start: datetime) -> str:
        """The reason with its hours for a wait that begins at ``start``."""
        began_h = hours_since_epoch(start)
        hours = hours_since_epoch(self.ready_at(start)) - began_h
        if began_h < self.table.anchor:
            return f"{self.reason} {_said('waits.dry_before')}"
        if isinstance(self.table, GroundTable):
            soil = self.table.soil.replace("_", " ")
            code = "waits.ground_wet" if hours > self.table.least_hours + 0.01 else "waits.ground_dry"
            return f"{self.reason} {_said(code, hours=hours, soil=soil)}"
        if self.table.is_fixed(began_h):
            return f"{self.reason} {_said('waits.drying_unknown', hours=self.table.fixed_hours)}"
        return f"{self.reason} {_said('waits.drying_forecast', hours=hours)}"


def _said(code: str, **facts: object) -> str:
    return sentence_for(code, facts)[0]
