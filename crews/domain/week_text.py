"""A working week as people write it: ``Mon-Fri 07:00-15:30, Sat 08:00-12:00``."""

import re
from collections.abc import Mapping, Sequence
from datetime import time

from jobs.domain.errors import CannotDo

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_PART = re.compile(r"(?P<first>[A-Za-z]+)(?:\s*-\s*(?P<last>[A-Za-z]+))?\s+(?P<opens>\S+?)\s*-\s*(?P<closes>\S+)")

MIDNIGHT = time(0)
Week = dict[str, list[str]]


def week_of_text(text: str) -> Week:
    """The week as rows keep it: ISO weekday numbers ("1" is Monday) with opening and closing time.

    Raises
    ------
    CannotDo
        ``week.unreadable``, ``week.day_twice``, ``week.backwards`` or ``week.empty``.

    >>> week_of_text("Mon-Tue 07:00-15:30, Sat 8:00-12:00")
    {'1': ['07:00', '15:30'], '2': ['07:00', '15:30'], '6': ['08:00', '12:00']}
    """
    week: Week = {}
    for part in filter(None, (part.strip() for part in re.split(r"[,;\n]", text))):
        found = _PART.fullmatch(part)
        if found is None:
            raise CannotDo("week.unreadable", field="week", part=part)
        first = _day(found["first"], part)
        last = _day(found["last"], part) if found["last"] else first
        opens, closes = _clock(found["opens"], part), _clock(found["closes"], part)
        if first > last or (closes <= opens and closes != MIDNIGHT):
            raise CannotDo("week.backwards", field="week", part=part)
        for day in range(first, last + 1):
            if str(day) in week:
                raise CannotDo("week.day_twice", field="week", day=DAYS[day - 1])
            week[str(day)] = [f"{opens:%H:%M}", f"{closes:%H:%M}"]
    if not week:
        raise CannotDo("week.empty", field="week")
    return dict(sorted(week.items()))


def text_of_week(week: Mapping[str, Sequence[str]]) -> str:
    """The week in words that ``week_of_text`` reads back; days in a row with the same hours stand together.

    >>> text_of_week({"1": ["07:00", "15:30"], "2": ["07:00", "15:30"], "6": ["08:00", "12:00"]})
    'Mon-Tue 07:00-15:30, Sat 08:00-12:00'
    """
    runs: list[tuple[int, int, tuple[str, str]]] = []
    for number in sorted(week, key=int):
        day, hours = int(number), (week[number][0], week[number][1])
        if runs and runs[-1][1] == day - 1 and runs[-1][2] == hours:
            runs[-1] = (runs[-1][0], day, hours)
        else:
            runs.append((day, day, hours))
    return ", ".join(
        f"{DAYS[first - 1]}{'' if first == last else '-' + DAYS[last - 1]} {opens}-{closes}"
        for first, last, (opens, closes) in runs
    )


def _day(word: str, part: str) -> int:
    for number, day in enumerate(DAYS, start=1):
        if word[:3].title() == day:
            return number
    raise CannotDo("week.unreadable", field="week", part=part)


def _clock(text: str, part: str) -> time:
    try:
        return time.fromisoformat(text.rjust(5, "0") if ":" in text else f"{int(text):02}:00")
    except ValueError as error:
        raise CannotDo("week.unreadable", field="week", part=part) from error
