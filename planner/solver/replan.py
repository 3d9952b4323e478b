"""A plan from a standing plan that no longer holds everywhere: only what the change touches is taken up.

First what is broken, then what follows it on its pools, then those pools whole, then what their crews do later, at last
everything: the smallest of these that gives a checked plan is the first answer, in a second or so. The search goes on
from there, rather around the change than elsewhere; a stale plan is never a hint to the whole (it costs more than it
gives).
"""

from collections.abc import Generator, Iterator, Mapping
from dataclasses import dataclass
from time import monotonic

from planner.solver.candidates import StartClass, find_candidates
from planner.solver.cpsat.neighbourhoods import Around
from planner.solver.explain.shortage import shortage_clashes
from planner.solver.faults import refuse_faulty
from planner.solver.laying.greedy import Draft, Greedy, Rule, Standing
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger
from planner.solver.parameters import Parameters
from planner.solver.problem import Problem
from planner.solver.result import Assignment, Result
from planner.solver.solve import Keep, OnProgress, Progress, Solving

# Where what is broken finds no place beside all that stands, that gives way in its own order for so many days.
IN_ORDER = (Rule(first="standing", patience=None), Rule(first="standing", patience=10))
IN_ORDER_DAYS = (5, 10, 20)
IN_ORDER_RESTARTS = 2
Kept = dict[str, tuple[StartClass, int]]
# Enough to begin from: two that wait for a better day, one that waits for nothing.
QUICK = (Rule(first="slack", patience=10), Rule(first="promise", patience=5), Rule(first="promise", patience=None))


@dataclass(frozen=True, slots=True, kw_only=True)
class Replanned:
    """A plan made from a standing one.

    Parameters
    ----------
    result : Result
        The plan, or why there is none.
    broken : tuple of str
        Tasks whose standing start is no longer allowed, in the problem's order.
    moved : tuple of str
        Tasks that start at another time or with other crews than they stood.
    told_again : tuple of str
        Those of ``moved`` of which people were told.
    crews_told_again : tuple of str
        Crews that were told of them, or take them over.
    """

    result: Result
    broken: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    told_again: tuple[str, ...] = ()
    crews_told_again: tuple[str, ...] = ()


def replan(
    problem: Problem,
    standing: tuple[Assignment, ...],
    touched: frozenset[str],
    parameters: Parameters,
    *,
    on_progress: OnProgress | None = None,
    keep: Keep | None = None,
    share: float = 0.5,
    asks_why: bool = True,
) -> Replanned:
    """Return a plan of today's problem made from a standing plan.

    Parameters
    ----------
    problem : Problem
        What is asked now.
    standing : tuple of Assignment
        The plan as it stands: tasks may be missing, starts may be broken.
    touched : frozenset of str
        Tasks to take up whether broken or not.
    parameters : Repeatable, Patient or GreedyOnly
        How hard to search on from the first plan.
    on_progress : callable, optional
        Called with each better plan; first with the first checked one.
    keep : callable, optional
        Called with each better plan itself, for whoever may have to end this early.
    share : float
        Share of the search that goes to pieces around the change, 0 to 1.
    asks_why : bool
        Whether to look for what clashes where there is no plan.

    Returns
    -------
    Replanned
        With a checked plan, or a result that says why there is none.

    Raises
    ------
    CannotDo
        If the problem is faulty as data.
    """
    began = monotonic()
    refuse_faulty(problem)
    candidates = find_candidates(problem, {one.task: one.crews for one in standing})
    clashes = candidates.clashes or shortage_clashes(problem)
    if clashes:
        return Replanned(result=Result(status="no_plan", clashes=clashes))
    ground = Ground(problem=problem, candidates=candidates)
    sound = _sound(ground, standing)
    broken = tuple(key for key in ground.starts if key not in sound and ground.starts[key].task.pin is None)
    loose = frozenset(broken) | (touched & set(sound))
    tell = on_progress or _tell_nobody
    around = Around(tasks=tuple(key for key in ground.starts if key in loose), share=share)
    result = Solving(ground, parameters, tell, began, asks_why=asks_why, keep=keep).run(
        _drafts(ground, sound, loose, _order(ground, sound, standing)), around
    )
    return reported(problem, standing, broken, result)


def _tell_nobody(progress: Progress) -> None:
    del progress


def _sound(ground: Ground, standing: tuple[Assignment, ...]) -> Kept:
    """What stands and may stay, taken in the order of the starts: each that still fits beside those before it."""
    ledger = Ledger(ground, holds_on=False)
    for key, starts in ground.starts.items():
        if starts.task.pin is not None:
            ledger.place(key, starts.classes[0], starts.classes[0].runs[0][0])
    sound: Kept = {}
    for one in sorted(standing, key=lambda one: (one.start, one.task)):
        starts_of = ground.starts.get(one.task)
        if starts_of is None or starts_of.task.pin is not None or one.task in sound:
            continue
        position = ground.axis.start_position(one.start)
        if position >= ground.axis.size or ground.axis.start_minute(position) != one.start:
            continue
        room = ledger.room(one.task)
        fitting = [
            of
            for of, mask in (ledger.options(one.task, room) if room.is_open() else ())
            if of.crews == one.crews and mask >> position & 1
        ]
        if fitting:
            exact = (of for of in fitting if starts_of.end_minute(ground.axis, position, of) == one.end)
            of = next(exact, fitting[0])
            ledger.place(one.task, of, position)
            sound[one.task] = (of, position)
    return sound


def _drafts(ground: Ground, sound: Kept, loose: frozenset[str], standing: Standing) -> Iterator[Draft]:
    """Drafts that take up ever more, until one is whole; told as soon as they are made.

    What is taken up beside what stands goes behind all of it. Where that is not enough, it may also go before it.
    """
    for free in _wider_and_wider(ground, sound, loose):
        kept = {key: made for key, made in sound.items() if key not in free}
        if (yield from _told_whole(Greedy(ground, kept), QUICK)):
            if free == loose:
                return
            break
    for free in _days_around(ground, sound, loose, standing):
        kept = {key: made for key, made in sound.items() if key not in free}
        if (yield from _told_whole(Greedy(ground, kept, restarts=IN_ORDER_RESTARTS, standing=standing), IN_ORDER)):
            return


def _told_whole(greedy: Greedy, rules: tuple[Rule, ...]) -> Generator[Draft, None, bool]:
    """Hand on a draft for each rule; say at the end whether any was whole."""
    whole = False
    for draft in greedy.drafts(rules):
        whole = whole or draft.is_whole
        yield draft
    return whole


def _days_around(ground: Ground, sound: Kept, loose: frozenset[str], standing: Standing) -> Iterator[frozenset[str]]:
    """Yield the loose ones with all that starts in ever more days from the first of them on."""
    first = min((standing[key][1] for key in loose if key in standing), default=0)
    for days in IN_ORDER_DAYS:
        until = first + days * ground.axis.units
        yield loose | {key for key, (_, position) in sound.items() if first <= position < until}


def _order(ground: Ground, sound: Kept, standing: tuple[Assignment, ...]) -> Standing:
    """How tasks stood; what is broken has only its place in the order."""
    return {one.task: sound.get(one.task, (None, ground.axis.start_position(one.start))) for one in standing}


def _wider_and_wider(ground: Ground, sound: Kept, loose: frozenset[str]) -> Iterator[frozenset[str]]:
    """Yield ever more tasks to take up, beginning with the loose ones."""
    yield loose
    free = set(loose)
    reached = list(free)
    for key in reached:
        followers = [link.after for link in ground.links_out[key] if link.after not in free]
        free.update(followers)
        reached.extend(followers)
    yield frozenset(free)
    jobs = {ground.starts[key].task.job for key in free}
    free.update(key for key, starts in ground.starts.items() if starts.task.job in jobs)
    yield frozenset(free)
    crews = {option.crew for key in free for need in ground.starts[key].task.needs for option in need.options}
    first = min((sound[key][1] for key in free if key in sound), default=0)
    free.update(key for key, (of, position) in sound.items() if position >= first and not crews.isdisjoint(of.crews))
    yield frozenset(free)
    yield frozenset(ground.starts)


def reported(problem: Problem, standing: tuple[Assignment, ...], broken: tuple[str, ...], result: Result) -> Replanned:
    """Return a result with what it moves of a standing plan.

    Parameters
    ----------
    problem : Problem
        What was asked.
    standing : tuple of Assignment
        The plan as it stood.
    broken : tuple of str
        Tasks whose standing start is no longer allowed.
    result : Result
        The plan made, or why there is none.
    """
    stood: Mapping[str, Assignment] = {one.task: one for one in standing}
    told = {one.task: one for one in problem.told}
    moved = tuple(
        one.task
        for one in result.assignments
        if one.task not in stood or (stood[one.task].start, stood[one.task].crews) != (one.start, one.crews)
    )
    now = {one.task: one for one in result.assignments}
    told_again = tuple(key for key in moved if key in told)
    crews = {crew for key in told_again for crew in (*told[key].crews, *now[key].crews)}
    return Replanned(
        result=result, broken=broken, moved=moved, told_again=told_again, crews_told_again=tuple(sorted(crews))
    )
