"""Limits that cannot be kept lapse all at once, no others do, and there is a plan."""

from dataclasses import replace
from typing import cast

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.timeline import Timeline
from planner.plans.lapsing import plan_letting_lapse
from planner.solver.check import check
from planner.solver.parameters import GreedyOnly, Parameters, Repeatable
from planner.solver.problem import Link, Problem, StartWeather, Task
from planner.solver.result import Clash, Result
from planner.solver.solve import solve
from tests.planner.solver import small

POOLS = 7
LINE = cast("Timeline", None)


def at(day: int, minutes: int = 0) -> int:
    return 1440 * day + small.OPENS + minutes


def branch(days: int, *, limits: dict[int, int], wet_until: int = 3) -> Problem:
    """Pools with a crew each, whose dig waits for dry days and whose look must follow by a day of its own."""
    wet = (StartWeather(start=0, end=at(wet_until), forbidden=True, dollars=0),)
    tasks: list[Task] = []
    for pool, crew in zip(range(POOLS), "abcdefg", strict=True):
        tasks.append(small.work(f"dig{pool}", 240, crew, job=f"pool{pool}", weather=wet))
        latest = at(limits[pool]) if pool in limits else None
        tasks.append(small.work(f"look{pool}", 60, crew, job=f"pool{pool}", latest_start=latest))
    links = tuple(Link(before=f"dig{pool}", after=f"look{pool}", kind="after") for pool in range(POOLS))
    return small.problem(days, tuple(tasks), crews=POOLS, links=links)


class Office:
    """Assembles and plans, and counts how often."""

    def __init__(self, how: Parameters, *, limits: dict[int, int], wet_until: int = 3) -> None:
        self._how, self._limits, self._wet_until = how, limits, wet_until
        self.plans = 0

    def assemble_for(self, let_lapse: frozenset[str], days: int) -> Assembled:
        problem = branch(days, limits=self._limits, wet_until=self._wet_until)
        tasks = tuple(replace(one, latest_start=None) if one.key in let_lapse else one for one in problem.tasks)
        return Assembled(problem=replace(problem, tasks=tasks), line=LINE, tasks={}, warnings=(), let_lapse=let_lapse)

    def plan_for(self, assembled: Assembled) -> Result:
        self.plans += 1
        return solve(assembled.problem, self._how)

    def plan(self, *days: int) -> tuple[Assembled, Result]:
        return plan_letting_lapse(self.assemble_for, self.plan_for, days)


def test_every_limit_that_cannot_be_kept_lapses_in_one_round() -> None:
    cannot, can = dict.fromkeys(range(5), 1), {5: 4, 6: 6}
    for how in (GreedyOnly(), Repeatable(deterministic_seconds=0.3)):
        office = Office(how, limits={**cannot, **can})
        assembled, result = office.plan(8)
        assert assembled.let_lapse == {f"look{pool}" for pool in cannot}
        assert result.status == "planned"
        assert check(assembled.problem, result.assignments) == ()
        assert office.plans == 3


def test_limits_that_can_be_kept_stay() -> None:
    office = Office(GreedyOnly(), limits=dict.fromkeys(range(POOLS), 4))
    assembled, result = office.plan(8)
    assert (assembled.let_lapse, result.status, office.plans) == (frozenset(), "planned", 1)


def test_where_limits_are_not_the_reason_more_days_are_tried_and_the_reason_is_told() -> None:
    office = Office(GreedyOnly(), limits={0: 1}, wet_until=9)
    assembled, result = office.plan(5, 14)
    assert len(assembled.problem.days) == 14
    assert (assembled.let_lapse, result.status) == ({"look0"}, "planned")

    never = Office(GreedyOnly(), limits={0: 1}, wet_until=99)
    assembled, result = never.plan(5, 8)
    assert result.status == "no_plan"
    assert {clash.gate for clash in result.clashes} == {"weather"}
    assert len(result.clashes) == POOLS
    assert assembled.let_lapse == frozenset()


def test_a_search_that_was_stopped_lets_nothing_go() -> None:
    office = Office(GreedyOnly(), limits={0: 1})
    stopped = Result(status="no_plan", clashes=(Clash(task="look0", gate="stopped", says="The search was stopped."),))
    assembled, result = plan_letting_lapse(office.assemble_for, lambda _: stopped, (5, 8))
    assert (result, assembled.let_lapse) == (stopped, frozenset())


def test_a_plan_found_with_limits_at_a_price_is_kept_where_none_is_found_without() -> None:
    office = Office(GreedyOnly(), limits={0: 1})
    nothing = Result(status="no_plan", clashes=(Clash(task="look1", gate="place", says="No place was found."),))

    def plan_for(assembled: Assembled) -> Result:
        return office.plan_for(assembled) if assembled.problem.promises else nothing

    assembled, result = plan_letting_lapse(office.assemble_for, plan_for, (8,))
    assert (assembled.let_lapse, result.status) == ({"look0"}, "planned")
    assert check(assembled.problem, result.assignments) == ()
    # The price of a limit overstepped is no part of what the plan costs.
    assert result.cost.late == 0
