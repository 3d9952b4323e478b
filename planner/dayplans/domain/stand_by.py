"""What to turn to if rain takes the first choice: open work that needs no dry sky, else work in the yard."""

from collections.abc import Iterator
from datetime import timedelta

from jobs.domain.facts import JobFacts, TaskFacts
from planner.dayplans.domain.day import Day, Piece, pieces_on, place_of, rule_of
from planner.dayplans.domain.gates.every import ground_gates
from planner.dayplans.facts import StandBy

MOST = 5
# Common practice, no source: under cover, and no outdoor glue, electric work or pour.
YARD_BY_TRADE = {
    "steel": ("Cut and bend steel",),
    "concrete_forms": ("Cut and bend steel", "Pre-cut forms and openings", "Repair brace sets and covers"),
}
YARD_FOR_ALL = ("Train on bonding and rescue", "Load the next day's truck")


def stand_by_of(day: Day) -> tuple[StandBy, ...]:
    """Stand-by work of a crew on a day it works, most of a day first; nothing on a day off."""
    if day.window is None or day.head_count == 0:
        return ()
    found = tuple(_open_work(day))[:MOST]
    return found or tuple(_yard(day))


def _open_work(day: Day) -> Iterator[StandBy]:
    taken = {piece.task.id for piece in pieces_on(day, day.on)}
    fitting = [
        (job, task)
        for job, task in day.tasks.values()
        if task.stand_by and task.is_open and task.kind == "work" and task.trade in day.crew.trades
    ]
    for job, task in fitting:
        if task.id not in taken and task.started_at is None and _may_start(day, job, task):
            rule = rule_of(job, task)
            how = rule.stand_by_note if rule is not None else ""
            why = "Every gate but the sky is open"
            yield StandBy(
                title=task.title,
                site=place_of(job, task),
                why=f"{why}; {how}." if how else f"{why}.",
                minutes=_minutes(task),
            )


def _minutes(task: TaskFacts) -> int:
    return task.remaining_minutes if task.remaining_minutes is not None else task.work_minutes


def _may_start(day: Day, job: JobFacts, task: TaskFacts) -> bool:
    assert day.window is not None
    opens_at, closes_at = day.window
    end_at = min(opens_at + timedelta(minutes=max(_minutes(task), 1)), closes_at)
    piece = Piece(
        job=job,
        task=task,
        crews=(day.crew.key,),
        start_at=opens_at,
        end_at=end_at,
        stay_start_at=opens_at,
        stay_work_at=opens_at,
        stay_end_at=end_at,
    )
    return all(gate.state.lets_start for gate in ground_gates(day, piece))


def _yard(day: Day) -> Iterator[StandBy]:
    if not day.crew.own:
        return
    own = [title for trade in day.crew.trades for title in YARD_BY_TRADE.get(trade, ())]
    for title in dict.fromkeys((*own, *YARD_FOR_ALL)):
        yield StandBy(title=title, site="the yard", why="Under cover.")
