"""Temperature, wind, gust and thunder against their limits: known hours may forbid, unknown hours are priced."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import NamedTuple

from jobs.domain.exposure import Exposure
from planner.forecast.domain.chance import any_of, duration_factor
from planner.forecast.domain.climate import Climate, Level, Side
from planner.forecast.domain.halfday import HOUR_S, HalfDay, HalfDays, Slice, seconds_of
from planner.forecast.domain.judgement import LimitPart
from planner.forecast.domain.limits.leads import FORBIDS_FROM, TAKEN_AT_ITS_WORD_H, chance_beyond
from planner.forecast.domain.limits.wind import FORECAST_HEIGHT_M, garden_share, grass_share
from planner.forecast.domain.series import HourlySeries, Values

THUNDER_STOPS_FROM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelRule:
    """One level with its limit; ``until_safe``: it also holds after the end, until the work is safe."""

    limit: str
    level: Level
    side: Side
    value: float
    source: str
    until_safe: bool


class Verdict(NamedTuple):
    """A limit's part, the chances by half-day behind it (by the half-day's first second), hours known and asked."""

    part: LimitPart
    by_block: dict[int, float]
    known_hours: int
    hours: int


def level_rules(exposure: Exposure) -> tuple[LevelRule, ...]:
    """The rules of an exposure that a forecast can answer; surface limits are measured on site."""
    asked: tuple[tuple[str, Level, Side, bool], ...] = (
        ("air_min_c", "air_temp_c", "below", exposure.sets),
        ("air_max_c", "air_temp_c", "above", exposure.sets),
        ("wind_max_m_s", "wind_m_s", "above", False),
        ("gust_max_m_s", "gust_m_s", "above", False),
    )
    return tuple(
        LevelRule(
            limit=name,
            level=level,
            side=side,
            value=_in_forecast(limit.value, level, exposure),
            source=limit.source,
            until_safe=until_safe,
        )
        for name, level, side, until_safe in asked
        if (limit := getattr(exposure, name)) is not None
    )


def _in_forecast(limit: float, level: Level, exposure: Exposure) -> float:
    """What a forecast calls a limit: winds are stated for 10 m over open ground.

    Work below 10 m stands in a garden: among houses the mean wind is half the forecast's, while gusts break little.
    """
    height_m = exposure.wind_height_m
    if level == "air_temp_c" or height_m >= FORECAST_HEIGHT_M:
        return limit
    return limit / (garden_share(height_m) if level == "wind_m_s" else grass_share(height_m))


class _Read(NamedTuple):
    """A level over one slice: its worst known value with its hour [s], hours known and asked, and those unknown.

    ``sure`` is the worst of the hours for which a forecast is taken at its word.
    """

    worst: float | None
    worst_s: int
    sure: float | None
    known_hours: int
    hours: int
    unknown: list[int]


class LevelOutlook:
    """Levels of one site, by forecast where known and by climate where not; ``series`` is ``None`` when stale."""

    def __init__(self, *, series: HourlySeries | None, climate: Climate, half_days: HalfDays) -> None:
        self.series = series
        self.climate = climate
        self.half_days = half_days
        self._start_s = seconds_of(series.start_at) if series else 0
        self._issued_s = seconds_of(series.issued_at) if series else 0
        self._verdicts: dict[tuple[LevelRule, int, int, int], Verdict] = {}
        self._reads: dict[tuple[Level, Side, int, int], _Read] = {}
        self._usual: dict[tuple[Level, Side, float, int, int, tuple[int, ...]], float] = {}

    def judge(self, rule: LevelRule, slices: list[Slice]) -> Verdict:
        """One level over the slices: a known hour beyond the limit forbids, unknown hours are priced by climate.

        Further ahead than a forecast is taken at its word, its value is priced by its error.
        """
        key = (rule, slices[0].from_s, slices[-1].until_s, len(slices)) if slices else (rule, 0, 0, 0)
        found = self._verdicts.get(key)
        if found is None:
            found = self._verdicts[key] = self._weigh(rule, slices)
        return found

    def _weigh(self, rule: LevelRule, slices: list[Slice]) -> Verdict:
        sign = 1.0 if rule.side == "above" else -1.0
        worst: float | None = None
        worst_s = 0
        by_block: dict[int, float] = {}
        known_hours = hours = 0
        forbids = False
        for block, from_s, until_s in slices:
            read = self._read(rule, from_s, until_s)
            known_hours += read.known_hours
            hours += read.hours
            chance = 0.0
            if read.worst is not None:
                if worst is None or sign * (read.worst - worst) > 0:
                    worst, worst_s = read.worst, read.worst_s
                chance = self._known_chance(rule, read)
                forbids |= chance >= FORBIDS_FROM
            if chance < 1.0:
                chance = max(chance, self._unknown_chance(rule, block, read.unknown))
            by_block[block.from_s] = max(by_block.get(block.from_s, 0.0), chance)
        part = LimitPart(
            limit=rule.limit,
            chance=any_of(list(by_block.values())),
            known_share=known_hours / hours if hours else 1.0,
            forbids=forbids,
            limit_value=rule.value,
            worst=worst,
            worst_at=None if worst is None else datetime.fromtimestamp(worst_s, UTC),
            source=rule.source,
        )
        return Verdict(part, by_block, known_hours, hours)

    def _read(self, rule: LevelRule, from_s: int, until_s: int) -> _Read:
        """Rules of one level differ in their limit only, so what the forecast says of a slice is read once."""
        key = (rule.level, rule.side, from_s, until_s)
        found = self._reads.get(key)
        if found is None:
            asked = _hours_of(from_s, until_s)
            values = [self._known(rule.level, at_s) for at_s in asked]
            known = [value for value in values if value is not None]
            near = [
                value for at_s, value in zip(asked, values, strict=True) if value is not None and self._is_near(at_s)
            ]
            worst_of = max if rule.side == "above" else min
            worst = worst_of(known, default=None)
            found = self._reads[key] = _Read(
                worst=worst,
                worst_s=0 if worst is None else asked[values.index(worst)],
                sure=worst_of(near, default=None),
                known_hours=len(known),
                hours=len(asked),
                unknown=[at_s for at_s, value in zip(asked, values, strict=True) if value is None],
            )
        return found

    def thunder(self, slices: list[Slice], *, forbids: bool) -> Verdict:
        """Known thunder of 0.5 or more over the slices: a stop that is priced, or that forbids a pour.

        Unknown thunder is not counted: it comes with rain, whose chance is.
        """
        worst: float | None = None
        worst_s = 0
        by_block: dict[int, float] = {}
        known_hours = hours = 0
        for block, from_s, until_s in slices:
            highest = 0.0
            for at_s in _hours_of(from_s, until_s):
                hours += 1
                value = self._known("thunder_chance", at_s)
                if value is None:
                    continue
                known_hours += 1
                highest = max(highest, value)
                if worst is None or value > worst:
                    worst, worst_s = value, at_s
            if highest >= THUNDER_STOPS_FROM:
                by_block[block.from_s] = highest * duration_factor((until_s - from_s) / HOUR_S)
        part = LimitPart(
            limit="thunder",
            chance=any_of(list(by_block.values())),
            known_share=known_hours / hours if hours else 1.0,
            forbids=forbids and worst is not None and worst >= THUNDER_STOPS_FROM,
            limit_value=THUNDER_STOPS_FROM,
            worst=worst,
            worst_at=None if worst is None else datetime.fromtimestamp(worst_s, UTC),
            source="common practice, no source",
        )
        return Verdict(part, by_block, known_hours, hours)

    def mean_air_c(self, from_s: int, until_s: int) -> float:
        """Mean of the known air temperatures of a span [degC]; climate's mean where none is known."""
        hours = list(_hours_of(from_s, until_s))
        known = [value for at_s in hours if (value := self._known("air_temp_c", at_s)) is not None]
        if not known:
            known = [
                self.climate.hour(self.half_days.holding(at_s).month, self.half_days.hour(at_s)).air_mean_c
                for at_s in hours
            ]
        return sum(known) / len(known)

    def _known(self, variable: str, at_s: int) -> float | None:
        if self.series is None:
            return None
        values: Values = getattr(self.series, variable)
        at = (at_s - self._start_s) // HOUR_S
        return values[at] if 0 <= at < len(values) else None

    def _known_chance(self, rule: LevelRule, read: _Read) -> float:
        """Where the slice reaches further than a forecast is taken at its word, a limit broken before still is."""
        if read.worst is None:
            return 0.0
        if read.sure is not None and (read.sure > rule.value if rule.side == "above" else read.sure < rule.value):
            return 1.0
        lead_h = self._lead_h(read.worst_s)
        return chance_beyond(read.worst, rule.value, level=rule.level, side=rule.side, lead_h=lead_h)

    def _is_near(self, at_s: int) -> bool:
        return self._lead_h(at_s) <= TAKEN_AT_ITS_WORD_H

    def _lead_h(self, at_s: int) -> float:
        return (at_s - self._issued_s) / HOUR_S

    def _unknown_chance(self, rule: LevelRule, block: HalfDay, unknown: list[int]) -> float:
        if not unknown:
            return 0.0
        hours = tuple([self.half_days.hour(at_s) for at_s in unknown])
        key = (rule.level, rule.side, rule.value, block.month, block.half, hours)
        found = self._usual.get(key)
        if found is None:
            found = self._usual[key] = self.climate.window_chance(
                rule.level, rule.side, rule.value, month=block.month, half=block.half, hours=hours
            )
        return found


def _hours_of(from_s: int, until_s: int) -> range:
    """First second of every clock hour (UTC) that overlaps a span."""
    return range(from_s - from_s % HOUR_S, until_s, HOUR_S)
