"""Working time of a crew, a supplier, an authority or a branch: local hours turned into moments."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import holidays

from jobs.domain.errors import CannotDo

Window = tuple[datetime, datetime]
ChangedHours = tuple[date, time, time]

DAY = timedelta(days=1)
MINUTE = timedelta(minutes=1)
MIDNIGHT = time(0)
# A calendar whose next working day is further off than this is an entry mistake, not a plan.
SEARCH_DAYS = 1100
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def _check_hours(day: str, opens: time, closes: time) -> None:
    if opens.tzinfo is not None or closes.tzinfo is not None:
        raise ValueError("hours are local wall time; the calendar holds the zone")
    if closes <= opens and closes != MIDNIGHT:
        raise CannotDo("crews.hours_backwards", field=day, day=day.capitalize(), opens=opens, closes=closes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Local opening and closing hour of one day; closing at 00:00 is the midnight that ends the day."""

    opens: time
    closes: time

    def __post_init__(self) -> None:
        _check_hours("hours", self.opens, self.closes)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkWeek:
    """Hours by weekday; ``None`` is closed."""

    monday: Hours | None = None
    tuesday: Hours | None = None
    wednesday: Hours | None = None
    thursday: Hours | None = None
    friday: Hours | None = None
    saturday: Hours | None = None
    sunday: Hours | None = None

    @classmethod
    def same_hours(cls, opens: time, closes: time, weekdays: Iterable[int] = range(5)) -> "WorkWeek":
        """The same hours on each of ``weekdays`` (Monday is 0), closed on the others."""
        hours = Hours(opens=opens, closes=closes)
        return cls(**{WEEKDAYS[weekday]: hours for weekday in weekdays})

    def hours_on(self, on: date) -> Hours | None:
        """Hours of the weekday of ``on``, or ``None`` when closed."""
        hours: Hours | None = getattr(self, WEEKDAYS[on.weekday()])
        return hours

    @property
    def is_closed(self) -> bool:
        return all(getattr(self, weekday) is None for weekday in WEEKDAYS)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkCalendar:
    """When somebody works: a week, less holidays and days off, with changed hours on single dates.

    Parameters
    ----------
    key : str
        Whose calendar it is; named in every refusal.
    zone : str
        IANA time zone of the branch.
    week : WorkWeek
        The usual hours.
    holidays, days_off : frozenset of date
        Whole local days not worked.
    changed_hours : tuple of (date, opens, closes)
        Hours of single dates (a Saturday worked, a short day, a holiday worked); they win over the week
        and over a holiday. A date may not be a day off as well.

    Raises
    ------
    CannotDo
        Unknown zone, no hours at all, hours backwards, one date given twice or both off and worked.
    """

    key: str
    zone: str
    week: WorkWeek
    holidays: frozenset[date] = frozenset()
    days_off: frozenset[date] = frozenset()
    changed_hours: tuple[ChangedHours, ...] = ()
    _changed: dict[date, Hours] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        _zone(self.zone, self.key)
        changed: dict[date, Hours] = {}
        for on, opens, closes in self.changed_hours:
            if on in changed:
                raise CannotDo("crews.hours_twice", field="changed_hours", key=self.key, on=on)
            if on in self.days_off:
                raise CannotDo("crews.day_off_with_hours", field="days_off", key=self.key, on=on)
            _check_hours(on.isoformat(), opens, closes)
            changed[on] = Hours(opens=opens, closes=closes)
        if self.week.is_closed and not changed:
            raise CannotDo("crews.no_hours", field="week", key=self.key)
        object.__setattr__(self, "_changed", changed)

    def hours_on(self, on: date) -> Hours | None:
        """Local hours of a date after holidays, days off and changes; ``None`` when closed."""
        if on in self._changed:
            return self._changed[on]
        if on in self.holidays or on in self.days_off:
            return None
        return self.week.hours_on(on)

    def window_on(self, on: date) -> Window | None:
        """Half-open working window of a date as aware UTC moments, or ``None`` when closed.

        An hour that the clocks skip is read as the moment they jump; an hour that comes twice is the first.
        Hours that lie wholly in the skipped hour make a closed day.
        """
        hours = self.hours_on(on)
        if hours is None:
            return None
        opens_at = local_moment(self.zone, on, hours.opens)
        closes_at = local_moment(self.zone, on + DAY if hours.closes == MIDNIGHT else on, hours.closes)
        return (opens_at, closes_at) if opens_at < closes_at else None

    def is_working_day(self, on: date) -> bool:
        """Whether any work is done on a date."""
        return self.window_on(on) is not None

    def ends_early_on(self, on: date) -> bool:
        """Whether a working date ends sooner than its day of the week usually does."""
        usual, own = self.week.hours_on(on), self._changed.get(on)
        if usual is None or own is None or own.closes == MIDNIGHT:
            return False
        return usual.closes == MIDNIGHT or own.closes < usual.closes

    def next_working_day(self, on: date) -> date:
        """First working day after ``on``; ``on`` itself is not counted."""
        return self._step(on, DAY)

    def previous_working_day(self, on: date) -> date:
        """Last working day before ``on``; ``on`` itself is not counted."""
        return self._step(on, -DAY)

    def add_working_days(self, on: date, n: int) -> date:
        """The ``n``-th working day after ``on``, which is not counted; 0 is ``on`` itself, negative counts back.

        A notice of n full working days given on ``on`` is over at the end of the day returned; the first
        day afterwards is ``next_working_day`` of it.
        """
        step = DAY if n > 0 else -DAY
        for _ in range(abs(n)):
            on = self._step(on, step)
        return on

    def opening(self, on: date) -> datetime:
        """Moment the working day opens.

        Raises
        ------
        CannotDo
            The date is not worked.
        """
        window = self.window_on(on)
        if window is None:
            raise CannotDo("crews.closed_on", field="on", key=self.key, on=on)
        return window[0]

    def next_open(self, moment: datetime) -> datetime:
        """First moment at or after ``moment`` that is working time."""
        moment = _utc(moment)
        for opens_at, closes_at in self._windows_after(moment):
            if moment < closes_at:
                return max(moment, opens_at)
        raise AssertionError("_windows_after raises before it ends")

    def windows(self, from_on: date, until_on: date) -> tuple[Window, ...]:
        """Windows of every working day in the half-open span of dates [from_on, until_on), ascending."""
        days = (from_on + offset * DAY for offset in range((until_on - from_on).days))
        return tuple(window for window in map(self.window_on, days) if window is not None)

    def add_working(self, start_at: datetime, minutes: int) -> datetime:
        """Moment at which ``minutes`` of working time have passed since ``start_at``.

        Work that exactly fills a day ends when the day closes, not when the next opens. Zero minutes is
        ``start_at`` itself.
        """
        if minutes < 0:
            raise CannotDo("crews.negative_minutes", field="minutes", key=self.key, minutes=minutes)
        start_at = _utc(start_at)
        if minutes == 0:
            return start_at
        left = minutes * MINUTE
        for opens_at, closes_at in self._windows_after(start_at):
            begins_at = max(opens_at, start_at)
            if begins_at >= closes_at:
                continue
            if left <= closes_at - begins_at:
                return begins_at + left
            left -= closes_at - begins_at
        raise AssertionError("_windows_after raises before it ends")

    def working_minutes_between(self, from_at: datetime, until_at: datetime) -> int:
        """Whole minutes of working time in the half-open span [from_at, until_at)."""
        if until_at < from_at:
            raise CannotDo("crews.span_backwards", field="until_at", key=self.key, from_at=from_at, until_at=until_at)
        total = timedelta(0)
        for opens_at, closes_at in self.windows(self.date_of(from_at), self.date_of(until_at) + DAY):
            total += max(timedelta(0), min(closes_at, until_at) - max(opens_at, from_at))
        return total // MINUTE

    def date_of(self, moment: datetime) -> date:
        """Local date of a moment."""
        return _utc(moment).astimezone(_zone(self.zone, self.key)).date()

    def _step(self, on: date, step: timedelta) -> date:
        for offset in range(1, SEARCH_DAYS + 1):
            if self.is_working_day(on + offset * step):
                return on + offset * step
        raise self._nothing_found(on, on + SEARCH_DAYS * step)

    def _windows_after(self, moment: datetime) -> Iterator[Window]:
        """Windows of the date of ``moment`` and later, without end; refuses a gap longer than the search."""
        on = self.date_of(moment) - DAY
        while True:
            on = self.next_working_day(on)
            window = self.window_on(on)
            assert window is not None
            yield window

    def _nothing_found(self, a: date, b: date) -> CannotDo:
        return CannotDo("crews.no_working_day", field="week", key=self.key, from_on=min(a, b), until_on=max(a, b))


def _utc(moment: datetime) -> datetime:
    if moment.tzinfo is None:
        raise ValueError("moments must be aware")
    return moment.astimezone(UTC)


def _zone(zone: str, key: str) -> ZoneInfo:
    try:
        return ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise CannotDo("crews.unknown_zone", field="zone", key=key, zone=zone) from error


@lru_cache(maxsize=65536)
def local_moment(zone: str, on: date, at: time) -> datetime:
    """Aware UTC moment of a local wall time; skipped hours become the jump, doubled hours the first.

    >>> local_moment("America/New_York", date(2026, 3, 8), time(2, 30)).isoformat()
    '2026-03-08T07:00:00+00:00'
    >>> local_moment("America/New_York", date(2026, 11, 1), time(1, 30)).isoformat()
    '2026-11-01T05:30:00+00:00'
    """
    tz = _zone(zone, zone)
    wall = datetime.combine(on, at, tzinfo=tz)
    moment = wall.astimezone(UTC)
    if moment.astimezone(tz).replace(tzinfo=None) == wall.replace(tzinfo=None):
        return moment
    # The wall time does not exist. Read with the offset after the gap it falls before the jump, with the
    # offset before the gap it falls at or after it: halve that span down to the jump.
    before, after = wall.replace(fold=1).astimezone(UTC), moment
    offset_after = after.astimezone(tz).utcoffset()
    while after - before > timedelta(seconds=1):
        middle = before + timedelta(seconds=(after - before) // timedelta(seconds=2))
        if middle.astimezone(tz).utcoffset() == offset_after:
            after = middle
        else:
            before = middle
    return after


def public_holidays(country: str, subdivision: str, years: Iterable[int]) -> frozenset[date]:
    """Public holidays, observed days included, of a country or one of its parts.

    Parameters
    ----------
    country : str
        ISO 3166-1 code, two letters.
    subdivision : str
        ISO 3166-2 code without the country ("NJ"), or empty for the whole country.
    years : iterable of int
        Calendar years.

    Raises
    ------
    CannotDo
        The country or the part is not known.

    >>> date(2026, 7, 3) in public_holidays("US", "NJ", (2026,))
    True
    """
    try:
        found = holidays.country_holidays(country, subdiv=subdivision or None, years=tuple(years))
    except NotImplementedError as error:
        raise CannotDo(
            "crews.unknown_holidays", field="subdivision", country=country, subdivision=subdivision
        ) from error
    return frozenset(found)
