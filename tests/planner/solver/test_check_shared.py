"""The checker on bounds, weather, crews, links, gear and limits: for each rule a kept and a broken case."""

from dataclasses import replace

import pytest

from planner.solver.check import check
from planner.solver.problem import DailyLimit, Gear, GearHold, Link, Pin, Problem, Span, StartWeather, Wait
from planner.solver.result import Assignment, Breach
from tests.planner.solver import small

DAY = 1440
OPENS, CLOSES = small.OPENS, small.CLOSES
DIG = small.work("dig", 60, "a")
POUR = small.work("pour", 60, "a", "b")
STARTED = Pin(start=OPENS, end=OPENS + 60, crews=("a",), why="started")


def at(task: str, start: int, *crews: str, minutes: int = 60) -> Assignment:
    return Assignment(task=task, start=start, end=start + minutes, crews=crews or ("a",))


def rules(problem: Problem, *plan: Assignment) -> list[str]:
    return [breach.rule for breach in check(problem, plan)]


@pytest.mark.parametrize(
    ("changes", "start", "broken"),
    [
        ({"earliest": OPENS + 30}, OPENS + 30, []),
        ({"earliest": OPENS + 30}, OPENS + 15, ["earliest"]),
        ({"latest_start": OPENS + 30}, OPENS + 30, []),
        ({"latest_start": OPENS + 30}, OPENS + 45, ["latest"]),
        ({"windows": (Span(start=0, end=OPENS + 60),)}, OPENS, []),
        ({"windows": (Span(start=0, end=OPENS + 60),)}, OPENS + 15, ["window"]),
        # Two windows that touch do not hold a stay across both.
        ({"windows": (Span(start=0, end=OPENS + 30), Span(start=OPENS + 30, end=DAY))}, OPENS, ["window"]),
        ({"weather": (StartWeather(start=OPENS, end=OPENS + 60, forbidden=True, dollars=0),)}, OPENS, ["weather"]),
        ({"weather": (StartWeather(start=OPENS, end=OPENS + 60, forbidden=True, dollars=0),)}, OPENS + 60, []),
        ({"weather": (StartWeather(start=OPENS, end=OPENS + 60, forbidden=False, dollars=9),)}, OPENS, []),
    ],
)
def test_bounds_of_one_start(changes: dict[str, object], start: int, broken: list[str]) -> None:
    free = replace(DIG, **changes)  # type: ignore[arg-type]
    assert rules(small.problem(2, (free,)), at("dig", start)) == broken
    frozen = replace(free, pin=Pin(start=start, end=start + 60, crews=("a",), why="frozen"))
    assert rules(small.problem(2, (frozen,)), at("dig", start)) == broken
    started = replace(free, pin=Pin(start=start, end=start + 60, crews=("a",), why="started"))
    assert rules(small.problem(2, (started,)), at("dig", start)) == []


def test_the_whole_split_stay_lies_in_a_site_window() -> None:
    task = small.work(
        "dig", 600, "a", splits_nights=True, windows=(Span(start=0, end=CLOSES), Span(start=DAY, end=9999))
    )
    problem = small.problem(2, (task,))
    plan = Assignment(task="dig", start=OPENS, end=DAY + OPENS + 120, crews=("a",))
    assert rules(problem, plan) == ["window"]
    assert rules(replace(problem, tasks=(replace(task, windows=(Span(start=0, end=9999),)),)), plan) == []


@pytest.mark.parametrize(
    ("crews", "broken"), [((), ["crew"]), (("a", "b"), ["crew"]), (("b",), ["crew"]), (("z",), ["crew", "crew"])]
)
def test_needs_are_filled_by_listed_crews(crews: tuple[str, ...], broken: list[str]) -> None:
    plan = Assignment(task="dig", start=OPENS, end=OPENS + 60, crews=crews)
    found = rules(small.problem(2, (DIG,), crews=2), plan)
    assert [rule for rule in found if rule == "crew"] == broken


def test_joint_crews_are_different() -> None:
    task = replace(POUR, needs=(*POUR.needs, *POUR.needs))
    problem = small.problem(2, (task,), crews=2)
    assert rules(problem, at("pour", OPENS, "b", "a")) == []
    assert rules(problem, at("pour", OPENS, "a", "a")) == ["crew"]


def test_a_crew_is_in_one_place() -> None:
    problem = small.problem(3, (DIG, POUR), crews=2)
    assert rules(problem, at("dig", OPENS), at("pour", OPENS + 60)) == []
    assert rules(problem, at("dig", OPENS), at("pour", OPENS, "b")) == []
    assert rules(problem, at("dig", OPENS), at("pour", OPENS + 45)) == ["one_place"]
    assert rules(problem, at("dig", OPENS + 45), at("pour", OPENS)) == ["one_place"]


def test_a_crew_that_pauses_over_a_night_works_nowhere_else() -> None:
    long = small.work("dig", 480, "a", splits_nights=True)
    problem = small.problem(3, (long, POUR), crews=2)
    dig = Assignment(task="dig", start=OPENS + 60, end=DAY + OPENS + 60, crews=("a",))
    pinned = replace(POUR, pin=Pin(start=CLOSES, end=CLOSES + 60, crews=("a",)))
    assert rules(replace(problem, tasks=(long, pinned)), dig, at("pour", CLOSES)) == ["one_place"]
    assert rules(problem, dig, at("pour", DAY + OPENS + 60)) == []


def test_a_short_stay_inside_a_long_one_is_found_behind_another_short_one() -> None:
    tasks = (small.work("long", 240, "a"), small.work("first", 60, "a"), small.work("second", 60, "a"))
    plan = (at("long", OPENS, minutes=240), at("first", OPENS + 30), at("second", OPENS + 120))
    assert [breach.task for breach in check(small.problem(2, tasks), plan)] == ["first", "second"]


READY = Wait(steps=((OPENS + 60, DAY + OPENS), (DAY, DAY + OPENS + 120)))


@pytest.mark.parametrize(
    ("link", "dig", "pour", "broken"),
    [
        ({}, OPENS, OPENS + 60, []),
        ({}, OPENS, OPENS + 45, ["link"]),
        ({"min_minutes": 90}, OPENS, OPENS + 150, []),
        ({"min_minutes": 90}, OPENS, OPENS + 135, ["link"]),
        ({"max_minutes": 90}, OPENS, OPENS + 150, []),
        ({"max_minutes": 90}, OPENS, OPENS + 165, ["link"]),
        ({"ready": READY}, OPENS, DAY + OPENS, []),
        ({"ready": READY}, OPENS, CLOSES - 60, ["link"]),
        ({"ready": READY}, OPENS + 15, DAY + OPENS + 105, ["link"]),
        ({"ready": READY}, OPENS + 15, DAY + OPENS + 120, []),
        ({"ready": READY}, DAY + OPENS, DAY + CLOSES - 60, ["link"]),
        ({"close": READY}, OPENS, DAY + OPENS, []),
        ({"close": READY}, OPENS, DAY + OPENS + 15, ["link"]),
        ({"close": READY}, DAY + OPENS, DAY + OPENS + 60, ["link"]),
        ({"ready": READY, "min_minutes": 1560}, OPENS, DAY + OPENS + 165, ["link"]),
        ({"close": READY, "max_minutes": 60}, OPENS, OPENS + 135, ["link"]),
        ({"ready": READY, "close": READY}, OPENS, DAY + OPENS, []),
    ],
)
def test_links(link: dict[str, object], dig: int, pour: int, broken: list[str]) -> None:
    made = Link(before="dig", after="pour", kind="after", **link)  # type: ignore[arg-type]
    problem = small.problem(3, (DIG, POUR), crews=2, links=(made,))
    assert rules(problem, at("dig", dig), at("pour", pour, "b")) == broken


def test_a_link_into_started_work_is_void_and_out_of_it_holds() -> None:
    link = Link(before="dig", after="pour", kind="after", min_minutes=600)
    begun = small.problem(2, (DIG, replace(POUR, pin=STARTED)), links=(link,))
    assert rules(begun, at("dig", OPENS + 120), at("pour", OPENS)) == []
    going = small.problem(2, (replace(DIG, pin=STARTED), POUR), links=(link,))
    assert rules(going, at("dig", OPENS), at("pour", OPENS + 120)) == ["link"]


def with_gear(count: int, *holds: GearHold) -> Problem:
    gear = (Gear(key="brace", name="Brace set", count=count),)
    return small.problem(4, (DIG, POUR), crews=2, gear=gear, holds_of_gear=holds)


def hold(first: str, last: str, **changes: object) -> GearHold:
    return GearHold(gear="brace", from_task=first, until_task=last, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("count", "holds", "pour", "broken"),
    [
        (1, (hold("dig", "dig"), hold("pour", "pour")), OPENS + 60, []),
        (1, (hold("dig", "dig"), hold("pour", "pour")), OPENS + 45, ["gear"]),
        (2, (hold("dig", "dig"), hold("pour", "pour")), OPENS + 45, []),
        (2, (hold("dig", "dig", amount=2), hold("pour", "pour")), OPENS + 45, ["gear"]),
        (1, (hold("dig", "pour"),), DAY + OPENS, []),
        (1, (hold("dig", "pour"), hold("pour", "pour")), DAY + OPENS, ["gear"]),
        (1, (hold("", "pour", since=-900), hold("dig", "dig")), DAY + OPENS, ["gear"]),
        (1, (hold("dig", "dig", whole_days=True), hold("pour", "pour")), CLOSES - 60, ["gear"]),
        (1, (hold("dig", "dig", whole_days=True), hold("pour", "pour", whole_days=True)), DAY + OPENS, []),
        (1, (hold("pour", "dig"),), DAY + OPENS, ["gear"]),
        (1, (hold("pour", "dig"),), OPENS + 60, []),
    ],
)
def test_gear_is_held_no_more_often_than_it_exists(
    count: int, holds: tuple[GearHold, ...], pour: int, broken: list[str]
) -> None:
    assert rules(with_gear(count, *holds), at("dig", OPENS), at("pour", pour, "b")) == broken


def test_a_daily_limit_counts_starts_of_one_day() -> None:
    limit = DailyLimit(key="inspector", tasks=("dig", "pour"), count=1)
    problem = small.problem(3, (DIG, POUR), crews=2, limits=(limit,))
    assert rules(problem, at("dig", OPENS), at("pour", DAY + OPENS)) == []
    assert rules(problem, at("dig", OPENS), at("pour", CLOSES - 60)) == ["limit"]
    assert rules(replace(problem, limits=(replace(limit, count=2),)), at("dig", OPENS), at("pour", CLOSES - 60)) == []


def test_breaches_come_in_one_order_and_say_what_is_wrong() -> None:
    link = Link(before="dig", after="pour", kind="cure", min_minutes=600, why="young concrete")
    problem = small.problem(3, (DIG, POUR), links=(link,))
    plan = (at("pour", OPENS), at("dig", OPENS))
    found = check(problem, plan)
    assert found == check(problem, plan[::-1])
    assert found[-1] == Breach(
        rule="link",
        task="pour",
        says="Pour after Dig: starts at 2026-06-01, 0 h 00 min after opening, "
        "not before 2026-06-01, 11 h 00 min after opening (young concrete).",
    )
