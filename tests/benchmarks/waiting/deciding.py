"""Decisions when to start, by a start's chance alone and with the days a miss waits, judged by what the sky then did.

Each day of the record somebody picks the start among the next six days that is cheapest with the days waited until
then. ``spent`` is what it came to: days waited, and where the day was wet the loss and the days to the next dry day.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

import numpy as np

from planner.forecast.domain.halfday import HalfDays, seconds_of
from planner.forecast.domain.made.latent import climate_chance, rain_knowledge
from planner.plans.outcomes.weathers import draw_weathers
from tests.benchmarks.waiting.missed import days_after_miss, start_dollars
from tests.planner.forecast_domain.real_record import GAUGES, HOUR, ZONE, measured_mm, runs
from tests.planner.plans.outcomes.test_weathers_as_recorded import MEASURABLE_MM, half_days

AHEAD, LOOKED_AT, WEATHERS = 6, 12, 200
LONGEST_LEAD = 32
WORK_HOURS = range(7, 18)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """Chance of rain on each of the days ahead as it was told, and whether each was wet; the last from climate."""

    told: int
    chances: tuple[float, ...]
    wet: tuple[bool, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spent:
    """Mean dollars of a decision by each way, and how often the two differ."""

    decisions: int
    differ: int
    by_chance: float
    with_waiting: float
    error: float


def compared(outlooks: Sequence[Outlook], *, loss: int, a_day: int) -> Spent:
    """Decide every outlook both ways; ``error`` is the standard error of the mean difference."""
    rare = _rarities()
    spent = []
    for one in outlooks:
        chances = np.array(one.chances)
        days = np.arange(float(len(chances)))
        after = days_after_miss(rare[:, : len(chances)] < chances, days)
        waited = a_day * days
        prices = (chances * loss, start_dollars(chances, after, loss=loss, a_day=a_day))
        both = [int(np.argmin((price + waited)[: one.told])) for price in prices]
        spent.append([_came_to(one, pick, loss=loss, a_day=a_day) for pick in both])
    table = np.array(spent, dtype=np.float64)
    gain = table[:, 0] - table[:, 1]
    return Spent(
        decisions=len(table),
        differ=int((gain != 0).sum()),
        by_chance=float(table[:, 0].mean()),
        with_waiting=float(table[:, 1].mean()),
        error=float(gain.std() / np.sqrt(len(gain))),
    )


def made_outlooks(seeds: int) -> Iterator[Outlook]:
    """Forecasts made from the recorded year EWR 2013 by the product's own forecaster, reliable at every lead."""
    known = half_days("rain_mm")
    rain_mm = np.array([sum(values) for _, _, values in known.values()])
    months = np.array([month for month, _, _ in known.values()])
    wet = rain_mm >= MEASURABLE_MM
    usual = climate_chance(wet, months)
    by_day = np.array([at for at, (_, half, _) in enumerate(known.values()) if half == 0])
    for seed in range(seeds):
        knowledge = rain_knowledge(rain_mm, wet, months, np.random.default_rng(seed))
        for first in range(len(by_day) - LOOKED_AT):
            days = by_day[first : first + LOOKED_AT]
            # Decided in the evening: six hours steps from there to six in the morning of each day.
            steps = np.minimum(4 * np.arange(AHEAD) + 2, LONGEST_LEAD)
            chances = [*knowledge.chance(steps, days[:AHEAD]).tolist(), *usual[days[AHEAD:]].tolist()]
            yield Outlook(told=AHEAD, chances=tuple(chances), wet=tuple(wet[days].tolist()))


def recorded_outlooks() -> Iterator[Outlook]:
    """Forecasts as one service issued them over a summer, and each of two gauges; what is not whole is left out."""
    for gauge in GAUGES:
        known = measured_mm()[gauge]
        for on, series in runs():
            chances: list[float] = []
            wet: list[bool] = []
            for day in range(1, LOOKED_AT + 1):
                hours = [_hour(on + timedelta(days=day), hour) for hour in WORK_HOURS]
                fell = [known[at] for at in hours if at in known]
                told = [one for one in series.between("rain_chance", hours[0], hours[-1] + HOUR) if one is not None]
                if len(fell) < len(hours) - 2:
                    break
                wet.append(sum(fell) >= MEASURABLE_MM)
                if len(told) == len(hours) and len(chances) == day - 1 < AHEAD:
                    chances.append(max(told))
            if len(chances) >= AHEAD // 2 and len(wet) > len(chances):
                usual = [0.27] * (len(wet) - len(chances))
                yield Outlook(told=len(chances), chances=(*chances, *usual), wet=tuple(wet))


def _rarities() -> np.ndarray:
    """How rare the storm of each of the days ahead is, in each weather."""
    begins = datetime.combine(date(2026, 6, 1), time(6), tzinfo=ZONE)
    weathers = draw_weathers(
        from_at=begins, until_at=begins + timedelta(days=LOOKED_AT), zone=ZONE, count=WEATHERS, seed=1
    )
    blocks = HalfDays(ZONE)
    days = [blocks.holding(seconds_of(begins + timedelta(days=day, hours=3))).from_s for day in range(LOOKED_AT)]
    return np.array([[one.storms[day] for day in days] for one in weathers])


def _came_to(one: Outlook, pick: int, *, loss: int, a_day: int) -> int:
    if not one.wet[pick]:
        return a_day * pick
    later = next((day for day in range(pick + 1, len(one.wet)) if not one.wet[day]), len(one.wet))
    return a_day * later + loss


def _hour(on: date, hour: int) -> datetime:
    return datetime.combine(on, time(hour), tzinfo=ZONE)
