"""The sky over a generated branch: ten days of forecast for each region, a climate behind, and what prepares for it."""

from dataclasses import dataclass, replace
from random import Random
from typing import Final

from planner.solver.problem import Day, Preparing, StartWeather
from tests.planner.solver.company_crews import EVENING, REGIONS, USUAL

FORECAST_DAYS: Final = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposed:
    """Work that rain spoils: from which chance a start is forbidden, what it costs, and what can be prepared.

    With what is prepared a start is allowed up to the chance ``shut_prepared``.
    """

    shut: float
    loss_dollars: int
    title: str
    dollars: int
    spares: float
    minutes: int
    shut_prepared: float


EXPOSURES: Final = {
    "dig": Exposed(
        shut=0.75, loss_dollars=900, title="Berm and sheet", dollars=220, spares=0.7, minutes=120, shut_prepared=0.9
    ),
    "pour": Exposed(
        shut=0.5, loss_dollars=3000, title="Frames and sheet", dollars=180, spares=0.7, minutes=90, shut_prepared=0.7
    ),
    "dry": Exposed(shut=0.6, loss_dollars=800, title="Canopy", dollars=60, spares=0.6, minutes=30, shut_prepared=0.8),
}


class Skies:
    """Draws the sky of a branch."""

    def __init__(self, random: Random, days: tuple[Day, ...]) -> None:
        self._days = days
        self._chances = [[random.random() ** 2 for _ in range(2 * FORECAST_DAYS)] for _ in range(REGIONS)]
        self._climate = [0.03 + 0.12 * random.random() for _ in range(len(days) // 7 + 1)]
        self._known: dict[tuple[str, int, bool], tuple[StartWeather, ...]] = {}

    def over(self, exposure: str, region: int, *, adds_time: bool) -> tuple[StartWeather, ...]:
        """What the sky does to the starts of exposed work; none of it where the exposure is empty.

        Without ``adds_time`` nobody's time goes into preparing.
        """
        if not exposure:
            return ()
        key = (exposure, region, adds_time)
        if key not in self._known:
            segments = self._segments(EXPOSURES[exposure], region)
            if not adds_time:
                segments = [replace(one, ways=tuple(replace(way, minutes=0) for way in one.ways)) for one in segments]
            self._known[key] = tuple(segments)
        return self._known[key]

    def _segments(self, exposed: Exposed, region: int) -> list[StartWeather]:
        segments = []
        for index, day in enumerate(self._days[:FORECAST_DAYS]):
            noon = day.opens + USUAL // 2
            for half, (start, end) in enumerate(((day.opens, noon), (noon, day.closes))):
                segments.append(_segment(exposed, start, end, self._chances[region][2 * index + half]))
        for week, first in enumerate(range(FORECAST_DAYS, len(self._days), 7)):
            end = self._days[min(first + 6, len(self._days) - 1)].closes
            segments.append(_segment(exposed, self._days[first].opens, end, self._climate[week]))
        return segments


def settled_on(weather: tuple[StartWeather, ...], day: Day) -> tuple[StartWeather, ...]:
    """The sky of a start that people were told to prepare for on a day."""
    return tuple(
        replace(one, settled=True) if one.ways and day.opens <= one.start < day.opens + EVENING else one
        for one in weather
    )


def _segment(exposed: Exposed, start: int, end: int, chance: float) -> StartWeather:
    dollars = round(chance * exposed.loss_dollars)
    forbidden = chance > exposed.shut
    ways: tuple[Preparing, ...] = ()
    if dollars > exposed.dollars and chance <= exposed.shut_prepared:
        left = round((1 - exposed.spares) * dollars)
        ways = (Preparing(title=exposed.title, dollars=exposed.dollars, loss_dollars=left, minutes=exposed.minutes),)
    return StartWeather(
        start=start, end=end, forbidden=forbidden, dollars=dollars, reason="rain" if forbidden else "", ways=ways
    )
