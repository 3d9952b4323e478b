"""Local half-days: 06:00 to 18:00 and 18:00 to 06:00, the blocks a chance of rain is stated for.

Moments are whole seconds since 1970 (UTC), because a season's table asks for millions of them.
"""

from datetime import date, datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

DAY_OPENS = 6
NIGHT_OPENS = 18
HOUR_S = 3600
# Every zone's offset is a multiple of 15 minutes, so a half-day never begins inside such a slot.
SLOT_S = 900


class HalfDay(NamedTuple):
    """One half-day [from_s, until_s); ``half`` 0 is the day, 1 the night; a night belongs to the date it begins on."""

    from_s: int
    until_s: int
    month: int
    half: int
    on: date


class Slice(NamedTuple):
    """The part [from_s, until_s) of a half-day."""

    block: HalfDay
    from_s: int
    until_s: int


def seconds_of(moment: datetime) -> int:
    """Whole seconds since 1970 of an aware moment.

    Raises
    ------
    ValueError
        If the moment has no zone.
    """
    if moment.tzinfo is None:
        raise ValueError("a moment needs its zone")
    return int(moment.timestamp())


class HalfDays:
    """The half-days of one zone, remembered once computed.

    >>> from datetime import UTC
    >>> days = HalfDays(ZoneInfo("America/New_York"))
    >>> days.holding(seconds_of(datetime(2026, 7, 1, 12, tzinfo=UTC))).half
    0
    """

    def __init__(self, zone: ZoneInfo) -> None:
        self.zone = zone
        self._by_slot: dict[int, HalfDay] = {}
        self._hours: dict[int, int] = {}

    def holding(self, at_s: int) -> HalfDay:
        """The half-day that holds a moment [s]."""
        slot = at_s // SLOT_S
        found = self._by_slot.get(slot)
        if found is None:
            found = self._by_slot[slot] = self._find(slot * SLOT_S)
        return found

    def slices(self, from_s: int, until_s: int) -> list[Slice]:
        """[from_s, until_s) cut at every 06:00 and 18:00, in order; empty if the span is."""
        cut: list[Slice] = []
        while from_s < until_s:
            block = self.holding(from_s)
            end_s = min(until_s, block.until_s)
            cut.append(Slice(block, from_s, end_s))
            from_s = end_s
        return cut

    def hour(self, at_s: int) -> int:
        """Local hour of the day 0..23."""
        slot = at_s // SLOT_S
        found = self._hours.get(slot)
        if found is None:
            found = self._hours[slot] = datetime.fromtimestamp(at_s, self.zone).hour
        return found

    def _find(self, at_s: int) -> HalfDay:
        local = datetime.fromtimestamp(at_s, self.zone)
        on = local.date() if local.hour >= DAY_OPENS else local.date() - timedelta(days=1)
        if DAY_OPENS <= local.hour < NIGHT_OPENS:
            return HalfDay(self._at(on, DAY_OPENS), self._at(on, NIGHT_OPENS), on.month, 0, on)
        return HalfDay(self._at(on, NIGHT_OPENS), self._at(on + timedelta(days=1), DAY_OPENS), on.month, 1, on)

    def _at(self, on: date, hour: int) -> int:
        return seconds_of(datetime(on.year, on.month, on.day, hour, tzinfo=self.zone))
