"""The verdict of the weather on a start: what forbids it, what it may cost, when it is safe.

Only a known value forbids; what is unknown is priced by the chance that a limit is broken.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

from jobs.domain.exposure import Exposure, Soil
from jobs.domain.units import f_from_c, in_from_mm, mph_from_m_s
from jobs.science.setting import HIGHEST_C, LOWEST_C, Admixture, rain_safe_hours
from jobs.words import sentence_for
from planner.forecast.domain.chance import WIDENING, RainOutlook, any_of
from planner.forecast.domain.climate import Climate
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.halfday import HOUR_S, HalfDays, Slice, seconds_of
from planner.forecast.domain.judgement import SPOILS_FROM, LimitPart, RainSafe, StartJudgement, Usual, expected_loss
from planner.forecast.domain.limits.levels import LevelOutlook, LevelRule, Verdict, level_rules
from planner.forecast.domain.limits.risk import HalfDayRisk, half_day_risks
from planner.forecast.domain.limits.spoil import RainSpoil, Spoiled
from planner.forecast.domain.series import VARIABLES, HourlySeries

# Work that lasts longer than this goes home for the night, and people and booms with it.
LONGEST_SHIFT_S = 14 * HOUR_S
CONCRETE_MEAN_S = 12 * HOUR_S
# Beyond forecast and observations a start is judged on this day of its month, in a year so late that no observed rain
# can still be wet.
TYPICAL_YEAR, TYPICAL_DAY = 2901, 16

Start = tuple[datetime, datetime]


class _Weighed(NamedTuple):
    safe_s: int
    verdicts: list[Verdict]
    spoiled: Spoiled
    stop: Verdict | None
    rain_safe: RainSafe | None


@dataclass(slots=True)
class _Work:
    """An exposure on a soil, with what its concrete gets for the set, and what its verdicts share."""

    exposure: Exposure
    soil: Soil
    admixture: Admixture
    rules: tuple[LevelRule, ...]
    spoil: RainSpoil
    far: dict[tuple[int, int, int], StartJudgement]
    near: dict[tuple[int, int], StartJudgement] = field(default_factory=dict)
    risks: dict[tuple[int, int], tuple[HalfDayRisk, ...]] = field(default_factory=dict)


class Judge:
    """Judges starts at one site under one forecast; keeps what it has worked out, so use one for a whole table.

    Parameters
    ----------
    series : forecast of the site, ``None`` where there is none.
    climate : stands in for everything the forecast does not know.
    zone : local zone.
    observed : measured hours before the forecast; its ``rain_mm`` are facts.
    freshness : a stale forecast forbids nothing, its levels count as unknown and its rain as no less than climate.
    usual : what it shares with other judges of this climate and zone; one of its own by default.
    """

    def __init__(
        self,
        *,
        series: HourlySeries | None,
        climate: Climate,
        zone: ZoneInfo,
        observed: HourlySeries | None = None,
        freshness: Freshness = Freshness.FRESH,
        usual: Usual | None = None,
    ) -> None:
        usable = series if WIDENING[freshness] < 1.0 else None
        self.zone = zone
        self.observed = observed
        self._usual = usual or Usual(half_days=HalfDays(zone))
        self.half_days = self._usual.half_days
        self.rain = RainOutlook(series=series, climate=climate, half_days=self.half_days, freshness=freshness)
        self.levels = LevelOutlook(series=usable, climate=climate, half_days=self.half_days)
        self._known_until_s = _last_known_s(series) if series else 0
        self._works: dict[tuple[Exposure, Soil, Admixture], _Work] = {}
        self._safe: dict[tuple[int, float, Admixture], RainSafe] = {}

    def start(
        self,
        exposure: Exposure,
        *,
        start_at: datetime,
        end_at: datetime,
        soil: Soil,
        admixture: Admixture = "none",
    ) -> StartJudgement:
        """The verdict on one start of one kind of work.

        Parameters
        ----------
        exposure : limits of the work and its loss.
        start_at, end_at : span of the work, aware, half-open; concrete is then watched until rain cannot hurt it.
        soil : sand, loam or clay; sets the wait after rain.
        admixture : what its concrete gets for the set: a retarder keeps it open to rain for longer.

        Returns
        -------
        StartJudgement
            Forbidden where a known temperature, wind or gust breaks its limit, measured rain has wet the work or the
            ground, a known rate stops it or the known chance of spoiling rain reaches ``forbid_chance``, and for
            concrete where thunder is known at 0.5 or more. The chance of a hit is ``1 - product(1 - p)`` over
            half-days; inside one the rains before, during and after count once, by the highest.

        Raises
        ------
        ValueError
            If the work ends before it starts, or a moment has no zone.
        """
        return self._judge(self._work(exposure, soil, admixture), start_at, end_at)

    def table(
        self, exposure: Exposure, starts: Iterable[Start], *, soil: Soil, admixture: Admixture = "none"
    ) -> tuple[StartJudgement, ...]:
        """The verdicts on many starts of one task, in their order."""
        work = self._work(exposure, soil, admixture)
        return tuple(self._judge(work, start_at, end_at) for start_at, end_at in starts)

    def usual_from(self, exposure: Exposure, soil: Soil, admixture: Admixture = "none") -> datetime:
        """From which moment on nothing is known of a start: its verdict is that of its month and local hour."""
        return datetime.fromtimestamp(self._far_from_s(self._work(exposure, soil, admixture)), UTC)

    def by_half_day(
        self,
        exposure: Exposure,
        *,
        start_at: datetime,
        end_at: datetime,
        soil: Soil,
        admixture: Admixture = "none",
    ) -> tuple[HalfDayRisk, ...]:
        """The chances behind the verdict on one start, half-day by half-day.

        Limits of one kind go together in a half-day: the highest chance of wind and gust counts, and of cold and heat.
        """
        work = self._work(exposure, soil, admixture)
        start_s, length_s = seconds_of(start_at), seconds_of(end_at) - seconds_of(start_at)
        judged_s = self._typical_s(start_at) if self._is_far(work, start_s) else start_s
        found = work.risks.get((judged_s, length_s))
        if found is None:
            weighed = self._chances(work, judged_s, judged_s + length_s)
            storms = _storms(weighed.spoiled.by_block, weighed.stop)
            found = work.risks[judged_s, length_s] = half_day_risks(storms, weighed.verdicts)
        if judged_s == start_s:
            return found
        # The middle of a half-day stays inside it where the clocks of the typical day differ.
        middle_s = start_s - judged_s + 6 * HOUR_S
        return tuple(risk._replace(from_s=self.half_days.holding(risk.from_s + middle_s).from_s) for risk in found)

    def _work(self, exposure: Exposure, soil: Soil, admixture: Admixture) -> _Work:
        # What is added changes only what sets.
        added = admixture if exposure.sets else "none"
        found = self._works.get((exposure, soil, added))
        if found is None:
            found = self._works[exposure, soil, added] = _Work(
                exposure=exposure,
                soil=soil,
                admixture=added,
                rules=level_rules(exposure),
                spoil=RainSpoil(exposure, soil, rain=self.rain, observed=self.observed),
                far=self._usual.far_of(exposure, soil, added),
            )
        return found

    def _judge(self, work: _Work, start_at: datetime, end_at: datetime) -> StartJudgement:
        if end_at < start_at:
            raise ValueError("work cannot end before it starts")
        start_s, end_s = seconds_of(start_at), seconds_of(end_at)
        if self._is_far(work, start_s):
            return self._far(work, start_at, start_s, end_at, end_s)
        found = work.near.get((start_s, end_s))
        if found is None:
            found = work.near[start_s, end_s] = self._weigh(work, start_s, end_s)
        return found

    def _is_far(self, work: _Work, start_s: int) -> bool:
        return start_s >= self._far_from_s(work)

    def _far_from_s(self, work: _Work) -> int:
        return max(self._known_until_s, work.spoil.known_until_s) + work.spoil.look_back_s

    def _typical_s(self, at: datetime) -> int:
        local = at.astimezone(self.zone)
        return seconds_of(datetime(TYPICAL_YEAR, local.month, TYPICAL_DAY, local.hour, local.minute, tzinfo=self.zone))

    def _far(self, work: _Work, start_at: datetime, start_s: int, end_at: datetime, end_s: int) -> StartJudgement:
        """Where nothing is known, one verdict serves every start of the month at that local hour."""
        local = start_at.astimezone(self.zone)
        minute = local.hour * 60 + local.minute
        key = (local.month, minute, end_s - start_s)
        found = work.far.get(key)
        if found is None:
            typical_s = self._typical_s(start_at)
            found = work.far[key] = self._weigh(work, typical_s, typical_s + end_s - start_s)
        safe_at = end_at + (found.safe_at - found.end_at)
        return StartJudgement(
            start_at=start_at,
            end_at=end_at,
            forbidden=found.forbidden,
            reasons=found.reasons,
            chance_hit=found.chance_hit,
            storm_chance=found.storm_chance,
            known_share=found.known_share,
            dollars=found.dollars,
            safe_at=safe_at,
            parts=found.parts,
            rain_safe=found.rain_safe,
        )

    def _weigh(self, work: _Work, start_s: int, end_s: int) -> StartJudgement:
        exposure = work.exposure
        safe_s, verdicts, spoiled, stop, rain_safe = self._chances(work, start_s, end_s)
        storms = list(_storms(spoiled.by_block, stop).values())
        chance = any_of(storms + [level for verdict in verdicts for level in verdict.by_block.values()])
        parts = tuple(v.part for v in verdicts) + ((stop.part,) if stop else ()) + spoiled.parts
        spoils = spoiled.known_chance >= exposure.forbid_chance and spoiled.known_chance > 0
        forbidden = spoils or any(part.forbids for part in parts)
        known = sum(v.known_hours for v in verdicts) + spoiled.known_s / HOUR_S
        asked = sum(v.hours for v in verdicts) + spoiled.all_s / HOUR_S
        known_share = known / asked if asked else 1.0
        reasons = [self._reason(part, exposure) for part in parts if part.forbids]
        if spoils:
            reasons.append(_says("judge.rain_spoils", chance=spoiled.known_chance, limit=exposure.forbid_chance))
        if chance >= SPOILS_FROM:
            reasons.append(_says("judge.chance", chance=chance, known=known_share))
        return StartJudgement(
            start_at=datetime.fromtimestamp(start_s, UTC),
            end_at=datetime.fromtimestamp(end_s, UTC),
            forbidden=forbidden,
            reasons=tuple(reasons),
            chance_hit=chance,
            storm_chance=any_of(storms),
            known_share=known_share,
            dollars=expected_loss(chance, exposure.loss_dollars),
            safe_at=datetime.fromtimestamp(safe_s, UTC),
            parts=parts,
            rain_safe=rain_safe,
        )

    def _chances(self, work: _Work, start_s: int, end_s: int) -> _Weighed:
        exposure = work.exposure
        rain_safe = self._rain_safe(work, start_s) if exposure.sets else None
        after_h = rain_safe.hours if rain_safe is not None else exposure.rain_after_hours
        safe_s = end_s + round(after_h * HOUR_S)
        shifts = self._shifts(start_s, end_s)
        until_safe = shifts if not exposure.sets else self.half_days.slices(start_s, safe_s)
        verdicts = [self.levels.judge(rule, until_safe if rule.until_safe else shifts) for rule in work.rules]
        spoiled = work.spoil.weigh(start_s, end_s, safe_s, shifts, self.half_days)
        stop = None
        if exposure.stops_for_thunder and exposure.exposed:
            stop = self.levels.thunder(shifts, forbids=exposure.sets)
        return _Weighed(safe_s, verdicts, spoiled, stop, rain_safe)

    def _rain_safe(self, work: _Work, start_s: int) -> RainSafe:
        """How long rain can hurt the concrete, by the air of the hours in which it sets."""
        asked_h = work.exposure.rain_after_hours
        key = (start_s, asked_h, work.admixture)
        found = self._safe.get(key)
        if found is None:
            air_c = self.levels.mean_air_c(start_s, start_s + CONCRETE_MEAN_S)
            temp_c = min(HIGHEST_C, max(LOWEST_C, air_c))
            found = self._safe[key] = RainSafe(
                hours=rain_safe_hours(temp_c, asked_h, work.admixture),
                hours_at_21c=asked_h,
                concrete_temp_c=temp_c,
                admixture=work.admixture,
            )
        return found

    def _shifts(self, start_s: int, end_s: int) -> list[Slice]:
        """When people are on site: the whole span, or its days where it runs through nights."""
        slices = self.half_days.slices(start_s, end_s)
        if end_s - start_s <= LONGEST_SHIFT_S:
            return slices
        return [part for part in slices if part.block.half == 0]

    def _reason(self, part: LimitPart, exposure: Exposure) -> str:
        at = part.worst_at.astimezone(self.zone).strftime("%a %d %b %H:%M") if part.worst_at else ""
        return _says(
            f"judge.{part.limit}",
            worst=part.worst,
            worst_us=_as_crews_say(part.limit, part.worst),
            at=at,
            limit=part.limit_value,
            limit_us=_as_crews_say(part.limit, part.limit_value),
            hours=exposure.rain_before_hours,
        )


def _storms(rain: dict[int, float], stop: Verdict | None) -> dict[int, float]:
    """Thunder and rain of one half-day are one storm."""
    storm = dict(rain)
    for block, chance in (stop.by_block if stop else {}).items():
        storm[block] = max(storm.get(block, 0.0), chance)
    return storm


def _last_known_s(series: HourlySeries) -> int:
    """End of the last hour of which the forecast knows anything."""
    last = max(
        (at for name in VARIABLES for at, value in enumerate(getattr(series, name)) if value is not None), default=-1
    )
    return seconds_of(series.start_at) + (last + 1) * HOUR_S


def _as_crews_say(limit: str, value: float | None) -> float | None:
    """A limit's value in the units of a US crew; shares and hours stay as they are."""
    if value is None:
        return None
    if limit.startswith("air_"):
        return f_from_c(value)
    if limit.endswith("_m_s"):
        return mph_from_m_s(value)
    return in_from_mm(value) if limit.startswith("rain_") else value


def _says(code: str, **facts: object) -> str:
    return sentence_for(code, facts)[0]
