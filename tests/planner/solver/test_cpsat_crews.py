"""Crews: one place at a time, joint work together, the cheaper one where it does not matter."""

from planner.solver.problem import CrewOption, Need, Pin, Promise, Task
from tests.planner.solver import small
from tests.planner.solver.engine_cases import at, engine_plan


def test_one_crew_does_two_tasks_one_after_the_other() -> None:
    plan = engine_plan(small.problem(1, (small.work("dig", 240, "a"), small.work("pipe", 240, "a"))))
    assert plan is not None
    assert {one.start for one in plan.values()} == {at(0), at(0, 240)}


def test_one_crew_cannot_do_more_than_the_day_holds() -> None:
    assert engine_plan(small.problem(1, (small.work("dig", 240, "a"), small.work("pipe", 255, "a")))) is None


def test_a_second_crew_makes_room() -> None:
    plan = engine_plan(small.problem(1, (small.work("dig", 300, "a", "b"), small.work("pipe", 300, "a", "b")), crews=2))
    assert plan is not None
    assert {one.crews for one in plan.values()} == {("a",), ("b",)}


def test_a_crew_that_pauses_over_a_night_works_nowhere_else_in_between() -> None:
    long = small.work("dig", 720, "a", splits_nights=True)
    assert engine_plan(small.problem(2, (long, small.work("pipe", 240, "a")))) is not None
    assert engine_plan(small.problem(2, (long, small.work("pipe", 255, "a")))) is None
    # There is time enough on both days, but only inside the pause or cutting the work in two.
    middle = small.work("pipe", 120, "a", earliest=at(0, 360), latest_start=at(1))
    assert engine_plan(small.problem(2, (long, middle))) is None


def joint(minutes: int) -> Task:
    needs = tuple(
        Need(trade=trade, options=(CrewOption(crew="a", work_minutes=minutes), CrewOption(crew="b", work_minutes=60)))
        for trade in ("pour", "finish")
    )
    return Task(key="wall", job="one", title="Wall", kind="work", run="work", needs=needs)


def test_joint_work_takes_two_crews_for_as_long_as_the_slower_needs() -> None:
    plan = engine_plan(small.problem(1, (joint(240), small.work("pipe", 240, "a", "b")), crews=2))
    assert plan is not None
    assert set(plan["wall"].crews) == {"a", "b"}
    assert plan["wall"].end - plan["wall"].start == 240
    assert engine_plan(small.problem(1, (joint(255), small.work("pipe", 240, "a", "b")), crews=2)) is None


def test_pinned_work_keeps_its_crew_busy() -> None:
    pinned = small.work("dig", 240, "a", pin=Pin(start=at(0), end=at(0, 250), crews=("a",), why="started"))
    plan = engine_plan(small.problem(1, (pinned, small.work("pipe", 120, "a"))))
    assert plan is not None
    assert plan["pipe"].start >= at(0, 255)
    assert engine_plan(small.problem(1, (pinned, small.work("pipe", 240, "a")))) is None


def test_the_cheaper_crew_is_taken_unless_waiting_for_it_costs_more() -> None:
    options = (CrewOption(crew="a", work_minutes=240, dollars=0), CrewOption(crew="b", work_minutes=240, dollars=70))
    tasks = tuple(
        Task(
            key=key, job=key, title=key, kind="work", run="work", needs=(Need(trade="x", options=options),),
            start_by_minutes=0,
        )
        for key in ("one", "two")
    )  # fmt: skip
    for rate, crews in ((50, {("a",)}), (100, {("a",), ("b",)})):
        promises = tuple(Promise(job=key, task=key, due=at(0), dollars_per_day=rate) for key in ("one", "two"))
        plan = engine_plan(small.problem(3, tasks, crews=2, promises=promises))
        assert plan is not None
        assert {one.crews for one in plan.values()} == crews
