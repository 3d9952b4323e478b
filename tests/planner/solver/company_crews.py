"""The crews of a generated branch: their hours, days on which few come, hours worked for pay, and who can do what."""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random
from typing import Final

from planner.solver.problem import Calendar, Crew, CrewOption, Day, Need, Span
from tests.planner.solver.generate import weekly
from tests.planner.solver.pool_template import Step

# A crew's usual day, how long it works on for pay, and when the evening ends [minutes after the office opens].
USUAL, OVERTIME, EVENING = 600, 120, 900
REGIONS: Final = 3
# Crews for each pool, by trade.
CREWS: Final = {
    "dig": 0.12,
    "pipe": 0.16,
    "steel": 0.1,
    "form": 0.24,
    "concrete": 0.14,
    "liner": 0.14,
    "electric": 0.07,
    "yard": 0.1,
}
# Those who come back to a running fill are there whenever it arrives.
AT_THE_FILL: Final = ("liner", "pipe")
# Outside crews, and those whose only work must be followed the same day, sell no hours.
NO_PAID_HOURS: Final = ("electric", "concrete")
EVERY_DAY: Final = tuple(range(6))
SATURDAY: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """What a crew may be asked for besides its own calendar: calendars by key, empty where there is none.

    ``short`` are its days with few people left out or cut, ``short_least`` those on which too few come for heavy work
    left out; ``paid`` and ``short_paid`` hold the hours it works for pay too.
    """

    short: str = ""
    short_least: str = ""
    paid: str = ""
    short_paid: str = ""
    evening: str = ""


class Crews:
    """Draws the crews of a branch of so many pools."""

    def __init__(self, random: Random, days: tuple[Day, ...], pools: int) -> None:
        self._random = random
        self._days = days
        self.calendars: list[Calendar] = []
        self.crews: list[Crew] = []
        self._hours: dict[str, Hours] = {}
        for trade, share in CREWS.items():
            for index in range(max(1, round(share * pools))):
                self._draw(trade, f"{trade}{index}", index)
        self._regions = {crew.key: random.randrange(REGIONS) for crew in self.crews}
        self._needs: dict[tuple[str, str, int, bool], Need] = {}

    def _draw(self, trade: str, key: str, index: int) -> None:
        random = self._random
        weekdays = random.choice((EVERY_DAY[:5], EVERY_DAY[:5], EVERY_DAY, EVERY_DAY[:4]))
        late, early = random.choice(((0, 0), (0, 0), (0, 60), (60, 0)))
        if trade in AT_THE_FILL:
            weekdays, late, early = EVERY_DAY[:5], 0, 0
        leave = random.randrange(10, 60)
        off = tuple(range(leave, leave + random.choice((0, 1, 1, 5))))
        own = weekly(
            key, self._days, weekdays=weekdays, off=off, late_minutes=late, early_minutes=EVENING - USUAL + early
        )
        self.calendars.append(own)
        for_pay = trade not in NO_PAID_HOURS and random.random() < 0.6
        self.crews.append(
            Crew(
                key=key,
                name=f"{trade.title()} {index + 1}",
                calendar=key,
                overtime_dollars=random.choice((90, 135, 180)) if for_pay else 0,
                day_off_dollars=random.choice((120, 180, 240)) if for_pay else 0,
            )
        )
        paid = self._paid(own, f"{key} paid", off, few=frozenset()) if for_pay else ""
        few = frozenset(range(first := random.randrange(2, 25), first + 3)) if random.random() < 0.25 else frozenset()
        short = least = short_paid = ""
        if few:
            short = self._add(Calendar(key=f"{key} few", windows=self._few(own, few, half=True)))
            least = self._add(Calendar(key=f"{key} enough", windows=self._few(own, few, half=False)))
            short_paid = self._paid(own, f"{key} few paid", off, few=few) if for_pay else ""
        evening = ""
        if trade == "concrete":
            long = weekly(f"{key} evening", self._days, weekdays=weekdays, off=off, late_minutes=late)
            evening = self._add(long)
        self._hours[key] = Hours(short=short, short_least=least, paid=paid, short_paid=short_paid, evening=evening)

    def _add(self, calendar: Calendar) -> str:
        self.calendars.append(calendar)
        return calendar.key

    def _few(self, own: Calendar, few: frozenset[int], *, half: bool) -> tuple[Span, ...]:
        """The windows without the days on which few come, or with these cut in half."""
        shut = {self._days[index].opens for index in few}
        spans = []
        for span in own.windows:
            if not any(opens <= span.start < opens + EVENING for opens in shut):
                spans.append(span)
            elif half:
                spans.append(Span(start=span.start, end=span.start + USUAL // 2))
        return tuple(spans)

    def _paid(self, own: Calendar, key: str, off: tuple[int, ...], *, few: frozenset[int]) -> str:
        """The windows with overtime and Saturdays; a day on which few come is not made longer."""
        by_opening = {self._opening(span.start): span for span in own.windows}
        spans = []
        for index, day in enumerate(self._days):
            span = by_opening.get(day.opens)
            if span is not None and index in few:
                spans.append(Span(start=span.start, end=span.start + USUAL // 2))
            elif span is not None:
                spans.append(Span(start=span.start, end=max(span.end, min(span.end + OVERTIME, day.long_closes))))
            elif day.on.weekday() == SATURDAY and index not in off:
                spans.append(Span(start=day.opens, end=day.opens + USUAL))
        return self._add(Calendar(key=key, windows=tuple(spans)))

    def _opening(self, minute: int) -> int:
        return self._days[bisect_right(self._days, minute, key=lambda day: day.opens) - 1].opens

    def need(self, trade: str, step: Step, region: int, *, alone: bool) -> Need:
        """Who of a trade does a step in a region, with the minutes each takes and the drive there and back."""
        key = (trade, step.key, region, alone)
        if key not in self._needs:
            self._needs[key] = Need(trade=trade, options=tuple(self._options(trade, step, region, alone=alone)))
        return self._needs[key]

    def _options(self, trade: str, step: Step, region: int, *, alone: bool) -> Iterator[CrewOption]:
        for crew in self.crews:
            far = 45 * abs(self._regions[crew.key] - region)
            if crew.key.startswith(trade):
                yield self._option(crew.key, step, step.minutes, far, alone=alone)
            elif trade == "steel" and crew.key.startswith("form") and crew.key.endswith(("0", "3", "6")):
                # Some form crews tie steel too, slower.
                yield self._option(crew.key, step, step.minutes + EVENING // 6, far + 60, alone=alone)

    def _option(self, crew: str, step: Step, minutes: int, dollars: int, *, alone: bool) -> CrewOption:
        hours = self._hours[crew]
        if step.evening:
            return CrewOption(crew=crew, work_minutes=minutes, dollars=dollars, calendar=hours.evening)
        # Heavy work needs everybody.
        short = hours.short_least if step.is_heavy else hours.short
        # Crews that work jointly sell no hours.
        paid = (hours.short_paid if short else hours.paid) if alone and not (step.is_heavy and short) else ""
        return CrewOption(crew=crew, work_minutes=minutes, dollars=dollars, calendar=short, paid_calendar=paid)
