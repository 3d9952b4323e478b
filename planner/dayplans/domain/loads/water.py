"""Where the water of a fill comes from, and when it is at its stop if it is turned on as planned."""

from collections.abc import Iterator

from jobs.domain.errors import CannotDo
from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.presenters.inflow import KINDS, kind_of, source_words
from planner.dayplans.presenters.measures import measure
from planner.plans.domain.lasting.fill import arrival_of, stretch_of


def water_notes(day: Day, piece: Piece) -> Iterator[str]:
    """For a fill whose water has hours of its own: the plan keeps the longest it can take, this is from its start."""
    pool, task = piece.job.pool, piece.task
    stretch = stretch_of(piece.job, task)
    if pool is None or not pool.water or stretch is None:
        return
    yield f"Its water: {'; '.join(f'{KINDS[kind_of(one)]} {source_words(one)}' for one in pool.water)}."
    if task.started_at is not None:
        return
    try:
        there_at = arrival_of(
            pool,
            stretch,
            task,
            start_at=piece.stay_start_at,
            air=day.waits.air_at(task.site.id),
            calendar=day.world.crews.branch_calendar,
        )
    except CannotDo as cannot:
        yield str(cannot)
        return
    stop = measure(stretch.until_m, "m")
    yield f"Turned on {day.said(piece.stay_start_at)}, it stands at {stop} by about {day.said(there_at)}."
