"""Plans of tried worlds beside the plan of the world as it is: dollars, hand-over by pool, who is told again."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.story import dollars, hand_overs
from planner.plans.domain.world import World
from planner.solver.replan import Replanned
from planner.solver.result import Assignment

TERMS = (
    ("late", "lateness"),
    ("weather", "expected loss to weather"),
    ("prepare", "preparing for the weather"),
    ("paid", "overtime and Saturdays"),
    ("crews", "driving"),
    ("open_days", "open digs"),
    ("moves", "moving what people were told"),
    ("total", "in all"),
)
TITLE_WIDTH, COLUMN_WIDTH = 32, 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One world planned: ``handovers`` by pool's name; ``clashes`` are the reasons where there is no plan."""

    title: str
    planned: bool
    dollars: Mapping[str, int]
    handovers: Mapping[str, date]
    told_again: int = 0
    crews_told_again: int = 0
    moved: int = 0
    clashes: tuple[str, ...] = ()


def standing_of(world: World, assembled: Assembled) -> tuple[Assignment, ...]:
    """The plan people were told, as the solver reads it."""
    stays = {stay.task: stay for stay in world.told}
    line = assembled.line
    return tuple(
        Assignment(
            task=key,
            start=line.minute(stays[task.id].start_at),
            end=line.minute(stays[task.id].end_at),
            crews=stays[task.id].crews,
        )
        for key, (_, task) in assembled.tasks.items()
        if task.id in stays
    )


def outcome_of(title: str, assembled: Assembled, done: Replanned) -> Outcome:
    """What came of planning one world."""
    result = done.result
    if result.status != "planned":
        says = tuple(clash.says for clash in result.clashes)
        return Outcome(title=title, planned=False, dollars={}, handovers={}, clashes=says)
    names = {job.id: job.name for job, _ in assembled.tasks.values()}
    handovers = {names[job]: on for job, on in hand_overs(assembled, result.assignments).items()}
    return Outcome(
        title=title,
        planned=True,
        dollars={term: getattr(result.cost, term) for term, _ in TERMS},
        handovers=handovers,
        told_again=len(done.told_again),
        crews_told_again=len(done.crews_told_again),
        moved=len(done.moved),
    )


def outcome_lines(outcomes: Sequence[Outcome]) -> list[str]:
    """Side by side: the first as it is, the others with the difference to it."""
    base, *others = outcomes
    columns = [base, *others]
    lines = [f"{number}  {one.title}" for number, one in enumerate(columns)]
    lines += [
        "",
        "".join(["".ljust(TITLE_WIDTH), *(f"[{number}]".rjust(COLUMN_WIDTH) for number in range(len(columns)))]),
    ]
    for term, words in TERMS:
        lines.append(_row(words, [_dollars(one, base, term) for one in columns]))
    lines.append(_row("starts and crews changed", [_count(one, one.moved) for one in columns]))
    lines.append(
        _row("told again: tasks, crews", [_count(one, f"{one.told_again}, {one.crews_told_again}") for one in columns])
    )
    lines += ["", "Hand-over of each pool"]
    # In the order of the first column; pools only tried come last.
    for pool in dict.fromkeys(pool for one in columns for pool in one.handovers):
        lines.append(_row(pool, [_handover(one, base, pool) for one in columns]))
    for number, one in enumerate(columns):
        if not one.planned:
            lines += ["", f"[{number}] No plan keeps every rule:", *(f"  {says}" for says in one.clashes)]
    return lines


def _row(title: str, cells: list[str]) -> str:
    return "".join([f"  {title}".ljust(TITLE_WIDTH), *(cell.rjust(COLUMN_WIDTH) for cell in cells)])


def _dollars(one: Outcome, base: Outcome, term: str) -> str:
    if not one.planned:
        return "no plan"
    amount = dollars(one.dollars[term])
    change = one.dollars[term] - base.dollars[term] if base.planned else 0
    if one is base or not change:
        return amount
    return f"{amount} ({'+' if change > 0 else '−'}{dollars(abs(change))})"


def _count(one: Outcome, value: object) -> str:
    return str(value) if one.planned else "no plan"


def _handover(one: Outcome, base: Outcome, pool: str) -> str:
    on = one.handovers.get(pool)
    if on is None:
        return "–" if one.planned else "no plan"
    words = f"{on.day} {on:%b}"
    before = base.handovers.get(pool)
    days = (on - before).days if before is not None else 0
    return words if one is base or not days else f"{words} ({days:+d} d)"
