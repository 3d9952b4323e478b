"""A process of its own: the same answer, ended within a second, and nothing lost or hung when it dies."""

import os
import signal
import subprocess
import sys
from itertools import chain
from pathlib import Path
from time import monotonic, sleep

import pytest

from jobs.domain.errors import CannotDo, OutsideFailure
from planner.solver.apart.solving import solve_apart
from planner.solver.check import check, cost_of
from planner.solver.parameters import GreedyOnly, Patient, Repeatable
from planner.solver.replan import replan
from planner.solver.solve import Progress, solve
from tests.planner.solver import small
from tests.planner.solver.company_problems import company_problem

ROOT = Path(__file__).parents[3]
ASKS_FOR_LONG = """
from planner.solver.apart.solving import solve_apart
from planner.solver.parameters import Patient
from tests.planner.solver.company_problems import company_problem
solve_apart(company_problem(8, 1), Patient(seconds=600))
"""


def solving_processes() -> list[int]:
    """Children of this process that solve."""
    lists = (children.read_text(encoding="ascii").split() for children in Path("/proc/self/task").glob("*/children"))
    pids = [int(pid) for pid in chain.from_iterable(lists)]
    return [pid for pid in pids if b"planner.solver.apart.child" in Path(f"/proc/{pid}/cmdline").read_bytes()]


def end_the_solving_process() -> None:
    for pid in solving_processes():
        os.kill(pid, signal.SIGKILL)


def test_apart_gives_the_same_bytes() -> None:
    problem, how = company_problem(3, 1), Repeatable(deterministic_seconds=0.3)
    seen: list[Progress] = []
    apart = solve_apart(problem, how, seen.append)
    assert repr(apart).encode() == repr(solve(problem, how)).encode()
    assert [one.dollars for one in seen] == sorted((one.dollars for one in seen), reverse=True)
    assert solving_processes() == []


def test_a_faulty_problem_is_refused_as_it_is_here() -> None:
    with pytest.raises(CannotDo) as apart:
        solve_apart(small.problem(2, (small.work("dig", 60, "nobody"),)), GreedyOnly())
    with pytest.raises(CannotDo) as here:
        solve(small.problem(2, (small.work("dig", 60, "nobody"),)), GreedyOnly())
    assert str(apart.value) == str(here.value)


def test_no_plan_is_an_answer() -> None:
    problem = small.problem(1, (small.work("dig", 300, "a"), small.work("pipe", 300, "a")))
    assert solve_apart(problem, Repeatable()) == solve(problem, Repeatable())


def test_cancelled_it_ends_within_a_second_with_the_best_plan_so_far() -> None:
    problem = company_problem(8, 1)
    cancelled_at: list[float] = []
    engine_plans: list[int] = []

    def watch(progress: Progress) -> None:
        if progress.stage == "engine":
            engine_plans.append(progress.dollars)

    def cancelled() -> bool:
        if engine_plans and not cancelled_at:
            cancelled_at.append(monotonic())
        return bool(cancelled_at)

    result = solve_apart(problem, Patient(seconds=120, workers=2), watch, cancelled)
    assert monotonic() - cancelled_at[0] < 1.0
    assert result.status == "planned"
    assert check(problem, result.assignments) == ()
    assert result.cost == cost_of(problem, result.assignments)
    assert result.making is not None
    assert (result.making.mode, result.making.engine) == ("patient", "stopped early")
    assert solving_processes() == []


def test_out_of_time_before_any_plan_is_a_result() -> None:
    result = solve_apart(company_problem(3, 1), Patient(seconds=60), limit_seconds=0.05)
    assert result.status == "no_plan"
    assert [clash.gate for clash in result.clashes] == ["stopped"]


def test_killed_with_a_plan_it_still_answers_with_that() -> None:
    problem = company_problem(3, 1)
    result = solve_apart(problem, Patient(seconds=60), lambda progress: end_the_solving_process())
    assert result.status == "planned"
    assert check(problem, result.assignments) == ()


def test_killed_without_a_plan_it_says_so() -> None:
    def cancelled() -> bool:
        end_the_solving_process()
        return False

    with pytest.raises(OutsideFailure) as failure:
        solve_apart(company_problem(3, 1), GreedyOnly(), None, cancelled)
    assert "nothing was stored" in str(failure.value)


def test_from_a_standing_plan_it_is_the_same_as_here() -> None:
    problem, how = company_problem(3, 1), Repeatable(deterministic_seconds=0.3)
    standing = solve(problem, GreedyOnly()).assignments
    apart = solve_apart(problem, how, standing=standing)
    here = replan(problem, standing, frozenset(), how).result
    assert repr(apart).encode() == repr(here).encode()


def test_it_ends_with_whoever_asked_though_that_one_was_killed() -> None:
    asks = subprocess.Popen([sys.executable, "-c", ASKS_FOR_LONG], cwd=ROOT)
    children = Path(f"/proc/{asks.pid}/task/{asks.pid}/children")
    until = monotonic() + 60
    while not (found := children.read_text(encoding="ascii").split()):
        assert monotonic() < until, "nothing solves"
        sleep(0.05)
    asks.kill()
    asks.wait()
    while Path(f"/proc/{found[0]}/cmdline").exists() and Path(f"/proc/{found[0]}/cmdline").read_bytes():
        assert monotonic() < until, "the solving process lives on"
        sleep(0.05)
