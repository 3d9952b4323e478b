"""Rain that spoils work: before the start and still in the ground, during the work, and until it is safe."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import UTC, datetime
from itertools import pairwise
from typing import NamedTuple

from jobs.domain.exposure import Exposure, Limit, Soil
from planner.forecast.domain.chance import RainOutlook, any_of
from planner.forecast.domain.climate import MEASURABLE_MM
from planner.forecast.domain.halfday import HOUR_S, HalfDays, Slice, seconds_of
from planner.forecast.domain.judgement import LimitPart
from planner.forecast.domain.limits.ground import LOOK_BACK_MM, rain_still_wet_mm, wait_hours, wait_left_hours
from planner.forecast.domain.series import HourlySeries

# Sums of converted inches fall short of a limit by rounding.
ROUNDING_MM = 1e-6
GROUND_SOURCE = "common practice, no source"


class Spoiled(NamedTuple):
    """Chances by half-day (by its first second), the known chance that may forbid, parts, seconds known and asked."""

    by_block: dict[int, float]
    known_chance: float
    parts: tuple[LimitPart, ...]
    known_s: int
    all_s: int


@dataclass(slots=True)
class _Tally:
    """Chances collected by half-day; inside one half-day the highest counts, as it is one rain."""

    rain: RainOutlook
    by_block: dict[int, float] = field(default_factory=dict)
    known_by_block: dict[int, float] = field(default_factory=dict)
    by_limit: dict[str, dict[int, float]] = field(default_factory=lambda: defaultdict(dict))
    seconds: dict[str, tuple[int, int]] = field(default_factory=dict)

    def add(self, limit: str, part: Slice, amount_mm: float) -> None:
        window = self.rain.window(part.block, part.from_s, part.until_s)
        known_s, all_s = self.seconds.get(limit, (0, 0))
        self.seconds[limit] = (known_s + window.known_s, all_s + window.all_s)
        chance = self.rain.chance(window, amount_mm)
        key = part.block.from_s
        for highest in (self.by_block, self.by_limit[limit]):
            if chance > highest.get(key, -1.0):
                highest[key] = chance
        known = self.rain.known_chance(window, amount_mm)
        if known > self.known_by_block.get(key, -1.0):
            self.known_by_block[key] = known

    def certain(self, limit: str, key: int) -> None:
        """A fact, not a chance."""
        self.by_block[key] = self.by_limit[limit][key] = 1.0

    def part(self, limit: str, value: float | None, source: str, *, worst: float | None, forbids: bool) -> LimitPart:
        known_s, all_s = self.seconds.get(limit, (0, 0))
        return LimitPart(
            limit=limit,
            chance=any_of(list(self.by_limit[limit].values())),
            known_share=known_s / all_s if all_s else 1.0,
            forbids=forbids,
            limit_value=value,
            worst=worst,
            source=source,
        )


class RainSpoil:
    """The rain limits of one exposure on one soil at one site."""

    def __init__(self, exposure: Exposure, soil: Soil, *, rain: RainOutlook, observed: HourlySeries | None) -> None:
        self.exposure = exposure
        self.soil: Soil = soil
        self.rain = rain
        self.observed = observed
        self._waits = exposure.clay_wait_h_per_25mm > 0
        before_h = exposure.rain_before_hours if exposure.rain_before_mm else 0.0
        ground_h = wait_hours(LOOK_BACK_MM, exposure.clay_wait_h_per_25mm, soil)
        self.look_back_s = round(max(before_h, ground_h) * HOUR_S)
        self._observed_from_s, self._observed_until_s = _observed_span(observed)
        self._gaps = _observed_gaps(observed)
        self.ready_s = self._ready_s()
        self.known_until_s = max(self._observed_until_s, self.ready_s)

    def weigh(self, start_s: int, end_s: int, safe_s: int, shifts: list[Slice], half_days: HalfDays) -> Spoiled:
        """Chances and parts of one start; all three spans half-open."""
        tally = _Tally(rain=self.rain)
        parts = self._before(tally, start_s, half_days)
        during = self._during_limit()
        if during is not None:
            for part in half_days.slices(start_s, end_s):
                tally.add("rain_during", part, during.value)
            parts.append(tally.part("rain_during", during.value, during.source, worst=None, forbids=False))
        after = self.exposure.rain_after_mm
        if after is not None:
            for part in half_days.slices(end_s, safe_s):
                tally.add("rain_after", part, after.value)
            parts.append(tally.part("rain_after", after.value, after.source, worst=None, forbids=False))
        stop = self.exposure.rain_stop_mm_h
        if stop is not None:
            parts.append(self._stop(stop, shifts))
        asked = [tally.seconds[name] for name in ("rain_during", "rain_after") if name in tally.seconds]
        return Spoiled(
            by_block=tally.by_block,
            known_chance=any_of(list(tally.known_by_block.values())),
            parts=tuple(parts),
            known_s=sum(known_s for known_s, _ in asked),
            all_s=sum(all_s for _, all_s in asked),
        )

    def _during_limit(self) -> Limit | None:
        """Work without a total that spoils it is still stopped by its rate."""
        return self.exposure.rain_during_mm or self.exposure.rain_stop_mm_h

    def _before(self, tally: _Tally, start_s: int, half_days: HalfDays) -> list[LimitPart]:
        if self.look_back_s == 0:
            return []
        parts = []
        unknown = self._unobserved(start_s - self.look_back_s, start_s)
        limit = self.exposure.rain_before_mm
        if limit is not None:
            from_s = start_s - round(self.exposure.rain_before_hours * HOUR_S)
            fell_mm = self._fell_mm(from_s, start_s)
            wet = fell_mm + ROUNDING_MM >= max(limit.value, MEASURABLE_MM)
            for gap_from_s, gap_until_s in unknown:
                for part in half_days.slices(max(gap_from_s, from_s), gap_until_s):
                    tally.add("rain_before", part, max(0.0, limit.value - fell_mm))
            if wet:
                tally.certain("rain_before", half_days.holding(start_s - 1).from_s)
            parts.append(tally.part("rain_before", limit.value, limit.source, worst=fell_mm, forbids=wet))
        if self._waits:
            for gap_from_s, gap_until_s in unknown:
                for part in half_days.slices(gap_from_s, gap_until_s):
                    tally.add("ground", part, self._still_wet_mm(part, start_s))
            left_h = max(0.0, (self.ready_s - start_s) / HOUR_S)
            if left_h > 0:
                tally.certain("ground", half_days.holding(start_s - 1).from_s)
            parts.append(tally.part("ground", 0.0, GROUND_SOURCE, worst=left_h, forbids=left_h > 0))
        return parts

    def _still_wet_mm(self, part: Slice, start_s: int) -> float:
        """Rain in the middle of the part after which the ground is still wet at the start."""
        fell_s = max((part.from_s + part.until_s) / 2, self.ready_s)
        gap_h = max(0.0, start_s - fell_s) / HOUR_S
        return max(MEASURABLE_MM, rain_still_wet_mm(gap_h, self.exposure.clay_wait_h_per_25mm, self.soil))

    def _stop(self, limit: Limit, shifts: list[Slice]) -> LimitPart:
        """A known rate at or above the limit in an hour whose known chance reaches the exposure's forbids."""
        worst: float | None = None
        worst_s = 0
        known_hours = hours = 0
        for _, from_s, until_s in shifts:
            for at_s in range(from_s - from_s % HOUR_S, until_s, HOUR_S):
                hours += 1
                rate, chance = self.rain.hour(at_s)
                if rate is None or chance is None:
                    continue
                known_hours += 1
                if chance >= self.exposure.forbid_chance and (worst is None or rate > worst):
                    worst, worst_s = rate, at_s
        stops = worst is not None and worst > 0 and worst >= limit.value
        return LimitPart(
            limit="rain_stop",
            chance=1.0 if stops else 0.0,
            known_share=known_hours / hours if hours else 1.0,
            forbids=stops,
            limit_value=limit.value,
            worst=worst,
            worst_at=None if worst is None else datetime.fromtimestamp(worst_s, UTC),
            source=limit.source,
        )

    def _unobserved(self, from_s: int, until_s: int) -> list[tuple[int, int]]:
        """The stretches of [from_s, until_s) without a measured amount."""
        if self.observed is None or from_s >= self._observed_until_s:
            return [(from_s, until_s)]
        edges = [(0, self._observed_from_s), *self._gaps, (self._observed_until_s, until_s)]
        inside = ((max(gap_from_s, from_s), min(gap_until_s, until_s)) for gap_from_s, gap_until_s in edges)
        return [gap for gap in inside if gap[0] < gap[1]]

    def _fell_mm(self, from_s: int, until_s: int) -> float:
        """Measured rain of [from_s, until_s); hours cut by its ends count by their share."""
        if self.observed is None or from_s >= self._observed_until_s:
            return 0.0
        origin_s = seconds_of(self.observed.start_at)
        fell_mm = 0.0
        amounts = self.observed.rain_mm
        first, last = (from_s - origin_s) // HOUR_S, (until_s - 1 - origin_s) // HOUR_S
        for at in range(max(0, first), min(len(amounts), last + 1)):
            mm = amounts[at]
            hour_s = origin_s + at * HOUR_S
            inside_s = min(until_s, hour_s + HOUR_S) - max(from_s, hour_s)
            if mm is not None:
                fell_mm += mm * inside_s / HOUR_S
        return fell_mm

    def _ready_s(self) -> int:
        """When the ground is dry again after the measured rain, if no more falls."""
        if self.observed is None or not self._waits:
            return 0
        first = (self._observed_from_s - seconds_of(self.observed.start_at)) // HOUR_S
        last = (self._observed_until_s - seconds_of(self.observed.start_at)) // HOUR_S
        left_h = wait_left_hours(self.observed.rain_mm[first:last], self.exposure.clay_wait_h_per_25mm, self.soil)
        return self._observed_until_s + round(left_h * HOUR_S) if left_h > 0 else 0


def _observed_span(observed: HourlySeries | None) -> tuple[int, int]:
    """First and last second with a measured amount; (0, 0) if there is none."""
    if observed is None:
        return 0, 0
    known = [at for at, mm in enumerate(observed.rain_mm) if mm is not None]
    if not known:
        return 0, 0
    origin_s = seconds_of(observed.start_at)
    return origin_s + known[0] * HOUR_S, origin_s + (known[-1] + 1) * HOUR_S


def _observed_gaps(observed: HourlySeries | None) -> list[tuple[int, int]]:
    """Stretches without a measured amount between the first and the last hour that has one."""
    if observed is None:
        return []
    origin_s = seconds_of(observed.start_at)
    known = [origin_s + at * HOUR_S for at, mm in enumerate(observed.rain_mm) if mm is not None]
    return [(hour_s + HOUR_S, later_s) for hour_s, later_s in pairwise(known) if hour_s + HOUR_S < later_s]
