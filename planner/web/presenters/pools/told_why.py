"""Why a task starts when it does, as lines of text: gates, the way back to now, the price of a day."""

from collections.abc import Iterator

from planner.plans.asking.explained import DayMoved, Explained
from planner.plans.domain.binding import BindingGate
from planner.plans.domain.story import dollars
from planner.web.presenters.pools.binding_words import binding_sentence
from planner.web.presenters.pools.reader import NO_BREAK, Reader


def why_lines(reader: Reader, explained: Explained) -> tuple[str, ...]:
    """The whole explanation of one task, without the breaks a page needs."""
    return tuple(line.replace(NO_BREAK, " ") for line in _lines(reader, explained))


def _lines(reader: Reader, explained: Explained) -> Iterator[str]:
    job, task = explained.job, explained.task
    who = " + ".join(reader.crew_names(explained.stay))
    starts = reader.when(explained.stay.start_at)
    yield f"{job.name}: {task.title} starts {starts}{f', {who}' if who else ''}"
    yield ""
    if task.started_at is not None:
        yield "It has begun: nothing decides its start any more."
        return
    yield "What it waits for, in the order it opens; the last decides"
    yield from (f"  {reader.when(gate.opens_at):<20} {_said(reader, gate)}" for gate in explained.gates)
    yield ""
    yield "From there back to now"
    for other_job, other, gate in explained.chain:
        yield f"  {other_job.name}: {other.title}. {_said(reader, gate)}"
    yield ""
    yield "What a day would change, about"
    yield f"  {_moved(reader, explained.earlier, 'earlier')}"
    yield f"  {_moved(reader, explained.later, 'later')}"


def _said(reader: Reader, gate: BindingGate) -> str:
    return binding_sentence(reader, gate)


def _moved(reader: Reader, moved: DayMoved, way: str) -> str:
    if moved.start_at is None:
        return f"A day {way}: no plan was found that has it there."
    when = reader.when(moved.start_at)
    price = "at no cost"
    if moved.dollars > 0:
        price = f"for about {dollars(moved.dollars)} more"
    elif moved.dollars < 0:
        price = f"and save about {dollars(-moved.dollars)}"
    return f"A day {way}: it could start {when} {price}."
