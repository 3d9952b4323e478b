"""Calendar days laid end to end: the working day wide, the night a sliver, every day alike."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from planner.dayplans.presenters.measures import Gettext, gettext_noop
from planner.web.presenters.canvas import px

DAY_FROM_H, DAY_UNTIL_H = 6.0, 18.0
# The share of a day's width that each of its two nights' halves takes.
NIGHT_SHARE = 0.1

SHORT_DAYS = (
    gettext_noop("Mon"),
    gettext_noop("Tue"),
    gettext_noop("Wed"),
    gettext_noop("Thu"),
    gettext_noop("Fri"),
    gettext_noop("Sat"),
    gettext_noop("Sun"),
)
SHORT_MONTHS = (
    gettext_noop("Jan"),
    gettext_noop("Feb"),
    gettext_noop("Mar"),
    gettext_noop("Apr"),
    gettext_noop("May"),
    gettext_noop("Jun"),
    gettext_noop("Jul"),
    gettext_noop("Aug"),
    gettext_noop("Sep"),
    gettext_noop("Oct"),
    gettext_noop("Nov"),
    gettext_noop("Dec"),
)


def short_day(on: date, gettext: Gettext = str) -> str:
    """A date short enough for a column.

    >>> short_day(date(2026, 6, 16))
    'Tue Jun 16'
    """
    return f"{gettext(SHORT_DAYS[on.weekday()])} {gettext(SHORT_MONTHS[on.month - 1])} {on.day}"


@dataclass(frozen=True, slots=True, kw_only=True)
class DayColumn:
    x: float
    middle: float
    width: float
    weekday: str
    day: str
    rest: bool
    night_x: float
    night_width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DayScale:
    """Where a moment lies across ``days`` calendar days from ``from_on``, on the clock of ``zone``."""

    from_on: date
    days: int
    zone: ZoneInfo
    px_per_day: float = 48.0
    left: float = 0.0

    def __post_init__(self) -> None:
        if self.days < 1 or self.px_per_day <= 0:
            raise ValueError("a scale has at least one day and a width")

    @property
    def width(self) -> float:
        return self.days * self.px_per_day

    @property
    def right(self) -> float:
        return self.left + self.width

    def x(self, moment: datetime) -> float:
        """The place of a moment; before the first day is the left edge, after the last the right edge."""
        local = moment.astimezone(self.zone)
        whole = (local.date() - self.from_on).days
        if whole < 0:
            return self.left
        if whole >= self.days:
            return self.right
        return self.left + (whole + _share_of_day(local.hour + local.minute / 60)) * self.px_per_day

    def shows(self, from_at: datetime, until_at: datetime) -> bool:
        """Whether any of [from_at, until_at) lies on the scale."""
        first = from_at.astimezone(self.zone).date()
        last = (until_at - timedelta(microseconds=1)).astimezone(self.zone).date()
        return last >= self.from_on and first < self.from_on + timedelta(days=self.days)

    def columns(self, gettext: Gettext = str) -> Iterator[DayColumn]:
        """One column a day; the first and each first of a month carry the month."""
        night = NIGHT_SHARE * self.px_per_day
        for at in range(self.days):
            on = self.from_on + timedelta(days=at)
            x = self.left + at * self.px_per_day
            month = gettext(SHORT_MONTHS[on.month - 1])
            yield DayColumn(
                x=px(x),
                middle=px(x + self.px_per_day / 2),
                width=px(self.px_per_day),
                weekday=gettext(SHORT_DAYS[on.weekday()]),
                day=f"{month} {on.day}" if at == 0 or on.day == 1 else str(on.day),
                rest=on.weekday() >= 5,
                night_x=px(x + self.px_per_day - night),
                night_width=px(2 * night),
            )


def _share_of_day(hours: float) -> float:
    """Local hours [0..24) to the share of the day's width."""
    day_share = 1 - 2 * NIGHT_SHARE
    if hours < DAY_FROM_H:
        return NIGHT_SHARE * hours / DAY_FROM_H
    if hours < DAY_UNTIL_H:
        return NIGHT_SHARE + day_share * (hours - DAY_FROM_H) / (DAY_UNTIL_H - DAY_FROM_H)
    return 1 - NIGHT_SHARE + NIGHT_SHARE * (hours - DAY_UNTIL_H) / (24 - DAY_UNTIL_H)
