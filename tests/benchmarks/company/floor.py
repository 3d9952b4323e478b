"""Dollars no plan is below: each pool planned as if the branch, with more than enough of every crew, were its alone.

What a rule's plan costs above this is all that any plan could save; where a pool is not solved in its time, what is
proven of it counts.
"""

from dataclasses import replace
from functools import reduce
from operator import or_

from ortools.sat.python import cp_model

from planner.solver.candidates import Candidates, StartClass, TaskStarts, find_candidates
from planner.solver.check import cost_of
from planner.solver.cpsat.costs import add_costs
from planner.solver.cpsat.links import add_links
from planner.solver.cpsat.model import Model
from planner.solver.cpsat.starts import add_starts
from planner.solver.laying.greedy import Greedy
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import laid_out
from planner.solver.masks import mask_of, runs_of
from planner.solver.problem import Problem, Told


def floor_dollars(problem: Problem, seconds: float = 10.0) -> int:
    """Sum of what is proven of each job by itself, each in so many seconds of counted work."""
    return sum(_one_job(_only(problem, job), seconds) for job in dict.fromkeys(task.job for task in problem.tasks))


def _only(problem: Problem, job: str) -> Problem:
    keys = {task.key for task in problem.tasks if task.job == job}
    return replace(
        problem,
        tasks=tuple(task for task in problem.tasks if task.key in keys),
        links=tuple(link for link in problem.links if link.before in keys and link.after in keys),
        holds_of_gear=(),
        limits=(),
        promises=tuple(promise for promise in problem.promises if promise.task in keys),
        open_days=tuple(
            term for term in problem.open_days if keys.issuperset({term.from_task, term.until_task} - {""})
        ),
        told=tuple(told for told in problem.told if told.task in keys),
    )


def _one_job(problem: Problem, seconds: float) -> int:
    candidates = find_candidates(problem)
    if not candidates.is_whole or candidates.clashes:
        return 0
    told = {one.task: one for one in problem.told}
    tasks = tuple(_as_one_crew(starts, told.get(starts.task.key)) for starts in candidates.tasks)
    ground = Ground(problem=problem, candidates=Candidates(axis=candidates.axis, tasks=tasks, clashes=()))
    model = Model(ground)
    add_starts(model)
    add_links(model)
    add_costs(model)
    drafts = [draft.assignments for draft in Greedy(ground).drafts() if draft.is_whole]
    if drafts:
        model.hint(laid_out(ground, min(drafts, key=lambda plan: cost_of(problem, plan).total)).placed)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = seconds
    solver.parameters.presolve_inclusion_work_limit = 0
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.linearization_level = 0
    solver.solve(model.cp)
    return max(0, int(solver.best_objective_bound)) if model.is_exact else 0


def _as_one_crew(starts: TaskStarts, told: Told | None) -> TaskStarts:
    """Classes that take as long made one, at the least price of any, free whenever any is; the crews people were told
    of stay a class of their own."""
    kinds: dict[tuple[int, int, bool], list[StartClass]] = {}
    for of in starts.classes:
        is_told = told is not None and set(told.crews) == set(of.crews)
        kinds.setdefault((of.length, of.pad, is_told), []).append(of)
    classes = tuple(
        replace(
            mine[0],
            dollars=min(of.dollars for of in mine),
            runs=runs_of(reduce(or_, (mask_of(of.runs) for of in mine))),
        )
        for mine in kinds.values()
    )
    return replace(starts, classes=classes)
