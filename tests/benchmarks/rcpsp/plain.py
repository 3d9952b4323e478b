"""The plain model everybody would write: one interval an activity, one cumulative rule a resource, makespan down."""

from ortools.sat.python import cp_model

from tests.benchmarks.rcpsp.reading import Instance


def plain_makespan(instance: Instance, seconds: float, workers: int, seed: int = 1) -> tuple[int | None, bool]:
    """Makespan found, None where none was; and whether it is proven."""
    model = cp_model.CpModel()
    horizon = sum(instance.lengths)
    starts = [model.new_int_var(0, horizon, f"s{number}") for number in range(len(instance.lengths))]
    intervals = [
        model.new_fixed_size_interval_var(start, length, f"i{number}")
        for number, (start, length) in enumerate(zip(starts, instance.lengths, strict=True))
    ]
    for before, following in enumerate(instance.after):
        for other in following:
            model.add(starts[other] >= starts[before] + instance.lengths[before])
    for kind, count in enumerate(instance.counts):
        users = [number for number, demands in enumerate(instance.demands) if demands[kind]]
        model.add_cumulative(
            [intervals[number] for number in users], [instance.demands[number][kind] for number in users], count
        )
    last = model.new_int_var(0, horizon, "makespan")
    model.add_max_equality(last, [start + length for start, length in zip(starts, instance.lengths, strict=True)])
    model.minimize(last)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, False
    return round(solver.objective_value), status == cp_model.OPTIMAL
