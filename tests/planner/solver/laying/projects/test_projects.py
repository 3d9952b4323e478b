"""Plain projects: told apart from others, planned to the optimum, the same twice, checked like every plan."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from planner.solver.candidates import find_candidates
from planner.solver.check import check
from planner.solver.laying.ground import Ground
from planner.solver.laying.projects.breeding import breed
from planner.solver.laying.projects.project import as_project
from planner.solver.parameters import Patient, Repeatable
from planner.solver.problem import Problem, StartWeather
from planner.solver.solve import solve
from tests.benchmarks.rcpsp.mapping import as_problem, makespan
from tests.benchmarks.rcpsp.plain import plain_makespan
from tests.benchmarks.rcpsp.reading import read_file
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.laying.projects.drawn_projects import drawn_instance, project_of
from tests.planner.solver.tiny_problems import tiny_problem

# Published instances with optima proven by others; read where they lie, never kept here.
PUBLISHED = Path(__file__).resolve().parents[6] / "shared" / "psplib"


def is_project(problem: Problem) -> bool:
    candidates = find_candidates(problem)
    return not candidates.clashes and as_project(Ground(problem=problem, candidates=candidates)) is not None


def test_a_company_is_no_plain_project() -> None:
    assert not is_project(company_problem(2, 1))
    assert not any(is_project(tiny_problem(number)) for number in range(20))


def test_one_wet_hour_makes_a_project_another_problem() -> None:
    problem = as_problem(drawn_instance(1, 6))
    assert is_project(problem)
    wet = (StartWeather(start=0, end=2000, forbidden=True, dollars=0),)
    assert not is_project(replace(problem, tasks=(*problem.tasks[:-1], replace(problem.tasks[-1], weather=wet))))


@pytest.mark.parametrize("number", range(8))
def test_breeding_finds_the_optimum_of_another_model(number: int) -> None:
    instance = drawn_instance(number, 12)
    best, proven = plain_makespan(instance, seconds=30, workers=1)
    assert proven
    _, project = project_of(instance)
    bred = list(breed(project, 1, lambda tried, dollars: tried > 3000 or dollars == best))
    assert bred[-1].dollars == best
    assert [one.dollars for one in bred] == sorted({one.dollars for one in bred}, reverse=True)


def test_equal_projects_give_equal_plans() -> None:
    problem = as_problem(drawn_instance(3, 40))
    results = [solve(problem, Repeatable(deterministic_seconds=0.3)) for _ in range(2)]
    assert results[0] == results[1]
    assert check(problem, results[0].assignments) == ()
    assert makespan(results[0].assignments) == results[0].cost.total


def test_patiently_on_two_workers_a_proof_ends_the_search() -> None:
    instance = drawn_instance(2, 10)
    best, _ = plain_makespan(instance, seconds=30, workers=1)
    result = solve(as_problem(instance), Patient(seconds=20, workers=2))
    assert result.making is not None
    assert (result.cost.total, result.making.proven) == (best, True)


@pytest.mark.parametrize("name", ["j3046_1", "j601_1", "j6030_1"])
def test_a_published_instance_is_planned_to_its_proven_optimum(name: str) -> None:
    if not PUBLISHED.is_dir():
        pytest.skip("the published instances are not beside this repository")
    with (PUBLISHED / "best_known.csv").open(encoding="utf-8", newline="") as lines:
        best = next(int(row["best_known_ub"]) for row in csv.DictReader(lines) if row["file"] == f"{name}.rcp")
    problem = as_problem(read_file(PUBLISHED / f"{name}.rcp", best))
    result = solve(problem, Repeatable(deterministic_seconds=3))
    assert result.cost.total == best
