"""How pressing each task is: the latest start that still keeps its job's promise, and what a day late costs."""

from dataclasses import dataclass

from planner.solver.laying.ground import Ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Urgency:
    """Of one task: latest start without lateness [position], dollars a day after it, earliest start [position]."""

    latest: int
    dollars: int
    earliest: int


def find_urgency(ground: Ground) -> dict[str, Urgency]:
    """Return the urgency of every task, from the links alone (crews and gear are not looked at).

    Parameters
    ----------
    ground : Ground
        The problem.

    Returns
    -------
    dict
        By task key. Lags are taken as the positions an even day would give them.
    """
    axis = ground.axis
    # Tasks that are alike share their classes.
    shared = {id(starts.classes): starts.classes for starts in ground.starts.values()}
    lengths = {which: min((one.length for one in classes), default=0) for which, classes in shared.items()}
    openings = {which: min(one.runs[0][0] for one in classes) for which, classes in shared.items()}
    least = {key: lengths[id(starts.classes)] for key, starts in ground.starts.items()}
    firsts = {key: openings[id(starts.classes)] for key, starts in ground.starts.items()}
    earliest: dict[str, int] = {}
    for key in ground.order:
        earliest[key] = max(
            (
                earliest[link.before] + least[link.before] + _lag(link.min_minutes, axis.units)
                for link in ground.links_in[key]
            ),
            default=0,
        )
        earliest[key] = max(earliest[key], firsts[key])
    due: dict[str, tuple[int, int]] = {}
    for promise in ground.problem.promises:
        last = (axis.day_index(promise.due) + 1) * axis.units
        known = due.get(promise.task, (axis.size, 0))
        due[promise.task] = (min(known[0], last), known[1] + promise.dollars_per_day)
    found: dict[str, Urgency] = {}
    for key in reversed(ground.order):
        end, dollars = due.get(key, (axis.size, 0))
        for link in ground.links_out[key]:
            after = found[link.after]
            end = min(end, after.latest - _lag(link.min_minutes, axis.units))
            dollars = max(dollars, after.dollars)
        found[key] = Urgency(latest=end - least[key], dollars=dollars, earliest=earliest[key])
    return found


def _lag(minutes: int, units: int) -> int:
    return minutes * units // 1440
