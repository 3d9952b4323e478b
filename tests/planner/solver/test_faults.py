"""Each mistake in the input is found, named, and said with a remedy."""

from dataclasses import replace
from datetime import date, datetime
from itertools import pairwise

import pytest

from jobs.domain.errors import CannotDo
from planner.solver.faults import Fault, find_faults, refuse_faulty
from planner.solver.problem import (
    Calendar,
    CrewOption,
    DailyLimit,
    Drive,
    Gear,
    GearHold,
    Link,
    Need,
    OpenDays,
    Pin,
    Preparing,
    Problem,
    Promise,
    Span,
    StartWeather,
    Task,
    Told,
    Wait,
)
from tests.planner.solver import small

DIG = small.work("dig", 60, "a")
POUR = small.work("pour", 60, "a", "b")
GOOD = small.problem(
    3,
    (DIG, POUR),
    crews=2,
    links=(Link(before="dig", after="pour", kind="after"),),
    gear=(Gear(key="pump", name="Pump", count=1),),
    holds_of_gear=(GearHold(gear="pump", from_task="dig", until_task="pour"),),
    limits=(DailyLimit(key="round", tasks=("dig", "pour"), count=1),),
    promises=(Promise(job="one", task="pour", due=0, dollars_per_day=10),),
    open_days=(OpenDays(job="one", from_task="dig", until_task="pour", dollars_per_day=5),),
    told=(Told(task="dig", start=420, crews=("a",), move_dollars=1, day_dollars=1, crew_dollars=1),),
)
DAYS = GOOD.days
LINK = GOOD.links[0]
HOLD = GOOD.holds_of_gear[0]
TOLD = GOOD.told[0]


def dig(**changes: object) -> Problem:
    """The good problem with another first task."""
    return replace(GOOD, tasks=(replace(DIG, **changes), POUR))  # type: ignore[arg-type]


def needs(*options: CrewOption) -> tuple[Need, ...]:
    return (Need(trade="soil", options=options),)


def hours(*spans: tuple[int, int]) -> Problem:
    windows = tuple(Span(start=start, end=end) for start, end in spans)
    return replace(GOOD, calendars=(Calendar(key="week", windows=windows),))


def linked(**changes: object) -> Problem:
    return replace(GOOD, links=(replace(LINK, **changes),))  # type: ignore[arg-type]


def weather(*spans: tuple[int, int, int]) -> tuple[StartWeather, ...]:
    return tuple(StartWeather(start=start, end=end, forbidden=False, dollars=dollars) for start, end, dollars in spans)


def paid(*windows: Span) -> Problem:
    """The first task may be done for pay in these hours."""
    option = CrewOption(crew="a", work_minutes=60, paid_calendar="paid")
    return replace(dig(needs=needs(option)), calendars=(*GOOD.calendars, Calendar(key="paid", windows=windows)))


def driven(*drives: Drive) -> Problem:
    """The two tasks on two sites."""
    return replace(GOOD, tasks=(replace(DIG, site="north"), replace(POUR, site="south")), drives=drives)


def prepared(*ways: Preparing) -> tuple[StartWeather, ...]:
    return (StartWeather(start=0, end=9, forbidden=True, dollars=9, ways=ways),)


def test_a_good_problem_passes() -> None:
    assert find_faults(GOOD) == ()
    refuse_faulty(GOOD)


SHEET = Preparing(title="sheet", dollars=1, loss_dollars=2, minutes=15)
OPTION = CrewOption(crew="a", work_minutes=60)
CASES: list[tuple[Problem, str, str]] = [
    (replace(GOOD, days=()), "no_days", "days"),
    (replace(GOOD, grid_minutes=0), "grid", "grid"),
    (replace(GOOD, origin_at=datetime(2026, 6, 1)), "origin", "origin"),  # noqa: DTZ001 - the fault itself
    (replace(GOOD, days=(DAYS[0], DAYS[2])), "days_order", "days"),
    (replace(GOOD, days=(DAYS[1], DAYS[0])), "days_order", "days"),
    (replace(GOOD, days=(DAYS[0], replace(DAYS[1], closes=DAYS[1].closes + 60), DAYS[2])), "day_length", "days"),
    (replace(GOOD, days=(replace(DAYS[0], closes=DAYS[0].opens),)), "span", "days"),
    (replace(GOOD, days=(*DAYS[:2], replace(DAYS[2], long_until=DAYS[2].closes + 15))), "span", "days"),
    (replace(GOOD, days=(*DAYS[:2], replace(DAYS[2], long_until=DAYS[2].closes - 60))), "day_length", "days"),
    (replace(GOOD, grid_minutes=7), "off_grid", "days"),
    (replace(GOOD, tasks=(DIG, DIG, POUR)), "twice", "dig"),
    (replace(GOOD, crews=(*GOOD.crews, GOOD.crews[0])), "twice", "a"),
    (replace(GOOD, calendars=GOOD.calendars * 2), "twice", "week"),
    (replace(GOOD, gear=GOOD.gear * 2), "twice", "pump"),
    (replace(GOOD, told=GOOD.told * 2), "twice", "dig"),
    (replace(GOOD, limits=(DailyLimit(key="round", tasks=("dig", "dig"), count=1),)), "twice", "round"),
    (dig(needs=needs(OPTION, OPTION)), "twice", "dig"),
    (replace(GOOD, crews=(GOOD.crews[0], replace(GOOD.crews[1], calendar="moon"))), "unknown", "b"),
    (dig(calendar="moon"), "unknown", "dig"),
    (dig(needs=needs(CrewOption(crew="z", work_minutes=60))), "unknown", "dig"),
    (dig(pin=Pin(start=0, end=1, crews=("z",))), "unknown", "dig"),
    (linked(before="lost"), "unknown", "the link from lost to pour"),
    (linked(after="lost"), "unknown", "the link from dig to lost"),
    (replace(GOOD, gear=()), "unknown", "the hold of pump"),
    (replace(GOOD, holds_of_gear=(replace(HOLD, until_task="lost"),)), "unknown", "the hold of pump"),
    (replace(GOOD, limits=(DailyLimit(key="round", tasks=("lost",), count=1),)), "unknown", "round"),
    (replace(GOOD, promises=(replace(GOOD.promises[0], task="lost"),)), "unknown", "the promise of one"),
    (replace(GOOD, open_days=(replace(GOOD.open_days[0], from_task="x"),)), "unknown", "the open days of one"),
    (replace(GOOD, told=(replace(TOLD, crews=("z",)),)), "unknown", "what people were told"),
    (hours((420, 900), (600, 900)), "windows_order", "week"),
    (hours((420, 480), (600, 900)), "window_two_a_day", "week"),
    (hours((420, 915)), "window_outside_day", "week"),
    (hours((400, 900)), "window_outside_day", "week"),
    (hours((480, 480)), "span", "week"),
    (hours((425, 900)), "off_grid", "week"),
    (dig(needs=()), "no_needs", "dig"),
    (dig(needs=needs()), "no_options", "dig"),
    (dig(run="elapsed"), "needs_without_work", "dig"),
    (dig(needs=needs(replace(OPTION, paid_calendar="moon"))), "unknown", "dig"),
    (paid(Span(start=420, end=900)), "paid_narrower", "paid"),
    (driven(Drive(sites=("north", "moon"), minutes=5)), "unknown", "the drive from north to moon"),
    (driven(Drive(sites=("north", "south"), minutes=-5)), "negative", "the drive from north to south"),
    (driven(*[Drive(sites=("north", "south"), minutes=5)] * 2), "twice", "the drive from north to south"),
    (driven(Drive(sites=("north", "north"), minutes=5)), "twice", "the drive from north to north"),
    (replace(GOOD, crews=(replace(GOOD.crews[0], overtime_dollars=-1), GOOD.crews[1])), "negative", "a"),
    (replace(GOOD, crews=(replace(GOOD.crews[0], day_off_dollars=-1), GOOD.crews[1])), "negative", "a"),
    (dig(weather=prepared(replace(SHEET, dollars=-1))), "negative", "dig"),
    (dig(weather=prepared(replace(SHEET, loss_dollars=-1))), "negative", "dig"),
    (dig(weather=prepared(replace(SHEET, minutes=-15))), "negative", "dig"),
    (dig(weather=prepared(replace(SHEET, minutes=20))), "off_grid", "dig"),
    (dig(weather=prepared(SHEET, SHEET)), "twice", "dig"),
    (
        dig(needs=(), run="elapsed", weather=prepared(replace(SHEET, minutes=15))),
        "preparing_without_work",
        "dig",
    ),
    (dig(splits_weekends=True), "weekend_without_night", "dig"),
    (dig(needs=needs(CrewOption(crew="a", work_minutes=0))), "not_positive", "dig"),
    (dig(needs=needs(CrewOption(crew="a", work_minutes=-15))), "not_positive", "dig"),
    (dig(needs=needs(CrewOption(crew="a", work_minutes=20))), "off_grid", "dig"),
    (dig(needs=needs(replace(OPTION, dollars=-1))), "negative", "dig"),
    (dig(span_minutes=-1), "negative", "dig"),
    (dig(run="attended", needs=(), span_minutes=0), "not_positive", "dig"),
    (dig(start_by_minutes=-1), "negative", "dig"),
    (dig(pin=Pin(start=9, end=8)), "pin_end", "dig"),
    (dig(pin=Pin(start=0, end=8, crews=("a", "b"))), "pin_crews", "dig"),
    (dig(windows=(Span(start=5, end=5),)), "span", "dig"),
    (dig(weather=weather((5, 5, 0))), "span", "dig"),
    (dig(weather=weather((0, 5, -1))), "negative", "dig"),
    (dig(weather=weather((0, 5, 1), (4, 9, 1))), "windows_order", "the weather of dig"),
    (linked(min_minutes=-1), "negative", "the link from dig to pour"),
    (linked(min_minutes=60, max_minutes=59), "link_limits", "the link from dig to pour"),
    (linked(ready=Wait(steps=())), "steps_empty", "the link from dig to pour"),
    (linked(ready=Wait(steps=((5, 9), (6, 8)))), "steps_order", "the link from dig to pour"),
    (linked(close=Wait(steps=((5, 9), (5, 9)))), "steps_order", "the link from dig to pour"),
    (linked(before="pour"), "cycle", "pour"),
    (replace(GOOD, gear=(Gear(key="pump", name="Pump", count=-1),)), "negative", "pump"),
    (replace(GOOD, holds_of_gear=(replace(HOLD, amount=-1),)), "negative", "the hold of pump until pour"),
    (replace(GOOD, holds_of_gear=(replace(HOLD, from_task=""),)), "no_beginning", "the hold of pump until pour"),
    (replace(GOOD, open_days=(replace(GOOD.open_days[0], from_task=""),)), "no_beginning", "the open days of one"),
    (replace(GOOD, promises=(replace(GOOD.promises[0], dollars_per_day=-1),)), "negative", "the promise of one"),
    (replace(GOOD, open_days=(replace(GOOD.open_days[0], dollars_per_day=-1),)), "negative", "the open days of one"),
    (replace(GOOD, told=(replace(TOLD, day_dollars=-1),)), "negative", "what people were told of dig"),
]


@pytest.mark.parametrize(("problem", "code", "field"), CASES, ids=[f"{code}-{field}" for _, code, field in CASES])
def test_each_fault_is_named(problem: Problem, code: str, field: str) -> None:
    found = find_faults(problem)
    assert [(fault.code, fault.field) for fault in found] == [(f"problem.{code}", field)]
    with pytest.raises(CannotDo) as refused:
        refuse_faulty(problem)
    assert (refused.value.code, refused.value.field) == (f"problem.{code}", field)
    assert str(refused.value) == found[0].says
    assert refused.value.remedy


def test_a_cycle_is_named_task_by_task() -> None:
    tasks = tuple(small.work(key, 60, "a") for key in ("dig", "pour", "strip", "fill"))
    pairs = (("dig", "pour"), ("pour", "strip"), ("strip", "dig"), ("strip", "fill"))
    links = tuple(Link(before=before, after=after, kind="after") for before, after in pairs)
    (fault,) = find_faults(small.problem(2, tasks, links=links))
    path = dict(fault.facts)["path"]
    assert isinstance(path, str)
    steps = path.split(" → ")
    assert sorted(steps[:-1]) == ["dig", "pour", "strip"]
    assert steps[0] == steps[-1]
    assert all(pair in pairs for pair in pairwise(steps))


def test_a_pinned_remainder_may_be_off_the_grid() -> None:
    assert find_faults(dig(needs=needs(replace(OPTION, work_minutes=23)), pin=Pin(start=0, end=23))) == ()


def test_hours_after_a_clock_change_are_measured_from_their_own_day() -> None:
    days = small.days(3, changes={1: -60})
    assert find_faults(small.problem(3, (DIG,), days=days, calendars=(small.weekdays(days),))) == ()


def test_every_fault_of_a_task_is_listed_in_order() -> None:
    task = Task(key="t", job="one", title="T", kind="work", run="work", span_minutes=-1, splits_weekends=True)
    codes = [fault.code for fault in find_faults(small.problem(2, (task,)))]
    assert codes == ["problem.no_needs", "problem.weekend_without_night", "problem.negative"]


def test_the_sentence_carries_fact_and_remedy() -> None:
    fault = Fault(code="problem.twice", field="dig", facts=(("what", "tasks"), ("key", "dig")))
    assert fault.says == "There are two tasks called dig. Give each its own key."


def test_a_day_named_in_a_sentence_is_a_date() -> None:
    days = (DAYS[0], replace(DAYS[1], on=date(2026, 6, 5)))
    assert "2026-06-05" in find_faults(replace(GOOD, days=days))[0].says
