"""Plain projects drawn at random: activities in a network, three counted resources, makespan as dollars."""

from random import Random

from planner.solver.candidates import find_candidates
from planner.solver.laying.ground import Ground
from planner.solver.laying.projects.project import Project, as_project
from tests.benchmarks.rcpsp.mapping import as_problem
from tests.benchmarks.rcpsp.reading import Instance


def drawn_instance(number: int, size: int) -> Instance:
    """``size`` activities with one to three followers each, between a beginning and an end without work."""
    random = Random(number)
    counts = tuple(random.randint(4, 9) for _ in range(3))
    lengths = [0, *(random.randint(1, 9) for _ in range(size)), 0]
    demands = [tuple(random.choice((0, 0, 1, 3, 4)) if length else 0 for _ in counts) for length in lengths]
    after: list[tuple[int, ...]] = [tuple(range(1, 4))]
    for at in range(1, size + 1):
        later = range(at + 1, min(size, at + 6) + 1)
        after.append(tuple(sorted(random.sample(later, min(len(later), random.randint(1, 3))))) or (size + 1,))
    after.append(())
    return Instance(
        name=f"drawn {number}",
        counts=counts,
        lengths=tuple(lengths),
        demands=tuple(demands),
        after=tuple(after),
        best_known=1,
        activities=size,
    )


def project_of(instance: Instance) -> tuple[Ground, Project]:
    """The instance as a problem's ground and as a plain project."""
    problem = as_problem(instance)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    project = as_project(ground)
    assert project is not None
    return ground, project
