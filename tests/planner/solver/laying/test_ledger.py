"""A ledger copied: what is laid into one is not seen by the other."""

from planner.solver.candidates import find_candidates
from planner.solver.laying.greedy import RULES, Greedy
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, laid_out
from planner.solver.problem import Drive
from tests.planner.solver import small
from tests.planner.solver.company_problems import company_problem


def options_of(ledger: Ledger, keys: list[str]) -> list[list[tuple[object, int]]]:
    return [list(ledger.options(key, ledger.room(key))) for key in keys]


def test_a_copy_goes_its_own_way() -> None:
    problem = company_problem(4, 3)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    plan = Greedy(ground).draft(RULES[0]).assignments
    ledger = laid_out(ground, plan)
    free = [key for key, starts in ground.starts.items() if starts.task.pin is None]
    before = options_of(ledger, free)
    other = ledger.copy()
    assert options_of(other, free) == before
    for key in free[::2]:
        other.lift(key)
    assert options_of(other, free) != before
    assert options_of(ledger, free) == before
    assert ledger.assignments() == plan


def test_a_copy_drives_its_own_ways() -> None:
    tasks = (small.work("dig", 60, "a", site="north"), small.work("pour", 60, "a", site="south", job="two"))
    drives = (Drive(sites=("north", "south"), minutes=40),)
    problem = small.problem(2, tasks, drives=drives)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    ledger = Ledger(ground)
    before = options_of(ledger, ["pour"])
    other = ledger.copy()
    other.place("dig", ground.starts["dig"].classes[0], 0)
    ledger.place("pour", ground.starts["pour"].classes[0], 20)
    ledger.lift("pour")
    assert options_of(ledger, ["pour"]) == before
    assert options_of(other, ["pour"]) != before
