"""One task of a day with all that the foreman must know of it."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from planner.dayplans.domain.cautions import cautions_of
from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.domain.gates.bookings import STATES, called_in, supplier_of
from planner.dayplans.domain.gates.every import gates_of
from planner.dayplans.domain.gates.people import gear_titles
from planner.dayplans.domain.gates.sky import judged
from planner.dayplans.domain.limits import stop_limits
from planner.dayplans.domain.loads.quantities import quantities_of, quantity_note, trucks_note, trucks_of
from planner.dayplans.domain.loads.ticket import ticket_note
from planner.dayplans.facts import CalledIn, DayTask, Gate, WeatherAdvice
from planner.dayplans.presenters.measures import minutes
from planner.dayplans.presenters.water import dilution_words
from planner.plans.domain.story import paid_words
from planner.plans.domain.water import SALTED, WATER_TRADE, dilution
from planner.plans.domain.world import Prepared


def day_task(
    day: Day,
    piece: Piece,
    advice: WeatherAdvice | None,
    *,
    also_called: tuple[CalledIn, ...] = (),
    notes: tuple[str, ...] = (),
) -> DayTask:
    """A piece of work in full. ``also_called`` and ``notes`` come from what else happens at the stop."""
    task = piece.task
    exposure = day.world.exposures[task.exposure]
    judgement = judged(day, piece)
    gates = gates_of(day, piece, judgement)
    loads = trucks_of(day, piece)
    return DayTask(
        key=task.key,
        title=task.title,
        trade=task.trade,
        trade_title=day.trade_title(task.trade),
        starts_at=piece.start_at,
        ends_at=piece.end_at,
        state=state_of(piece, gates, day.world.as_of),
        continued=piece.start_at > piece.stay_start_at,
        prepare_minutes=_prepare_minutes(day, piece),
        prepares=prepared.title if (prepared := _bought(day, piece)) is not None else "",
        exposed=exposure.exposed,
        safe_at=judgement.safe_at if judgement is not None else None,
        head_count=day.head_count,
        joined_by=day.crew_names([key for key in piece.crews if key != day.crew.key]),
        quantities=quantities_of(piece),
        trucks=loads,
        gates=gates,
        limits=tuple(stop_limits(day, piece, judgement)) if judgement is not None else (),
        gear=gear_titles(day, piece),
        called_in=(*called_in(day, piece, loads[0].at if loads else None), *also_called),
        cautions=cautions_of(task, exposure, day.vocabulary),
        note=" ".join(note for note in (*_own_notes(day, piece), *notes) if note),
        advice=advice,
    )


def state_of(piece: Piece, gates: tuple[Gate, ...], as_of: datetime) -> str:
    """The task's state in the words of the page; a planned time that passed in silence is never finished."""
    if piece.task.finished_at is not None:
        return "finished"
    if piece.stay_end_at <= as_of:
        return "unreported"
    if piece.task.started_at is not None:
        return "started"
    return "clear" if all(gate.state.lets_start for gate in gates) else "waiting"


def _prepare_minutes(day: Day, piece: Piece) -> int:
    """Time of the day that goes to what the plan bought, before the work itself."""
    if _bought(day, piece) is None:
        return 0
    return (piece.work_at - piece.start_at) // timedelta(minutes=1)


def _bought(day: Day, piece: Piece) -> Prepared | None:
    """What the plan bought to prepare for work that has not begun."""
    if not piece.task.is_open or piece.task.started_at is not None:
        return None
    return day.stays[piece.task.id].prepared


def _prepared_note(day: Day, piece: Piece) -> str:
    """What the plan bought against the weather, with the time it takes out of the hours planned."""
    prepared = _bought(day, piece)
    if prepared is None:
        return ""
    bought = f"{prepared.title}, ${prepared.dollars:,}"
    if piece.start_at > piece.stay_start_at:
        return f"Prepared on the first day and kept up: {bought}."
    if not prepared.minutes:
        return f"Prepare: {bought}."
    first, then = day.said(piece.stay_start_at), day.said(piece.stay_work_at)
    return f"Prepare first, {first} to {then}: {bought}. The plan leaves {minutes(prepared.minutes)} for it."


def _paid_note(day: Day, piece: Piece) -> str:
    """The hours the plan bought of the crews of this stay."""
    paid = day.stays[piece.task.id].paid
    if paid is None or not piece.task.is_open:
        return ""
    return f"Bought for this: {paid_words(paid)}."


def _own_notes(day: Day, piece: Piece) -> Iterator[str]:
    if not piece.whole:
        yield f"Runs over several days: from {day.said(piece.stay_start_at)} to {day.said(piece.stay_end_at)}."
    yield _prepared_note(day, piece)
    yield _paid_note(day, piece)
    yield quantity_note(piece.task)
    yield trucks_note(day, piece)
    yield ticket_note(day, piece)
    yield from _after_rain(day, piece)


def _after_rain(day: Day, piece: Piece) -> Iterator[str]:
    """What a wet week or a refill did to the salt, for whoever looks after the water."""
    salted = next((task for task in piece.job.tasks if task.key == SALTED and task.finished_at is not None), None)
    if salted is None or piece.task.trade != WATER_TRADE:
        return
    found = dilution(
        piece.job,
        salted,
        air=day.waits.air_at(salted.site.id),
        as_of=day.world.as_of,
        reports=day.world.reports,
    )
    if found is not None and found.is_thinned:
        yield from dilution_words(found, day.said)


def visit_called_in(day: Day, piece: Piece) -> CalledIn:
    """A visit at the stop on this day, as somebody who comes."""
    supplier = supplier_of(day, piece.task.authority)
    known = day.vocabulary.authorities.get(piece.task.authority)
    booking = next((one for one in day.world.crews.bookings if one.task == piece.task.id), None)
    return CalledIn(
        who=supplier.name if supplier is not None else (known.title if known is not None else "not known"),
        what=piece.task.title,
        at=piece.start_at,
        phone=supplier.phone if supplier is not None else "",
        state=STATES[booking.state] if booking is not None else "not asked for yet",
    )
