"""What a start has to fear of each half-day by itself."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from planner.forecast.domain.limits.levels import Verdict


class HalfDayRisk(NamedTuple):
    """What one half-day (by its first second) may do to a start: chance of a storm, of wind, and of cold or heat."""

    from_s: int
    storm: float
    wind: float
    air: float


def half_day_risks(storms: Mapping[int, float], verdicts: Sequence[Verdict]) -> tuple[HalfDayRisk, ...]:
    """The chances of storms by half-day with those of the levels, in order of the half-days.

    Limits of one kind go together in a half-day: the highest chance of wind and gust counts, and of cold and heat.
    """
    winds, airs = dict[int, float](), dict[int, float]()
    for verdict in verdicts:
        kind = airs if verdict.part.limit.startswith("air_") else winds
        for block, chance in verdict.by_block.items():
            kind[block] = max(kind.get(block, 0.0), chance)
    return tuple(
        HalfDayRisk(block, storms.get(block, 0.0), winds.get(block, 0.0), airs.get(block, 0.0))
        for block in sorted({*storms, *winds, *airs})
    )
